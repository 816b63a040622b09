/**
 * The procedures that a page server offers: read from their folder anew when they were last read a while ago, each under an id that
 * tells nothing of its path. A name that comes from a browser chooses among these and never becomes a path.
 */
import { dirname } from 'node:path';
import type { Workspace } from '../analysis/workspace.ts';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { buildChecklist } from '../run/checklist.ts';
import { textDigest } from '../run/digest.ts';
import { readWorkspace } from './file-workspace.ts';
import { shopFolder } from './find-files.ts';
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
}

export interface ServedLibrary {
  /** By title; what cannot be read is left out. */
  procedures(): Promise<readonly ServedProcedure[]>;
  procedure(id: string): Promise<ServedProcedure | undefined>;
}

/** `records` overrides where records go; `freshFor`: milliseconds that what was read is taken for current. */
export function servedLibrary(folder: string, records: string | undefined, freshFor = 2_000): ServedLibrary {
  let read: Promise<readonly ServedProcedure[]> | undefined;
  let readAt = 0;
  const procedures = (): Promise<readonly ServedProcedure[]> => {
    const now = performance.now();
    if (read === undefined || now - readAt > freshFor) {
      readAt = now;
      read = readAll(folder, records);
      // What failed once is tried again the next time.
      read.catch(() => (read = undefined));
    }
    return read;
  };
  return { procedures, procedure: async (id) => (await procedures()).find((one) => one.id === id) };
}

async function readAll(folder: string, records: string | undefined): Promise<readonly ServedProcedure[]> {
  const { workspace, targets } = await readWorkspace([folder], folder);
  return targets.flatMap((path) => served(workspace, path, records)).sort((a, b) => a.title.localeCompare(b.title));
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
    document(asset) {
      if (asset === undefined || !plain.assets.includes(asset)) return plain;
      let document = documents.get(asset);
      if (document === undefined) documents.set(asset, (document = buildChecklist(analysis, asset, workspace)));
      return document;
    },
  }];
}
