/**
 * The records folder beside a shop's `shop.yaml`:
 *
 *     records/2026/2026-11-25T0930_tail_lift_no_raise_TL-07_k3f9x2ab.json    one file a run, never changed
 *     records/unfinished/RUN.jsonl                                           journals of runs under way
 *     records/discarded/RUN.jsonl                                            journals that someone gave up without a record
 *
 * No name that comes from a procedure, an asset or a caller reaches a path unless it has been made safe here.
 */
import { randomBytes } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { sync as writeFileAtomicSync } from 'write-file-atomic';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { carryOver } from '../run/carry-over.ts';
import { replayRun } from '../run/engine.ts';
import type { RunEvent } from '../run/events.ts';
import { buildRecord, checkRecord, type RecordProblem, type RunRecord } from '../run/record.ts';
import {
  carriedOverJournal, createJournal, JournalError, journalError, openJournal, readJournal, type Journal, type JournalContent,
} from './journal.ts';
import { makeFolder, syncFolder } from './synced-files.ts';

/** A run whose journal this process holds. */
export interface OpenRun {
  /** The records folder. */
  readonly records: string;
  readonly runId: string;
  readonly document: ChecklistDocument;
  readonly journal: Journal;
  /** What was on the disk when it was opened. */
  readonly events: readonly RunEvent[];
  /** What was put right on opening, in words. */
  readonly remarks: readonly string[];
}

export interface UnfinishedRunFile {
  readonly runId: string;
  readonly path: string;
  readonly procedure: string;
  readonly title: string;
  readonly contentHash: string;
  readonly asset?: string;
  readonly person?: string;
  readonly revision?: string;
  /** ISO 8601: of its first and last event. */
  readonly startedAt?: string;
  readonly lastAt?: string;
  readonly events: number;
  readonly paused: boolean;
}

/** More bytes than any record has with all its pictures. */
export const LARGEST_RECORD_FILE = 256 * 1024 * 1024;

export interface RecordFile {
  readonly path: string;
  readonly record: RunRecord;
}

export interface RecordsRead {
  readonly records: readonly RecordFile[];
  readonly problems: readonly { readonly path: string; readonly problems: readonly RecordProblem[] }[];
}

/** The records folder of a shop's folder, or of a procedure's own where no shop file is above it. */
export function recordsFolder(shopFolder: string): string {
  return join(shopFolder, 'records');
}

/** An id for a new run: the time to the minute and eight random letters and digits. Safe as a file name. */
export function newRunId(now: Date): string {
  const letters = 'abcdefghjkmnpqrstuvwxyz23456789';
  const random = [...randomBytes(8)].map((byte) => letters[byte % letters.length]).join('');
  return `${now.toISOString().slice(0, 16).replace(/[-:]/g, '')}Z-${random}`;
}

/** Begins a run: its journal is on the disk when this returns. Throws JournalError. */
export function beginRun(records: string, document: ChecklistDocument, runId: string): OpenRun {
  const journal = createJournal(journalPath(records, runId), runId, document);
  return { records, runId, document, journal, events: [], remarks: [] };
}

/** Goes on with a run. Throws JournalError. */
export function resumeRun(records: string, runId: string): OpenRun {
  const { journal, content } = openJournal(journalPath(records, runId));
  return { records, runId, document: content.document, journal, events: content.events, remarks: content.remarks };
}

/**
 * Goes on with a run by another text of its procedure, where the rule allows it (run/carry-over.ts); the journal is exchanged whole or
 * not at all. Throws JournalError; where the rule does not allow it, a `problem` in words.
 */
export function carryOverRun(
  records: string, runId: string, document: ChecklistDocument, stamp: { readonly at: string; readonly person?: string },
): OpenRun | { readonly problem: string } {
  const { journal, content } = openJournal(journalPath(records, runId));
  try {
    const carried = carryOver(content.document, document, content.events, stamp);
    if ('problem' in carried) return carried;
    writeFileAtomicSync(journal.path, carriedOverJournal(content, document, carried.event));
    syncFolder(dirname(journal.path));
  } catch (error) {
    throw journalError(journal.path, error);
  } finally {
    journal.close();
  }
  return resumeRun(records, runId);
}

/**
 * Writes the record of a run that has ended and puts its journal away. Done twice, as after a power cut between the two, it
 * leaves one record. Throws JournalError; the journal then stays.
 */
export function finishRun(open: OpenRun): { readonly path: string; readonly record: RunRecord } {
  open.journal.putBackWhereGone();
  const content = readJournal(open.journal.path);
  const { run, refused } = replayRun(content.document, content.events);
  const first = refused[0];
  if (first !== undefined) {
    throw new JournalError('damaged', `The journal ${open.journal.path} holds an event that the run could not have taken (event ${first.index + 1}: ${first.problem}). It is kept as it is.`);
  }
  if (run.walk.stage !== 'finished' && run.walk.stage !== 'stopped') {
    throw new JournalError('failed', 'The run has not come to an end, so it has no record yet. Finish it, or stop it with a reason.');
  }
  const made = buildRecord(run, open.runId);
  const there = recordInPlace(recordPath(open.records, made), content);
  const path = there === undefined ? writeRecord(open.records, made) : recordPath(open.records, made);
  open.journal.close();
  try {
    rmSync(open.journal.path, { force: true });
  } catch {
    // The record is written. A journal that cannot be removed is offered again, and comes to this record again.
  }
  return { path, record: there ?? made };
}

/**
 * The record that was written of this run before, as when the machine stopped before its journal was put away: it stays as it is, since
 * names may have been taken out of it. Throws JournalError where another run's record has the name.
 */
function recordInPlace(path: string, { run, links }: JournalContent): RunRecord | undefined {
  if (!existsSync(path)) return undefined;
  const { record, problems } = checkRecordFile(path);
  if (record !== undefined && record.run !== run) {
    throw new JournalError('not_allowed', `The record ${path} is of another run and has the name that this one would get. Move it away. Nothing is lost: this run is kept in its journal.`);
  }
  const same = record !== undefined && problems.length === 0 && record.events.length === links.length && record.events.at(-1)?.digest === links.at(-1)?.digest;
  return same ? record : undefined;
}

/** Gives up a run that holds no event, as when its first one could not be written: nothing was acknowledged in it. */
export function giveUpEmpty(open: OpenRun): void {
  if (open.journal.count() > 0) return;
  open.journal.close();
  try {
    rmSync(open.journal.path, { force: true });
  } catch {
    // An empty journal is passed over.
  }
}

/** Gives up a run without a record. Its journal is kept, out of the way. Throws JournalError where another process has it open. */
export function discardRun(records: string, runId: string): string {
  const path = journalPath(records, runId);
  const away = join(records, 'discarded', `${safeRunId(runId)}.jsonl`);
  try {
    const { journal } = openJournal(path);
    journal.close();
  } catch (error) {
    // A damaged journal can be put away too.
    if (!(error instanceof JournalError) || error.problem !== 'damaged') throw error;
  }
  try {
    makeFolder(dirname(away));
    renameSync(path, away);
    syncFolder(dirname(away));
    return away;
  } catch (error) {
    throw journalError(path, error);
  }
}

/** Runs under way, the latest first, and what is wrong with journals that cannot be read, in words. */
export function unfinishedRuns(records: string): { readonly runs: readonly UnfinishedRunFile[]; readonly problems: readonly string[] } {
  const runs: UnfinishedRunFile[] = [];
  const problems: string[] = [];
  const folder = join(records, 'unfinished');
  for (const name of namesIn(folder)) {
    if (!name.endsWith('.jsonl')) continue;
    const path = join(folder, name);
    try {
      const content = readJournal(path);
      if (`${content.run}.jsonl` !== name) {
        problems.push(`${path} holds the run ${content.run}: the file has been renamed. It is left alone.`);
        continue;
      }
      const started = content.events.find((event) => event.kind === 'started');
      const last = content.events[content.events.length - 1];
      const { run } = replayRun(content.document, content.events);
      runs.push({
        runId: content.run, path, procedure: content.document.procedure.name, title: content.document.procedure.title,
        contentHash: content.document.contentHash, events: content.events.length, paused: run.walk.paused,
        ...(started?.kind === 'started' && started.asset !== undefined ? { asset: started.asset } : {}),
        ...(run.walk.person === undefined ? {} : { person: run.walk.person }),
        ...(content.document.procedure.revision === undefined ? {} : { revision: content.document.procedure.revision }),
        ...(started === undefined ? {} : { startedAt: started.at }), ...(last === undefined ? {} : { lastAt: last.at }),
      });
    } catch (error) {
      problems.push(journalError(path, error).message);
    }
  }
  runs.sort((a, b) => timeOf(b.lastAt) - timeOf(a.lastAt));
  return { runs, problems };
}

/** Writes a record whole or not at all, and returns its path. Throws JournalError. */
export function writeRecord(records: string, record: RunRecord): string {
  const path = recordPath(records, record);
  try {
    makeFolder(dirname(path));
    writeFileAtomicSync(path, `${JSON.stringify(record, null, 2)}\n`);
    syncFolder(dirname(path));
    removeHalfWritten(path);
    return path;
  } catch (error) {
    const { problem } = journalError(path, error);
    const why = problem === 'full' ? 'the disk is full' : problem === 'not_allowed' ? 'the folder is read-only, or something of that name is in the way' : String(error instanceof Error ? error.message : error);
    throw new JournalError(problem, `The record ${path} could not be written: ${why}. Nothing is lost: the run is kept in its journal, and the record is written when the run is opened again.`);
  }
}

/** What writing the same record left beside it when it was cut short: files of its name with a number behind. */
function removeHalfWritten(path: string): void {
  try {
    const begins = `${basename(path)}.`;
    for (const name of readdirSync(dirname(path))) {
      if (name.startsWith(begins) && /^\d+$/.test(name.slice(begins.length))) rmSync(join(dirname(path), name));
    }
  } catch {
    // They are no records, and nothing reads them.
  }
}

/** Every record of a folder, the latest first; files that are none, or were altered, are named with what is wrong. */
export function readRecords(records: string): RecordsRead {
  const found: RecordFile[] = [];
  const problems: { path: string; problems: readonly RecordProblem[] }[] = [];
  for (const year of namesIn(records)) {
    if (!/^\d{4}$/.test(year)) continue;
    for (const name of namesIn(join(records, year))) {
      if (!name.endsWith('.json')) continue;
      const path = join(records, year, name);
      const wrong = checkRecordFile(path);
      if (wrong.record !== undefined) found.push({ path, record: wrong.record });
      if (wrong.problems.length > 0) problems.push({ path, problems: wrong.problems });
    }
  }
  found.sort((a, b) => timeOf(b.record.endedAt) - timeOf(a.record.endedAt));
  return { records: found, problems };
}

/** Reads one record and looks for signs that it was altered. */
export function checkRecordFile(path: string): { readonly record: RunRecord | undefined; readonly problems: readonly RecordProblem[] } {
  let text: string;
  try {
    const found = statSync(path);
    // A link may lead to a device, which never comes to an end.
    if (!found.isFile()) return { record: undefined, problems: [{ kind: 'not_a_record', message: 'It is no file.' }] };
    if (found.size > LARGEST_RECORD_FILE) {
      return { record: undefined, problems: [{ kind: 'not_a_record', message: `It is larger than ${LARGEST_RECORD_FILE / 1024 / 1024} MB, and no record is.` }] };
    }
    text = readFileSync(path, 'utf8');
  } catch (error) {
    const why = (error as { code?: string }).code === 'ENOENT' ? 'There is no such file.' : `It could not be read: ${error instanceof Error ? error.message : String(error)}.`;
    return { record: undefined, problems: [{ kind: 'not_a_record', message: why }] };
  }
  return checkRecordText(text);
}

/** The record in a text, with the signs that it was altered. */
export function checkRecordText(text: string): { readonly record: RunRecord | undefined; readonly problems: readonly RecordProblem[] } {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return { record: undefined, problems: [{ kind: 'not_a_record', message: 'The file could not be read: it is no JSON text.' }] };
  }
  const problems = checkRecord(value);
  if (problems.some((problem) => problem.kind === 'not_a_record')) return { record: undefined, problems };
  const twice: RecordProblem[] = namesTwice(text, value) ? [{ kind: 'altered', message: 'A field stands in it twice: one program reads the one, another the other.' }] : [];
  return { record: value as RunRecord, problems: [...problems, ...twice] };
}

/** Whether an object of a JSON text has a key twice, of which a reader sees one. `value`: what was read. */
function namesTwice(text: string, value: unknown): boolean {
  let read = 0;
  const open: unknown[] = [value];
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    if (typeof next !== 'object' || next === null) continue;
    const parts: unknown[] = Object.values(next);
    if (!Array.isArray(next)) read += parts.length;
    // `undefined` does not come out of JSON.
    open.push(...parts.filter((part) => typeof part === 'object'));
  }
  return keysIn(text) !== read;
}

/** How many keys a JSON text has: a string with a colon behind it is one, and nothing else is. */
function keysIn(text: string): number {
  let count = 0;
  for (let begin = text.indexOf('"'); begin >= 0; ) {
    let end = text.indexOf('"', begin + 1);
    while (end >= 0 && isEscaped(text, end)) end = text.indexOf('"', end + 1);
    if (end < 0) return count;
    let next = end + 1;
    while (' \t\r\n'.includes(text.charAt(next)) && next < text.length) next++;
    if (text.charAt(next) === ':') count++;
    begin = text.indexOf('"', end + 1);
  }
  return count;
}

/** An odd number of backslashes stands before it. */
function isEscaped(text: string, at: number): boolean {
  let slashes = 0;
  while (text.charAt(at - 1 - slashes) === '\\') slashes++;
  return slashes % 2 === 1;
}

/** Where the journal of a run lies. Throws JournalError for an id that is none. */
export function journalPath(records: string, runId: string): string {
  return join(records, 'unfinished', `${safeRunId(runId)}.jsonl`);
}

/** Where a record lies in its folder. */
export function recordPath(records: string, record: RunRecord): string {
  return join(records, yearOf(record), recordName(record));
}

/** The file name of a record: when, what, which asset, and the end of the run's id. */
export function recordName(record: RunRecord): string {
  const when = record.startedAt.slice(0, 16).replace(/:/g, '');
  const parts = [/^[0-9T-]{10,15}$/.test(when) ? when : 'undated', safeName(record.procedure.name), safeName(record.asset ?? 'no-asset'), safeName(record.run.slice(-8))];
  return `${parts.join('_')}.json`;
}

/** A name that may stand in a path anywhere: letters, digits, `-` and `_`, at most 40, nothing that leads elsewhere. */
export function safeName(name: string): string {
  const plain = name.normalize('NFKD').replace(/\p{Mark}/gu, '').replace(/[^A-Za-z0-9_-]+/g, '-').replace(/^[-_]+|[-_]+$/g, '').slice(0, 40);
  if (plain === '') return 'unnamed';
  // Names that Windows keeps for devices, whatever ending stands behind them.
  return /^(?:con|prn|aux|nul|com\d|lpt\d)$/i.test(plain) ? `${plain}-name` : plain;
}

/** Times bear the offset of their place: as texts they do not stand in order. */
function timeOf(at: string | undefined): number {
  return Date.parse(at ?? '') || 0;
}

function yearOf(record: RunRecord): string {
  const year = record.startedAt.slice(0, 4);
  return /^\d{4}$/.test(year) ? year : '0000';
}

/** Throws JournalError where it is the id of no run, and could lead elsewhere in a path. */
export function safeRunId(runId: string): string {
  if (typeof runId === 'string' && /^[A-Za-z0-9][A-Za-z0-9-]{3,63}$/.test(runId)) return runId;
  throw new JournalError('missing', 'That is not the id of a run.');
}

function namesIn(folder: string): string[] {
  try {
    return existsSync(folder) && statSync(folder).isDirectory() ? readdirSync(folder).sort() : [];
  } catch (error) {
    throw journalError(folder, error);
  }
}
