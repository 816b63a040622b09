/** What a walk asks for now, and what its states say: answers to questions about where it stands. Only setStates and blurStates change it. */
import { anyValue, bits, circuitDead, circuitLive, conditionHolds, statesDuring } from '../flow/meaning.ts';
import { statesByName, withStatesByName } from '../flow/explore.ts';
import type { Condition, ProgramStep } from '../flow/program.ts';
import type { JudgeContext } from './judge.ts';
import { frameAtHand, programStepAtHand, stepSheetAtHand, type Frame, type Walk } from './walk-state.ts';

export function judgeContext(walk: Walk, frame: Frame): JudgeContext {
  return { sheet: frame.sheet, readings: frame.readings, facts: walk.facts };
}

/** What must be done before anything can be entered at the step at hand: cautions first, then states. */
export function cautionsToAcknowledge(walk: Walk): string[] {
  const frame = frameAtHand(walk);
  const sheet = frame && stepSheetAtHand(frame);
  if (frame === undefined || sheet === undefined || walk.stage !== 'step' || frame.partial.length > 0) return [];
  return openCautions(walk, frame);
}

/** Cautions of the step at hand that have not been acknowledged as they must be. */
export function openCautions(walk: Walk, frame: Frame): string[] {
  return (stepSheetAtHand(frame)?.cautions ?? [])
    .filter((caution) => {
      if (caution.acknowledge === 'shown' || frame.acknowledgedHere.includes(caution.name)) return false;
      return caution.acknowledge === 'every_time' || !walk.acknowledged.has(acknowledgementKey(frame, caution.name));
    })
    .map((caution) => caution.name);
}

/** A caution written out in place bears the name of its step: told apart by procedure. */
export function acknowledgementKey(frame: Frame, caution: string): string {
  return caution.includes('/') ? `${frame.sheet.name}/${caution}` : caution;
}

/** Conditions of `needs` that do not certainly hold by what was done so far. */
export function unmetNeeds(walk: Walk): Condition[] {
  const frame = frameAtHand(walk);
  const step = frame && programStepAtHand(frame);
  if (frame === undefined || step === undefined || walk.stage !== 'step' || frame.partial.length > 0) return [];
  return step.needs.filter((need) => conditionHolds(need, frame.states) !== 'yes');
}

/** States that every ending should leave and this one does not. */
export function statesToPutBack(walk: Walk): Condition[] {
  const frame = frameAtHand(walk);
  return frame === undefined || walk.outcome === undefined ? [] : notAsAtEnd(frame);
}

/** Of one procedure: the states that are not, for certain, as every ending of it should leave them. */
export function notAsAtEnd(frame: Frame): Condition[] {
  return frame.sheet.program.states.flatMap((state, index) => {
    if (state.atEnd === undefined || state.atEnd.length === 0) return [];
    const condition: Condition = { state: index, values: state.atEnd };
    return conditionHolds(condition, frame.states) === 'yes' ? [] : [condition];
  });
}

/**
 * Every procedure that is open, the outermost first, each with what those run from it have done to its states since: a run that is broken off
 * inside another procedure has not told them yet.
 */
export function framesWithStates(walk: Walk): Frame[] {
  return walk.frames.map((frame, at) => walk.frames.slice(at + 1).reduce((outer, inner) => ({
    ...outer, states: withStatesByName(outer.sheet.program, outer.states, statesByName(inner.sheet.program, inner.states)),
  }), frame));
}

/** Whether the circuit of a step is dead or live while the step is done. */
export function circuitCondition(frame: Frame, step: ProgramStep): 'dead' | 'live' | 'neither' | 'unknown' | undefined {
  const circuit = frame.sheet.program.circuits[step.circuit ?? step.provesDead ?? -1];
  if (circuit === undefined) return undefined;
  const states = statesDuring(step, frame.states);
  const dead = circuitDead(circuit, states);
  const live = circuitLive(circuit, states);
  if (dead === 'yes') return 'dead';
  if (live === 'yes') return 'live';
  return dead === 'no' && live === 'no' ? 'neither' : 'unknown';
}

/** The next point of the step at hand without an entry; undefined where the step has no points or all are there. */
export function pointAtHand(frame: Frame): string | undefined {
  return stepSheetAtHand(frame)?.points.find((point) => !frame.partial.some((entry) => entry.point === point.name))?.name;
}

/** The step with which the proof of the repair begins; undefined where there is none. */
export function proofOf(frame: Frame): number | undefined {
  const proof: unknown = frame.sheet.program.afterRepair[frame.found ?? -1];
  // What was undefined in a list has become null on its way through JSON.
  return typeof proof === 'number' ? proof : undefined;
}

/** Sets states to single values by name; what the program does not know is passed over. */
export function setStates(frame: Frame, states: Readonly<Record<string, string>>): void {
  frame.states = frame.states.map((set, index) => {
    const state = frame.sheet.program.states[index];
    const value = state && Object.hasOwn(states, state.name) ? state.values.indexOf(states[state.name] ?? '') : -1;
    return value < 0 ? set : bits([value]);
  });
}

/** Makes states uncertain: each may now also have the values given. */
export function blurStates(walk: Walk, also: ReadonlyMap<string, readonly string[]>): void {
  for (const frame of walk.frames) {
    frame.states = frame.states.map((set, index) => {
      const state = frame.sheet.program.states[index];
      const values = state && also.get(state.name);
      if (state === undefined || values === undefined) return set;
      return (set | bits(values.map((value) => state.values.indexOf(value)).filter((value) => value >= 0))) & anyValue(state);
    });
  }
}
