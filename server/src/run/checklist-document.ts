/**
 * The checklist: a procedure as it is handed to someone who works by it. Plain JSON (no bigint, no functions, no undefined that
 * matters), so that a page, a file or a sheet of paper can carry it. It holds the Program, which says what happens next, and
 * every text, which says what a person reads. Steps, faults, states, facts and circuits stand at the same index as in the
 * Program. Texts are as written and may hold names in braces (`{relief_pressure}`): fill them with `fillText`.
 */
import type { Finding } from '../findings/finding.ts';
import type { Program } from '../flow/program.ts';
import type { InstrumentCalibration } from './events.ts';

export interface ChecklistDocument {
  /** Version of this shape. */
  readonly format: 1;
  /** The procedure that is run. */
  readonly procedure: ProcedureSheet;
  /** The procedures run from it, directly or further down, by name, each once. */
  readonly called: Readonly<Record<string, ProcedureSheet>>;
  /** Names of procedures that a `run` step wants and nobody has. */
  readonly missing: readonly string[];
  /** SHA-256, lower-case hex, of everything here but `asset`, `assets`, `calibrations` and `standing`: what a technician reads and is judged by. */
  readonly contentHash: string;
  /** The asset it was made for, where one was named. */
  readonly asset?: AssetSheet;
  /** Ids of the assets that the procedure applies to, as the shop's assets file lists them. */
  readonly assets: readonly string[];
  /** The shop's name. */
  readonly shop?: string;
  /** Calibration of the instruments that its steps use, as the shop's file has it. No part of `contentHash`: it changes with time. */
  readonly calibrations?: readonly InstrumentCalibration[];
  readonly standing: Standing;
  /** Cautions about the limits of any checklist; the last thing on every one. */
  readonly closing: readonly string[];
}

/** Whether it may be relied on, in words for the head of every sheet. */
export interface Standing {
  /** Findings that are open, over the procedure and those it runs. */
  readonly errors: number;
  readonly warnings: number;
  readonly hints: number;
  readonly accepted: readonly AcceptedSheet[];
  /** One sentence each; empty for a released procedure without errors. 'This procedure is a draft. Do not work by it.' */
  readonly remarks: readonly string[];
}

export interface AcceptedSheet {
  readonly check: string;
  /** The step or other name it concerns. */
  readonly at?: string;
  /** What the finding says. */
  readonly message: Finding['message'];
  readonly because?: string;
  readonly by?: string;
}

/** One procedure: head, steps, faults. */
export interface ProcedureSheet {
  readonly name: string;
  readonly title: string;
  readonly revision?: string;
  /** `draft`, `in_review`, `released`, `withdrawn`, or what the writer put instead. */
  readonly status?: string;
  readonly purpose: 'fault_finding' | 'inspection';
  readonly complaint?: string;
  readonly approved?: { readonly by?: string; readonly on?: string };
  readonly appliesTo: readonly { readonly fact: string; readonly values: readonly string[] }[];
  readonly interval?: string;
  readonly references: readonly { readonly id: string; readonly title?: string; readonly sheet?: string }[];
  /** What the person doing the whole procedure must hold. */
  readonly qualified: readonly QualificationSheet[];
  /** SHA-256, lower-case hex, of the file's text as UTF-8. */
  readonly textHash: string;
  readonly program: Program;
  /** As `program.steps`. */
  readonly steps: readonly StepSheet[];
  /** As `program.faults`. */
  readonly faults: readonly FaultSheet[];
  /** As `program.facts`. */
  readonly facts: readonly FactSheet[];
  /** As `program.states`. */
  readonly states: readonly StateSheet[];
  /** As `program.circuits`. */
  readonly circuits: readonly CircuitSheet[];
  /** Shop values that its expressions or texts may use. */
  readonly values: readonly ValueSheet[];
}

export interface StepSheet {
  /** As in the Program. */
  readonly index: number;
  readonly name: string;
  /** 'Supply' where the writer gave no title. */
  readonly title: string;
  /** Whether the title is the writer's own. */
  readonly titled: boolean;
  /** Position in its list, from 1; steps after the repair go on counting. */
  readonly number: number;
  readonly section: 'steps' | 'after_repair';
  readonly kind?: 'do' | 'ask' | 'measure' | 'decide' | 'run';
  /** `do`: one action each. */
  readonly actions: readonly string[];
  /** `ask`. */
  readonly question?: string;
  /** `measure`. */
  readonly measures?: MeasureSheet;
  /** `decide`: the expression or fact, as written. */
  readonly decide?: string;
  /** `run`: name and title of the procedure. */
  readonly run?: { readonly name: string; readonly title: string };
  readonly text?: string;
  readonly why?: string;
  readonly note?: string;
  readonly needs: readonly StateLine[];
  readonly during: readonly StateLine[];
  readonly sets: readonly StateLine[];
  /** When it applies, in words: 'tilt sensor: fitted'. Empty: always. */
  readonly onlyIf: readonly string[];
  /** The step's cautions, the worst signal word first. */
  readonly cautions: readonly CautionSheet[];
  readonly instrument?: InstrumentSheet;
  readonly tools: readonly string[];
  /** At least 1. */
  readonly people: number;
  readonly time?: Duration;
  /** A pause before the reading or the end of the step. */
  readonly wait?: Duration;
  /** The longest its `during` states may be held. */
  readonly maxTime?: Duration;
  /** The pause before it is done again. */
  readonly rest?: Duration;
  readonly circuit?: CircuitSheet;
  readonly range?: string;
  readonly probes: readonly ProbeSheet[];
  /** Points of `at_each`: one entry at each. */
  readonly points: readonly PointSheet[];
  readonly judge?: 'highest' | 'lowest' | 'mean' | 'spread' | 'each';
  /** The band that ends a search over the points, as written. */
  readonly seek?: string;
  readonly provesDead?: CircuitSheet;
  readonly repeatAtMost?: number;
  readonly qualified: readonly QualificationSheet[];
  /** What the picture should show. */
  readonly photo?: string;
  /** Path of an image, relative to the procedure's file. */
  readonly figure?: string;
  /** As the Program's results of the step. */
  readonly results: readonly ResultSheet[];
  /** Where a step without results leads. */
  readonly way: WaySheet;
}

export interface ResultSheet {
  /** In canonical words: `at least 12.4 V`, `yes`, `finds low_battery`, `otherwise`. */
  readonly when: string;
  /** As the writer put it. */
  readonly written: string;
  readonly says?: string;
  /** Fault names. */
  readonly rulesOut: readonly string[];
  readonly leaves?: readonly string[];
  readonly sets: readonly StateLine[];
  /** Fault that it records as a defect (inspections). */
  readonly raises?: string;
  readonly way: WaySheet;
}

/** What comes next, with what print needs to say so. */
export type WaySheet =
  /** `written` is true where the writer named the step; else it is the next one in the list. */
  | { readonly kind: 'step'; readonly step: number; readonly name: string; readonly number: number; readonly title: string; readonly written: boolean }
  | { readonly kind: 'finds'; readonly fault: string; readonly title: string; readonly byElimination: boolean }
  | { readonly kind: 'refer'; readonly text: string }
  | { readonly kind: 'passes' }
  | { readonly kind: 'nowhere' };

export interface FaultSheet {
  readonly name: string;
  readonly title: string;
  readonly remedy?: string;
  /** Shown with the remedy, the worst signal word first; absent where there are none. */
  readonly cautions?: readonly CautionSheet[];
  /** What the person who carries it out must hold; absent where nothing is asked. */
  readonly qualified?: readonly QualificationSheet[];
  readonly time?: Duration;
  readonly grade?: 'minor' | 'major' | 'dangerous';
  /** A procedure that goes on from here. */
  readonly procedure?: string;
  readonly weight?: number;
}

export interface FactSheet {
  readonly name: string;
  readonly title: string;
  /** Choices of a fact that is a word; empty for a number. */
  readonly choices: readonly string[];
  /** Quantity word of a number. */
  readonly quantity?: string;
  /** Unit to offer: the usual one of that quantity. */
  readonly unit?: string;
  /** Where it is to be read. */
  readonly from?: string;
}

export interface StateSheet {
  readonly name: string;
  readonly title: string;
  readonly values: readonly string[];
  readonly held: readonly string[];
  readonly changes: readonly StateChangeSheet[];
}

export interface StateChangeSheet {
  readonly to: string;
  readonly do: readonly string[];
  readonly time?: Duration;
  readonly cautions: readonly CautionSheet[];
}

/** A state that must hold, is held, or is brought about. */
export interface StateLine {
  readonly state: string;
  /** Any of these. */
  readonly values: readonly string[];
  /** In words: 'isolator: on', 'platform: stowed or grounded'. */
  readonly words: string;
  /** How to get there, for each of the values that says how. */
  readonly changes: readonly StateChangeSheet[];
}

export interface CircuitSheet {
  readonly name: string;
  readonly title: string;
  readonly nominal?: string;
  readonly category?: string;
  readonly dischargeWait?: Duration;
}

export interface ValueSheet {
  readonly name: string;
  /** As written: `25.3 V`. */
  readonly is: string;
  readonly from?: string;
}

export interface MeasureSheet {
  /** As written: `dc_voltage`. */
  readonly word: string;
  /** 'DC voltage'. */
  readonly title: string;
  /** The unit to offer, as the limits of the step use it, else the usual one. Empty for a pure number. */
  readonly unit: string;
  /** Others that fit, the usual ones first. */
  readonly units: readonly string[];
  /** The words of an instrument that shows no number: lit, dark. Empty for a number. */
  readonly shows: readonly string[];
}

export interface InstrumentSheet {
  readonly name: string;
  readonly title: string;
  readonly category?: string;
  /** What it can do for the quantity of this step, as written. */
  readonly upTo?: string;
  readonly resolution?: string;
  readonly accuracy?: string;
}

export interface CautionSheet {
  /** The caution's name; `step/number` for one written out in place. Acknowledgements refer to it. */
  readonly name: string;
  /** `danger`, `warning`, `caution`, `notice` (ANSI Z535.6), or what the writer put instead. */
  readonly signal: string;
  readonly hazard?: string;
  readonly consequence?: string;
  readonly avoid?: string;
  /** What to wear, in words. */
  readonly wear: readonly string[];
  readonly from?: string;
  /**
   * `every_time`: before each doing of the step (its hazard says so); `once`: once in a run; `shown`: read, nothing to
   * acknowledge.
   */
  readonly acknowledge: 'every_time' | 'once' | 'shown';
}

export interface ProbeSheet {
  /** `red`, `black`, `port` … */
  readonly probe: string;
  readonly place: string;
}

export interface PointSheet {
  readonly name: string;
  readonly title: string;
  /** The point's own probes; those of the step go with them. */
  readonly probes: readonly ProbeSheet[];
}

export interface QualificationSheet {
  readonly name: string;
  readonly title: string;
}

export interface Duration {
  /** As written: `3 min`. */
  readonly text: string;
  readonly seconds: number;
}

export interface AssetSheet {
  readonly id: string;
  /** Facts and data-sheet values, as written. */
  readonly facts: readonly { readonly name: string; readonly value: string }[];
  /** Facts of the procedure that the asset does not give. */
  readonly unknown: readonly string[];
  /** False where `applies_to` leaves it out. */
  readonly applies: boolean;
}
