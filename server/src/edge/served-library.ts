/**
 * The procedures that a page server offers: read from their folder anew when they were last read a while ago, each under an id that
 * tells nothing of its path. A name that comes from a browser chooses among these and never becomes a path.
 */
import { stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import type { Analysis } from '../analysis/analysis.ts';
import { kindOf } from '../analysis/file-paths.ts';
import { Workspace } from '../analysis/workspace.ts';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { buildChecklist } from '../run/checklist.ts';
import { textDigest } from '../run/digest.ts';
import { fileExists } from './check-threads.ts';
import { readFigures } from './figure-files.ts';
import { filesAbove, findFiles, shopFolder } from './find-files.ts';
import { readTextFile } from './read-text-file.ts';
import { recordsFolder } from './record-files.ts';

export interface ServedProcedure {
  /** Sixteen hex digits; the same as long as the file stays where it is. */
  readonly id: string;
  readonly name: string;
  readonly title: string;
  readonly revision: string | undefined;
  readonly status: string | undefined;
  readonly purpose: 'fault_finding' | 'inspection';
  /** Open findings at error. */
  readonly errors: number;
  /** Where its records go. */
  readonly records: string;
  /** Assets that it applies to. */
  readonly assets: readonly string[];
  /** The checklist for an asset; one that the shop does not list gives the checklist without facts. */
  document(asset: string | undefined): ChecklistDocument;
  /** `PROCEDURE/FIGURE` → data URI. */
  figures(): Promise<Readonly<Record<string, string>>>;
}

export interface ServedLibrary {
  /** By title; what cannot be read is left out. */
  procedures(): Promise<readonly ServedProcedure[]>;
  /** How many files there are, before any is read. */
  count(): Promise<number>;
  /** `asItWas`: as it was last read, however long ago. */
  procedure(id: string, asItWas?: boolean): Promise<ServedProcedure | undefined>;
}

/** `records` overrides where records go; `freshFor`: milliseconds that what was read is taken for current. */
export function servedLibrary(folder: string, records: string | undefined, freshFor = 2_000): ServedLibrary {
  const reader = new LibraryReader(folder, records);
  let reading: Promise<readonly ServedProcedure[]> | undefined;
  let readAt = 0;
  const procedures = (): Promise<readonly ServedProcedure[]> => {
    const now = performance.now();
    if (reading === undefined || now - readAt > freshFor) {
      readAt = now;
      const before = reading?.catch(() => undefined) ?? Promise.resolve();
      const own = before.then(() => reader.read());
      reading = own;
      // What failed once is tried again the next time.
      own.catch(() => {
        if (reading === own) reading = undefined;
      });
    }
    return reading;
  };
  return {
    procedures,
    count: async () => (await filesOf(folder)).procedures.length,
    async procedure(id, asItWas = false) {
      const known = asItWas ? reader.latest.find((one) => one.id === id) : undefined;
      return known ?? (await procedures()).find((one) => one.id === id);
    },
  };
}

/** Keeps what it has read: of a large folder only what has changed is read and checked again. One read at a time. */
class LibraryReader {
  readonly #folder: string;
  readonly #records: string | undefined;
  readonly #workspace = new Workspace({ fileExists });
  /** Size, time and number of each file in the workspace. */
  #states: ReadonlyMap<string, string> = new Map();
  readonly #made = new Map<string, { readonly analysis: Analysis; readonly served: readonly ServedProcedure[] }>();
  /** As it was last read. */
  latest: readonly ServedProcedure[] = [];

  constructor(folder: string, records: string | undefined) {
    this.#folder = folder;
    this.#records = records;
  }

  async read(): Promise<readonly ServedProcedure[]> {
    const { procedures, all } = await filesOf(this.#folder);
    // Taken first: what changes while it is read is seen the next time.
    const states = new Map(await Promise.all(all.map(async (path): Promise<[string, string]> => [path, await stateOf(path)])));
    for (const path of this.#states.keys()) if (!states.has(path)) this.#workspace.removeFile(path);
    for (const [path, state] of states) {
      if (this.#states.get(path) === state) continue;
      const file = await readTextFile(path);
      if ('text' in file) this.#workspace.setFile(path, file.text);
      else this.#workspace.removeFile(path);
    }
    this.#states = states;
    const list: ServedProcedure[] = [];
    for (const path of procedures) {
      const analysis = this.#workspace.analyse(path);
      let known = this.#made.get(path);
      if (known?.analysis !== analysis) {
        this.#made.set(path, (known = { analysis, served: served(this.#workspace, path, this.#records) }));
        // An entry on some tablet does not wait until all are checked.
        await new Promise((resolve) => setImmediate(resolve));
      }
      list.push(...known.served);
    }
    return (this.latest = list.sort((one, other) => one.title.localeCompare(other.title)));
  }
}

/** The procedures in the folder, and all files of ours that bear on them. */
async function filesOf(folder: string): Promise<{ readonly procedures: readonly string[]; readonly all: readonly string[] }> {
  const inside = (await findFiles(folder)).files;
  const folders = [...new Set([folder, ...inside.map((path) => dirname(path))])];
  // A shop above the folder that is served: its other procedures may be run from those in it.
  const shop = shopFolder(`${folder}/x`);
  const shared = shop === undefined ? [] : (await findFiles(shop)).files;
  return {
    procedures: inside.filter((path) => kindOf(path) === 'procedure'),
    all: [...new Set([...inside, ...shared, ...folders.flatMap((own) => filesAbove(`${own}/x`))])].sort(),
  };
}

function stateOf(path: string): Promise<string> {
  return stat(path).then(({ size, mtimeMs, ino }) => `${size} ${mtimeMs} ${ino}`, () => 'gone');
}

function served(workspace: Workspace, path: string, records: string | undefined): ServedProcedure[] {
  const analysis = workspace.analyse(path);
  const { procedure, scope, program } = analysis;
  if (analysis.kind !== 'procedure' || procedure === undefined || scope === undefined || program === undefined || procedure.name === undefined) return [];
  const plain = buildChecklist(analysis, undefined, workspace);
  const documents = new Map<string, ChecklistDocument>();
  return [{
    id: textDigest(path).slice(0, 16), name: plain.procedure.name, title: plain.procedure.title, revision: plain.procedure.revision,
    status: plain.procedure.status, purpose: plain.procedure.purpose, errors: plain.standing.errors, assets: plain.assets,
    records: records ?? recordsFolder(shopFolder(path) ?? dirname(path)),
    figures: async () => (await readFigures(plain, path, workspace)).figures,
    document(asset) {
      if (asset === undefined || !plain.assets.includes(asset)) return plain;
      let document = documents.get(asset);
      if (document === undefined) documents.set(asset, (document = buildChecklist(analysis, asset, workspace)));
      return document;
    },
  }];
}
