/** What a path says by itself: which kind of file it is, and where it lies. Paths use forward slashes. */
import type { FileKind } from './analysis.ts';

/** What a file holds, by its name. */
export function kindOf(path: string): FileKind {
  const name = path.slice(path.lastIndexOf('/') + 1);
  if (/\.procedure\.ya?ml$/i.test(name)) return 'procedure';
  if (/^shop\.ya?ml$/i.test(name)) return 'shop';
  if (/^assets\.ya?ml$/i.test(name)) return 'assets';
  return 'other';
}

/** The folder of a path: '' for a bare name, so that the same code serves relative and absolute paths. */
export function folderOf(path: string): string {
  const slash = path.lastIndexOf('/');
  return slash < 0 ? '' : path.slice(0, slash);
}

/** The folder around a folder; undefined at the top. */
export function parentOf(folder: string): string | undefined {
  return folder === '' ? undefined : folderOf(folder);
}

export function joinPath(folder: string, name: string): string {
  return folder === '' ? name : `${folder}/${name}`;
}

/** Whether a path lies in a folder, at any depth. */
export function isAbove(folder: string, path: string): boolean {
  return folder === '' || path.startsWith(`${folder}/`);
}
