/**
 * Pictures of runs that a page server keeps: `records/photos/RUN/NAME`, beside the records, where the editor's panel keeps them too. A picture
 * is on the disk before the entry that names it, and the entry names its digest. Nothing that a browser sends becomes a path here
 * unless it has this exact shape. It knows no requests and no runs but their ids.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { sync as writeFileAtomicSync } from 'write-file-atomic';
import { fileDigest } from '../run/digest.ts';
import { journalError } from './journal-error.ts';
import { makeFolder, syncFolder } from './synced-files.ts';

/** Most bytes of one picture, and most pictures of one run. The page makes its pictures smaller than a tenth of that. */
const MOST_BYTES = 4 * 1024 * 1024;
const MOST_PHOTOS = 200;

/** Most bytes of a request that sends one: base64 takes four letters for three bytes. */
export const MOST_PHOTO_REQUEST = Math.ceil(MOST_BYTES / 3) * 4 + 4 * 1024;

/** Keeps a picture. Returns why it is refused, or undefined once it is on the disk. Throws JournalError. */
export function keepPhoto(records: string, runId: string, name: string, base64: string): string | undefined {
  const path = photoPath(records, runId, name);
  if (path === undefined || !name.endsWith('.jpg')) return 'The picture has a name that is not taken here.';
  const bytes = /^[A-Za-z0-9+/]*={0,2}$/.test(base64) ? Buffer.from(base64, 'base64') : Buffer.alloc(0);
  if (bytes.length > MOST_BYTES) return 'The picture is too large. Take one of at most 4 megabytes.';
  // A page sends what it has drawn itself, as JPEG: other bytes are of something else.
  if (bytes.length < 4 || bytes[0] !== 0xff || bytes[1] !== 0xd8 || bytes[2] !== 0xff) return 'That is no picture in JPEG.';
  try {
    makeFolder(dirname(path));
    if (readdirSync(dirname(path)).length >= MOST_PHOTOS) return `This run has ${MOST_PHOTOS} pictures. No more are kept.`;
    writeFileAtomicSync(path, bytes);
    syncFolder(dirname(path));
    return undefined;
  } catch (error) {
    throw journalError(path, error);
  }
}

/** A picture that was kept, in base64; undefined where it is not there. */
export function keptPhoto(records: string, runId: string, name: string): string | undefined {
  return bytesOf(records, runId, name)?.toString('base64');
}

/** SHA-256 of a picture that was kept, in lower-case hex; undefined where it is not there. */
export function digestOfPhoto(records: string, runId: string, name: string): string | undefined {
  const bytes = bytesOf(records, runId, name);
  return bytes && fileDigest(bytes);
}

function bytesOf(records: string, runId: string, name: string): Buffer | undefined {
  const path = photoPath(records, runId, name);
  if (path === undefined) return undefined;
  try {
    return readFileSync(path);
  } catch {
    return undefined;
  }
}

function photoPath(records: string, runId: string, name: string): string | undefined {
  if (!/^[A-Za-z0-9][A-Za-z0-9-]{3,63}$/.test(runId) || !/^[A-Za-z0-9][A-Za-z0-9._-]{0,120}$/.test(name)) return undefined;
  return join(records, 'photos', runId, name);
}
