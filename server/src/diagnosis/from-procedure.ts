/**
 * A procedure as a diagnosis problem. Each step with results is a test; what a result says of a fault comes from its `leaves`,
 * `rules_out` and `finds`.
 *
 * The rule, in full: a fault can give a result that leaves it possible and leads on or finds it (`finds F` only F). Where several results do, each
 * is taken as equally likely. A result that refers, or passes, is what is met when nothing listed is the cause: a fault gives it only
 * where no other result leaves the fault possible.
 *
 * A fault counts as found when a result finds it, or when it is the only one left and the writer lets some result conclude it
 * `by_elimination`. Instructions before the first test (making safe) come first in every order and are counted in each alike.
 */
import { allFaults, faultsAfter, valuesIn } from '../flow/meaning.ts';
import type { Exploration } from '../flow/explore.ts';
import type { Program, ProgramResult, ProgramStep } from '../flow/program.ts';
import { readingUses } from '../flow/readings.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { rationalToNumber } from '../quantity/rational.ts';
import type { DiagnosisProblem, DiagnosisTest, StateMove } from './problem.ts';
import { firstBegun, testContexts } from './test-context.ts';

/** What a step without `time` counts, in minutes. */
export const MINUTES_UNKNOWN = 1;

export interface CostOptions {
  /** Counts a minute once for each person that the step takes. */
  readonly perPerson?: boolean;
  /** Offers, for each fault with a remedy, to repair it and see whether the complaint is gone. */
  readonly repairs?: boolean;
}

export interface ProcedureProblem {
  readonly problem: DiagnosisProblem;
  /** For each test, the index of its step; undefined where it is a repair that is tried. */
  readonly steps: readonly (number | undefined)[];
  /** Steps whose time the writer left out: their minutes are `MINUTES_UNKNOWN`. */
  readonly untimed: readonly string[];
  /** Steps that come first in every order, and what they take together. */
  readonly opening: { readonly steps: readonly number[]; readonly minutes: number };
}

/** The tests, faults and states of the first search. Faults without a weight count 1. */
export function diagnosisProblem(procedure: Procedure, exploration: Exploration, options: CostOptions = {}): ProcedureProblem {
  const { program } = exploration;
  const written = [...procedure.steps, ...procedure.afterRepair];
  const minutesOf = (step: ProgramStep): number => minutesOfStep(written[step.index], options);
  const opening = openingSteps(program);
  const eliminated = new Set(program.steps.flatMap((step) => step.results.flatMap(({ way }) => (way.kind === 'finds' && way.byElimination ? [way.fault] : []))));
  const tests: DiagnosisTest[] = [];
  const steps: (number | undefined)[] = [];
  const untimed: string[] = [];
  const uses = readingUses(procedure);
  const used = new Set(uses.map((use) => use.taker));
  const contexts = testContexts(procedure, exploration, new Set(opening.map((step) => step.index)));
  for (const step of program.steps) {
    if (step.section !== 'steps') continue;
    if (written[step.index]?.time === undefined && step.kind !== 'decide') untimed.push(step.name);
    if (step.results.length === 0 || step.kind === 'do') continue;
    const context = contexts.get(step.index);
    const states: Record<string, string> = { ...context?.states };
    for (const gate of context?.gates ?? []) states[doneState(program.steps[gate] as ProgramStep)] = 'done';
    for (const use of uses) {
      const taker = program.steps[use.taker];
      if (use.user !== step.index || taker === undefined || taker.index === step.index || taker.section !== 'steps') continue;
      // A reading is a state of knowledge: taken once, it is there.
      if (taker.results.length === 0) Object.assign(states, statesNeeded(program, exploration, taker));
      states[readingState(taker)] = 'taken';
    }
    Object.assign(states, statesNeeded(program, exploration, step));
    const sets = { ...statesSet(program, step), ...statesLeftByRun(exploration, step), ...(used.has(step.index) ? { [readingState(step)]: 'taken' } : {}), [doneState(step)]: 'done' };
    steps.push(step.index);
    tests.push({
      name: step.name, minutes: minutesOf(step), outcomes: outcomesOf(program, step), states, sets,
      ...(context?.speaksOf.includes(false) ? { speaksOf: context.speaksOf } : {}),
      ...(written[step.index]?.keepFirst ? { first: true } : {}),
    });
  }
  if (options.repairs) {
    for (const repair of repairTests(procedure, program, options)) {
      tests.push(repair);
      steps.push(undefined);
    }
  }
  return {
    problem: {
      faults: procedure.faults.map((fault, index) => ({ name: fault.name.value, weight: fault.weight?.value ?? 1, ...(eliminated.has(index) ? {} : { confirm: true }) })),
      tests, moves: movesOf(procedure, exploration, minutesOf), start: startOf(program, opening),
    },
    steps, untimed,
    opening: { steps: opening.map((step) => step.index), minutes: opening.reduce((sum, step) => sum + minutesOf(step), 0) },
  };
}

/** Minutes that a step takes as written, its wait included. */
export function minutesOfStep(step: Step | undefined, options: CostOptions = {}): number {
  if (step === undefined) return 0;
  const own = step.time ? minutes(step.time.value) : step.kind === 'decide' ? 0 : MINUTES_UNKNOWN;
  return (own + (step.wait ? minutes(step.wait.value) : 0)) * (options.perPerson ? (step.people?.value ?? 1) : 1);
}

/** The probability of each result of a step for a fault, by the rule at the head of this file. */
export function resultsGiven(program: Program, step: ProgramStep, fault: number): number[] {
  const all = allFaults(program);
  const bit = 1n << BigInt(fault);
  const leaves = (result: ProgramResult): boolean => {
    if (result.way.kind === 'finds' && !result.way.byElimination) return result.way.fault === fault;
    return (faultsAfter(all, result) & bit) !== 0n;
  };
  const leadsOn = (result: ProgramResult): boolean => result.way.kind !== 'refer' && result.way.kind !== 'passes' && result.way.kind !== 'nowhere';
  const choose = (wanted: (result: ProgramResult) => boolean): number[] | undefined => {
    const chosen = step.results.map((result) => wanted(result));
    const count = chosen.filter(Boolean).length;
    return count === 0 ? undefined : chosen.map((is) => (is ? 1 / count : 0));
  };
  return choose((result) => leaves(result) && leadsOn(result)) ?? choose(leaves) ?? step.results.map(() => 1 / Math.max(1, step.results.length));
}

/** Instructions that every walk begins with. */
function openingSteps(program: Program): ProgramStep[] {
  const found: ProgramStep[] = [];
  for (const step of program.steps) {
    const leadsOn = step.way.kind === 'step' && step.way.step === step.index + 1;
    if (step.section !== 'steps' || step.kind !== 'do' || step.onlyIf.length > 0 || !leadsOn) break;
    found.push(step);
  }
  // A loop back into them would make them part of the search.
  const targets = new Set(program.steps.flatMap((step) => step.results.flatMap(({ way }) => (step.section === 'steps' && way.kind === 'step' ? [way.step] : []))));
  const entered = found.findIndex((step) => targets.has(step.index));
  return entered < 0 ? found : found.slice(0, entered);
}

function outcomesOf(program: Program, step: ProgramStep): DiagnosisTest['outcomes'] {
  const byFault = program.faults.map((_, fault) => resultsGiven(program, step, fault));
  return step.results.map((result, index) => ({
    label: result.when.text,
    given: byFault.map((given) => given[index] ?? 0),
    ...(result.way.kind === 'finds' && !result.way.byElimination ? { finds: result.way.fault } : {}),
  }));
}

/**
 * Repairing a fault and looking whether the complaint is gone. Where it is the cause, the repair would have been made in any order and counts
 * nothing; where it is not, it was for nothing. The proof counts either way only where it fails.
 */
function* repairTests(procedure: Procedure, program: Program, options: CostOptions): Generator<DiagnosisTest> {
  for (const [index, fault] of procedure.faults.entries()) {
    if (fault.remedy === undefined || fault.time === undefined) continue;
    const first = program.afterRepair[index];
    const proof = first === undefined ? 0 : procedure.afterRepair.slice(first - procedure.steps.length).reduce((sum, step) => sum + minutesOfStep(step, options), 0);
    yield {
      name: `repair ${fault.name.value}`,
      minutes: 0,
      outcomes: [
        { label: 'the complaint is gone', given: program.faults.map((_, other) => (other === index ? 1 : 0)), finds: index },
        { label: 'no change', given: program.faults.map((_, other) => (other === index ? 0 : 1)), minutes: minutes(fault.time.value) + proof },
      ],
    };
  }
}

/** The states that the step needs, and those that decide about its circuit, as they are when it is first begun. */
function statesNeeded(program: Program, exploration: Exploration, step: ProgramStep): Record<string, string> {
  const circuit = step.circuit === undefined ? undefined : program.circuits[step.circuit];
  const involved = new Set([
    ...step.needs.map((need) => need.state),
    ...[...(circuit?.deadWhen ?? []), ...(circuit?.liveWhen ?? [])].flatMap((alternative) => alternative.map((condition) => condition.state)),
  ]);
  for (const { state } of step.during) involved.delete(state);
  const node = firstBegun(exploration, step.index);
  const needed: Record<string, string> = {};
  for (const index of involved) {
    const state = program.states[index];
    const values = valuesIn(node?.begun[index] ?? 0);
    if (state && values.length === 1) needed[state.name] = state.values[values[0] ?? 0] ?? '';
  }
  return needed;
}

function statesSet(program: Program, step: ProgramStep): Record<string, string> {
  return Object.fromEntries(step.sets.map(({ state, value }) => [program.states[state]?.name ?? '', program.states[state]?.values[value] ?? '']));
}

/** States that a procedure that is run leaves changed, where the search goes on after it. */
function statesLeftByRun(exploration: Exploration, step: ProgramStep): Record<string, string> {
  const { program, nodes, edges, out, nodesOfStep } = exploration;
  const left: Record<string, string> = {};
  if (step.kind !== 'run') return left;
  for (const node of nodesOfStep[step.index] ?? []) {
    const before = nodes[node]?.begun;
    for (const id of out[node] ?? []) {
      const edge = edges[id];
      const to = edge && nodes[edge.to];
      if (before === undefined || to === undefined || edge === undefined || edge.passedOver || to.step === undefined || edge.repairs !== undefined) continue;
      program.states.forEach((state, index) => {
        const values = valuesIn(to.states[index] ?? 0);
        if (before[index] !== to.states[index] && values.length === 1) left[state.name] = state.values[values[0] ?? 0] ?? '';
      });
    }
  }
  return left;
}

/** What each change of state takes: the step of the procedure that makes it, or the change that the state's declaration describes. */
function movesOf(procedure: Procedure, exploration: Exploration, minutesOf: (step: ProgramStep) => number): StateMove[] {
  const { program } = exploration;
  const moves = new Map<string, StateMove>();
  const offer = (move: StateMove): void => {
    if (move.minutes < (moves.get(`${move.state} ${move.to}`)?.minutes ?? Infinity)) moves.set(`${move.state} ${move.to}`, move);
  };
  for (const step of program.steps) {
    if (step.kind === 'decide') continue;
    const left = { ...statesSet(program, step), ...statesLeftByRun(exploration, step) };
    // Whatever a step is done for, all that it brings about is there.
    const also: Record<string, string> = { ...left };
    if (step.section === 'steps') also[doneState(step)] = 'done';
    if (step.kind === 'measure' || step.kind === 'run') also[readingState(step)] = 'taken';
    // A test is done for what it tells, not for the states that it leaves.
    const offered = step.results.length > 0 && step.kind !== 'run' ? Object.keys(also).filter((state) => !(state in left)) : Object.keys(also);
    for (const state of offered) offer({ state, to: also[state] ?? '', minutes: minutesOf(step), also });
  }
  for (const state of procedure.states) {
    for (const change of state.changes) {
      const key = `${state.name.value} ${change.to.value}`;
      if (change.time && !moves.has(key)) moves.set(key, { state: state.name.value, to: change.to.value, minutes: minutes(change.time.value) });
    }
  }
  return [...moves.values()];
}

function readingState(step: ProgramStep): string {
  return `reading ${step.name}`;
}

function doneState(step: ProgramStep): string {
  return `step ${step.name}`;
}

function startOf(program: Program, opening: readonly ProgramStep[]): Record<string, string> {
  const start: Record<string, string> = {};
  for (const state of program.states) if (state.atStart !== undefined) start[state.name] = state.values[state.atStart] ?? '';
  for (const step of opening) Object.assign(start, statesSet(program, step));
  return start;
}

function minutes(quantity: Quantity): number {
  return quantity.unit?.dimension === 'time' ? rationalToNumber(quantity.base) / 60 : 0;
}
