/**
 * Findings kept on disk from one check to the next. A file's findings stand as long as its own text, every text that went into them, the
 * procedures that there are (where that matters), and the tool itself are the same. Whatever is amiss with what was kept, it is passed
 * over: a check never fails for it, and never shows what is not so.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync, statSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Workspace } from '../analysis/workspace.ts';
import type { CheckedFile } from './check-threads.ts';

export interface FindingsCache {
  /** The targets whose findings are known and still stand. */
  recall(workspace: Workspace, targets: readonly string[]): Map<string, CheckedFile>;
  keep(workspace: Workspace, checked: readonly CheckedFile[]): void;
}

/** Below this many files a check is over before a cache could help. */
const LEAST_FILES = 25;

interface KeptFile {
  readonly checked: CheckedFile;
  /** Hashes of the texts of `checked.from`, in its order; null where there was no file. */
  readonly hashes: readonly (string | null)[];
  /** Hashes of who has which of `checked.names`, in its order. */
  readonly named: readonly string[];
}

interface Kept {
  readonly tool: string;
  /** Hash of the names of all procedures with their places. */
  readonly procedures: string;
  /** Hash of all texts. */
  readonly texts: string;
  readonly files: readonly KeptFile[];
}

/** The folder for what may be lost: `XDG_CACHE_HOME` where it is set (XDG Base Directory Specification), else the system's usual one. */
export function cacheFolder(environment: NodeJS.ProcessEnv, platform: string): string {
  const given = environment['XDG_CACHE_HOME'] ?? (platform === 'win32' ? environment['LOCALAPPDATA'] : undefined);
  const base = given !== undefined && given !== '' ? given : platform === 'darwin' ? join(homedir(), 'Library', 'Caches') : join(homedir(), '.cache');
  return join(base, 'faultwright');
}

/** The findings of checks of `what` (the paths asked for), as `script`, the tool's own file, finds them. */
export function findingsCache(folder: string, what: readonly string[], script: string, version: string): FindingsCache {
  const path = join(folder, `check-${hash(what.join('\n')).slice(0, 24)}.json`);
  const tool = toolOf(script, version);
  return {
    recall(workspace, targets) {
      const kept = targets.length < LEAST_FILES ? undefined : read(path);
      if (kept === undefined || kept.tool !== tool) return new Map();
      const wanted = new Set(targets);
      const hashes = hashesOf(workspace);
      const sameProcedures = kept.procedures === proceduresOf(workspace);
      const sameTexts = kept.texts === textsOf(workspace, hashes);
      const stands = ({ checked, hashes: before, named }: KeptFile): boolean => wanted.has(checked.file) && (!checked.procedures || sameProcedures) && (!checked.callers || sameTexts)
        && checked.names.every((name, index) => hash(workspace.signatureOfName(name)) === named[index])
        && checked.from.every((file, index) => hashes(file) === before[index]) && checked.asked.every(([file, there]) => existsSync(file) === there);
      return new Map(kept.files.filter(stands).map(({ checked }) => [checked.file, checked]));
    },
    keep(workspace, checked) {
      if (checked.length < LEAST_FILES) return;
      const hashes = hashesOf(workspace);
      const files = checked.map((each): KeptFile => ({ checked: each, hashes: each.from.map(hashes), named: each.names.map((name) => hash(workspace.signatureOfName(name))) }));
      write(path, { tool, procedures: proceduresOf(workspace), texts: textsOf(workspace, hashes), files });
    },
  };
}

function toolOf(script: string, version: string): string {
  try {
    const { size, mtimeMs } = statSync(script);
    return `${version} ${size} ${mtimeMs}`;
  } catch {
    // Without knowing which tool it was nothing may be taken over.
    return `${version} ${Math.random()}`;
  }
}

function hashesOf(workspace: Workspace): (file: string) => string | null {
  const known = new Map<string, string | null>();
  return (file) => {
    let found = known.get(file);
    if (found === undefined) {
      const text = workspace.textOf(file);
      known.set(file, (found = text === undefined ? null : hash(text)));
    }
    return found;
  };
}

/** Which procedure a name means depends on where the shops are, too. */
function proceduresOf(workspace: Workspace): string {
  const shops = workspace.files().filter((file) => /\/shop\.ya?ml$/i.test(file)).sort();
  return hash([...workspace.procedures().map(({ name, file }) => `${name} ${file}`), ...shops].join('\n'));
}

function textsOf(workspace: Workspace, hashes: (file: string) => string | null): string {
  return hash(workspace.files().sort().map((file) => `${file} ${hashes(file) ?? ''}`).join('\n'));
}

function hash(text: string): string {
  return createHash('sha256').update(text).digest('base64url');
}

function read(path: string): Kept | undefined {
  try {
    const kept = JSON.parse(readFileSync(path, 'utf8')) as Partial<Kept>;
    return typeof kept.tool === 'string' && Array.isArray(kept.files) ? (kept as Kept) : undefined;
  } catch {
    return undefined;
  }
}

/** Written beside and renamed, so that no half of it is ever read. */
function write(path: string, kept: Kept): void {
  try {
    mkdirSync(dirname(path), { recursive: true, mode: 0o700 });
    const beside = `${path}.${process.pid}`;
    writeFileSync(beside, JSON.stringify(kept), { mode: 0o600 });
    renameSync(beside, path);
  } catch {
    // A full or read-only disk costs time at the next check, and nothing else.
  }
}
