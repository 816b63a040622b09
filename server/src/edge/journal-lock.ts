/**
 * A lock file: one process at a time. It holds the process's number, so that a lock left behind by a process that was killed is
 * recognised at once and taken over, without waiting.
 */
import { linkSync, readFileSync, realpathSync, renameSync, statSync, unlinkSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { basename, dirname, join } from 'node:path';

export interface Lock {
  release(): void;
}

interface Holder {
  readonly process: number;
  /** Start time of the process where the system tells it: numbers are used again. */
  readonly began?: string;
  readonly host: string;
}

/** Locks that this very process holds: a second one in it must not pass for a dead process's. */
const held = new Set<string>();

/** Takes the lock, or says in words who holds it. Throws errors of the file system. */
export function acquireLock(named: string): Lock | { readonly holder: string } {
  // By whatever way a folder is reached, its locks are the same.
  const path = join(realFolder(dirname(named)), basename(named));
  if (held.has(path)) return { holder: 'in this program' };
  const own: Holder = { process: process.pid, ...began(process.pid), host: hostname() };
  for (let attempt = 0; attempt < 5; attempt++) {
    if (create(path, own)) {
      held.add(path);
      return { release: () => release(path) };
    }
    const text = read(path);
    if (text === undefined) continue;
    const holder = parsed(text);
    if (holder !== undefined && mayBeAlive(holder)) return { holder: `process ${holder.process} on ${holder.host}` };
    if (holder === undefined && isFresh(path)) return { holder: 'another process' };
    if (!takeAway(path, text)) return { holder: 'another process' };
  }
  return { holder: 'another process' };
}

function realFolder(folder: string): string {
  try {
    return realpathSync(folder);
  } catch {
    return folder;
  }
}

/** Makes the lock with its content in one step, so that nobody sees it half written; false where there is one. */
function create(path: string, holder: Holder): boolean {
  const text = JSON.stringify(holder);
  const aside = `${path}.${process.pid}.new`;
  writeFileSync(aside, text);
  try {
    linkSync(aside, path);
    return true;
  } catch (error) {
    if ((error as { code?: string }).code === 'EEXIST') return false;
  } finally {
    unlinkSync(aside);
  }
  // A file system without links.
  try {
    writeFileSync(path, text, { flag: 'wx' });
    return true;
  } catch (error) {
    if ((error as { code?: string }).code === 'EEXIST') return false;
    throw error;
  }
}

function release(path: string): void {
  if (!held.delete(path)) return;
  try {
    unlinkSync(path);
  } catch {
    // Gone already, or the folder has become read-only: the lock then names a process that will be dead.
  }
}

/** Removes a dead process's lock; false where another took the lock meanwhile. */
function takeAway(path: string, text: string): boolean {
  const aside = `${path}.${process.pid}`;
  try {
    renameSync(path, aside);
  } catch {
    return true;
  }
  const same = read(aside) === text;
  if (!same) {
    try {
      linkSync(aside, path);
    } catch {
      // A third process has it: that one holds the lock.
    }
  }
  unlinkSync(aside);
  return same;
}

function mayBeAlive(holder: Holder): boolean {
  if (holder.host !== hostname()) return true;
  // One of our own that could not be removed: `held` knows those that count.
  if (holder.process === process.pid) return false;
  try {
    process.kill(holder.process, 0);
  } catch (error) {
    // EPERM: it is there and belongs to someone else.
    return (error as { code?: string }).code !== 'ESRCH';
  }
  // Killed, and whoever started it has not asked after it: it writes nothing any more.
  if (/^[ZX]$/i.test(statusOf(holder.process)?.[0] ?? '')) return false;
  const now = began(holder.process).began;
  return holder.began === undefined || now === undefined || now === holder.began;
}

/** When a process began, in the system's ticks: field 22 of /proc/PID/stat (proc(5)). */
function began(number: number): { began?: string } {
  const ticks = statusOf(number)?.[19];
  return ticks === undefined ? {} : { began: ticks };
}

/** The fields of /proc/PID/stat from the third, its state, on; undefined where there is no such file. */
function statusOf(number: number): string[] | undefined {
  const stat = read(`/proc/${number}/stat`);
  return stat?.slice(stat.lastIndexOf(')') + 2).split(' ');
}

/** Written within the last seconds: perhaps not yet whole. */
function isFresh(path: string): boolean {
  try {
    return Date.now() - statSync(path).mtimeMs < 2_000;
  } catch {
    return false;
  }
}

function read(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
}

function parsed(text: string): Holder | undefined {
  try {
    const value = JSON.parse(text) as Partial<Holder> | null;
    return typeof value?.process === 'number' && typeof value.host === 'string' ? (value as Holder) : undefined;
  } catch {
    return undefined;
  }
}
