/**
 * What passes between a panel (in the extension) and its page (in the webview). Types alone, so that both sides may import them.
 * A page opened on its own, outside the editor, sends none of these.
 */

/** Panel → flow page. */
export type ToFlowPage =
  | {
      readonly kind: 'drawing';
      readonly uri: string;
      readonly title: string;
      readonly svg: string;
      readonly steps: readonly string[];
    }
  /** The step at the cursor in the text, or none. */
  | { readonly kind: 'current'; readonly step: string | undefined }
  /** Why the drawing is not newer; the last one stays. Absent text: all is well again. */
  | { readonly kind: 'trouble'; readonly text: string | undefined };

/** Flow page → panel. */
export type FromFlowPage =
  /** `faults`: at each step the faults that are still possible are wanted. */
  | { readonly kind: 'ready'; readonly faults: boolean }
  | { readonly kind: 'faults'; readonly wanted: boolean }
  | { readonly kind: 'reveal'; readonly step: string };

/** Checklist page → panel: a call with a number; the answer carries the same number. */
export interface PageCall {
  readonly call: number;
  readonly method: keyof ChecklistCalls;
  readonly params: unknown;
}

/** Panel → checklist page. */
export type PageAnswer = { readonly call: number; readonly result: unknown } | { readonly call: number; readonly error: string };

/** Method → [parameters, answer]. The shapes of documents and events are those of `run/`. */
export interface ChecklistCalls {
  /** What can be run: the document for this asset, the assets to choose from, runs begun and not finished. */
  look: [{ readonly asset: string | undefined }, Offer];
  /** Begins a run with the document last looked at, or goes on with one. `toStop`: one of another text, to be stopped and no more. */
  open: [{ readonly runId: string | undefined; readonly asset: string | undefined; readonly toStop?: boolean }, Opened];
  /** Goes on with a run by the present text of its procedure; the error says why the rule does not allow it. `at` is ISO 8601. */
  carryOver: [{ readonly runId: string; readonly at: string; readonly person?: string }, Opened];
  /** Resolves once the event is on disk. `index` is its place among the run's events, from 0. */
  append: [{ readonly runId: string; readonly index: number; readonly event: unknown }, null];
  /** Keeps a picture of the run beside its records. `data` is base64. */
  keepPhoto: [{ readonly runId: string; readonly name: string; readonly data: string }, null];
  /** A picture that was kept, in base64; null where it is not there. */
  photo: [{ readonly runId: string; readonly name: string }, string | null];
  /** Writes the record. */
  finish: [{ readonly runId: string }, Finished];
  discard: [{ readonly runId: string }, null];
  /** Shows a step in the text, where there is a text. */
  reveal: [{ readonly step: string }, null];
  openRecord: [{ readonly where: string }, null];
}

export interface Offer {
  /** A ChecklistDocument. */
  readonly document: unknown;
  readonly assets: readonly string[];
  readonly unfinished: readonly Unfinished[];
}

export interface Unfinished {
  readonly runId: string;
  readonly asset?: string;
  readonly revision?: string;
  /** Of the text that it goes by. */
  readonly contentHash?: string;
  /** Who does the work. */
  readonly person?: string;
  readonly paused?: boolean;
  /** ISO 8601. */
  readonly startedAt?: string;
  readonly events: number;
}

export interface Opened {
  readonly runId: string;
  readonly document: unknown;
  readonly events: readonly unknown[];
  /** `PROCEDURE/FIGURE` → data URI. */
  readonly figures?: Readonly<Record<string, string>>;
}

export interface Finished {
  /** Where the record went, as a person would look for it. */
  readonly where: string;
  /** The record's text, where the page may save a copy. */
  readonly content?: string;
}

/** Panel → diagnosis page. */
export type ToDiagnosisPage =
  /** `outcome` is a DiagnosisOutcome. */
  | { readonly kind: 'diagnosis'; readonly uri: string; readonly outcome: unknown }
  | FoundProposal
  /** The edit stands beside the text, to be compared. */
  | { readonly kind: 'shown' }
  /** Why it is not newer; the last one stays. Absent text: all is well again. */
  | { readonly kind: 'trouble'; readonly text: string | undefined };

/** A better order as an edit, or what stands in its way; `waiting` while it is looked for, `failed` with the reason where it could not be. */
export interface FoundProposal {
  readonly kind: 'proposal';
  readonly waiting?: boolean;
  readonly failed?: string;
  /** The edit was shown: it may be applied. */
  readonly shown?: boolean;
  /** What a DiagnosisOutcome says of it. */
  readonly proposal?: unknown;
  readonly beyond?: unknown;
  readonly obstacles: readonly string[];
}

/** Diagnosis page → panel. */
export type FromDiagnosisPage =
  | { readonly kind: 'ready' }
  | { readonly kind: 'reveal'; readonly step: string }
  /** Looks for a better order by these weights and times: a WhatIf. */
  | { readonly kind: 'propose'; readonly change: unknown }
  /** Shows the edit that was proposed beside the text. */
  | { readonly kind: 'show' }
  /** Makes it. */
  | { readonly kind: 'apply' };

/** Panel → review page. `review` is a ReviewResult. */
export type ToReviewPage =
  | { readonly kind: 'review'; readonly uri: string; readonly review: unknown }
  /** Why it is not newer; the last one stays. */
  | { readonly kind: 'trouble'; readonly text: string | undefined };

/** Review page → panel. `since` is a revision of git; `range` counts lines and UTF-16 columns from 0. */
export type FromReviewPage =
  | { readonly kind: 'ready' | 'compare'; readonly since: string }
  | { readonly kind: 'reveal'; readonly range: { readonly start: { readonly line: number; readonly character: number }; readonly end: { readonly line: number; readonly character: number } } };
