/**
 * Texts of ours as a git repository keeps them. Reads objects and nothing else: no hook, filter or helper that a repository names is run.
 * Where git is absent, or the folder is no repository, it says so and never throws.
 */
import { execFile } from 'node:child_process';
import { dirname, join, resolve } from 'node:path';
import { kindOf } from '../analysis/file-paths.ts';
import { forwardSlashes } from './find-files.ts';
import { LARGEST_FILE } from './read-text-file.ts';

export interface GitTexts {
  /** The revision asked for, as the commit's own name. */
  readonly commit: string;
  /** Absolute paths with forward slashes, where the files would lie in the work tree. */
  readonly files: ReadonlyMap<string, string>;
}

/** The procedures, shop and assets files of the repository that holds `folder`, as they were at a revision (`HEAD~2`, a tag, a branch). */
export async function gitTexts(folder: string, revision: string): Promise<GitTexts | { readonly reason: string }> {
  // The way up, not the top's own path: that one has its links resolved, and the files would go by other names than the folder's.
  const up = await git(folder, ['rev-parse', '--show-cdup']);
  if (up === undefined) return { reason: 'There is no git repository around it, or git is not installed.' };
  const root = resolve(folder, up.toString('utf8').replace(/\r?\n$/u, ''));
  const commit = (await git(root, ['rev-parse', '--verify', '--quiet', '--end-of-options', `${revision}^{commit}`]))?.toString('utf8').trim();
  if (!commit) return { reason: `The repository has no revision ${revision}.` };
  const listed = await git(root, ['ls-tree', '-r', '-z', '--full-tree', commit]);
  if (listed === undefined) return { reason: `The files of revision ${revision} could not be listed.` };
  const wanted = listed.toString('utf8').split('\0').flatMap((line) => {
    const [, object, path] = /^100\d+ blob ([0-9a-f]+)\t(.+)$/su.exec(line) ?? [];
    return object === undefined || path === undefined || kindOf(path) === 'other' ? [] : [{ object, path }];
  });
  const texts = await gitObjects(root, wanted.map(({ object }) => object));
  const files = new Map<string, string>();
  for (const { object, path } of wanted) {
    const text = texts.get(object);
    if (text !== undefined) files.set(forwardSlashes(join(root, path)), text);
  }
  return { commit, files };
}

/** The commit that the repository around a folder stands at; undefined where there is no repository, no commit or no git. */
export async function headOf(folder: string): Promise<string | undefined> {
  return (await git(folder, ['rev-parse', '--verify', '--quiet', 'HEAD']))?.toString('utf8').trim() || undefined;
}

/** The newest committed text of a procedure that was released; undefined where git knows of none. */
export async function lastReleasedText(path: string): Promise<string | undefined> {
  const own = resolve(path);
  const folder = dirname(own);
  const name = own.slice(folder.length + 1);
  // One line a commit: of each, the text that it brought; a merge brings none of its own.
  const log = await git(folder, ['-c', 'log.showRoot=true', 'log', '--format=', '--raw', '--no-abbrev', '--no-renames', '--max-count=200', '--', `:(literal)${name}`]);
  if (log === undefined) return undefined;
  const objects = [...log.toString('utf8').matchAll(/^:\d+ \d+ [0-9a-f]+ ([0-9a-f]+) [AMT]\t/gmu)].flatMap(([, object]) => object ?? []);
  // The newest ones nearly always have it.
  for (const some of [objects.slice(0, 4), objects.slice(4)]) {
    const texts = await gitObjects(folder, some);
    const found = some.map((object) => texts.get(object)).find((text) => text !== undefined && /^status:[ \t]*["']?released\b/mu.test(text));
    if (found !== undefined) return found;
  }
  return undefined;
}

/** The content of objects, those that are text. */
async function gitObjects(folder: string, objects: readonly string[]): Promise<ReadonlyMap<string, string>> {
  const texts = new Map<string, string>();
  if (objects.length === 0) return texts;
  const out = await git(folder, ['cat-file', '--batch'], `${[...new Set(objects)].join('\n')}\n`);
  for (let at = 0; out !== undefined && at < out.length;) {
    const end = out.indexOf(0x0a, at);
    const [, object, size] = /^([0-9a-f]+) blob (\d+)$/u.exec(out.toString('latin1', at, end)) ?? [];
    if (end < 0) break;
    if (object === undefined || size === undefined) {
      at = end + 1;
      continue;
    }
    const bytes = out.subarray(end + 1, end + 1 + Number(size));
    at = end + 2 + Number(size);
    if (bytes.length > LARGEST_FILE) continue;
    try {
      texts.set(object, new TextDecoder('utf-8', { fatal: true }).decode(bytes));
    } catch {
      // No UTF-8: no text of ours.
    }
  }
  return texts;
}

/** What git prints; undefined where it fails. */
async function git(folder: string, words: readonly string[], input?: string): Promise<Buffer | undefined> {
  return new Promise((done) => {
    const child = execFile('git', ['--no-pager', '-c', 'core.fsmonitor=false', '-c', 'core.hooksPath=/dev/null', '-c', 'log.showSignature=false', ...words], {
      cwd: folder, encoding: 'buffer', maxBuffer: 512 * 1024 * 1024, timeout: 60_000,
      env: { ...process.env, GIT_OPTIONAL_LOCKS: '0', GIT_TERMINAL_PROMPT: '0', GIT_NO_LAZY_FETCH: '1', LC_ALL: 'C' },
    }, (error, stdout) => done(error === null ? stdout : undefined));
    // Git may end before it has read everything; that it failed is said by the code it ends with.
    child.stdin?.on('error', () => undefined);
    child.stdin?.end(input ?? '');
  });
}
