/**
 * Every message beyond the language server protocol that passes between an editor and the server: names, parameters and
 * answers. The client imports only these types. Positions are those of LSP: lines and UTF-16 columns from 0.
 */
import type { WhatIf } from '../diagnosis/what-if.ts';
import type { DiagnosisOutcome } from '../features/diagnosis.ts';
import type { ReviewItem } from '../render/review-words.ts';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import type { RunEvent } from '../run/events.ts';

export interface WirePosition {
  readonly line: number;
  readonly character: number;
}

export interface WireRange {
  readonly start: WirePosition;
  readonly end: WirePosition;
}

/** Asked of the editor, for files of a folder that is on no disk: the text of a file, or null where there is none. */
export interface ReadFileParams {
  readonly uri: string;
}

/** Asked of the editor: the URIs of the files of ours in a folder and below it. */
export interface ListFilesParams {
  readonly uri: string;
}

/** Argument of `faultwright.showPlaces`: shown over the text at `position`. */
export interface ShownPlaces {
  readonly uri: string;
  readonly position: WirePosition;
  readonly locations: readonly { readonly uri: string; readonly range: WireRange }[];
}

/** Argument of `faultwright.showWalk`: the steps in the order walked, the one where it arrives last. */
export interface ShownWalk {
  readonly uri: string;
  readonly steps: readonly { readonly step: string; readonly result?: string; readonly range?: WireRange }[];
}

export interface FlowParams {
  readonly uri: string;
  /** Shows at each step which faults are still possible. */
  readonly faults?: boolean;
}

/** A step of the drawing and where it stands in the text. */
export interface FlowStep {
  readonly name: string;
  readonly section: 'steps' | 'after_repair';
  /** The whole step. */
  readonly range: WireRange;
  /** Its name alone: what a click reveals. */
  readonly nameRange: WireRange;
}

export interface FlowResult {
  /** Self-contained SVG; each step's group carries `data-step="NAME"`. Colours are CSS variables with fallbacks. */
  readonly svg: string;
  readonly title: string;
  readonly steps: readonly FlowStep[];
  /** Version of the document the drawing shows; null when it was read from disk. */
  readonly version: number | null;
}

export interface ChecklistParams {
  readonly uri: string;
  readonly asset?: string;
}

export interface ChecklistResult {
  readonly document: ChecklistDocument;
  /** Assets to which the procedure applies, by id. */
  readonly assets: readonly string[];
  /** Findings at error that stand against the procedure: the page warns before a run begins. */
  readonly errors: number;
  /** Where journals and records of this procedure go: the folder of its nearest shop.yaml, else its own. */
  readonly folder: string;
}

export interface DiagnosisParams {
  readonly uri: string;
  /** Of a proposal: other weights and times to go by than those written. */
  readonly change?: WhatIf;
}

/** Answered with the error ContentModified where the text was changed before it was worked out: whoever still wants it asks again. */
export interface DiagnosisResult {
  /** Plain JSON; the search in it is not exhaustive, as the page makes its own. */
  readonly outcome: DiagnosisOutcome;
  readonly steps: readonly FlowStep[];
  readonly version: number | null;
}

export interface DiagnosisProposalResult {
  /** Absent where no better order could be had by moving steps. */
  readonly proposal?: Omit<NonNullable<DiagnosisOutcome['proposal']>, 'edit' | 'text'> & { readonly range: WireRange; readonly newText: string };
  readonly beyond?: DiagnosisOutcome['beyond'];
  readonly obstacles: readonly string[];
  /** Of the text that `range` counts in. */
  readonly version: number | null;
}

export interface ReviewParams {
  readonly uri: string;
  /** A revision of git; absent: the last commit. */
  readonly since?: string;
}

/** What changed in a file, in sentences, what bears on safety first. */
export interface ReviewResult {
  readonly title: string;
  readonly identity: string;
  readonly since: string;
  readonly sections: readonly { readonly title: string; readonly items: readonly ReviewLine[] }[];
  readonly version: number | null;
}

export interface ReviewLine extends Omit<ReviewItem, 'span'> {
  /** Where it is in the text as it is now. */
  readonly range?: WireRange;
}

export interface RunOpenParams {
  readonly folder: string;
  /** Goes on with a run whose journal is there; absent: a new run begins with `document`. */
  readonly runId?: string;
  readonly document?: ChecklistDocument;
}

export interface RunOpenResult {
  readonly runId: string;
  /** What the run was begun with: a resumed run keeps the text it started on. */
  readonly document: ChecklistDocument;
  /** Empty for a new run. */
  readonly events: readonly RunEvent[];
}

export interface RunAppendParams {
  readonly folder: string;
  readonly runId: string;
  readonly event: RunEvent;
  /** How many events the page has seen: refused where the journal has more or fewer, as when two panels share a run. */
  readonly index?: number;
}

/** Goes on with a run by another text of its procedure; rejects, with the reason, where the rule does not allow it. */
export interface RunCarryOverParams {
  readonly folder: string;
  readonly runId: string;
  /** The checklist that it is to follow from here on. */
  readonly document: ChecklistDocument;
  /** ISO 8601 with offset. */
  readonly at: string;
  readonly person?: string;
}

/** Sent only once the event is on disk (fsync). */
export interface RunAppendResult {
  readonly events: number;
}

export interface RunFinishParams {
  readonly folder: string;
  readonly runId: string;
}

export interface RunFinishResult {
  /** Absolute path of the record. */
  readonly path: string;
  readonly uri: string;
}

export interface RunsParams {
  readonly folder: string;
}

/** A run that was begun and neither finished nor given up. */
export interface UnfinishedRun {
  readonly runId: string;
  readonly procedure: string;
  readonly asset?: string;
  readonly revision?: string;
  readonly contentHash?: string;
  /** Who does the work. */
  readonly person?: string;
  readonly paused?: boolean;
  /** ISO 8601, as its first event says. */
  readonly startedAt?: string;
  readonly events: number;
}

export interface RunDiscardParams {
  readonly folder: string;
  readonly runId: string;
}

export interface RecordsParams {
  /** Any file or folder of the library. */
  readonly uri: string;
}

export interface RecordSummary {
  readonly path: string;
  readonly uri: string;
  readonly procedure: string;
  readonly asset?: string;
  readonly finishedAt?: string;
  readonly verdict: string;
}

/** One question of a new procedure. */
export interface WireQuestion {
  readonly id: string;
  /** {0} stands for the first of `values`: so that a client may put the sentence into another language. */
  readonly text: string;
  readonly values?: readonly string[];
  readonly help?: string;
  readonly choices?: readonly { readonly value: string; readonly label: string; readonly values?: readonly string[]; readonly detail?: string }[];
  readonly suggestion?: string;
}

export interface NewProcedureParams {
  /** The folder it will stand in. */
  readonly folder: string;
  /** Question → answer, so far. */
  readonly answers: Readonly<Record<string, string>>;
  /** An answer that is being typed: only whether it will do is asked. */
  readonly checking?: { readonly id: string; readonly answer: string };
}

/** A file that a command wrote, before it is anywhere on disk. */
export interface WrittenFile {
  readonly uri: string;
  readonly name: string;
  readonly text: string;
  /** What the checks say of it, errors and warnings alone. */
  readonly findings: readonly string[];
}

export interface NewProcedureResult {
  readonly question?: WireQuestion;
  /** How many questions there are, as far as the answers show. */
  readonly count: number;
  /** Why the answer that was asked about will not do. */
  readonly problem?: string;
  /** Once every question has its answer. */
  readonly written?: WrittenFile;
}

export interface DraftParams {
  /** The document's text. */
  readonly prose: string;
  readonly folder: string;
  /** What it is called where the document does not say. */
  readonly title?: string;
}

export interface DraftResult extends WrittenFile {
  readonly steps: number;
}

export interface WireEdit {
  readonly range: WireRange;
  readonly newText: string;
}

export interface ExtractParams {
  readonly uri: string;
  readonly range: WireRange;
  /** Of the new procedure; absent: only a name is suggested. */
  readonly name?: string;
}

/** `problem` says why it cannot be done, in a sentence. */
export interface ExtractResult {
  readonly problem?: string;
  readonly suggestion?: string;
  readonly edits?: readonly WireEdit[];
  readonly file?: { readonly uri: string; readonly text: string };
  /** Of the document that `edits` count in. */
  readonly version?: number | null;
}

export interface InlineParams {
  readonly uri: string;
  readonly position: WirePosition;
}

export type InlineResult = Pick<ExtractResult, 'problem' | 'edits' | 'version'>;

/** Sent after findings were published: drawings and checklists of this file may be out of date. */
export interface AnalysedParams {
  readonly uri: string;
  /** Null for a file that is not open. */
  readonly version: number | null;
}

/** Method → [parameters, answer]. An answer is null where the file is no procedure or cannot be drawn. */
export interface FaultwrightRequests {
  /** The text that an editor shows under a URI of the scheme `faultwright-catalogue`. */
  'faultwright/catalogue': [null, string];
  'faultwright/flow': [FlowParams, FlowResult | null];
  'faultwright/checklist': [ChecklistParams, ChecklistResult | null];
  'faultwright/diagnosis': [DiagnosisParams, DiagnosisResult | null];
  'faultwright/diagnosisProposal': [DiagnosisParams, DiagnosisProposalResult | null];
  /** Rejects with a sentence for a person where no earlier text can be had. */
  'faultwright/review': [ReviewParams, ReviewResult | null];
  'faultwright/newProcedure': [NewProcedureParams, NewProcedureResult];
  'faultwright/draft': [DraftParams, DraftResult];
  'faultwright/extractSteps': [ExtractParams, ExtractResult];
  'faultwright/inlineRun': [InlineParams, InlineResult];
  'faultwright/runOpen': [RunOpenParams, RunOpenResult];
  'faultwright/runAppend': [RunAppendParams, RunAppendResult];
  'faultwright/runCarryOver': [RunCarryOverParams, RunOpenResult];
  'faultwright/runFinish': [RunFinishParams, RunFinishResult];
  'faultwright/runsUnfinished': [RunsParams, readonly UnfinishedRun[]];
  'faultwright/runDiscard': [RunDiscardParams, null];
  'faultwright/records': [RecordsParams, readonly RecordSummary[]];
}

/** Method → parameters. */
export interface FaultwrightNotifications {
  'faultwright/analysed': AnalysedParams;
}
