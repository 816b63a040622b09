/**
 * Finds the files of ours under a folder, or those that bear on one file. What `.gitignore` names is left out, as are
 * `node_modules` and `.git`; links to folders are not followed, so a circle of links cannot trap the search.
 */
import * as fs from 'node:fs';
import { dirname, join, resolve, sep } from 'node:path';
import ignore from 'ignore';
import type { Ignore } from 'ignore';
import { glob } from 'tinyglobby';
import type { FileSystemAdapter } from 'tinyglobby';

/** What is ours, by name. */
const OURS = ['**/*.procedure.{yaml,yml}', '**/{shop,assets}.{yaml,yml}'];

export interface FoundFiles {
  /** Absolute paths with forward slashes, sorted. */
  readonly files: readonly string[];
  /** Folders that could not be read, with the error. */
  readonly unreadable: readonly { readonly folder: string; readonly error: unknown }[];
}

/** The procedures, shop and assets files under a folder, at any depth. Throws where the folder itself cannot be read. */
export async function findFiles(folder: string): Promise<FoundFiles> {
  const root = resolve(folder);
  fs.readdirSync(root);
  const unreadable: { folder: string; error: unknown }[] = [];
  const found = await glob([...OURS, '**/.gitignore'], {
    cwd: root,
    absolute: true,
    dot: true,
    followSymbolicLinks: false,
    ignore: ['**/node_modules/**', '**/.git/**'],
    fs: watchedFileSystem(unreadable),
  });
  const rules = gitignores(root, found.filter((path) => path.endsWith('/.gitignore')));
  const files = found.filter((path) => !path.endsWith('/.gitignore') && !isIgnored(path, rules));
  return { files: files.map(forwardSlashes).sort(), unreadable };
}

/** The shop and assets files that apply to a file: those in its folder and in every folder above. */
export function filesAbove(path: string): string[] {
  const found: string[] = [];
  for (let folder = dirname(resolve(path)); ; folder = dirname(folder)) {
    for (const name of ['shop.yaml', 'shop.yml', 'assets.yaml', 'assets.yml']) {
      const candidate = join(folder, name);
      if (fs.existsSync(candidate)) found.push(forwardSlashes(candidate));
    }
    if (dirname(folder) === folder) return found;
  }
}

/** The folder of the nearest shop.yaml at or above a file's folder; undefined where there is none. */
export function shopFolder(path: string): string | undefined {
  const shop = filesAbove(path).find((file) => /\/shop\.ya?ml$/.test(file));
  return shop === undefined ? undefined : shop.slice(0, shop.lastIndexOf('/'));
}

/**
 * The files that bear on one file: its shop and assets files upward, and the other procedures of its shop (without a shop file:
 * those beside it), as it may run them.
 */
export async function findFilesAround(path: string): Promise<string[]> {
  const own = dirname(resolve(path));
  const shop = shopFolder(path);
  const neighbours = shop === undefined
    ? await neighboursOf(own)
    : (await findFiles(shop)).files;
  return [...new Set([...filesAbove(path), ...neighbours.map(forwardSlashes)])].sort();
}

/** The procedures in a folder itself; those that are ignored count for nothing here either. */
async function neighboursOf(folder: string): Promise<string[]> {
  const found = await glob(['*.procedure.{yaml,yml}'], { cwd: folder, absolute: true, followSymbolicLinks: false });
  const own = join(folder, '.gitignore');
  const rules = gitignores(folder, fs.existsSync(own) ? [own] : []);
  return found.filter((path) => !isIgnored(path, rules));
}

/** The form in which paths are keys of a workspace. */
export function forwardSlashes(path: string): string {
  return sep === '/' ? path : path.replaceAll(sep, '/');
}

/** The search library passes over what it cannot read; this keeps a note of it. */
function watchedFileSystem(unreadable: { folder: string; error: unknown }[]): FileSystemAdapter {
  const readdir = (path: fs.PathLike, options: object, done: (error: NodeJS.ErrnoException | null, entries: fs.Dirent[]) => void): void => {
    fs.readdir(path, { ...options, withFileTypes: true }, (error, entries) => {
      if (error) unreadable.push({ folder: String(path), error });
      done(error, entries);
    });
  };
  return { ...fs, readdir: readdir as unknown as typeof fs.readdir };
}

interface FolderRules {
  /** With a slash at its end. */
  readonly folder: string;
  readonly rules: Ignore;
}

/** Rules of every `.gitignore` below the root, and of those above it up to the top of its repository; the outermost first. */
function gitignores(root: string, below: readonly string[]): FolderRules[] {
  const files = [...below];
  if (!fs.existsSync(join(root, '.git'))) {
    for (let folder = dirname(root); ; folder = dirname(folder)) {
      const candidate = join(folder, '.gitignore');
      if (fs.existsSync(candidate) && insideRepository(folder)) files.push(candidate);
      if (fs.existsSync(join(folder, '.git')) || dirname(folder) === folder) break;
    }
  }
  const read = (path: string): string => {
    try {
      // A link may lead to a device, which never comes to an end.
      return fs.statSync(path).isFile() ? fs.readFileSync(path, 'utf8') : '';
    } catch {
      return '';
    }
  };
  return files
    .map((path) => ({ folder: `${forwardSlashes(dirname(path)).replace(/\/$/, '')}/`, rules: ignore().add(read(path)) }))
    .sort((a, b) => a.folder.length - b.folder.length);
}

function insideRepository(start: string): boolean {
  for (let folder = start; ; folder = dirname(folder)) {
    if (fs.existsSync(join(folder, '.git'))) return true;
    if (dirname(folder) === folder) return false;
  }
}

/** As git judges: the innermost file with an opinion decides. */
function isIgnored(path: string, rules: readonly FolderRules[]): boolean {
  const whole = forwardSlashes(path);
  let ignored = false;
  for (const { folder, rules: own } of rules) {
    if (!whole.startsWith(folder)) continue;
    const verdict = own.test(whole.slice(folder.length));
    if (verdict.ignored) ignored = true;
    else if (verdict.unignored) ignored = false;
  }
  return ignored;
}
