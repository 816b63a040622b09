/** The pictures beside a record: `photos/RUN/NAME` in its records folder, each with the digest that its event was written with. */
import { readFileSync, rmSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { fileDigest } from '../run/digest.ts';
import type { RecordProblem, RunRecord } from '../run/record.ts';

/** The records folder that a record lies in: above the folder of its year; undefined where it lies in none. */
export function folderOfRecord(path: string): string | undefined {
  const own = dirname(path);
  return /^\d{4}$/.test(basename(own)) ? dirname(own) : undefined;
}

/** Pictures that are not there, or are not those that were taken. A record that lies in no records folder has none beside it. */
export function problemsOfPictures(path: string, record: RunRecord): RecordProblem[] {
  const records = folderOfRecord(path);
  if (records === undefined) return [];
  const inside = new Set((record.attachments ?? []).map((one) => one.name));
  return record.photos.flatMap((photo): RecordProblem[] => {
    if (photo.digest === undefined || inside.has(photo.name)) return [];
    const file = picturePath(records, record.run, photo.name);
    const digest = file === undefined ? undefined : digestOf(file);
    if (digest === photo.digest) return [];
    return [{
      kind: 'picture',
      message: digest === undefined
        ? `The picture ${photo.name} is not there: it was kept as photos/${record.run}/${photo.name}.`
        : `The picture photos/${record.run}/${photo.name} is not the one that was taken: its digest does not fit.`,
    }];
  });
}

/** Removes the pictures of a run. Throws errors of the file system. */
export function removePictures(records: string, run: string): void {
  const folder = picturePath(records, run, '');
  if (folder !== undefined) rmSync(folder, { recursive: true, force: true });
}

/** Undefined for names that could lead elsewhere. */
function picturePath(records: string, run: string, name: string): string | undefined {
  if (!/^[A-Za-z0-9][A-Za-z0-9-]{3,63}$/.test(run)) return undefined;
  return name !== '' && !/^[A-Za-z0-9][A-Za-z0-9_.-]*$/.test(name) ? undefined : join(records, 'photos', run, name);
}

function digestOf(file: string): string | undefined {
  try {
    return statSync(file).isFile() ? fileDigest(readFileSync(file)) : undefined;
  } catch {
    return undefined;
  }
}
