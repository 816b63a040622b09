/**
 * A procedure as a diagnosis problem. Each step with results is a test; what a result says of a fault comes from its `leaves`,
 * `rules_out` and `finds`.
 *
 * The rule, in full: a fault can give a result that leaves it possible and leads on or finds it (`finds F` only F). Where several results do, each
 * is taken as equally likely. A result that refers, or passes, is what is met when nothing listed is the cause: a fault gives it only
 * where no other result leaves the fault possible.
 */
import { faultsAfter, allFaults, valuesIn } from '../flow/meaning.ts';
import type { Exploration } from '../flow/explore.ts';
import type { Program, ProgramResult, ProgramStep } from '../flow/program.ts';
import { readingUses } from '../flow/readings.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { rationalToNumber } from '../quantity/rational.ts';
import type { DiagnosisProblem, DiagnosisTest, StateMove } from './problem.ts';

/** What a step without `time` counts, in minutes. */
export const MINUTES_UNKNOWN = 1;

export interface ProcedureProblem {
  readonly problem: DiagnosisProblem;
  /** For each test, the index of its step. */
  readonly steps: readonly number[];
  /** Steps whose time the writer left out: their minutes are `MINUTES_UNKNOWN`. */
  readonly untimed: readonly string[];
}

/** The tests, faults and states of the first search. Faults without a weight count 1. */
export function diagnosisProblem(procedure: Procedure, program: Program, exploration: Exploration): ProcedureProblem {
  const written = [...procedure.steps, ...procedure.afterRepair];
  const tests: DiagnosisTest[] = [];
  const steps: number[] = [];
  const untimed: string[] = [];
  const uses = readingUses(procedure);
  for (const step of program.steps) {
    if (step.section !== 'steps') continue;
    const source = written[step.index] as Step;
    if (source.time === undefined && step.kind !== 'decide') untimed.push(step.name);
    if (step.results.length === 0 || step.kind === 'do') continue;
    steps.push(step.index);
    tests.push({
      name: step.name,
      minutes: minutesOfStep(source),
      outcomes: outcomesOf(program, step),
      states: statesNeeded(program, exploration, step),
      after: uses.filter((use) => use.user === step.index && use.taker !== step.index).map((use) => program.steps[use.taker]?.name ?? ''),
    });
  }
  return {
    problem: {
      faults: procedure.faults.map((fault) => ({ name: fault.name.value, weight: fault.weight?.value ?? 1 })),
      tests, moves: movesOf(procedure, program, written), start: startOf(program),
    },
    steps, untimed,
  };
}

/** Minutes that a step takes as written, its wait included. */
export function minutesOfStep(step: Step): number {
  const own = step.time ? minutes(step.time.value) : step.kind === 'decide' ? 0 : MINUTES_UNKNOWN;
  return own + (step.wait ? minutes(step.wait.value) : 0);
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

function outcomesOf(program: Program, step: ProgramStep): DiagnosisTest['outcomes'] {
  const byFault = program.faults.map((_, fault) => resultsGiven(program, step, fault));
  return step.results.map((result, index) => ({ label: result.when.text, given: byFault.map((given) => given[index] ?? 0) }));
}

/** The states that the step needs, and those that decide about its circuit, as they are when it is first begun. */
function statesNeeded(program: Program, exploration: Exploration, step: ProgramStep): Record<string, string> {
  const circuit = step.circuit === undefined ? undefined : program.circuits[step.circuit];
  const involved = new Set([
    ...step.needs.map((need) => need.state),
    ...[...(circuit?.deadWhen ?? []), ...(circuit?.liveWhen ?? [])].flatMap((alternative) => alternative.map((condition) => condition.state)),
  ]);
  for (const { state } of step.during) involved.delete(state);
  const node = (exploration.nodesOfStep[step.index] ?? []).map((id) => exploration.nodes[id]).find((candidate) => candidate && !candidate.passedOver);
  const needed: Record<string, string> = {};
  for (const index of involved) {
    const state = program.states[index];
    const values = valuesIn(node?.begun[index] ?? 0);
    if (state && values.length === 1) needed[state.name] = state.values[values[0] ?? 0] ?? '';
  }
  return needed;
}

/** What each change of state takes: the step of the procedure that makes it, or the change that the state's declaration describes. */
function movesOf(procedure: Procedure, program: Program, written: readonly Step[]): StateMove[] {
  const moves = new Map<string, StateMove>();
  for (const step of program.steps) {
    for (const { state, value } of step.sets) {
      const name = program.states[state]?.name ?? '';
      const to = program.states[state]?.values[value] ?? '';
      // A step that sets several states shares its minutes among them.
      const share = minutesOfStep(written[step.index] as Step) / step.sets.length;
      const key = `${name} ${to}`;
      if (share < (moves.get(key)?.minutes ?? Infinity)) moves.set(key, { state: name, to, minutes: share });
    }
  }
  for (const state of procedure.states) {
    for (const change of state.changes) {
      const key = `${state.name.value} ${change.to.value}`;
      if (change.time && !moves.has(key)) moves.set(key, { state: state.name.value, to: change.to.value, minutes: minutes(change.time.value) });
    }
  }
  return [...moves.values()];
}

function startOf(program: Program): Record<string, string> {
  const start: Record<string, string> = {};
  for (const state of program.states) if (state.atStart !== undefined) start[state.name] = state.values[state.atStart] ?? '';
  return start;
}

function minutes(quantity: Quantity): number {
  return quantity.unit?.dimension === 'time' ? rationalToNumber(quantity.base) / 60 : 0;
}
