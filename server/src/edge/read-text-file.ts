/** Reads a file as text, or says in plain words why that cannot be done. */
import { readFileSync, statSync, type Stats } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';

/** A procedure of 2,000 steps has 1.4 MB: what is larger than this is something else. */
export const LARGEST_FILE = 8 * 1024 * 1024;

export type TextFile = { readonly text: string } | { readonly unreadable: string };

/** The text of a file, without a byte order mark. Never throws: `unreadable` is a sentence for a person. */
export async function readTextFile(path: string): Promise<TextFile> {
  try {
    return noText(await stat(path)) ?? textOf(await readFile(path));
  } catch (error) {
    return { unreadable: reasonOf(error) };
  }
}

/** The same for a command that has nothing else to do meanwhile: of thousands of small files it takes a third of the time. */
export function readTextFileAtOnce(path: string): TextFile {
  try {
    return noText(statSync(path)) ?? textOf(readFileSync(path));
  } catch (error) {
    return { unreadable: reasonOf(error) };
  }
}

function noText(found: Stats): TextFile | undefined {
  // A link may lead to a device, which never comes to an end.
  if (!found.isFile() && !found.isDirectory()) return { unreadable: 'It is a device or a pipe; a file is expected.' };
  if (found.size <= LARGEST_FILE) return undefined;
  return { unreadable: `The file has ${megabytes(found.size)} MB; the limit is ${megabytes(LARGEST_FILE)} MB. Split it, or leave it out of what is checked.` };
}

const UTF_8 = new TextDecoder('utf-8', { fatal: true });

/** Throws where the bytes are no UTF-8. */
function textOf(bytes: Uint8Array): TextFile {
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) {
    return { unreadable: 'The file is UTF-16; UTF-8 is expected. Save it as UTF-8.' };
  }
  return { text: UTF_8.decode(bytes) };
}

/** Why the file system refused, in a sentence. */
export function reasonOf(error: unknown): string {
  const code = (error as { code?: string } | undefined)?.code;
  switch (code) {
    case 'ENOENT':
      return 'There is no such file or folder.';
    case 'EACCES':
    case 'EPERM':
      return 'It cannot be read: permission is denied.';
    case 'EISDIR':
      return 'It is a folder; a file is expected.';
    case 'ENOTDIR':
      return 'A part of its path is a file, not a folder.';
    case 'ELOOP':
      return 'It is a link that leads back to itself.';
    case 'ENOSPC':
      return 'There is no space left on the disk.';
    case 'EROFS':
      return 'The disk cannot be written to.';
    case 'ERR_ENCODING_INVALID_ENCODED_DATA':
      return 'The file is not UTF-8 text. Save it as UTF-8.';
    default:
      return `It cannot be read: ${error instanceof Error ? error.message : String(error)}.`;
  }
}

function megabytes(bytes: number): string {
  return (bytes / 1024 / 1024).toFixed(1);
}
