/** What changes a records folder: records taken in from tablets, names taken out, records removed once they need not be kept. */
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { sync as writeFileAtomicSync } from 'write-file-atomic';
import { harmlessLine } from '../render/harmless-text.ts';
import { readRecordScan } from '../render/record-scan.ts';
import { replayRun } from '../run/engine.ts';
import { buildRecord, checkRecord, type RunRecord } from '../run/record.ts';
import { pseudonymise } from '../run/pseudonymise.ts';
import { CannotRun, type CommandEnvironment } from './command-environment.ts';
import { pathShownFrom } from './file-workspace.ts';
import { ownRecords } from './find-records.ts';
import { journalError, syncFolder } from './journal.ts';
import { recordPath, safeName, writeRecord } from './record-files.ts';
import { servedLibrary } from './served-library.ts';
import { schemaProblems } from './record-schema.ts';
import { chosenRecords, recordsAt, shownPath, type CheckedRecord, type ListOptions } from './records-command.ts';

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
    for (const { record, problem } of await recordsIn(resolve(cwd, file), cwd)) {
      if (record === undefined) {
        refuse(problem ?? 'It is no record.');
        continue;
      }
      const wrong = [...checkRecord(record).map((one) => one.message), ...schemaProblems(record, 1).map((one) => `Not as the schema has it: ${one}.`)];
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
      there.set(record.run, { path, record, problems: [] });
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
  environment.out('Copies elsewhere, earlier versions in git, and the folder of discarded runs still hold the names.\n');
  return refused > 0 ? 1 : 0;
}

export interface RemoveOptions extends Omit<ListOptions, 'format'> {
  readonly olderThan: string;
  readonly because: string;
  readonly by?: string;
}

/** `records remove`: removes records of a certain age and leaves a note of each, with the reason, in `removed/`. */
export async function removeRecords(paths: readonly string[], options: RemoveOptions, environment: CommandEnvironment, now: Date): Promise<number> {
  if (options.because.trim() === '') throw new CannotRun('Say why the records are removed: --because "kept for 15 months, as the rule asks"');
  const { records } = await recordsAt(paths, environment.cwd);
  const show = pathShownFrom(environment.cwd);
  const chosen = chosenRecords(records, options, now);
  for (const { path, record } of chosen) {
    // From records/2026/FILE to records/removed/FILE: one note a run, so that two people's notes merge without conflict.
    const note = join(dirname(dirname(path)), 'removed', `${safeName(record.run)}.json`);
    writeText(note, `${JSON.stringify({
      removed: 1, run: record.run, procedure: record.procedure.name, asset: record.asset, startedAt: record.startedAt, endedAt: record.endedAt,
      digest: record.digest, removedAt: now.toISOString(), because: options.because, ...(options.by === undefined ? {} : { by: options.by }),
    }, null, 2)}\n`);
    rmSync(path);
    environment.out(`Removed: ${harmlessLine(show(path))}\n`);
  }
  environment.out(chosen.length === 0 ? 'There is no record of that age.\n' : `${chosen.length === 1 ? '1 record' : `${chosen.length} records`} removed; a note of each is in removed/.\n`);
  return 0;
}

/** The records in a file: one, a list of them, or the text of a code that was scanned from a page. */
async function recordsIn(path: string, cwd: string): Promise<{ record?: RunRecord; problem?: string }[]> {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    return [{ problem: `refused. ${(error as { code?: string }).code === 'ENOENT' ? 'There is no such file.' : 'It could not be read.'}` }];
  }
  if (text.trimStart().startsWith('FAULTWRIGHT RECORD')) return [await scannedRecord(text, cwd)];
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return [{ problem: 'refused. It is no JSON text.' }];
  }
  const items = Array.isArray(value) ? value : [value];
  return items.map((item) => (isReadable(item) ? { record: item } : { problem: `refused. ${checkRecord(item)[0]?.message ?? 'It is no record.'}` }));
}

/** A scanned code holds the events alone: the record is made again by the checklist that they were taken by, and must have the same digest. */
async function scannedRecord(text: string, cwd: string): Promise<{ record?: RunRecord; problem?: string }> {
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
    const record = buildRecord(run, scanned.run);
    if (record.digest === scanned.digest) return { record };
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
  const pseudonym = `Person ${table.people.length + 1}`;
  table.people.push({ person, pseudonym });
  return pseudonym;
}

function readTable(path: string, cwd: string): NameTable {
  if (!existsSync(path)) return { format: 1, people: [], runs: [] };
  try {
    const value = JSON.parse(readFileSync(path, 'utf8')) as NameTable;
    if (value.format === 1 && Array.isArray(value.people) && Array.isArray(value.runs)) return value;
  } catch {
    // Said below.
  }
  throw new CannotRun(`${shownPath(path, cwd)} is no file of names. Name another, or one that this command wrote.`);
}

function writeText(path: string, text: string): void {
  try {
    mkdirSync(dirname(path), { recursive: true });
    writeFileAtomicSync(path, text);
    syncFolder(dirname(path));
  } catch (error) {
    throw new CannotRun(journalError(path, error).message);
  }
}
