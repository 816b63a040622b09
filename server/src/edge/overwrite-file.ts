/** Writes a text over a file of the same name, in one piece, so that it is never left half written; a byte order mark stays. */
import { readFile } from 'node:fs/promises';
import { sync as writeFileAtomicSync } from 'write-file-atomic';

/** Throws what the file system throws. */
export async function overwriteFile(path: string, text: string): Promise<void> {
  const bytes = await readFile(path);
  const mark = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? '\ufeff' : '';
  writeFileAtomicSync(path, mark + text);
}
