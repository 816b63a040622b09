/** Files and folders whose names are on the disk when a call returns. It knows nothing of runs. */
import { closeSync, fsyncSync, mkdirSync, openSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

/** Makes a folder and those above it, and makes sure that their names are on the disk. Throws errors of the file system. */
export function makeFolder(folder: string): void {
  const own = resolve(folder);
  const first = mkdirSync(own, { recursive: true });
  if (first === undefined) return;
  const above = dirname(resolve(first));
  for (let made = dirname(own); made.length >= above.length; made = dirname(made)) {
    syncFolder(made);
    if (made === dirname(made)) return;
  }
}

/** Makes sure that a new name in a folder is on the disk. Not every system lets a folder be synced. */
export function syncFolder(folder: string): void {
  let handle: number | undefined;
  try {
    handle = openSync(folder, 'r');
    fsyncSync(handle);
  } catch {
    // Windows and some network file systems refuse; the file itself has been synced.
  } finally {
    if (handle !== undefined) closeQuietly(handle);
  }
}

export function closeQuietly(handle: number): void {
  try {
    closeSync(handle);
  } catch {
    // Closed already.
  }
}
