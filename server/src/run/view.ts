/** What a page or a terminal shows at this moment of a run: types alone. view-of-run.ts fills them. Texts are final: names in
 * braces are filled in, limits are in words with the values of this run. */
import type { CautionSheet, CircuitSheet, InstrumentSheet, ProbeSheet, QualificationSheet, StateChangeSheet } from './checklist-document.ts';

export interface RunView {
  /** `fact`: a fact is asked for first. `step`: a step is at hand. `remedy`: a fault is found. `ended`: the ending is to be agreed to. */
  readonly stage: 'not_started' | 'fact' | 'step' | 'remedy' | 'ended' | 'finished' | 'stopped';
  readonly paused: boolean;
  readonly procedure: { readonly name: string; readonly title: string; readonly revision?: string; readonly status?: string };
  readonly asset?: string;
  /** Who does the work now, and who works beside that person. */
  readonly person?: string;
  readonly helper?: string;
  /** Head of every sheet: draft, withdrawn, open errors. */
  readonly remarks: readonly string[];
  /** Titles from the procedure run down to the one at hand; more than one inside a `run` step. */
  readonly inside: readonly string[];
  /** 'step 7 of about 12'. */
  readonly position: string;
  /** From 0 to 1: for a bar. */
  readonly progress: number;
  readonly step?: StepView;
  readonly field?: FieldView;
  /** What the last entry came to: '11.8 V is below 12.4 V: battery discharged'. */
  readonly judgement?: string;
  /** The words of the one large button: what happens next. */
  readonly next: string;
  /** Faults that may still be the cause; empty for an inspection. */
  readonly faultsLeft: readonly { readonly name: string; readonly title: string }[];
  readonly defects: readonly DefectView[];
  readonly remedy?: RemedyView;
  readonly ending?: EndingView;
  /** Everything up to here, oldest first: shown folded, opened to correct. */
  readonly walked: readonly WalkedView[];
  /** Seconds since the start without pauses, and since this step came up; clamped at 0 when a clock went back. */
  readonly elapsedSeconds: number;
  readonly stepSeconds: number;
  readonly closing: readonly string[];
  /** In words, where the run went on by another text of the procedure. */
  readonly carriedOver: readonly string[];
}

export interface StepView {
  readonly name: string;
  readonly title: string;
  readonly number: number;
  readonly kind: 'do' | 'ask' | 'measure' | 'decide' | 'run';
  /** The step's cautions, whole, the worst first. */
  readonly cautions: readonly CautionView[];
  /** States that must hold before it begins. */
  readonly needs: readonly NeedView[];
  /** States to hold only while it is done, in words. */
  readonly during: readonly string[];
  /** Words for what is dangerous or doubtful about doing this step now. */
  readonly warnings: readonly string[];
  readonly actions: readonly string[];
  readonly question?: string;
  readonly text?: string;
  readonly why?: string;
  readonly note?: string;
  /** With its number and calibration where they are known; `calibration` as of the last event. */
  readonly instrument?: InstrumentView;
  /** 'DC voltage, range 60 V'. */
  readonly quantity?: string;
  readonly circuit?: CircuitSheet & { readonly condition: 'dead' | 'live' | 'neither' | 'unknown' };
  readonly probes: readonly ProbeSheet[];
  readonly tools: readonly string[];
  readonly people: number;
  readonly qualified: readonly QualificationSheet[];
  /** Seconds to count down before the entry. */
  readonly waitSeconds?: number;
  /** When the wait began (ISO 8601), once that was said; `waitKept`: the person says that it was kept before. */
  readonly waitSince?: string;
  readonly waitKept?: boolean;
  /** The longest the step may hold its `during` states. */
  readonly maxSeconds?: number;
  /** Pause before the step is done again; only where it was done before. Count from `restSince`. */
  readonly restSeconds?: number;
  readonly restSince?: string;
  readonly expectedSeconds?: number;
  readonly photo?: string;
  readonly figure?: string;
  /** For each result: its limit or answer in words, with values. */
  readonly limits: readonly LimitView[];
  readonly points: readonly PointView[];
  /** How often it was done before in this run. */
  readonly doneBefore: number;
}

export interface InstrumentView extends InstrumentSheet {
  readonly number?: string;
  /** ISO 8601 date. */
  readonly calibratedUntil?: string;
  readonly calibration?: 'in_date' | 'due_soon' | 'overdue';
  /** Numbers to choose from, where the shop lists several and none was given. */
  readonly numbers: readonly string[];
}

export interface CautionView extends CautionSheet {
  /** True where nothing is to be acknowledged (any more). */
  readonly acknowledged: boolean;
}

export interface NeedView {
  readonly state: string;
  /** Any of these. */
  readonly values: readonly string[];
  readonly words: string;
  /** `yes`: it holds by what was done so far. Else it is to be brought about and confirmed. */
  readonly holds: 'yes' | 'no' | 'unknown';
  readonly changes: readonly StateChangeSheet[];
}

export interface LimitView {
  /** 'at least 23.6 V (supply - 1.5 V)'. */
  readonly words: string;
  readonly written: string;
  readonly says?: string;
  /** 'go to step 7', 'battery discharged', 'the next step'. */
  readonly leadsTo: string;
}

export interface PointView {
  readonly name: string;
  readonly title: string;
  readonly probes: readonly ProbeSheet[];
  /** What was entered there so far. */
  readonly typed?: string;
  readonly understood?: string;
  /** Whether the field is about this point. */
  readonly current: boolean;
}

/** What may be entered now. Send the matching event. */
export type FieldView =
  /** → `acknowledged` with these names. */
  | { readonly kind: 'acknowledge'; readonly cautions: readonly string[] }
  /** → `states_confirmed` with these states (choose one value where there are several). */
  | { readonly kind: 'confirm_states'; readonly states: readonly { readonly state: string; readonly title: string; readonly values: readonly string[] }[] }
  /** → `fact`. Choices, or a quantity to type. */
  | { readonly kind: 'fact'; readonly fact: string; readonly title: string; readonly from?: string; readonly choices: readonly string[]; readonly unit: string }
  /** → `answer`. Where `free` is true any other text is taken too. */
  | { readonly kind: 'answer'; readonly step: string; readonly point?: string; readonly label: string; readonly choices: readonly ChoiceView[]; readonly free: boolean }
  /** → `reading`. `shows` holds the words of a lamp; then nothing is typed but one of them. */
  | { readonly kind: 'reading'; readonly step: string; readonly point?: string; readonly label: string; readonly word: string; readonly unit: string; readonly units: readonly string[]; readonly shows: readonly string[] }
  /** → `done`. */
  | { readonly kind: 'done'; readonly step: string; readonly label: string }
  /** → `remedy`. */
  | { readonly kind: 'remedy' }
  /** → `finished`. */
  | { readonly kind: 'finish' }
  /** → `resumed`. */
  | { readonly kind: 'resume' };

export interface ChoiceView {
  /** To send as `typed`. */
  readonly value: string;
  readonly says?: string;
}

export interface DefectView {
  readonly fault: string;
  readonly title: string;
  readonly grade?: 'minor' | 'major' | 'dangerous';
  readonly step: string;
  readonly remedy?: string;
  /** Title of the procedure that raised it. */
  readonly procedure: string;
}

export interface RemedyView {
  readonly fault: string;
  readonly title: string;
  readonly remedy?: string;
  /** To be shown with the remedy, the worst first; absent where there are none. */
  readonly cautions?: readonly CautionSheet[];
  /** What the person who carries it out must hold. */
  readonly qualified?: readonly QualificationSheet[];
  readonly expectedSeconds?: number;
  /** Name of the procedure that goes on from here. */
  readonly procedure?: string;
  /** Whether the repair is to be proved by further steps. */
  readonly proof: boolean;
}

export interface EndingView {
  readonly kind: 'passed' | 'referred' | 'found' | 'repaired' | 'stopped' | 'no_way_on';
  /** One sentence: what the run came to. */
  readonly words: string;
  readonly fault?: string;
  /** Of an inspection that passed, and of no other: the worst grade raised. */
  readonly verdict?: 'no_defect' | 'minor' | 'major' | 'dangerous';
  /** What it means for the use of the asset: whether it may be used or driven, and what must be done first. */
  readonly disposition: string;
  /** The same, one thing a line, the gravest first. */
  readonly use: readonly string[];
  /** States that every ending should leave and this one does not, in words, and how to get there. */
  readonly putBack: readonly NeedView[];
}

export interface WalkedView {
  /** Index of the event that a correction names; absent where there is nothing to correct. */
  readonly entry?: number;
  readonly inside: readonly string[];
  readonly step: string;
  readonly title: string;
  readonly number: number;
  readonly point?: string;
  /** What was done or typed: '11.8 V', 'motor_runs', 'done', 'passed over: tilt sensor is not fitted'. */
  readonly entered: string;
  readonly judgement?: string;
  /** The entry as first typed, where it was corrected. */
  readonly original?: string;
  readonly at: string;
  readonly person?: string;
  /** What is to be known beside it: a wait not kept, too close to a limit for the instrument. */
  readonly remarks: readonly string[];
  /** Whether a correction with a new value makes sense; else it can only be taken back. */
  readonly retype: boolean;
}
