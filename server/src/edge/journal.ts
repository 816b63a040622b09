/**
 * The journal of a run that is under way: a file of JSON Lines, the opening first, then one line an event. An event counts only
 * once its line is on the disk (fsync). Half a line at the end, as a power cut leaves it, was never acknowledged and is cut off;
 * damage anywhere else is reported, never passed over. One process at a time writes a journal.
 */
import { existsSync, fstatSync, fsyncSync, ftruncateSync, openSync, readFileSync, rmSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { chainLink, digestOfLink, openingDigest, type ChainLink, type RunOpening } from '../run/chain.ts';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { valueDigest } from '../run/digest.ts';
import type { RunEvent } from '../run/events.ts';
import { sealFor, type Seal } from '../run/seal-people.ts';
import { JournalError, journalError } from './journal-error.ts';
import { JournalFile } from './journal-file.ts';
import { acquireLock, type Lock } from './journal-lock.ts';
import { closeQuietly, makeFolder, syncFolder } from './synced-files.ts';

export { JournalError, journalError } from './journal-error.ts';

/** The first line. */
interface JournalOpening extends RunOpening {
  readonly journal: 1;
  /** Digest of `document`. */
  readonly documentDigest: string;
  readonly document: ChecklistDocument;
}

export interface JournalContent {
  readonly run: string;
  /** By which the run goes on. */
  readonly document: ChecklistDocument;
  /** What its chain begins with: of the text it was begun with, where it was carried over since. */
  readonly opening: RunOpening;
  readonly links: readonly ChainLink[];
  readonly events: readonly RunEvent[];
  /** Bytes of the file that are whole. */
  readonly wholeBytes: number;
  /** What was found at its end, in words; empty where all is whole. */
  readonly remarks: readonly string[];
}

export interface Journal {
  readonly path: string;
  readonly run: string;
  /** How many events are on the disk. */
  count(): number;
  /** Returns once the event is on the disk. Throws JournalError, and then the event does not count. */
  append(event: RunEvent): number;
  /**
   * Puts the file back under its name, with everything acknowledged, where it was removed or moved while it was open; says so in a
   * sentence, and gives undefined where it was there. `append` does it too. Throws JournalError.
   */
  putBackWhereGone(): string | undefined;
  /** What was put right since this was last asked, in sentences. */
  takeRemarks(): readonly string[];
  close(): void;
}

/** Begins a journal. The folder is made where it is missing. Throws JournalError. */
export function createJournal(path: string, run: string, document: ChecklistDocument): Journal {
  const opening: JournalOpening = {
    journal: 1, run, procedure: document.procedure.name, contentHash: document.contentHash, documentDigest: valueDigest(document), document,
  };
  return guarded(path, () => {
    makeFolder(dirname(path));
    const lock = lockOf(path);
    try {
      const file = new JournalFile(path, openSync(path, 'ax+'), lock, 0, lockOf);
      const writer = new Writer(path, run, file, [], openingDigest(opening));
      try {
        writer.line(JSON.stringify(opening));
        syncFolder(dirname(path));
      } catch (error) {
        writer.close();
        rmSync(path, { force: true });
        throw error;
      }
      return writer;
    } catch (error) {
      lock.release();
      throw error;
    }
  });
}

/** Goes on with a journal. Throws JournalError: another process writes it, it is not there, or it is damaged. */
export function openJournal(path: string): { readonly journal: Journal; readonly content: JournalContent } {
  return guarded(path, () => {
    if (!existsSync(path)) throw new JournalError('missing', `There is no run under way in ${path}.`);
    const lock = lockOf(path);
    try {
      const content = readJournal(path);
      const handle = openSync(path, 'r+');
      try {
        if (fstatSync(handle).size !== content.wholeBytes) {
          ftruncateSync(handle, content.wholeBytes);
          fsyncSync(handle);
        }
        // A last line that is whole but for its line break counts; the break is put in its place.
        const bytes = readFileSync(path);
        const file = new JournalFile(path, openSync(path, 'a+'), lock, content.wholeBytes, lockOf);
        closeQuietly(handle);
        const last = content.links[content.links.length - 1];
        const writer = new Writer(path, content.run, file, content.links, last?.digest ?? openingDigest(content.opening));
        if (bytes[bytes.length - 1] !== 10) writer.raw('\n');
        return { journal: writer, content };
      } catch (error) {
        closeQuietly(handle);
        throw error;
      }
    } catch (error) {
      lock.release();
      throw error;
    }
  });
}

/** Reads a journal without writing to it. Throws JournalError where it is damaged before its end. */
export function readJournal(path: string): JournalContent {
  return guarded(path, () => {
    // A link may lead to a device, which never comes to an end.
    if (!statSync(path).isFile()) throw new JournalError('damaged', `${path} holds no run: it is no file. It is left alone.`);
    return contentOf(path, readFileSync(path));
  });
}

/** What the bytes of a journal hold. Throws JournalError where they are damaged before their end. */
export function contentOf(path: string, bytes: Uint8Array): JournalContent {
  const remarks: string[] = [];
  const lines = linesOf(bytes);
  const first = lines[0];
  const opening = first && parsedOpening(first.text);
  if (first === undefined || opening === undefined) {
    throw new JournalError('damaged', `${path} holds no run: its first line is not whole. No entry was acknowledged in it; it can be deleted.`);
  }
  if (opening.documentDigest !== valueDigest(opening.document)) {
    throw new JournalError('damaged', `${path} was altered: its checklist is not the one the run began with. Keep the file and begin a new run.`);
  }
  const links: ChainLink[] = [];
  let seal: Seal | undefined;
  let before = openingDigest(opening);
  let wholeBytes = first.end;
  for (let index = 1; index < lines.length; index++) {
    const line = lines[index] as Line;
    const link = parsedLink(line.text);
    if (link !== undefined) seal ??= sealFor([link.event]);
    const whole = link !== undefined && link.number === links.length + 1 && link.digest === digestOfLink(before, link.number, link.event, seal as Seal);
    if (whole) {
      links.push(link);
      before = link.digest;
      wholeBytes = line.end;
      continue;
    }
    const torn = index === lines.length - 1 && (!line.ended || line.text.includes('\u0000'));
    if (!torn) {
      throw new JournalError('damaged', `${path} was altered or damaged at line ${index + 1}: event ${links.length + 1} is not as it was written. The ${links.length} events before it are whole. Keep the file and begin a new run.`);
    }
    remarks.push(`The last line was not whole: ${bytes.length - wholeBytes} bytes, as a sudden stop leaves them, were cut off. Nothing acknowledged is lost.`);
  }
  const { run, procedure, contentHash } = opening;
  return { run, document: opening.document, opening: { run, procedure, contentHash }, links, events: links.map((link) => link.event), wholeBytes, remarks };
}

/**
 * The whole text of a journal whose run goes on by another document: the chain stays as it was, `event` is its next link. Nothing is
 * written here.
 */
export function carriedOverJournal(content: JournalContent, document: ChecklistDocument, event: RunEvent): string {
  const opening: JournalOpening = { journal: 1, ...content.opening, documentDigest: valueDigest(document), document };
  const before = content.links[content.links.length - 1]?.digest ?? openingDigest(content.opening);
  const link = chainLink(before, content.links.length + 1, event, sealFor(content.events.length > 0 ? content.events : [event]));
  return `${[opening, ...content.links, link].map((line) => JSON.stringify(line)).join('\n')}\n`;
}

class Writer implements Journal {
  readonly path: string;
  readonly run: string;
  readonly #file: JournalFile;
  #count: number;
  #digest: string;
  /** Of the first event: it says how names are sealed. */
  #seal: Seal | undefined;
  #remarks: string[] = [];

  constructor(path: string, run: string, file: JournalFile, links: readonly ChainLink[], digest: string) {
    this.path = path;
    this.run = run;
    this.#file = file;
    this.#count = links.length;
    this.#digest = digest;
    this.#seal = links[0] && sealFor([links[0].event]);
  }

  count(): number {
    return this.#count;
  }

  append(event: RunEvent): number {
    return guarded(this.path, () => {
      const seal = this.#seal ?? sealFor([event]);
      const link = chainLink(this.#digest, this.#count + 1, event, seal);
      this.line(JSON.stringify(link));
      this.#seal = seal;
      this.#count = link.number;
      this.#digest = link.digest;
      return this.#count;
    });
  }

  line(text: string): void {
    this.raw(`${text}\n`);
  }

  raw(text: string): void {
    this.putBackWhereGone();
    this.#file.write(text);
  }

  putBackWhereGone(): string | undefined {
    return guarded(this.path, () => {
      if (!this.#file.putBackWhereGone()) return undefined;
      const remark = `${this.path} had been removed or moved while the run was under way. It was put back with everything entered.`;
      this.#remarks.push(remark);
      return remark;
    });
  }

  takeRemarks(): readonly string[] {
    const remarks = this.#remarks;
    this.#remarks = [];
    return remarks;
  }

  close(): void {
    this.#file.close();
  }
}

interface Line {
  readonly text: string;
  /** Offset of the byte after it, its line break included. */
  readonly end: number;
  readonly ended: boolean;
}

function linesOf(bytes: Uint8Array): Line[] {
  const decoder = new TextDecoder('utf-8');
  const lines: Line[] = [];
  for (let start = 0; start < bytes.length; ) {
    const at = bytes.indexOf(10, start);
    const end = at < 0 ? bytes.length : at + 1;
    lines.push({ text: decoder.decode(bytes.subarray(start, at < 0 ? end : at)), end, ended: at >= 0 });
    start = end;
  }
  return lines;
}

function parsedOpening(text: string): JournalOpening | undefined {
  const value = parsedObject(text);
  if (value?.['journal'] !== 1 || typeof value['run'] !== 'string' || typeof value['procedure'] !== 'string') return undefined;
  if (typeof value['contentHash'] !== 'string' || typeof value['documentDigest'] !== 'string' || typeof value['document'] !== 'object') return undefined;
  return value as unknown as JournalOpening;
}

function parsedLink(text: string): ChainLink | undefined {
  const value = parsedObject(text);
  if (typeof value?.['number'] !== 'number' || typeof value['digest'] !== 'string') return undefined;
  if (typeof value['event'] !== 'object' || value['event'] === null) return undefined;
  return value as unknown as ChainLink;
}

function parsedObject(text: string): Record<string, unknown> | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : undefined;
  } catch {
    return undefined;
  }
}

function lockOf(path: string): Lock {
  const lock = acquireLock(`${path}.lock`);
  if (!('holder' in lock)) return lock;
  throw new JournalError('locked', `This run is open elsewhere (${lock.holder}). Close it there first. If nothing has it open, delete ${path}.lock.`);
}

function guarded<T>(path: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw journalError(path, error);
  }
}
