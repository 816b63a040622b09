/**
 * Where a checklist page lives: in the editor's panel or in a file of its own. The page asks this and nothing else for documents,
 * for keeping what was entered, and for the record.
 */
import type { ChecklistDocument } from '../../../../server/src/run/checklist.ts';
import type { RunEvent } from '../../../../server/src/run/engine.ts';
import type { Unfinished } from '../messages.ts';

export interface ChecklistHost {
  /**
   * In a panel the asset can be chosen anew and the record opens in the editor; a file carries one document and saves the
   * record. Served, the asset can be chosen, the record is filed on the server, and a copy can be saved.
   */
  readonly kind: 'editor' | 'file' | 'served';
  look(asset: string | undefined): Promise<Offered>;
  /** Begins a run, or goes on with `runId`. `toStop`: one of another text may be opened to be stopped. */
  open(runId: string | undefined, asset: string | undefined, toStop?: boolean): Promise<OpenedRun>;
  /** Goes on with a run by the present text of its procedure. Rejects, with the reason, where the rule does not allow it. */
  carryOver(runId: string, stamp: { readonly at: string; readonly person?: string }): Promise<OpenedRun>;
  /** Resolves once the event outlasts a crash. `index` is its place among the run's events. Rejects where the place is taken. */
  append(runId: string, index: number, event: RunEvent): Promise<void>;
  /** Writes the record, or hands it over for saving. */
  finish(runId: string): Promise<Filed>;
  discard(runId: string): Promise<void>;
  /** Shows a written record: opens it in the editor, or saves it as a file. Says what happened where that is worth saying. */
  showRecord(filed: Filed): Promise<string | undefined>;
  /** Shows a step in the text, where there is a text. */
  reveal?(step: string): Promise<void>;
  /** The run that was open when the page was last here. */
  keptRun(): string | undefined;
  keepRun(runId: string | undefined): void;
  /** Keeps a picture of the run so that it outlasts a crash; without it, the host takes none. */
  keepPhoto?(runId: string, photo: KeptPhoto): Promise<void>;
  /** A picture that was kept; undefined where this host does not have it. */
  photo?(runId: string, name: string): Promise<KeptPhoto | undefined>;
  /** The printed sheet that the page was opened from, and whether it shows the same text. */
  readonly sheet?: { readonly same: boolean; readonly revision: string };
  /** What to tell the person about how lasting this host keeps things; undefined where it does. */
  readonly warning?: string;
}

export interface KeptPhoto {
  /** File name. */
  readonly name: string;
  /** Media type. */
  readonly type: string;
  /** SHA-256, lower-case hex. */
  readonly digest: string;
  readonly bytes: Uint8Array;
}

export interface Offered {
  /** The one asset that this checklist is for, where it is for one alone. */
  readonly fixedAsset?: string;
  readonly document: ChecklistDocument;
  readonly assets: readonly string[];
  readonly unfinished: readonly Unfinished[];
  /** Finished runs whose records only this browser has. */
  readonly finished: readonly Unfinished[];
}

export interface OpenedRun {
  readonly runId: string;
  readonly document: ChecklistDocument;
  readonly events: readonly RunEvent[];
  /** Procedure and figure, as figureKey joins them → data URI. */
  readonly figures?: Readonly<Record<string, string>>;
}

/** How figures are named: procedures in other folders may have figures of the same name. */
export function figureKey(procedure: string, figure: string): string {
  return `${procedure}/${figure}`;
}

/** Where the record went: a path to show, or a file name to save it under with its content. */
export interface Filed {
  readonly where: string;
  readonly content?: string;
  /** The record as a text for a code to scan, where it is short enough; `photos`: it has pictures that are not in the code. */
  readonly scan?: { readonly text: string | undefined; readonly photos: boolean };
}

/** Rejection of `append` where the run went on elsewhere. */
export class WentOnElsewhere extends Error {}
