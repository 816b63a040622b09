/**
 * `faultwright records …`: checks records, lists what was found, takes records in from tablets, takes names out, and removes what need
 * not be kept any longer. Exit codes: 0 done and all whole, 1 something is wrong with a record, 2 it could not be done.
 */
import { existsSync } from 'node:fs';
import { relative, resolve } from 'node:path';
import { harmlessLine } from '../render/harmless-text.ts';
import type { RecordProblem, RunRecord } from '../run/record.ts';
import { summariseRecords } from '../run/records-summary.ts';
import { CannotRun, type CommandEnvironment } from './command-environment.ts';
import { pathShownFrom } from './file-workspace.ts';
import { findRecords, ownRecords } from './find-records.ts';
import { forwardSlashes } from './find-files.ts';
import { JournalError, readJournal } from './journal.ts';
import { checkRecordFile } from './record-files.ts';
import { problemsOfPictures } from './record-pictures.ts';
import { schemaProblems } from './record-schema.ts';
import { SUMMARY_PARTS, summaryCsv, summaryJson, summaryText, type SummaryPart } from './records-summary-tables.ts';
import { recordRow, renderRecords, unbuiltRow, type TableFormat } from './records-table.ts';
import { reasonOf } from './read-text-file.ts';

export interface CheckedRecord {
  /** Absolute. */
  readonly path: string;
  /** As far as it could be read. */
  readonly record: RunRecord | undefined;
  /** It has every field that records have, and none else: it can be shown and counted, whole or not. */
  readonly wellBuilt: boolean;
  readonly problems: readonly RecordProblem[];
}

/** Reads a record and holds it against its chain, its digest, the schema, and the pictures beside it. */
export function checkedRecord(path: string): CheckedRecord {
  const { record, problems } = checkRecordFile(path);
  if (record === undefined) return { path, record, wellBuilt: false, problems };
  const shape = schemaProblems(record).map((message): RecordProblem => ({ kind: 'altered', message: `Not as the schema has it: ${message}.` }));
  const wellBuilt = shape.length === 0;
  return { path, record, wellBuilt, problems: [...problems, ...shape, ...(wellBuilt ? problemsOfPictures(path, record) : [])] };
}

/** Every record that the paths mean; without one, those of the shop here. Throws CannotRun where a path cannot be read. */
export async function recordsAt(paths: readonly string[], cwd: string): Promise<{ readonly records: readonly CheckedRecord[]; readonly journals: readonly string[] }> {
  const files = new Set<string>();
  const journals = new Set<string>();
  const own = ownRecords(cwd);
  // A shop without a run has no records folder yet: that is nothing wrong.
  for (const path of paths.length > 0 ? paths : existsSync(own) ? [own] : []) {
    try {
      const found = await findRecords(resolve(cwd, path));
      for (const file of found.files) files.add(file);
      for (const journal of found.journals) journals.add(journal);
    } catch (error) {
      const reason = (error as { code?: string }).code === 'ENOENT' ? 'There is nothing of that name.' : reasonOf(error);
      throw new CannotRun(`${shownPath(path, cwd)} could not be read. ${reason} Name a record, or a folder that holds a records folder.`);
    }
  }
  return { records: [...files].sort().map(checkedRecord), journals: [...journals].sort() };
}

/** `records check`. */
export async function checkRecords(paths: readonly string[], format: 'text' | 'json', environment: CommandEnvironment): Promise<number> {
  const { records, journals } = await recordsAt(paths, environment.cwd);
  const broken = journals.flatMap((path) => problemOfJournal(path));
  const twice = runsThereTwice(records);
  const results = [
    ...records.map((one) => ({ path: one.path, problems: [...one.problems, ...(twice.get(one.path) ?? [])] })),
    ...broken,
  ];
  const wrong = results.filter((one) => one.problems.length > 0);
  const show = pathShownFrom(environment.cwd);
  if (format === 'json') {
    environment.out(`${JSON.stringify({
      format: 1, checked: records.length, journals: journals.length, wrong: wrong.length,
      records: results.map((one) => ({ path: show(one.path), whole: one.problems.length === 0, problems: one.problems })),
    }, null, 2)}\n`);
    return wrong.length > 0 ? 1 : 0;
  }
  for (const { path, problems } of wrong) {
    environment.out(`${harmlessLine(show(path))}\n${problems.map((problem) => `  ${harmlessLine(problem.message)}\n`).join('')}`);
  }
  const counted = records.length === 1 ? '1 record' : `${records.length} records`;
  const running = journals.length === 0 ? '' : `, ${journals.length === 1 ? '1 run' : `${journals.length} runs`} under way`;
  if (records.length + journals.length === 0) environment.out('There are no records here.\n');
  else if (wrong.length === 0) environment.out(`${counted}${running}: all whole.\n`);
  else environment.out(`${counted}${running}: something is wrong with ${wrong.length}. What is whole can be relied on; keep the others as they are and ask who had them.\n`);
  return wrong.length > 0 ? 1 : 0;
}

export interface ListOptions {
  readonly asset?: string;
  readonly procedure?: string;
  readonly from?: string;
  readonly to?: string;
  readonly olderThan?: string;
  readonly format: TableFormat;
}

/** `records list`, the latest first. Records that are not whole are listed and marked. */
export async function listRecords(paths: readonly string[], options: ListOptions, environment: CommandEnvironment, now: Date): Promise<number> {
  const { records } = await recordsAt(paths, environment.cwd);
  const show = pathShownFrom(environment.cwd);
  const chosen = chosenRecords(records, options, now);
  const rows = chosen.map((one) => (one.wellBuilt ? recordRow : unbuiltRow)(one.record, show(one.path), one.problems[0]?.message ?? 'whole'));
  environment.out(renderRecords(rows, options.format));
  const unreadable = records.filter((one) => one.record === undefined);
  for (const one of unreadable) environment.error(`${harmlessLine(show(one.path))}: ${harmlessLine(one.problems[0]?.message ?? '')}\n`);
  return chosen.some((one) => one.problems.length > 0) || unreadable.length > 0 ? 1 : 0;
}

export interface SummaryOptions extends Omit<ListOptions, 'olderThan' | 'format'> {
  readonly by?: SummaryPart;
  readonly format: TableFormat;
}

/** `records summary`: what was found, over all of them. Altered records are counted, those that cannot be read are not; it says how many they are. */
export async function summariseAll(paths: readonly string[], options: SummaryOptions, environment: CommandEnvironment, now: Date): Promise<number> {
  const { by, format } = options;
  if (format === 'csv' && by === undefined) throw new CannotRun(`CSV holds one table. Say which: --by ${SUMMARY_PARTS.join(', --by ')}`);
  const { records } = await recordsAt(paths, environment.cwd);
  const chosen = chosenRecords(records, options, now);
  const summary = summariseRecords(chosen.filter((one) => one.wellBuilt).map(({ record }) => record));
  if (format === 'json') environment.out(summaryJson(summary, by));
  else if (format === 'csv') environment.out(summaryCsv(summary, by as SummaryPart));
  else environment.out(summaryText(summary, by));
  const wrong = records.filter((one) => one.record === undefined).length + chosen.filter((one) => one.problems.length > 0).length;
  if (wrong > 0) environment.error(`${wrong === 1 ? '1 record is' : `${wrong} records are`} not whole, or could not be read: faultwright records check\n`);
  return wrong > 0 ? 1 : 0;
}

type Readable = CheckedRecord & { readonly record: RunRecord };

/** Those that the options mean, the latest first. Throws CannotRun where a date or an age cannot be read. */
export function chosenRecords(records: readonly CheckedRecord[], options: Omit<ListOptions, 'format'>, now: Date): Readable[] {
  const from = dayOf(options.from, '--from');
  const to = dayOf(options.to, '--to');
  const before = options.olderThan === undefined ? undefined : ageStart(options.olderThan, now);
  return records.filter((one): one is Readable => one.record !== undefined).filter(({ record }) => {
    const day = String(record.endedAt).slice(0, 10);
    return (options.asset === undefined || record.asset === options.asset)
      && (options.procedure === undefined || record.procedure.name === options.procedure)
      && (from === undefined || day >= from) && (to === undefined || day <= to)
      && (before === undefined || Date.parse(record.endedAt) < before);
  }).sort((a, b) => Date.parse(b.record.endedAt) - Date.parse(a.record.endedAt) || a.path.localeCompare(b.path));
}

/** Milliseconds of the moment that lies so long back: '15 months', '400 days', '2 years'. Months and years as the calendar has them. */
export function ageStart(age: string, now: Date): number {
  const match = /^\s*(\d{1,4})\s*(day|week|month|year)s?\s*$/i.exec(age);
  if (match === null || Number(match[1]) === 0) throw new CannotRun(`'${harmlessLine(age)}' is no age. Write it as: 15 months, 400 days, 2 years.`);
  const count = Number(match[1]);
  const unit = (match[2] ?? '').toLowerCase();
  if (unit === 'day' || unit === 'week') return now.getTime() - count * (unit === 'week' ? 7 : 1) * 86_400_000;
  const months = count * (unit === 'year' ? 12 : 1);
  const start = new Date(now);
  const day = start.getUTCDate();
  start.setUTCDate(1);
  start.setUTCMonth(start.getUTCMonth() - months);
  const last = new Date(Date.UTC(start.getUTCFullYear(), start.getUTCMonth() + 1, 0)).getUTCDate();
  start.setUTCDate(Math.min(day, last));
  return start.getTime();
}

/** A path as a person is shown it. */
export function shownPath(path: string, cwd: string): string {
  const shown = forwardSlashes(relative(cwd, resolve(cwd, path)));
  return harmlessLine(shown === '' ? '.' : shown.startsWith('../') ? forwardSlashes(resolve(cwd, path)) : shown);
}

function dayOf(text: string | undefined, option: string): string | undefined {
  if (text === undefined) return undefined;
  const time = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
  if (Number.isNaN(time) || !new Date(time).toISOString().startsWith(text)) throw new CannotRun(`${option} wants a day, as 2026-11-25; found ${harmlessLine(text)}.`);
  return text;
}

/** One run is one record: two files of one run are a copy, or two that contradict each other. */
function runsThereTwice(records: readonly CheckedRecord[]): Map<string, RecordProblem[]> {
  const first = new Map<string, CheckedRecord>();
  const found = new Map<string, RecordProblem[]>();
  for (const one of records) {
    if (one.record === undefined) continue;
    const before = first.get(one.record.run);
    if (before === undefined) {
      first.set(one.record.run, one);
      continue;
    }
    const same = before.record?.digest === one.record.digest;
    found.set(one.path, [{ kind: 'repeated', message: `The run ${one.record.run} is there twice: ${same ? 'a copy of' : 'and differs from'} ${before.path}.` }]);
  }
  return found;
}

function problemOfJournal(path: string): { path: string; problems: RecordProblem[] }[] {
  try {
    readJournal(path);
    return [];
  } catch (error) {
    if (!(error instanceof JournalError)) throw error;
    return [{ path, problems: [{ kind: 'altered', message: error.message }] }];
  }
}
