/**
 * The one meaning of the language: what a step needs, does to the states and leads to. The checker's exploration applies it to
 * sets of values, the run engine to single ones; both are a word of bits a state, so the code is the same.
 */
import type { Assignment, Condition, Guard, Program, ProgramCircuit, ProgramResult, ProgramState, ProgramStep } from './program.ts';

/** For each state of the program the set of values it may have: bit v is set where value v is possible. */
export type StateVector = readonly number[];

/** For each fact with choices the set of choices still possible. */
export type FactVector = readonly number[];

export type Truth = 'yes' | 'no' | 'maybe';

/** All values of a state. */
export function anyValue(state: ProgramState): number {
  return (1 << Math.max(1, state.values.length)) - 1;
}

/** The states before the first step. */
export function startStates(program: Program): StateVector {
  return program.states.map((state) => (state.atStart === undefined ? anyValue(state) : 1 << state.atStart));
}

/** The facts before the first step: what `applies_to` leaves open. */
export function startFacts(program: Program): FactVector {
  return program.facts.map((fact) =>
    fact.only ? bits(fact.only) : fact.choices.length === 0 ? 0 : (1 << Math.min(30, fact.choices.length)) - 1,
  );
}

export function bits(values: readonly number[]): number {
  let set = 0;
  for (const value of values) set |= 1 << value;
  return set;
}

/** Whether one condition holds: `maybe` where the state's values lie on both sides. */
export function conditionHolds(condition: Condition, states: StateVector): Truth {
  return holds(states[condition.state] ?? 0, bits(condition.values));
}

/** Whether all conditions hold. Independent states make the conjunction exact. */
export function allHold(conditions: readonly Condition[], states: StateVector): Truth {
  let truth: Truth = 'yes';
  for (const condition of conditions) {
    const one = conditionHolds(condition, states);
    if (one === 'no') return 'no';
    if (one === 'maybe') truth = 'maybe';
  }
  return truth;
}

/** Whether one of the alternatives holds. No alternative: no. */
export function anyAlternativeHolds(alternatives: readonly (readonly Condition[])[], states: StateVector): Truth {
  let truth: Truth = 'no';
  for (const alternative of alternatives) {
    const one = allHold(alternative, states);
    if (one === 'yes') return 'yes';
    if (one === 'maybe') truth = 'maybe';
  }
  // `a: on` or `a: off` together cover every value though neither alone does.
  if (truth === 'maybe' && everyCombinationHolds(alternatives, states)) return 'yes';
  return truth;
}

/** A circuit is dead in a vector that satisfies an alternative of `dead_when`. */
export function circuitDead(circuit: ProgramCircuit, states: StateVector): Truth {
  return anyAlternativeHolds(circuit.deadWhen, states);
}

/** A circuit is live when it is not dead and satisfies `live_when`, if given. */
export function circuitLive(circuit: ProgramCircuit, states: StateVector): Truth {
  const dead = circuitDead(circuit, states);
  if (dead === 'yes') return 'no';
  const wanted = circuit.liveWhen === undefined ? 'yes' : anyAlternativeHolds(circuit.liveWhen, states);
  if (wanted === 'no') return 'no';
  return dead === 'maybe' || wanted === 'maybe' ? 'maybe' : 'yes';
}

export function guardHolds(guard: Guard, states: StateVector, facts: FactVector): Truth {
  return guard.kind === 'state' ? conditionHolds(guard, states) : holds(facts[guard.fact] ?? 0, bits(guard.values));
}

/** The states with some set to a value. */
export function withAssignments(states: StateVector, assignments: readonly Assignment[]): StateVector {
  if (assignments.length === 0) return states;
  const next = [...states];
  for (const { state, value } of assignments) next[state] = 1 << value;
  return next;
}

/** The states while a step is done: `during` over those before it. */
export function statesDuring(step: ProgramStep, before: StateVector): StateVector {
  return withAssignments(before, step.during);
}

/** The states after a step and a result of it: the step's `sets`, then the result's. */
export function statesAfter(step: ProgramStep, result: ProgramResult | undefined, before: StateVector): StateVector {
  const after = withAssignments(before, step.sets);
  return result ? withAssignments(after, result.sets) : after;
}

/** The faults possible after a result: `leaves`, then `rules_out`. Bit f of the set is fault f. */
export function faultsAfter(possible: bigint, result: ProgramResult): bigint {
  let after = possible;
  if (result.leaves) after &= faultBits(result.leaves);
  return after & ~faultBits(result.rulesOut);
}

export function faultBits(faults: readonly number[]): bigint {
  let set = 0n;
  for (const fault of faults) set |= 1n << BigInt(fault);
  return set;
}

export function allFaults(program: Program): bigint {
  return (1n << BigInt(program.faults.length)) - 1n;
}

/** The values in a set, by index. */
export function valuesIn(set: number): number[] {
  const found: number[] = [];
  for (let value = 0; set >> value !== 0; value++) if ((set >> value) & 1) found.push(value);
  return found;
}

function holds(possible: number, wanted: number): Truth {
  if ((possible & wanted) === 0) return 'no';
  return (possible & ~wanted) === 0 ? 'yes' : 'maybe';
}

/** Whether every concrete vector within the sets satisfies some alternative; gives up (false) past a few hundred combinations. */
function everyCombinationHolds(alternatives: readonly (readonly Condition[])[], states: StateVector): boolean {
  const involved = [...new Set(alternatives.flatMap((alternative) => alternative.map((condition) => condition.state)))];
  let combinations: number[][] = [[]];
  for (const state of involved) {
    const values = valuesIn(states[state] ?? 0);
    if (combinations.length * values.length > 512) return false;
    combinations = combinations.flatMap((combination) => values.map((value) => [...combination, 1 << value]));
  }
  return combinations.every((combination) => {
    const concrete = [...states];
    involved.forEach((state, index) => {
      concrete[state] = combination[index] ?? 0;
    });
    return alternatives.some((alternative) => allHold(alternative, concrete) === 'yes');
  });
}
