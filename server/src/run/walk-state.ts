/**
 * Where a run stands: the walk that its events have made so far. Computed from events alone (walk.ts), never stored. Maps and
 * arrays here are replaced, not changed, once a walk has been handed out.
 */
import type { Quantity } from '../quantity/quantity.ts';
import type { FactVector, StateVector } from '../flow/meaning.ts';
import { allFaults, startFacts, startStates, valuesIn } from '../flow/meaning.ts';
import { statesByName, withStatesByName } from '../flow/explore.ts';
import type { Program, ProgramStep } from '../flow/program.ts';
import type { ChecklistDocument, ProcedureSheet, StepSheet } from './checklist-document.ts';
import type { InstrumentCalibration } from './events.ts';

/** An entry as the engine understands it. `quantity` holds exact fractions: turn it into text before it leaves the core. */
export type Understood =
  | { readonly kind: 'quantity'; readonly quantity: Quantity }
  /** The meter shows overload. */
  | { readonly kind: 'open' }
  /** A lamp's word, or an answer. */
  | { readonly kind: 'word'; readonly word: string };

/** What was entered at the step at hand, before all of its points are there. */
export interface PointEntry {
  /** Index of the event. */
  readonly event: number;
  readonly point: string | undefined;
  readonly typed: string;
  readonly understood: Understood;
  /** The understood value in words: '12.6 V'. */
  readonly words: string;
  readonly at: string;
  readonly person: string | undefined;
}

/** One procedure on the stack: the one that is run, and those it runs. */
export interface Frame {
  readonly sheet: ProcedureSheet;
  /** Names of the `run` steps that lead here. */
  readonly path: readonly string[];
  step: number;
  states: StateVector;
  possible: bigint;
  /** Reading name → value: `step`, `step.point`, `step.reading`. */
  readings: ReadonlyMap<string, Understood>;
  /** How often each step was done in this search: bounded by `repeat_at_most`. */
  counts: readonly number[];
  /** When each step was last done. */
  lastDone: readonly (string | undefined)[];
  /** How often each step was done in the run. */
  done: readonly number[];
  partial: readonly PointEntry[];
  /** Cautions acknowledged for this doing of the step. */
  acknowledgedHere: readonly string[];
  /** Faults raised as defects, in order. */
  raised: readonly number[];
  /** The fault found, from its finding until the proof of its repair has ended or failed. */
  found: number | undefined;
  /** The remedy was carried out and is being proved, or the search after it goes on. */
  repaired: boolean;
}

export interface Defect {
  readonly procedure: string;
  readonly fault: string;
  readonly title: string;
  readonly grade: 'minor' | 'major' | 'dangerous' | undefined;
  readonly remedy: string | undefined;
  readonly step: string;
}

/** One line of the walk: a step done, passed over or decided, a remedy, a fact given. */
export interface WalkLine {
  readonly kind: 'step' | 'passed_over' | 'decided' | 'ran' | 'remedy' | 'fact' | 'states';
  readonly path: readonly string[];
  /** Titles of the procedures from the one run down to this one. */
  readonly inside: readonly string[];
  readonly procedure: string;
  readonly section: 'steps' | 'after_repair' | undefined;
  readonly step: string;
  readonly title: string;
  readonly number: number;
  /** Entries, or none where nothing was entered. */
  readonly entries: readonly PointEntry[];
  /** The event that completed it; undefined where nothing was entered. */
  readonly event: number | undefined;
  /** In words where there is no entry: 'done', 'passed over: tilt sensor is not fitted'. */
  readonly words: string;
  /** The limits of all results in words, with the values of this run. */
  readonly limits: readonly string[];
  /** `when` of the results taken, as written; one, or one a point. */
  readonly results: readonly string[];
  readonly judgement: string | undefined;
  readonly remarks: readonly string[];
  readonly startedAt: string;
  readonly endedAt: string;
  readonly person: string | undefined;
  /** The second person, at a step for two or more. */
  readonly helper?: string | undefined;
  readonly instrument: string | undefined;
  /** Until when the instrument is calibrated, where that is known. */
  readonly calibratedUntil?: string | undefined;
}

export interface Outcome {
  readonly kind: 'passed' | 'referred' | 'found' | 'repaired' | 'stopped' | 'no_way_on';
  readonly words: string;
  readonly fault: string | undefined;
  readonly remedyCarriedOut: boolean | undefined;
}

/** A picture that counts. */
export interface WalkPhoto {
  readonly name: string;
  readonly digest: string | undefined;
  readonly caption: string | undefined;
  readonly step: string;
  readonly at: string;
  readonly person: string | undefined;
}

export interface Walk {
  readonly document: ChecklistDocument;
  stage: 'not_started' | 'fact' | 'step' | 'remedy' | 'ended' | 'finished' | 'stopped';
  /** The last one is at hand. */
  frames: readonly Frame[];
  /** Facts known, as text. */
  facts: ReadonlyMap<string, { readonly text: string; readonly source: 'asset' | 'given' }>;
  /** The fact asked for before the walk can go on. */
  wantedFact: string | undefined;
  /** A state whose value the walk depends on and nobody knows. */
  wantedState: string | undefined;
  /** Cautions acknowledged once in this run. */
  acknowledged: ReadonlySet<string>;
  lines: readonly WalkLine[];
  judgement: string | undefined;
  defects: readonly Defect[];
  outcome: Outcome | undefined;
  remedies: readonly { readonly fault: string; readonly carriedOut: boolean; readonly text: string | undefined; readonly at: string; readonly person: string | undefined }[];
  asset: string | undefined;
  person: string | undefined;
  /** Who works beside the person now. */
  helper: string | undefined;
  paused: boolean;
  startedAt: string | undefined;
  /** Time of the last event. */
  lastAt: string | undefined;
  /** When the step at hand came up. */
  stepSince: string | undefined;
  /** When the wait of the step at hand was begun, or that it was said to have been kept before. */
  wait: { readonly since: string; readonly already: boolean } | undefined;
  /** Time passed between events, pauses left out and nothing counted where a clock went back. */
  workedMilliseconds: number;
  /** The same since the step at hand came up. */
  stepMilliseconds: number;
  notes: readonly { readonly text: string; readonly step: string; readonly at: string; readonly person: string | undefined }[];
  photos: readonly WalkPhoto[];
  instruments: readonly { readonly instrument: string; readonly id: string; readonly calibratedUntil: string | undefined; readonly at: string }[];
  /** Of the shop's instruments at the start. */
  calibrations: readonly InstrumentCalibration[];
  clockRemarks: readonly string[];
  /** Content hashes of earlier texts that the run was carried over from: it may have begun with one of them. */
  readonly former: ReadonlySet<string>;
  carriedOver: readonly CarriedOver[];
}

/** The run went on by another text of the procedure. */
export interface CarriedOver {
  readonly was: string;
  readonly contentHash: string;
  readonly wasRevision?: string;
  readonly revision?: string;
  readonly at: string;
  readonly person?: string;
}

export function emptyWalk(document: ChecklistDocument, former: ReadonlySet<string> = new Set()): Walk {
  return {
    document, stage: 'not_started', frames: [], facts: new Map(), wantedFact: undefined, wantedState: undefined, acknowledged: new Set(),
    lines: [], judgement: undefined, defects: [], outcome: undefined, remedies: [], asset: undefined,
    person: undefined, helper: undefined, paused: false, startedAt: undefined, lastAt: undefined, stepSince: undefined, wait: undefined, workedMilliseconds: 0,
    stepMilliseconds: 0, notes: [], photos: [], instruments: [], calibrations: [], clockRemarks: [], former, carriedOver: [],
  };
}

/** A copy whose fields may be replaced without the original noticing. */
export function copyWalk(walk: Walk): Walk {
  return { ...walk, frames: walk.frames.map((frame) => ({ ...frame })) };
}

/** A frame at the first step of a procedure. States that its caller knows come from there, the others start as it says. */
export function openFrame(sheet: ProcedureSheet, path: readonly string[], from?: Frame): Frame {
  const { program } = sheet;
  const start = startStates(program);
  return {
    sheet, path, step: 0,
    states: from ? withStatesByName(program, start, statesByName(from.sheet.program, from.states)) : start,
    possible: allFaults(program), readings: new Map(), counts: program.steps.map(() => 0), done: program.steps.map(() => 0),
    lastDone: program.steps.map(() => undefined), partial: [], acknowledgedHere: [], raised: [], found: undefined, repaired: false,
  };
}

export function frameAtHand(walk: Walk): Frame | undefined {
  return walk.frames[walk.frames.length - 1];
}

export function programStepAtHand(frame: Frame): ProgramStep | undefined {
  return frame.sheet.program.steps[frame.step];
}

export function stepSheetAtHand(frame: Frame): StepSheet | undefined {
  return frame.sheet.steps[frame.step];
}

/** For each fact of a program the choices still possible: one where the fact is known. */
export function factVector(program: Program, walk: Walk): FactVector {
  const free = startFacts(program);
  return program.facts.map((fact, index) => {
    const known = walk.facts.get(fact.name);
    const choice = known === undefined ? -1 : fact.choices.indexOf(known.text.trim());
    return choice < 0 ? (free[index] ?? 0) : 1 << choice;
  });
}

/** Names of the faults in a set. */
export function faultNames(sheet: ProcedureSheet, set: bigint): string[] {
  return sheet.program.faults.filter((_, index) => (set >> BigInt(index)) & 1n);
}

/** State name → values it may have, in words. */
export function stateWords(frame: Frame): Record<string, string[]> {
  return Object.fromEntries(frame.sheet.program.states.map((state, index) => [
    state.name, valuesIn(frame.states[index] ?? 0).map((value) => state.values[value] ?? ''),
  ]));
}

export function sheetNamed(document: ChecklistDocument, name: string): ProcedureSheet | undefined {
  // `called` may have been read from a file: a name such as `constructor` must not reach what every object has.
  return Object.hasOwn(document.called, name) ? document.called[name] : name === document.procedure.name ? document.procedure : undefined;
}
