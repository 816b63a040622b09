/** What records say, as lines of a table: text for a person, JSON, or CSV after RFC 4180. */
import type { RunRecord } from '../run/record.ts';
import { csvTable, textTable } from './text-table.ts';

export const TABLE_FORMATS = ['text', 'json', 'csv'] as const;
export type TableFormat = (typeof TABLE_FORMATS)[number];

export interface RecordRow {
  /** ISO 8601: when the run ended. */
  readonly ended: string;
  readonly asset: string;
  readonly procedure: string;
  readonly revision: string;
  /** `passed`, `referred`, `found`, `repaired`, `stopped`, `no_way_on`. */
  readonly result: string;
  /** Of an inspection that passed: the worst grade. */
  readonly verdict: string;
  /** The fault found, or the defects with their grades; titles. */
  readonly found: string;
  /** What it means for the use of the asset. */
  readonly use: string;
  readonly minutes: number;
  readonly run: string;
  readonly file: string;
  /** `whole`, or what is wrong with the record. */
  readonly check: string;
}

export function recordRow(record: RunRecord, file: string, check: string): RecordRow {
  const { outcome } = record;
  const defects = record.defects.map((defect) => `${defect.title}${defect.grade === undefined ? '' : ` (${defect.grade})`}`);
  return {
    ended: record.endedAt, asset: record.asset ?? '', procedure: record.procedure.name, revision: record.procedure.revision ?? '',
    result: outcome.kind, verdict: outcome.verdict ?? '', found: [...(outcome.fault === undefined ? [] : [outcome.faultTitle ?? outcome.fault]), ...defects].join('; '),
    use: outcome.disposition, minutes: Math.round(record.workedSeconds / 60), run: record.run, file, check,
  };
}

/** Of a record that is not built as records are: what can be relied on to be a text, and nothing else. */
export function unbuiltRow(record: RunRecord, file: string, check: string): RecordRow {
  return { ended: record.endedAt, asset: record.asset ?? '', procedure: record.procedure.name, revision: '', result: '', verdict: '', found: '', use: '', minutes: 0, run: record.run, file, check };
}

export function renderRecords(rows: readonly RecordRow[], format: TableFormat): string {
  switch (format) {
    case 'json':
      return `${JSON.stringify({ format: 1, records: rows }, null, 2)}\n`;
    case 'csv':
      return csvTable(COLUMNS, rows.map((row) => COLUMNS.map((column) => row[column])));
    case 'text':
      return table(rows);
  }
}

const COLUMNS = ['ended', 'asset', 'procedure', 'revision', 'result', 'verdict', 'found', 'use', 'minutes', 'run', 'file', 'check'] as const;

function table(rows: readonly RecordRow[]): string {
  if (rows.length === 0) return 'No records.\n';
  const lines = rows.map((row) => [
    row.ended.slice(0, 16).replace('T', ' '), row.asset || '-', row.procedure, row.revision || '-', row.verdict === '' ? row.result.replace(/_/g, ' ') : row.verdict.replace(/_/g, ' '),
    `${row.found || '-'}${row.check === 'whole' ? '' : `  [${row.check}]`}`,
  ]);
  return `${textTable(['Ended', 'Asset', 'Procedure', 'Rev.', 'Result', 'Found'], lines)}\n${rows.length === 1 ? '1 record' : `${rows.length} records`}.\n`;
}
