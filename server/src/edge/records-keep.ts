/** What changes a records folder: records taken in from tablets, names taken out, records removed once they need not be kept. */
import { existsSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { sync as writeFileAtomicSync } from 'write-file-atomic';
import { harmlessLine } from '../render/harmless-text.ts';
import { readRecordScan } from '../render/record-scan.ts';
import { replayRun } from '../run/engine.ts';
import { buildRecord, checkRecord, type RecordProblem, type RunRecord } from '../run/record.ts';
import { pseudonymise } from '../run/pseudonymise.ts';
import { isPseudonym } from '../run/seal-people.ts';
import { CannotRun, type CommandEnvironment } from './command-environment.ts';
import { pathShownFrom } from './file-workspace.ts';
import { ownRecords } from './find-records.ts';
import { journalError, readJournal } from './journal.ts';
import { checkRecordText, LARGEST_RECORD_FILE, recordPath, safeName, writeRecord } from './record-files.ts';
import { folderOfRecord, removePictures } from './record-pictures.ts';
import { servedLibrary } from './served-library.ts';
import { schemaProblems } from './record-schema.ts';
import { makeFolder, syncFolder } from './synced-files.ts';
import { ageStart, chosenRecords, recordsAt, shownPath, type CheckedRecord, type ListOptions } from './records-command.ts';

export interface ImportOptions {
  /** The records folder to take them into; else that of the shop here. */
  readonly into?: string;
  /** Take those too that are not whole. They stay as they are, and every check goes on naming them. */
  readonly altered?: boolean;
}

/** `records import`. Takes whole records in, each once; never overwrites. */
export async function importRecords(files: readonly string[], options: ImportOptions, environment: CommandEnvironment): Promise<number> {
  const { cwd } = environment;
  const into = options.into === undefined ? ownRecords(cwd) : resolve(cwd, options.into);
  const there = new Map<string, CheckedRecord>();
  if (existsSync(into)) for (const one of (await recordsAt([into], cwd)).records) if (one.record !== undefined) there.set(one.record.run, one);
  let refused = 0;
  for (const file of files) {
    const name = shownPath(file, cwd);
    const say = (words: string): void => environment.out(`${name}: ${harmlessLine(words)}\n`);
    const refuse = (words: string): void => {
      refused++;
      say(words);
    };
    for (const { record, problems = [], problem } of await recordsIn(resolve(cwd, file), cwd)) {
      if (record === undefined) {
        refuse(problem ?? 'It is no record.');
        continue;
      }
      const wrong = [...problems.map((one) => one.message), ...schemaProblems(record, 1).map((one) => `Not as the schema has it: ${one}.`)];
      if (wrong[0] !== undefined && (options.altered !== true || !isReadable(record))) {
        refuse(`refused. ${wrong[0]}${isReadable(record) ? ' To take it in all the same: --altered' : ''}`);
        continue;
      }
      const own = there.get(record.run);
      if (own?.record !== undefined) {
        if (sameRecord(own.record, record)) say(`is there already, as ${shownPath(own.path, cwd)}.`);
        else refuse(`refused. Another record of this run is there, ${shownPath(own.path, cwd)}, and differs. Neither was changed.`);
        continue;
      }
      if (existsSync(recordPath(into, record))) {
        refuse(`refused. A file of the name that it would get is there: ${shownPath(recordPath(into, record), cwd)}.`);
        continue;
      }
      const path = writeRecord(into, record);
      there.set(record.run, { path, record, wellBuilt: true, problems: [] });
      say(`taken in as ${shownPath(path, cwd)}.${wrong[0] === undefined ? '' : ` It is not whole: ${wrong[0]}`}`);
    }
  }
  return refused > 0 ? 1 : 0;
}

export interface NamesOptions extends Omit<ListOptions, 'format'> {
  /** A file that keeps whose pseudonym is whose; apart from the records. */
  readonly names?: string;
}

interface NameTable {
  readonly format: 1;
  readonly people: { readonly person: string; readonly pseudonym: string }[];
  readonly runs: { readonly run: string; readonly salt: string }[];
}

/**
 * `records pseudonymise`: replaces the names of people by pseudonyms. Without a names file nobody can tell afterwards who it was, and
 * each record has pseudonyms of its own; with one, a person has the same pseudonym in every record.
 */
export async function pseudonymiseRecords(paths: readonly string[], options: NamesOptions, environment: CommandEnvironment, now: Date): Promise<number> {
  const { records, journals } = await recordsAt(paths, environment.cwd);
  const names = options.names === undefined ? undefined : resolve(environment.cwd, options.names);
  const table = names === undefined ? undefined : readTable(names, environment.cwd);
  const show = pathShownFrom(environment.cwd);
  let done = 0;
  let already = 0;
  let refused = 0;
  for (const one of chosenRecords(records, options, now)) {
    const own = new Map<string, string>();
    if (!one.wellBuilt) {
      refused++;
      environment.out(`${harmlessLine(show(one.path))}: It is not built as records are, and stays as it is.\n`);
      continue;
    }
    const made = pseudonymise(one.record, (person) => (table === undefined ? ownPseudonym(own, person) : tablePseudonym(table, person)));
    const name = harmlessLine(show(one.path));
    if ('problem' in made) {
      refused++;
      environment.out(`${name}: ${harmlessLine(made.problem)}\n`);
      continue;
    }
    if ('already' in made) {
      already++;
      continue;
    }
    // The names are on the disk before they are out of the record.
    if (table !== undefined && names !== undefined) {
      table.runs.push({ run: made.removed.run, salt: made.removed.salt });
      writeText(names, `${JSON.stringify(table, null, 2)}\n`);
    }
    writeText(one.path, `${JSON.stringify(made.record, null, 2)}\n`);
    done++;
    if (made.stillNamed.length > 0) environment.out(`${name}: a name still stands in free words, which are left as they were written: ${made.stillNamed.join(', ')}.\n`);
  }
  environment.out(`Names taken out of ${done === 1 ? '1 record' : `${done} records`}${already > 0 ? `; ${already} had none` : ''}${refused > 0 ? `; ${refused} left as they are` : ''}.\n`);
  if (names !== undefined && done > 0) environment.out(`Whose pseudonym is whose is kept in ${shownPath(names, environment.cwd)}: keep it apart from the records, and delete it when it may no longer be known.\n`);
  if (journals.length > 0) environment.out(`${journals.length === 1 ? '1 run is' : `${journals.length} runs are`} under way: names in them stay until their record is written.\n`);
  environment.out('Pictures, copies elsewhere, earlier versions in git, and the folder of discarded runs still show or hold what they did.\n');
  return refused > 0 ? 1 : 0;
}

export interface RemoveOptions extends Omit<ListOptions, 'format'> {
  readonly olderThan: string;
  readonly because: string;
  readonly by?: string;
}

/**
 * `records remove`: removes records of a certain age with their pictures, and journals of runs that were given up as long ago. A note of each, with
 * the reason, stays in `removed/`: one file a run, so that two people's notes merge without conflict.
 */
export async function removeRecords(paths: readonly string[], options: RemoveOptions, environment: CommandEnvironment, now: Date): Promise<number> {
  if (options.because.trim() === '') throw new CannotRun('Say why the records are removed: --because "kept for 15 months, as the rule asks"');
  const { records } = await recordsAt(paths, environment.cwd);
  const show = pathShownFrom(environment.cwd);
  const chosen = chosenRecords(records, options, now);
  const noted = (folder: string, run: string, facts: object): void => writeText(join(folder, 'removed', `${safeName(run)}.json`), `${JSON.stringify({
    removed: 1, run, ...facts, removedAt: now.toISOString(), because: options.because, ...(options.by === undefined ? {} : { by: options.by }),
  }, null, 2)}\n`);
  for (const { path, record } of chosen) {
    const folder = folderOfRecord(path);
    noted(folder ?? dirname(path), record.run, {
      procedure: record.procedure.name, asset: record.asset, startedAt: record.startedAt, endedAt: record.endedAt, digest: record.digest,
    });
    gone(path, () => {
      if (folder !== undefined) removePictures(folder, record.run);
      rmSync(path);
    });
    environment.out(`Removed: ${harmlessLine(show(path))}\n`);
  }
  const named = paths.length > 0 ? paths.map((path) => resolve(environment.cwd, path)) : [ownRecords(environment.cwd)];
  const folders = new Set([...named, ...records.flatMap((one) => folderOfRecord(one.path) ?? [])]);
  const given = [...folders].flatMap((folder) => discardedBefore(folder, ageStart(options.olderThan, now))).filter((one) => matches(one, options));
  for (const one of given) {
    noted(dirname(dirname(one.path)), one.run, { discarded: true, procedure: one.procedure, asset: one.asset, startedAt: one.startedAt, endedAt: one.lastAt });
    gone(one.path, () => {
      removePictures(dirname(dirname(one.path)), one.run);
      rmSync(one.path);
    });
    environment.out(`Removed: ${harmlessLine(show(one.path))}\n`);
  }
  const count = chosen.length + given.length;
  environment.out(count === 0 ? 'There is no record of that age.\n' : `${count === 1 ? '1 record' : `${count} records`} removed; a note of each is in removed/.\n`);
  return 0;
}

interface DiscardedRun {
  readonly path: string;
  readonly run: string;
  readonly procedure: string;
  readonly asset: string | undefined;
  readonly startedAt: string | undefined;
  readonly lastAt: string;
}

/** Journals of runs that were given up, whose last event is older than `before`; those that cannot be read are left. */
function discardedBefore(records: string, before: number): DiscardedRun[] {
  const folder = join(records, 'discarded');
  if (!existsSync(folder)) return [];
  return readdirSync(folder).filter((name) => name.endsWith('.jsonl')).flatMap((name): DiscardedRun[] => {
    const path = join(folder, name);
    try {
      const { run, document, events } = readJournal(path);
      const [first, last] = [events[0], events[events.length - 1]];
      if (last === undefined || !(Date.parse(last.at) < before)) return [];
      return [{ path, run, procedure: document.procedure.name, asset: first?.kind === 'started' ? first.asset : undefined, startedAt: first?.at, lastAt: last.at }];
    } catch {
      return [];
    }
  });
}

function matches(one: DiscardedRun, options: RemoveOptions): boolean {
  return (options.asset === undefined || one.asset === options.asset) && (options.procedure === undefined || one.procedure === options.procedure)
    && (options.from === undefined || one.lastAt.slice(0, 10) >= options.from) && (options.to === undefined || one.lastAt.slice(0, 10) <= options.to);
}

/** Removes something, or says why it cannot be. */
function gone(path: string, work: () => void): void {
  try {
    work();
  } catch (error) {
    throw new CannotRun(journalError(path, error).message);
  }
}

/** More than any code that can be scanned. */
const LONGEST_SCAN = 20_000;

interface TakenIn {
  readonly record?: RunRecord;
  /** Signs that it was altered. */
  readonly problems?: readonly RecordProblem[];
  /** Why it cannot be taken in. */
  readonly problem?: string;
}

/** The records in a file: one, a list of them, or the text of a code that was scanned from a page. */
async function recordsIn(path: string, cwd: string): Promise<TakenIn[]> {
  let text: string;
  try {
    const found = statSync(path);
    if (!found.isFile()) return [{ problem: 'refused. It is no file.' }];
    if (found.size > LARGEST_RECORD_FILE) return [{ problem: `refused. The file is larger than ${LARGEST_RECORD_FILE / 1024 / 1024} MB, and no record is.` }];
    text = readFileSync(path, 'utf8');
  } catch (error) {
    return [{ problem: `refused. ${(error as { code?: string }).code === 'ENOENT' ? 'There is no such file.' : 'It could not be read.'}` }];
  }
  if (text.trimStart().startsWith('FAULTWRIGHT RECORD')) {
    return [text.length > LONGEST_SCAN ? { problem: 'refused. It is longer than any code: scan it again.' } : await scannedRecord(text, cwd)];
  }
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return [{ problem: 'refused. It is no JSON text.' }];
  }
  const items: unknown[] = Array.isArray(value) ? value : [value];
  return items.map((item) => {
    // One record alone is held against its own text; of several, each against what was read of it.
    const { record, problems } = checkRecordText(items.length === 1 && !Array.isArray(value) ? text : JSON.stringify(item));
    return record === undefined || !isReadable(record) ? { problem: `refused. ${problems[0]?.message ?? 'It is no record.'}` } : { record, problems };
  });
}

/** A scanned code holds the events alone: the record is made again by the checklist that they were taken by, and must have the same digest. */
async function scannedRecord(text: string, cwd: string): Promise<TakenIn> {
  try {
    const scanned = await readRecordScan(text);
    const started = scanned.events[0];
    const asset = started?.kind === 'started' ? started.asset : undefined;
    const named = (await servedLibrary(cwd, undefined).procedures()).filter((one) => one.name === scanned.procedure);
    const document = named.map((one) => one.document(asset)).find((one) => one.contentHash === scanned.contentHash);
    if (document === undefined) {
      return { problem: `refused. The procedure ${scanned.procedure} is not under this folder in the text that the run was made by. Save the record as a file on the tablet, or go to the folder that has that text.` };
    }
    const { run, refused } = replayRun(document, scanned.events);
    if (refused[0] !== undefined) return { problem: `refused. Event ${refused[0].index + 1} cannot have been taken: ${refused[0].problem}` };
    for (const quantities of [true, false]) {
      const record = buildRecord(run, scanned.run, [], { quantities });
      if (record.digest === scanned.digest) return { record };
    }
    return { problem: 'refused. The record made of it has another digest than the tablet\'s: it holds pictures, or the findings on the procedure differ. Save the record as a file on the tablet.' };
  } catch (error) {
    return { problem: `refused. ${error instanceof Error ? error.message : String(error)}` };
  }
}

function isReadable(value: unknown): value is RunRecord {
  if (checkRecord(value).some((problem) => problem.kind === 'not_a_record')) return false;
  const record = value as RunRecord;
  return typeof record.startedAt === 'string' && (record.asset === undefined || typeof record.asset === 'string');
}

/** The same run with the same digest: as it was written, or with names taken out since. */
function sameRecord(one: RunRecord, other: RunRecord): boolean {
  return one.digest === other.digest;
}

function ownPseudonym(own: Map<string, string>, person: string): string {
  const before = own.get(person);
  if (before !== undefined) return before;
  const made = `Person ${own.size + 1}`;
  own.set(person, made);
  return made;
}

function tablePseudonym(table: NameTable, person: string): string {
  const before = table.people.find((one) => one.person === person);
  if (before !== undefined) return before.pseudonym;
  const last = Math.max(0, ...table.people.map((one) => Number(one.pseudonym.replace(/^Person /, ''))));
  const pseudonym = `Person ${last + 1}`;
  table.people.push({ person, pseudonym });
  return pseudonym;
}

function readTable(path: string, cwd: string): NameTable {
  if (!existsSync(path)) return { format: 1, people: [], runs: [] };
  try {
    const value = JSON.parse(readFileSync(path, 'utf8')) as NameTable | null;
    if (value?.format === 1 && Array.isArray(value.people) && Array.isArray(value.runs) && value.people.every(isNamed) && value.runs.every(isSalted)) return value;
  } catch {
    // Said below.
  }
  throw new CannotRun(`${shownPath(path, cwd)} is no file of names. Name another, or one that this command wrote.`);
}

function isNamed(one: Partial<NameTable['people'][number]> | null): boolean {
  return typeof one?.person === 'string' && typeof one.pseudonym === 'string' && isPseudonym(one.pseudonym);
}

function isSalted(one: Partial<NameTable['runs'][number]> | null): boolean {
  return typeof one?.run === 'string' && typeof one.salt === 'string';
}

function writeText(path: string, text: string): void {
  try {
    makeFolder(dirname(path));
    writeFileAtomicSync(path, text);
    syncFolder(dirname(path));
  } catch (error) {
    throw new CannotRun(journalError(path, error).message);
  }
}
