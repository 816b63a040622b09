/** Finds records and journals on the disk. It reads none of them. */
import { existsSync, readdirSync, statSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { glob } from 'tinyglobby';
import { forwardSlashes, shopFolder } from './find-files.ts';
import { recordsFolder } from './record-files.ts';

export interface FoundRecords {
  /** Absolute paths with forward slashes, sorted. */
  readonly files: readonly string[];
  /** Journals of runs that are under way. */
  readonly journals: readonly string[];
}

/**
 * The records that a path means: a file; a records folder; or any folder, for the records folders in it at any depth. Links to
 * folders are not followed. Throws where the path is not there.
 */
export async function findRecords(path: string): Promise<FoundRecords> {
  const root = resolve(path);
  if (!statSync(root).isDirectory()) return root.endsWith('.jsonl') ? { files: [], journals: [forwardSlashes(root)] } : { files: [forwardSlashes(root)], journals: [] };
  const own = /^\d{4}$/.test(basename(root)) || !hasYears(root) ? ['*.json'] : [];
  const found = await glob([...own, '**/[0-9][0-9][0-9][0-9]/*.json', '**/unfinished/*.jsonl'], {
    cwd: root, absolute: true, dot: false, followSymbolicLinks: false, ignore: ['**/node_modules/**', '**/.git/**', '**/removed/**', '**/discarded/**'],
  });
  const all = found.map(forwardSlashes).sort();
  // A folder may hold other JSON files beside records: only those in a folder of a year, or named as records, are meant.
  const isRecord = (file: string): boolean => /\/\d{4}\/[^/]+\.json$/.test(file) || file.endsWith('.record.json');
  return { files: all.filter((file) => file.endsWith('.json') && isRecord(file)), journals: all.filter((file) => file.endsWith('.jsonl')) };
}

/** The records folder that a command means where none is named: that of the nearest shop.yaml at or above a folder, else in it. */
export function ownRecords(cwd: string): string {
  const shop = shopFolder(join(cwd, 'x'));
  return recordsFolder(shop ?? cwd);
}

function hasYears(folder: string): boolean {
  return existsSync(folder) && readdirSync(folder).some((name) => /^\d{4}$/.test(name));
}
