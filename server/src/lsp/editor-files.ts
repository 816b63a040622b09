/**
 * Files that only the editor can reach: those of a virtual folder, as of a repository that was never cloned. Their keys begin with the scheme of their
 * URI. Around the host of files on disk; what needs a disk, such as a journal, is refused in words.
 */
import type { Connection } from 'vscode-languageserver';
import { keyOfUri, uriOfKey } from './convert.ts';
import type { RunStore, ServerHost } from './host.ts';
import type { ListFilesParams, ReadFileParams } from './protocol.ts';

/** Whether a key names no path on a disk. A drive has one letter. */
export function isVirtual(key: string): boolean {
  return /^[a-z][a-z0-9+.-]+:/i.test(key);
}

/** `offered` says whether the editor answers for its files. */
export function withEditorFiles(connection: Connection, host: ServerHost, offered: () => boolean): ServerHost {
  const { textsAt } = host;
  return {
    ...host,
    async readFile(key) {
      if (!isVirtual(key)) return host.readFile(key);
      if (!offered()) return undefined;
      return (await connection.sendRequest<string | null>('faultwright/readFile', { uri: uriOfKey(key) } satisfies ReadFileParams)) ?? undefined;
    },
    async listFiles(folder) {
      if (!isVirtual(folder)) return host.listFiles(folder);
      if (!offered()) return [];
      return (await connection.sendRequest<readonly string[]>('faultwright/listFiles', { uri: uriOfKey(folder) } satisfies ListFilesParams)).map(keyOfUri);
    },
    listFilesAround: async (key) => (isVirtual(key) ? [] : host.listFilesAround(key)),
    // That a file is missing is only claimed where that can be seen.
    fileExists: (key) => isVirtual(key) || host.fileExists(key),
    ...(textsAt
      ? { textsAt: async (folder: string, revision: string) => (isVirtual(folder) ? { reason: 'The review needs a folder on disk.' } : textsAt(folder, revision)) }
      : {}),
    runs: onDisk(host.runs),
  };
}

function onDisk(runs: RunStore): RunStore {
  const checked = <A extends unknown[], R>(method: (folder: string, ...rest: A) => Promise<R>) => async (folder: string, ...rest: A): Promise<R> => {
    if (isVirtual(folder)) throw new Error('A run keeps its journal and its record in a folder on disk. Save the procedure there, then run it.');
    return method(folder, ...rest);
  };
  const { found } = runs;
  return {
    begin: checked((...given) => runs.begin(...given)),
    resume: checked((...given) => runs.resume(...given)),
    append: checked((...given) => runs.append(...given)),
    carryOver: checked((...given) => runs.carryOver(...given)),
    finish: checked((...given) => runs.finish(...given)),
    discard: checked((...given) => runs.discard(...given)),
    // There are none, which is no mistake.
    unfinished: async (folder) => (isVirtual(folder) ? [] : runs.unfinished(folder)),
    records: async (folder) => (isVirtual(folder) ? [] : runs.records(folder)),
    ...(found ? { found: async (folder: string, procedure: string) => (isVirtual(folder) ? {} : found(folder, procedure)) } : {}),
  };
}
