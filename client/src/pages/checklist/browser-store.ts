/**
 * Runs kept by the browser itself, for a page that is a file: IndexedDB, each event in a transaction of its own that has
 * reached the disk before it is acknowledged. A second tab cannot overwrite: the place of an event is its key, and a taken key
 * is refused.
 */
import type { ChecklistDocument } from '../../../../server/src/run/checklist.ts';
import type { CarriedOverEvent, RunEvent } from '../../../../server/src/run/engine.ts';
import type { KeptPhoto } from './host.ts';
import { WORDS } from './words.ts';

export interface KeptRun {
  readonly runId: string;
  readonly procedure: string;
  readonly contentHash: string;
  readonly revision?: string;
  readonly asset?: string;
  /** Who does the work, and whether they pause. */
  readonly person?: string;
  readonly paused?: boolean;
  readonly startedAt?: string;
  readonly events: number;
  readonly finished: boolean;
  /** What it was begun with: a later file may carry a changed text. */
  readonly document: ChecklistDocument;
}

export interface BrowserStore {
  runs(): Promise<readonly KeptRun[]>;
  begin(run: KeptRun): Promise<void>;
  events(runId: string): Promise<readonly RunEvent[]>;
  /** Rejects with `PlaceTaken` where another tab was there first. */
  append(runId: string, index: number, event: RunEvent): Promise<void>;
  /** The event and the text that the run goes by from it on, both or neither. */
  carryOver(runId: string, index: number, event: CarriedOverEvent, document: ChecklistDocument): Promise<void>;
  close(runId: string): Promise<void>;
  discard(runId: string): Promise<void>;
  keepPhoto(runId: string, photo: KeptPhoto): Promise<void>;
  photo(runId: string, name: string): Promise<KeptPhoto | undefined>;
  /** False where things last only as long as the page. */
  readonly lasting: boolean;
}

export class PlaceTaken extends Error {}

const NAME = 'faultwright-checklists';
const RUNS = 'runs';
const EVENTS = 'events';
const PHOTOS = 'photos';

/** The browser's store; one in memory where the browser has none or refuses it. */
export async function openBrowserStore(): Promise<BrowserStore> {
  try {
    const database = await openDatabase();
    void navigator.storage?.persist?.().catch(() => false);
    return databaseStore(database);
  } catch {
    return memoryStore();
  }
}

function openDatabase(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 2);
    request.onupgradeneeded = () => {
      const made = request.result.objectStoreNames;
      if (!made.contains(RUNS)) request.result.createObjectStore(RUNS, { keyPath: 'runId' });
      if (!made.contains(EVENTS)) request.result.createObjectStore(EVENTS);
      if (!made.contains(PHOTOS)) request.result.createObjectStore(PHOTOS);
    };
    request.onsuccess = () => {
      // A newer page in another tab may change the shape; this one then says that nothing was written down.
      request.result.onversionchange = () => request.result.close();
      resolve(request.result);
    };
    request.onerror = () => reject(request.error ?? new Error('The database does not open.'));
    request.onblocked = () => reject(new Error('The database is in use by another version of this page.'));
  });
}

function databaseStore(database: IDBDatabase): BrowserStore {
  /** Resolves when the transaction has been written, not when its requests have succeeded. */
  const write = (work: (runs: IDBObjectStore, events: IDBObjectStore, photos: IDBObjectStore) => void): Promise<void> =>
    new Promise((resolve, reject) => {
      const transaction = database.transaction([RUNS, EVENTS, PHOTOS], 'readwrite', { durability: 'strict' });
      transaction.oncomplete = () => resolve();
      transaction.onabort = () => reject(reasonOf(transaction.error));
      try {
        work(transaction.objectStore(RUNS), transaction.objectStore(EVENTS), transaction.objectStore(PHOTOS));
      } catch (error) {
        reject(reasonOf(error));
        transaction.abort();
      }
    });
  const read = <T>(from: string, ask: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> =>
    new Promise((resolve, reject) => {
      const request = ask(database.transaction(from, 'readonly').objectStore(from));
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error ?? new Error('The run cannot be read.'));
    });
  const ofRun = (runId: string) => IDBKeyRange.bound([runId, 0], [runId, Number.MAX_SAFE_INTEGER]);
  // Of keys, lists come after all texts.
  const photosOf = (runId: string) => IDBKeyRange.bound([runId], [runId, []]);

  return {
    lasting: true,
    runs: () => read(RUNS, (store) => store.getAll() as IDBRequest<KeptRun[]>),
    begin: (run) => write((runs) => void runs.add(run)),
    events: (runId) => read(EVENTS, (store) => store.getAll(ofRun(runId)) as IDBRequest<RunEvent[]>),
    append: (runId, index, event) =>
      write((runs, events) => {
        events.add(event, [runId, index]);
        const get = runs.get(runId) as IDBRequest<KeptRun | undefined>;
        get.onsuccess = () => {
          if (get.result) runs.put(afterEvent(get.result, index, event));
        };
      }),
    carryOver: (runId, index, event, document) =>
      write((runs, events) => {
        events.add(event, [runId, index]);
        const get = runs.get(runId) as IDBRequest<KeptRun | undefined>;
        get.onsuccess = () => {
          if (get.result) runs.put({ ...afterEvent(get.result, index, event), ...ofText(document) });
        };
      }),
    close: (runId) =>
      write((runs) => {
        const get = runs.get(runId) as IDBRequest<KeptRun | undefined>;
        get.onsuccess = () => {
          if (get.result) runs.put({ ...get.result, finished: true });
        };
      }),
    discard: (runId) =>
      write((runs, events, photos) => {
        runs.delete(runId);
        events.delete(ofRun(runId));
        photos.delete(photosOf(runId));
      }),
    keepPhoto: (runId, photo) => write((_runs, _events, photos) => void photos.put(photo, [runId, photo.name])),
    photo: (runId, name) => read(PHOTOS, (store) => store.get([runId, name]) as IDBRequest<KeptPhoto | undefined>),
  };
}

/** What the list of runs says of it once `event` has come to its place. */
function afterEvent(run: KeptRun, index: number, event: RunEvent): KeptRun {
  const paused = event.kind === 'paused' ? true : event.kind === 'resumed' ? false : run.paused;
  const person = event.kind === 'handed_over' ? event.to : event.kind === 'started' ? event.person : run.person;
  return { ...run, events: index + 1, startedAt: run.startedAt ?? event.at, paused, person };
}

function ofText(document: ChecklistDocument): Pick<KeptRun, 'document' | 'contentHash' | 'revision'> {
  return { document, contentHash: document.contentHash, revision: document.procedure.revision };
}

/** Why a write failed, in words for the person who made the entry. */
function reasonOf(error: unknown): Error {
  const name = error instanceof DOMException ? error.name : '';
  const words = error instanceof Error || error instanceof DOMException ? error.message : '';
  if (name === 'ConstraintError') return new PlaceTaken(words);
  if (name === 'QuotaExceededError') return new Error(WORDS.storeFull);
  return new Error(words || WORDS.storeRefused);
}

function memoryStore(): BrowserStore {
  const runs = new Map<string, KeptRun>();
  const events = new Map<string, RunEvent[]>();
  const photos = new Map<string, KeptPhoto>();
  return {
    lasting: false,
    runs: async () => [...runs.values()],
    begin: async (run) => void runs.set(run.runId, run),
    events: async (runId) => events.get(runId) ?? [],
    append: async (runId, index, event) => {
      const list = events.get(runId) ?? [];
      if (list.length !== index) throw new PlaceTaken('The place is taken.');
      events.set(runId, [...list, event]);
      const run = runs.get(runId);
      if (run) runs.set(runId, afterEvent(run, index, event));
    },
    carryOver: async (runId, index, event, document) => {
      const list = events.get(runId) ?? [];
      if (list.length !== index) throw new PlaceTaken('The place is taken.');
      events.set(runId, [...list, event]);
      const run = runs.get(runId);
      if (run) runs.set(runId, { ...afterEvent(run, index, event), ...ofText(document) });
    },
    close: async (runId) => {
      const run = runs.get(runId);
      if (run) runs.set(runId, { ...run, finished: true });
    },
    discard: async (runId) => {
      runs.delete(runId);
      events.delete(runId);
      for (const key of [...photos.keys()]) if (key.startsWith(`${runId}/`)) photos.delete(key);
    },
    keepPhoto: async (runId, photo) => void photos.set(`${runId}/${photo.name}`, photo),
    photo: async (runId, name) => photos.get(`${runId}/${name}`),
  };
}
