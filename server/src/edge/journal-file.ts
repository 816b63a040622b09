/**
 * The open file of a journal: writes whole lines or nothing, and notices when another program has written to it, removed it or moved it.
 * It knows nothing of events.
 */
import { fstatSync, fsyncSync, ftruncateSync, openSync, readSync, rmSync, statSync, truncateSync, writeSync } from 'node:fs';
import { dirname } from 'node:path';
import { JournalError } from './journal-error.ts';
import type { Lock } from './journal-lock.ts';
import { closeQuietly, makeFolder, syncFolder } from './synced-files.ts';

export class JournalFile {
  readonly #path: string;
  readonly #lockOf: (path: string) => Lock;
  #handle: number;
  #lock: Lock;
  #size: number;
  #closed = false;

  /** `handle` is open for appending and reading; `size`: how much of it is acknowledged; `lockOf` locks the path anew. */
  constructor(path: string, handle: number, lock: Lock, size: number, lockOf: (path: string) => Lock) {
    this.#path = path;
    this.#handle = handle;
    this.#lock = lock;
    this.#size = size;
    this.#lockOf = lockOf;
  }

  /** Writes and syncs; after a failure the file is as before. Throws JournalError and errors of the file system. */
  write(text: string): void {
    this.#refuseWhereClosed();
    if (fstatSync(this.#handle).size !== this.#size) {
      throw new JournalError('other_writer', `Another program has written to ${this.#path}. The entry was not taken. Open the run again.`);
    }
    const bytes = Buffer.from(text, 'utf8');
    try {
      writeAll(this.#handle, bytes);
      fsyncSync(this.#handle);
    } catch (error) {
      if (!this.#cutOff()) this.close();
      throw error;
    }
    this.#size += bytes.length;
  }

  /**
   * Where the name no longer leads to this file, writes what is in it under the name again and goes on there; true where it did. Throws
   * JournalError and errors of the file system; nothing is lost then, and it can be tried again.
   */
  putBackWhereGone(): boolean {
    this.#refuseWhereClosed();
    if (this.#isThere()) return false;
    const bytes = Buffer.alloc(this.#size);
    for (let done = 0; done < bytes.length; ) {
      const read = readSync(this.#handle, bytes, done, bytes.length - done, done);
      if (read === 0) throw new JournalError('other_writer', `${this.#path} was removed and emptied by another program. The entry was not taken.`);
      done += read;
    }
    makeFolder(dirname(this.#path));
    // The lock went with the folder, or stayed without its file.
    this.#lock.release();
    this.#lock = this.#lockOf(this.#path);
    const handle = this.#opened();
    try {
      writeAll(handle, bytes);
      fsyncSync(handle);
      syncFolder(dirname(this.#path));
    } catch (error) {
      closeQuietly(handle);
      rmSync(this.#path, { force: true });
      throw error;
    }
    closeQuietly(this.#handle);
    this.#handle = handle;
    return true;
  }

  close(): void {
    if (this.#closed) return;
    this.#closed = true;
    closeQuietly(this.#handle);
    this.#lock.release();
  }

  /** Takes half a line away again; false where it stays: opening the journal again cuts it off. */
  #cutOff(): boolean {
    try {
      ftruncateSync(this.#handle, this.#size);
      return true;
    } catch {
      // Not every system cuts a file off that is open for appending.
    }
    try {
      truncateSync(this.#path, this.#size);
      return true;
    } catch {
      return false;
    }
  }

  #opened(): number {
    try {
      return openSync(this.#path, 'ax+');
    } catch (error) {
      if ((error as { code?: string }).code !== 'EEXIST') throw error;
      throw new JournalError('other_writer', `Another file has taken the place of ${this.#path}. The entry was not taken. Move that file away, then enter it again.`);
    }
  }

  #isThere(): boolean {
    const own = fstatSync(this.#handle, { bigint: true });
    const named = statSync(this.#path, { bigint: true, throwIfNoEntry: false });
    return named !== undefined && named.ino === own.ino && named.dev === own.dev;
  }

  #refuseWhereClosed(): void {
    if (this.#closed) throw new JournalError('closed', `${this.#path} is closed, since it could not be written. Everything acknowledged is kept in it. Open the run again.`);
  }
}

function writeAll(handle: number, bytes: Buffer): void {
  for (let done = 0; done < bytes.length; ) done += writeSync(handle, bytes, done);
}
