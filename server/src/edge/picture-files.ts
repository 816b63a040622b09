/**
 * Pictures that a person names at a terminal: kept beside the records, as `records/photos/RUN/NAME`, where panel and page server keep theirs.
 * No name that was typed becomes a path unless it has been made safe here.
 */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { dirname, extname, join, parse } from 'node:path';
import { sync as writeFileAtomicSync } from 'write-file-atomic';
import { fileDigest } from '../run/digest.ts';
import { JournalError, journalError } from './journal-error.ts';
import { safeName, safeRunId } from './record-files.ts';
import { makeFolder, syncFolder } from './synced-files.ts';

/** Most bytes of one picture. */
const MOST_BYTES = 64 * 1024 * 1024;

export interface KeptPicture {
  /** As it is kept. */
  readonly name: string;
  /** SHA-256, lower-case hex. */
  readonly digest: string;
}

/** Keeps a copy of a file with the run; undefined where there is no such file. Throws JournalError with what is wrong, in words. */
export function keepPictureFile(records: string, runId: string, source: string): KeptPicture | undefined {
  let bytes: Buffer;
  try {
    const found = statSync(source, { throwIfNoEntry: false });
    if (found === undefined || !found.isFile()) return undefined;
    if (found.size > MOST_BYTES) throw new JournalError('failed', `The picture is larger than ${MOST_BYTES / 1024 / 1024} MB. It was not taken.`);
    bytes = readFileSync(source);
  } catch (error) {
    if (error instanceof JournalError) throw error;
    return undefined;
  }
  const folder = join(records, 'photos', safeRunId(runId));
  const digest = fileDigest(bytes);
  const name = freeName(folder, source, digest);
  try {
    makeFolder(folder);
    writeFileAtomicSync(join(folder, name), bytes);
    syncFolder(dirname(join(folder, name)));
  } catch (error) {
    throw journalError(join(folder, name), error);
  }
  return { name, digest };
}

/** The file's own name where it may stand in a path anywhere; with the beginning of its digest where another picture has it. */
function freeName(folder: string, source: string, digest: string): string {
  const ending = /^\.[A-Za-z0-9]{1,5}$/.exec(extname(source))?.[0] ?? '';
  const stem = safeName(parse(source).name);
  return existsSync(join(folder, `${stem}${ending}`)) ? `${stem}-${digest.slice(0, 8)}${ending}` : `${stem}${ending}`;
}
