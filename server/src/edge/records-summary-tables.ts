/** What was found over all records, as tables: text for a person, JSON, or CSV of one of them. */
import { harmlessLine } from '../render/harmless-text.ts';
import type { RecordsSummary, Standing } from '../run/records-summary.ts';
import { csvTable, textTable } from './text-table.ts';

export const SUMMARY_PARTS = ['asset', 'procedure', 'finding', 'month'] as const;
export type SummaryPart = (typeof SUMMARY_PARTS)[number];

type Row = readonly (string | number)[];

interface Table {
  readonly title: string;
  readonly header: readonly string[];
  readonly rows: readonly Row[];
  /** Lines to stand under each row. */
  readonly under?: readonly (readonly string[])[];
  /** With every field, for a program or a spreadsheet. */
  readonly csv: { readonly header: readonly string[]; readonly rows: readonly Row[] };
}

/** All tables, or one, below each other. */
export function summaryText(summary: RecordsSummary, part: SummaryPart | undefined): string {
  if (summary.runs === 0) return 'No records.\n';
  const days = summary.from === summary.to ? `on ${summary.to ?? ''}` : `from ${summary.from ?? ''} to ${summary.to ?? ''}`;
  const assets = summary.assets.filter((line) => line.asset !== '').length;
  const head = `${counted(summary.runs, 'run', 'runs')} on ${counted(assets, 'asset', 'assets')}, ${days}.\n`;
  const parts = part === undefined ? SUMMARY_PARTS : [part];
  return [head, ...parts.flatMap((one) => {
    const table = tableOf(summary, one);
    return table.rows.length === 0 ? [] : [`${table.title}\n${tableText(table, part === undefined ? one : undefined)}`];
  })].join('\n');
}

/** How many rows, and how many lines under one, an overview shows of each table. */
const MOST_ROWS = 15;
const MOST_UNDER = 3;

/** `overview`: shortened, and it says how to see the rest. */
function tableText({ header, rows, under }: Table, overview: SummaryPart | undefined): string {
  const most = overview === undefined ? rows.length : MOST_ROWS;
  const [head = '', ...lines] = textTable(header, rows.slice(0, most)).trimEnd().split('\n');
  const shown = lines.flatMap((line, at) => {
    const all = under?.[at] ?? [];
    const some = overview === undefined || all.length <= MOST_UNDER + 1 ? all : [...all.slice(0, MOST_UNDER), `and ${all.length - MOST_UNDER} more`];
    return [line, ...some.map((one) => `    ${harmlessLine(one)}`)];
  });
  const rest = rows.length > most || shown.some((line) => /^ {4}and \d+ more$/.test(line));
  return `${[head, ...shown, ...(rest ? [`${rows.length > most ? `${rows.length - most} more rows` : 'More'}: --by ${overview ?? ''}`] : [])].join('\n')}\n`;
}

/** RFC 4180. */
export function summaryCsv(summary: RecordsSummary, part: SummaryPart): string {
  const { csv } = tableOf(summary, part);
  return csvTable(csv.header, csv.rows);
}

export function summaryJson(summary: RecordsSummary, part: SummaryPart | undefined): string {
  const { assets, procedures, findings, months, ...head } = summary;
  const parts = { asset: { assets }, procedure: { procedures }, finding: { findings }, month: { months } };
  return `${JSON.stringify({ format: 1, ...head, ...(part === undefined ? { assets, procedures, findings, months } : parts[part]) }, null, 2)}\n`;
}

function tableOf(summary: RecordsSummary, part: SummaryPart): Table {
  switch (part) {
    case 'asset':
      return assetTable(summary);
    case 'procedure':
      return procedureTable(summary);
    case 'finding':
      return findingTable(summary);
    case 'month':
      return monthTable(summary);
  }
}

function assetTable({ assets }: RecordsSummary): Table {
  return {
    title: 'By asset: what stands against it, the gravest first',
    header: ['Asset', 'Runs', 'Last run', 'Result', 'Procedure'],
    rows: assets.map((line) => [line.asset || '-', line.runs, minute(line.last), plain(line.result), line.procedure]),
    under: assets.map((line) => line.stands.map((one) => `${HOW[one.how]}: ${one.how === 'referred' ? one.procedure : one.title} (${one.since.slice(0, 10)})`)),
    csv: {
      header: ['asset', 'runs', 'last', 'procedure', 'result', 'stands', 'since', 'what', 'found_by'],
      // One row for each thing that stands, so that each can be filtered.
      rows: assets.flatMap((line): Row[] => {
        const own = [line.asset, line.runs, line.last, line.procedure, line.result];
        return line.stands.length === 0 ? [[...own, '', '', '', '']] : line.stands.map((one) => [...own, one.how, one.since, one.title, one.procedure]);
      }),
    },
  };
}

const HOW: Readonly<Record<Standing['how'], string>> = {
  dangerous: 'dangerous', major: 'major', ungraded: 'without a grade', minor: 'minor', not_repaired: 'not repaired', not_proved: 'repair not proved', referred: 'referred',
};

function procedureTable({ procedures }: RecordsSummary): Table {
  return {
    title: 'By procedure',
    header: ['Procedure', 'Rev.', 'Runs', 'Assets', 'Passed', 'with defects', 'Repaired', 'Found', 'Referred', 'Broken off', 'Minutes', 'Remarked'],
    rows: procedures.map((line) => [
      line.procedure, line.revision || '-', line.runs, line.assets, line.passed, line.withDefects, line.repaired, line.found, line.referred, line.stopped + line.no_way_on, line.minutes, line.remarked,
    ]),
    csv: {
      header: ['procedure', 'title', 'revision', 'runs', 'assets', 'passed', 'with_defects', 'repaired', 'found', 'referred', 'stopped', 'no_way_on', 'minutes', 'remarked'],
      rows: procedures.map((line) => [
        line.procedure, line.title, line.revision, line.runs, line.assets, line.passed, line.withDefects, line.repaired, line.found, line.referred,
        line.stopped, line.no_way_on, line.minutes, line.remarked,
      ]),
    },
  };
}

function findingTable({ findings }: RecordsSummary): Table {
  return {
    title: 'By finding, the most frequent first',
    header: ['Finding', 'Grade', 'Times', 'Assets', 'Repaired', 'First', 'Last', 'Procedure'],
    rows: findings.map((line) => [line.title, line.grade === '' ? '-' : line.grade, line.times, line.assets, line.repaired, line.first.slice(0, 10), line.last.slice(0, 10), line.procedure]),
    csv: {
      header: ['procedure', 'fault', 'title', 'grade', 'times', 'assets', 'repaired', 'first', 'last'],
      rows: findings.map((line) => [line.procedure, line.fault, line.title, line.grade, line.times, line.assets, line.repaired, line.first, line.last]),
    },
  };
}

function monthTable({ months }: RecordsSummary): Table {
  return {
    title: 'By month, the latest first',
    header: ['Month', 'Runs', 'Assets', 'Passed', 'Repaired', 'Found', 'Referred', 'Broken off', 'Defects'],
    rows: months.map((line) => [line.month, line.runs, line.assets, line.passed, line.repaired, line.found, line.referred, line.stopped + line.no_way_on, line.defects]),
    csv: {
      header: ['month', 'runs', 'assets', 'passed', 'repaired', 'found', 'referred', 'stopped', 'no_way_on', 'defects'],
      rows: months.map((line) => [line.month, line.runs, line.assets, line.passed, line.repaired, line.found, line.referred, line.stopped, line.no_way_on, line.defects]),
    },
  };
}

function minute(at: string): string {
  return at.slice(0, 16).replace('T', ' ');
}

function plain(name: string): string {
  return name.replace(/_/g, ' ');
}

function counted(count: number, one: string, many: string): string {
  return count === 1 ? `1 ${one}` : `${count} ${many}`;
}
