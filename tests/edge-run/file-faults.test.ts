/**
 * Every call to the file system that a run makes is made to fail, in every way that a disk can fail. Each time: what was acknowledged is
 * there afterwards, once and in order; what is said is one of our sentences; and once the disk is well again, the run comes to its record.
 */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { JournalError, readJournal } from '../../server/src/edge/journal.ts';
import { beginRun, finishRun, giveUpEmpty, journalPath, readRecords, resumeRun, unfinishedRuns, type OpenRun } from '../../server/src/edge/record-files.ts';
import { startedEvent, type RunEvent } from '../../server/src/run/engine.ts';
import { AT, checklistOf } from '../run/fixtures.ts';
import { HEAD } from '../run/small.ts';
import { faultyDisk, PowerCut, type Fault, type FaultyDisk } from './file-faults.ts';

const document = checklistOf(`${HEAD}\nsteps:\n  - {step: look, ask: Clean?, results: [{when: yes, passes: true}, {when: no, finds: wire}]}\n`);
const EVENTS: readonly RunEvent[] = [
  startedEvent(document, { at: AT, person: 'T', salt: '00112233445566778899aabbccddeeff' }), { kind: 'note', text: 'one', at: AT },
  { kind: 'answer', step: 'look', typed: 'yes', at: AT }, { kind: 'finished', at: AT },
];
const RUN = 'run-0001';

let root = '';
let count = 0;
let disk: FaultyDisk;
beforeAll(() => {
  root = realpathSync(mkdtempSync(join(tmpdir(), 'faultwright-faults-')));
  disk = faultyDisk(root);
});
afterEach(() => disk.repair());
afterAll(() => {
  disk.restore();
  rmSync(root, { recursive: true, force: true });
});

interface Worked {
  /** How many events were said to be on the disk. */
  acknowledged: number;
  readonly said: string[];
  /** The record was said to be written. */
  filed: boolean;
}

/** Tries once more after every failure, as a person does; lets a power cut through. */
function tried<T>(work: () => T, worked: Worked, attempts: number): T | undefined {
  for (let attempt = 0; attempt < attempts; attempt++) {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof JournalError)) throw error;
      // To the program, it is one more way for a disk to fail.
      if (error.message.includes('The power is cut')) throw new PowerCut();
      worked.said.push(`${error.problem}: ${error.message}`);
    }
  }
  return undefined;
}

/** Goes through a run from where the disk has it. `attempts`: how often each thing is tried. */
function goThrough(records: string, worked: Worked, attempts: number): void {
  const opened = (): OpenRun => (existsSync(journalPath(records, RUN)) ? resumeRun(records, RUN) : beginRun(records, document, RUN));
  let open: OpenRun | undefined;
  try {
    open = tried(opened, worked, attempts);
    if (open === undefined) return;
    while (open.journal.count() < EVENTS.length) {
      const written = tried(() => {
        try {
          return (open as OpenRun).journal.append(EVENTS[(open as OpenRun).journal.count()] as RunEvent);
        } catch (error) {
          // A journal that could not be put right is closed, and opened again by whoever goes on.
          if (error instanceof JournalError && (error.problem === 'closed' || error.problem === 'other_writer')) {
            open?.journal.close();
            open = resumeRun(records, RUN);
          }
          throw error;
        }
      }, worked, attempts);
      if (written === undefined) return;
      worked.acknowledged = written;
    }
    worked.filed = tried(() => finishRun(open as OpenRun), worked, attempts) !== undefined;
  } finally {
    open?.journal.close();
  }
}

/** What is on the disk is at least what was acknowledged, and never anything else. */
function expectKept(records: string, worked: Worked): void {
  const written = readRecords(records);
  expect(written.problems).toEqual([]);
  expect(written.records.length).toBeLessThanOrEqual(1);
  if (worked.filed) expect(written.records).toHaveLength(1);
  const [record] = written.records;
  if (record !== undefined) return expect(record.record.events.map((link) => link.event)).toEqual(JSON.parse(JSON.stringify(EVENTS)));
  const path = journalPath(records, RUN);
  if (!existsSync(path)) return expect(worked.acknowledged).toBe(0);
  let events: readonly RunEvent[] = [];
  try {
    ({ events } = readJournal(path));
  } catch (error) {
    // Cut off in its first line: then nothing was acknowledged, and it says so.
    expect(worked.acknowledged).toBe(0);
    expect((error as Error).message).toContain('No entry was acknowledged in it');
    return rmSync(path);
  }
  expect(events).toEqual(JSON.parse(JSON.stringify(EVENTS.slice(0, events.length))));
  expect(events.length).toBeGreaterThanOrEqual(worked.acknowledged);
  return expect(events.length).toBeLessThanOrEqual(worked.acknowledged + 1);
}

const SENTENCES = [
  /^full: The disk is full: the last entry could not be written to .*\. Everything before it is kept\. Free some space, then enter it again\.$/,
  /^full: The record .* could not be written: the disk is full\. Nothing is lost: the run is kept in its journal, and the record is written when the run is opened again\.$/,
  /^not_allowed: Nothing can be written to .*: the folder or file is read-only\. Choose another records folder\.$/,
  /^not_allowed: The record .* could not be written: the folder is read-only, or something of that name is in the way\. Nothing is lost: /,
  /^failed: .* could not be written: EIO: \w+\. The last entry does not count\.$/,
  /^failed: The record .* could not be written: EIO: \w+\. Nothing is lost: /,
  /^failed: .* could not be read: EIO: \w+\. It is left as it is\.$/,
  /^closed: .* is closed, since it could not be written\. Everything acknowledged is kept in it\. Open the run again\.$/,
];

/** Each call in turn fails; returns how many there were. */
function eachCallFails(fault: Fault, attempts: number): number {
  for (let at = 0; ; at++) {
    const records = join(root, `${++count}`, 'records');
    mkdirSync(join(root, `${count}`));
    const worked: Worked = { acknowledged: 0, said: [], filed: false };
    disk.failAt(at, fault);
    try {
      goThrough(records, worked, attempts);
    } catch (error) {
      if (!(error instanceof PowerCut)) throw error;
    }
    const { failed } = disk;
    disk.repair();
    const place = `${JSON.stringify(fault)} at call ${at}`;
    for (const said of worked.said) expect(SENTENCES.some((sentence) => sentence.test(said)), `${place}: ${said}`).toBe(true);
    expectKept(records, worked);
    // The disk is well again, and someone goes on.
    goThrough(records, worked, 1);
    expect(worked.filed, place).toBe(true);
    expectKept(records, worked);
    expect(unfinishedRuns(records), place).toEqual({ runs: [], problems: [] });
    expect(readdirSync(join(records, String(new Date(AT).getUTCFullYear()))), place).toHaveLength(1);
    rmSync(join(root, `${count}`), { recursive: true });
    if (!failed) return at;
  }
}

describe('whatever call to the disk fails, nothing acknowledged is lost', () => {
  it.each(['ENOSPC', 'EROFS', 'EIO'])('once, with %s, and it is tried again', (code) => {
    expect(eachCallFails({ kind: 'error', code }, 3)).toBeGreaterThan(30);
  });

  it.each(['ENOSPC', 'EROFS', 'EIO'])('from then on, with %s, until it is mended', (code) => {
    expect(eachCallFails({ kind: 'error', code, lasting: true }, 2)).toBeGreaterThan(30);
  });

  it('in the middle of a write', () => {
    expect(eachCallFails({ kind: 'half' }, 3)).toBeGreaterThan(30);
  });

  it('as the power is cut', () => {
    expect(eachCallFails({ kind: 'stop' }, 1)).toBeGreaterThan(30);
  });
});

describe('a journal that goes while the run is under way', () => {
  const begun = (name: string): { records: string; open: OpenRun } => {
    const records = join(root, name, 'records');
    const open = beginRun(records, document, RUN);
    for (const event of EVENTS.slice(0, 2)) open.journal.append(event);
    return { records, open };
  };

  it('with its folder is put back with everything entered, and said', () => {
    const { records, open } = begun('gone');
    rmSync(records, { recursive: true });
    expect(open.journal.append(EVENTS[2] as RunEvent)).toBe(3);
    expect(open.journal.takeRemarks()).toEqual([`${open.journal.path} had been removed or moved while the run was under way. It was put back with everything entered.`]);
    expect(open.journal.takeRemarks()).toEqual([]);
    expect(readJournal(open.journal.path).events).toHaveLength(3);
    rmSync(records, { recursive: true });
    open.journal.append(EVENTS[3] as RunEvent);
    rmSync(records, { recursive: true });
    expect(finishRun(open).record.events).toHaveLength(4);
    expect(readRecords(records).records).toHaveLength(1);
    expect(unfinishedRuns(records).runs).toEqual([]);
  });

  it('does not write over a file that has taken its place', () => {
    const { records, open } = begun('taken');
    rmSync(records, { recursive: true });
    mkdirSync(journalPath(records, RUN), { recursive: true });
    expect(() => open.journal.append(EVENTS[2] as RunEvent)).toThrow(/Another file has taken the place of .*Move that file away, then enter it again\.$/);
    rmSync(records, { recursive: true });
    expect(open.journal.append(EVENTS[2] as RunEvent)).toBe(3);
    open.journal.close();
  });

  it('is refused while the disk does not take it back, and kept', () => {
    const { records, open } = begun('full');
    rmSync(records, { recursive: true });
    disk.failAt(0, { kind: 'error', code: 'ENOSPC', lasting: true });
    expect(() => open.journal.append(EVENTS[2] as RunEvent)).toThrow(/^The disk is full/);
    disk.repair();
    expect(open.journal.append(EVENTS[2] as RunEvent)).toBe(3);
    expect(readJournal(open.journal.path).events).toEqual(JSON.parse(JSON.stringify(EVENTS.slice(0, 3))));
    open.journal.close();
  });

  it('that holds nothing is given up quietly', () => {
    const records = join(root, 'empty', 'records');
    giveUpEmpty(beginRun(records, document, RUN));
    expect(readdirSync(join(records, 'unfinished'))).toEqual([]);
  });
});
