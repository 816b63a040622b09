import { appendFileSync, chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { spawn, spawnSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildSync } from 'esbuild';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { acquireLock } from '../../server/src/edge/journal-lock.ts';
import { contentOf, createJournal, JournalError, journalError, openJournal, readJournal } from '../../server/src/edge/journal.ts';
import type { RunEvent } from '../../server/src/run/engine.ts';
import { AT, begin, checklistOf, enter, ready, tailLift } from '../run/fixtures.ts';
import { HEAD } from '../run/small.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'faultwright-journal-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** The events of a run of the example up to the coil. */
function someEvents(): readonly RunEvent[] {
  let run = ready(begin(tailLift()));
  for (const typed of ['', 'silent', '', '25.3', '25,1']) run = enter(run, typed);
  return run.events;
}

function written(events: readonly RunEvent[], document = tailLift()): string {
  const path = join(folder, 'run.jsonl');
  const journal = createJournal(path, 'run-1', document);
  events.forEach((event, index) => expect(journal.append(event)).toBe(index + 1));
  journal.close();
  return path;
}

function problemOf(work: () => unknown): JournalError {
  try {
    work();
  } catch (error) {
    if (error instanceof JournalError) return error;
    throw error;
  }
  throw new Error('Nothing was thrown.');
}

describe('a journal', () => {
  it('gives back what was written, and goes on', () => {
    const events = someEvents();
    const path = written(events.slice(0, -1));
    const { journal, content } = openJournal(path);
    expect(content).toMatchObject({ run: 'run-1', remarks: [] });
    expect(content.events).toEqual(events.slice(0, -1));
    expect(content.document).toEqual(JSON.parse(JSON.stringify(tailLift())));
    expect(journal.append(events.at(-1) as RunEvent)).toBe(events.length);
    journal.close();
    expect(readJournal(path).events).toEqual(events);
    expect(existsSync(`${path}.lock`)).toBe(false);
  });

  it('has every event on the disk when append returns', () => {
    const path = join(folder, 'run.jsonl');
    const journal = createJournal(path, 'run-1', tailLift());
    for (const [index, event] of someEvents().entries()) {
      journal.append(event);
      expect(readJournal(path).events).toHaveLength(index + 1);
    }
    journal.close();
  });

  it('keeps texts with line breaks, controls and marks as they were typed', () => {
    const hostile = 'a\nb\r\n\u0000\u2028\u202e"\\ {"number":9}\n\ud800 ü 漢';
    const path = written([{ kind: 'note', text: hostile, at: AT }]);
    expect(readFileSync(path, 'utf8').split('\n')).toHaveLength(3);
    expect(readJournal(path).events[0]).toMatchObject({ text: hostile });
  });

  it('cut off at any byte of its tail loses nothing that was acknowledged', () => {
    const document = checklistOf(`${HEAD}\nsteps:\n  - {step: only, ask: Well?, results: [{when: yes, passes: true}]}\n`);
    const events = someEvents().slice(0, 6);
    const path = written(events, document);
    const bytes = readFileSync(path);
    const ends = [...bytes.keys()].filter((at) => bytes[at] === 10);
    const first = ends[0] as number;
    for (let length = first; length <= bytes.length; length++) {
      // A line counts from its last character on: its line break adds nothing to it.
      const whole = ends.filter((end) => end <= length).length - 1;
      const content = contentOf(path, bytes.subarray(0, length));
      expect(content.events, `cut at ${length}`).toEqual(events.slice(0, whole));
      expect(content.remarks).toHaveLength(ends.some((end) => end === length || end + 1 === length) ? 0 : 1);
    }
    for (let length = 0; length < first; length++) expect(problemOf(() => contentOf(path, bytes.subarray(0, length))).problem).toBe('damaged');
  });

  it('cut off in the file is put right on opening, and goes on', () => {
    const events = someEvents();
    const path = written(events);
    const size = readFileSync(path).length;
    for (const cut of [1, 2, 30]) {
      truncateSync(path, size - cut);
      const { journal, content } = openJournal(path);
      const kept = cut === 1 ? events : events.slice(0, -1);
      expect(content.events).toEqual(kept);
      for (const event of events.slice(kept.length)) journal.append(event);
      journal.close();
      expect(readJournal(path)).toMatchObject({ remarks: [] });
      expect(readJournal(path).events).toEqual(events);
      expect(readFileSync(path).length).toBe(size);
    }
  });

  it('with rubbish or zeros after its last line is put right', () => {
    const events = someEvents();
    for (const rubbish of ['{"number":', '\u0000'.repeat(512), `${'\u0000'.repeat(100)}\n`, '}']) {
      const path = written(events);
      appendFileSync(path, rubbish);
      const { journal, content } = openJournal(path);
      journal.close();
      expect(content.events).toEqual(events);
      expect(content.remarks[0]).toMatch(/^The last line was not whole: \d+ bytes, as a sudden stop leaves them, were cut off\. Nothing acknowledged is lost\.$/);
      expect(readJournal(path).remarks).toEqual([]);
      rmSync(path);
    }
  });

  it('altered before its end is refused, with the line and what is whole', () => {
    const path = written(someEvents());
    const lines = readFileSync(path, 'utf8').split('\n');
    const altered = (change: (lines: string[]) => void): JournalError => {
      const copy = [...lines];
      change(copy);
      writeFileSync(path, copy.join('\n'));
      return problemOf(() => openJournal(path));
    };
    expect(altered((copy) => (copy[4] = (copy[4] ?? '').replace('09:30', '09:31'))).message)
      .toMatch(/was altered or damaged at line 5: event 4 is not as it was written\. The 3 events before it are whole\./);
    expect(altered((copy) => copy.splice(3, 1)).problem).toBe('damaged');
    expect(altered((copy) => copy.splice(3, 0, copy[3] ?? '')).problem).toBe('damaged');
    expect(altered((copy) => (copy[0] = (copy[0] ?? '').replace('Technician', 'Person').replace('Battery discharged', 'Battery charged'))).message)
      .toMatch(/its checklist is not the one the run began with/);
    expect(existsSync(`${path}.lock`)).toBe(false);
  });

  it('is written by one at a time', () => {
    const path = written([]);
    const { journal } = openJournal(path);
    const refused = problemOf(() => openJournal(path));
    expect(refused.problem).toBe('locked');
    expect(refused.message).toMatch(/^This run is open elsewhere \(in this program\)\./);
    journal.close();
    openJournal(path).journal.close();
  });

  it('left locked by a process that is no more is taken over', () => {
    const path = written([]);
    const gone = spawnSync(process.execPath, ['-e', 'process.stdout.write(String(process.pid))'], { encoding: 'utf8' });
    writeFileSync(`${path}.lock`, JSON.stringify({ process: Number(gone.stdout), host: (acquireHost(), host) }));
    openJournal(path).journal.close();
    // Half a lock, as a kill in the middle leaves it, after a while.
    writeFileSync(`${path}.lock`, '{"proc');
    expect(problemOf(() => openJournal(path)).problem).toBe('locked');
    spawnSync('touch', ['-d', '1 minute ago', `${path}.lock`]);
    openJournal(path).journal.close();
  });

  // A container's first process seldom asks after the orphans that it is given.
  it.runIf(process.platform === 'linux')('left locked by a process that was killed is taken over, also while nobody has asked after it', async () => {
    const path = written([]);
    // The shell's place is taken, while its child still runs, by a program that never asks how the child ended.
    const parent = spawn('sh', ['-c', 'sleep 0.5 & echo $!; exec sleep 30'], { stdio: ['ignore', 'pipe', 'ignore'] });
    try {
      const dead = Number(await new Promise<string>((resolve) => parent.stdout.once('data', (text: Buffer) => resolve(text.toString()))));
      await expect.poll(() => readFileSync(`/proc/${dead}/stat`, 'utf8').split(') ')[1]?.charAt(0), { timeout: 10_000 }).toBe('Z');
      writeFileSync(`${path}.lock`, JSON.stringify({ process: dead, host: (acquireHost(), host) }));
      openJournal(path).journal.close();
    } finally {
      parent.kill('SIGKILL');
    }
  });

  it('stays locked by a process that lives, on this machine or another', () => {
    const path = written([]);
    acquireHost();
    writeFileSync(`${path}.lock`, JSON.stringify({ process: process.ppid, host }));
    expect(problemOf(() => openJournal(path)).message).toMatch(new RegExp(`^This run is open elsewhere \\(process ${process.ppid} on `));
    writeFileSync(`${path}.lock`, JSON.stringify({ process: 1, host: 'another-machine' }));
    expect(problemOf(() => openJournal(path)).message).toMatch(/process 1 on another-machine/);
  });

  it('that another program wrote to takes no more', () => {
    const path = join(folder, 'run.jsonl');
    const journal = createJournal(path, 'run-1', tailLift());
    appendFileSync(path, '{}\n');
    const refused = problemOf(() => journal.append({ kind: 'note', text: 'x', at: AT }));
    expect(refused.problem).toBe('other_writer');
    expect(refused.message).toMatch(/Open the run again\.$/);
    journal.close();
  });

  it('is not begun over one that is there', () => {
    const path = written(someEvents());
    expect(problemOf(() => createJournal(path, 'run-2', tailLift())).problem).toBe('not_allowed');
    expect(readJournal(path).events).toEqual(someEvents());
  });

  it('says what is wrong where nothing can be written', () => {
    const blocked = join(folder, 'blocked');
    writeFileSync(blocked, 'a file');
    expect(problemOf(() => createJournal(join(blocked, 'unfinished', 'run.jsonl'), 'run-1', tailLift())).message).toMatch(/something of that name is in the way/);
    expect(problemOf(() => openJournal(join(folder, 'none.jsonl'))).message).toMatch(/^There is no run under way in /);
    expect(journalError('j', Object.assign(new Error('x'), { code: 'ENOSPC' })).message).toMatch(/^The disk is full: .* Everything before it is kept\./);
    expect(journalError('j', Object.assign(new Error('x'), { code: 'EROFS' })).message).toMatch(/read-only\. Choose another records folder\./);
  });

  it.skipIf(process.platform === 'win32')('says so in a folder that is read-only', () => {
    const program = join(folder, 'journal.cjs');
    bundled(program);
    const closed = join(folder, 'closed');
    mkdirSync(closed, { mode: 0o555 });
    chmodSync(folder, 0o755);
    const script = `
      const { createJournal } = require(process.argv[1]);
      try {
        createJournal(process.argv[2], 'run-1', { procedure: { name: 'x' }, contentHash: '' });
      } catch (error) {
        console.log(error.message);
      }
    `;
    // To whom everything is allowed, nothing is read-only: such a one steps down first.
    const who = process.getuid?.() === 0 ? { uid: 65534, gid: 65534 } : {};
    const run = spawnSync(process.execPath, ['-e', script, program, join(closed, 'run.jsonl')], { encoding: 'utf8', ...who });
    expect(run.stdout).toMatch(/^Nothing can be written to .*closed.run\.jsonl: the folder or file is read-only\. Choose another records folder\.$/m);
  });

  it.skipIf(process.platform === 'win32')('says so on a full disk, and the lines before stay whole', () => {
    // Writing past a file size limit is the full disk that any process can make for itself.
    const path = written(someEvents());
    const script = `
      process.on('SIGXFSZ', () => undefined);
      const { openJournal } = require(process.argv[1]);
      const { journal } = openJournal(process.argv[2]);
      try {
        for (let i = 0; i < 1000; i++) journal.append({ kind: 'note', text: 'x'.repeat(2000), at: '${AT}' });
        console.log('no limit');
      } catch (error) {
        console.log(error.problem, journal.count());
      }
      journal.close();
    `;
    const program = join(folder, 'journal.cjs');
    bundled(program);
    const run = spawnSync('sh', ['-c', `ulimit -f 400; exec "${process.execPath}" -e "$0" "${program}" "${path}"`, script], { encoding: 'utf8' });
    const [problem, count] = run.stdout.trim().split(' ');
    expect(run.stderr).toBe('');
    expect(problem).toBe('full');
    const after = readJournal(path);
    expect(after.remarks).toEqual([]);
    expect(after.events).toHaveLength(Number(count));
    expect(Number(count)).toBeGreaterThan(someEvents().length);
  });
});

let host = '';
/** The machine's name as a lock writes it. */
function acquireHost(): void {
  const path = join(folder, 'probe.lock');
  const lock = acquireLock(path);
  host = (JSON.parse(readFileSync(path, 'utf8')) as { host: string }).host;
  if (!('holder' in lock)) lock.release();
}

function bundled(program: string): void {
  buildSync({
    entryPoints: [fileURLToPath(new URL('../../server/src/edge/journal.ts', import.meta.url))], outfile: program, bundle: true, platform: 'node',
    format: 'cjs', logLevel: 'error',
  });
}
