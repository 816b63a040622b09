/**
 * A procedure as a diagnosis problem. Each step with results is a test; what a result says of a fault comes from its `leaves`,
 * `rules_out` and `finds`.
 *
 * The rule, in full: a fault can give a result that leaves it possible and leads on or finds it (`finds F` only F). Where several results do, each
 * is taken as equally likely. A result that refers, or passes, is what is met when nothing listed is the cause: a fault gives it only
 * where no other result leaves the fault possible.
 *
 * A fault counts as found when a result finds it, or when it is the only one left and the writer lets some result conclude it
 * `by_elimination`. Where all other results of that test refer or pass, the test may still refute it: then it must be done. Instructions before the first test (making safe) come first in every order and are counted in each alike.
 */
import { allFaults, faultsAfter, valuesIn } from '../flow/meaning.ts';
import type { Exploration } from '../flow/explore.ts';
import type { Program, ProgramResult, ProgramStep } from '../flow/program.ts';
import { readingUses, type ReadingUse } from '../flow/readings.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { rationalToNumber } from '../quantity/rational.ts';
import { doneState, MINUTES_OUT_OF_PLACE, readingState, type DiagnosisProblem, type DiagnosisTest, type StateMove } from './problem.ts';
import { begunWith, statesChanged, testContexts, type TestContext } from './test-context.ts';

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
  const eliminated = new Set(program.steps.flatMap((step) => step.results.flatMap((result) => (result.way.kind === 'finds' && result.way.byElimination && !isConfirmation(step, result) ? [result.way.fault] : []))));
  const tests: DiagnosisTest[] = [];
  const steps: (number | undefined)[] = [];
  const untimed: string[] = [];
  const uses = readingUses(procedure);
  const used = new Set(uses.map((use) => use.taker));
  const contexts = testContexts(procedure, exploration, new Set(opening.map((step) => step.index)));
  const reliesOn = reliances(exploration, uses, contexts);
  for (const step of program.steps) {
    if (step.section !== 'steps') continue;
    if (written[step.index]?.time === undefined && step.kind !== 'decide') untimed.push(step.name);
    if (step.results.length === 0 || step.kind === 'do') continue;
    const context = contexts.get(step.index);
    const states = reliesOn(step);
    const sets = { ...statesSet(program, step), ...statesLeftByRun(exploration, step), ...(used.has(step.index) ? { [readingState(step.name)]: 'taken' } : {}), [doneState(step.name)]: 'done' };
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
    problem: withoutIdleStates({
      faults: procedure.faults.map((fault, index) => ({ name: fault.name.value, weight: fault.weight?.value ?? 1, ...(eliminated.has(index) ? {} : { confirm: true }) })),
      tests, moves: movesOf(procedure, exploration, minutesOf, reliesOn, new Set(opening)), fades: fadesOf(program, exploration, contexts), start: startOf(program, opening, contexts),
    }),
    steps, untimed,
    opening: { steps: opening.map((step) => step.index), minutes: opening.reduce((sum, step) => sum + minutesOf(step), 0) },
  };
}

/** Without the states that nothing relies on: they would only make places differ that are alike. */
function withoutIdleStates(problem: DiagnosisProblem): DiagnosisProblem {
  const moves = problem.moves ?? [];
  const wanted = new Set([...problem.tests.flatMap(({ states }) => Object.keys(states ?? {})), ...moves.flatMap(({ needs }) => Object.keys(needs ?? {}))]);
  for (const [state, by] of Object.entries(problem.fades ?? {})) if (wanted.has(state)) for (const other of by) wanted.add(other);
  const kept = (states: Readonly<Record<string, string>> = {}): Record<string, string> => Object.fromEntries(Object.entries(states).filter(([state]) => wanted.has(state)));
  return {
    ...problem,
    tests: problem.tests.map((test) => ({ ...test, ...(test.sets ? { sets: kept(test.sets) } : {}) })),
    moves: moves.filter(({ state }) => wanted.has(state)).map((move) => ({ ...move, ...(move.also ? { also: kept(move.also) } : {}) })),
    fades: Object.fromEntries(Object.entries(problem.fades ?? {}).filter(([state]) => wanted.has(state))),
    start: kept(problem.start),
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
    ...(result.way.kind !== 'finds' ? {} : !result.way.byElimination ? { finds: result.way.fault } : isConfirmation(step, result) ? { confirms: result.way.fault } : {}),
  }));
}

/** A result that concludes by elimination where every other one says that nothing was found. */
function isConfirmation({ results }: ProgramStep, result: ProgramResult): boolean {
  return results.length > 1 && results.every((other) => other === result || other.way.kind === 'refer' || other.way.kind === 'passes');
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

/** What each step relies on: steps done and readings taken before it, in their order, then states of the machine. */
function reliances(exploration: Exploration, uses: readonly ReadingUse[], contexts: ReadonlyMap<number, TestContext>): (step: ProgramStep) => Record<string, string> {
  const { program } = exploration;
  return (step) => {
    const context = contexts.get(step.index);
    const known = (context?.gates ?? []).map((gate) => ({ index: gate, state: doneState(program.steps[gate]?.name ?? ''), to: 'done' }));
    for (const use of uses) {
      const taker = program.steps[use.taker];
      // A reading is a state of knowledge: taken once, it is there.
      if (use.user === step.index && taker !== undefined && taker.index !== step.index && taker.section === 'steps') known.push({ index: taker.index, state: readingState(taker.name), to: 'taken' });
    }
    for (const reading of context?.readings ?? []) known.push({ index: reading, state: readingState(program.steps[reading]?.name ?? ''), to: 'taken' });
    known.sort((a, b) => a.index - b.index);
    const notYet = (context?.notAfter ?? []).map((index) => [doneState(program.steps[index]?.name ?? ''), 'not done']);
    return { ...Object.fromEntries([...notYet, ...known.map(({ state, to }) => [state, to])]), ...context?.states, ...statesNeeded(program, exploration, step) };
  };
}

/**
 * What a change of the machine undoes. A reading is none any more once a state of its circuit was changed. A step that others rely on was done with
 * certain states, which they find again as written: where such a state is changed, it has to be done again.
 */
function fadesOf(program: Program, exploration: Exploration, contexts: ReadonlyMap<number, TestContext>): Record<string, string[]> {
  const fades: Record<string, string[]> = {};
  const changed = statesChanged(exploration);
  for (const step of program.steps) {
    if (step.section !== 'steps') continue;
    const circuit = step.circuit === undefined ? undefined : program.circuits[step.circuit];
    const ofCircuit = [...(circuit?.deadWhen ?? []), ...(circuit?.liveWhen ?? [])].flatMap((alternative) => alternative.map(({ state }) => program.states[state]?.name ?? ''));
    if (ofCircuit.length > 0) fades[readingState(step.name)] = [...new Set(ofCircuit)];
    if (step.kind === 'do') continue;
    const users = [...contexts].flatMap(([index, { gates }]) => (gates.includes(step.index) ? [begunWith(exploration, index)] : []));
    const then = begunWith(exploration, step.index);
    const kept = [...changed].filter((state) => users.length > 0 && users.every((begun) => begun[state] === then[state]));
    if (kept.length > 0) fades[doneState(step.name)] = kept.map((state) => program.states[state]?.name ?? '');
  }
  return fades;
}

/** The states that the step needs, and those that decide about its circuit, as they are when it is first begun. */
function statesNeeded(program: Program, exploration: Exploration, step: ProgramStep): Record<string, string> {
  const circuit = step.circuit === undefined ? undefined : program.circuits[step.circuit];
  const involved = new Set([
    ...step.needs.map((need) => need.state),
    ...[...(circuit?.deadWhen ?? []), ...(circuit?.liveWhen ?? [])].flatMap((alternative) => alternative.map((condition) => condition.state)),
  ]);
  for (const { state } of step.during) involved.delete(state);
  const begun = begunWith(exploration, step.index);
  const needed: Record<string, string> = {};
  for (const index of involved) {
    const state = program.states[index];
    const values = valuesIn(begun[index] ?? 0);
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
function movesOf(
  procedure: Procedure, exploration: Exploration, minutesOf: (step: ProgramStep) => number, reliesOn: (step: ProgramStep) => Record<string, string>,
  opening: ReadonlySet<ProgramStep>,
): StateMove[] {
  const { program } = exploration;
  const moves: StateMove[] = [];
  const isMade = (state: string, to: string): boolean => moves.some((move) => move.state === state && move.to === to);
  // What comes first in every order is done again only where nothing else brings the state about.
  for (const step of [...program.steps.filter((one) => !opening.has(one)), ...opening]) {
    if (step.section !== 'steps') continue;
    const left = { ...statesSet(program, step), ...statesLeftByRun(exploration, step) };
    // Whatever a step is done for, all that it brings about is there.
    const also: Record<string, string> = { ...left };
    also[doneState(step.name)] = 'done';
    if (step.kind === 'measure' || step.kind === 'run') also[readingState(step.name)] = 'taken';
    // A test is done for what it tells, not for the states that it leaves.
    const offered = step.results.length > 0 && step.kind !== 'run' ? Object.keys(also).filter((state) => !(state in left)) : Object.keys(also);
    const needs = reliesOn(step);
    for (const state of offered) {
      const to = also[state] ?? '';
      if (!opening.has(step) || !isMade(state, to)) moves.push({ state, to, minutes: minutesOf(step), by: step.name, also, ...(Object.keys(needs).length > 0 ? { needs } : {}) });
    }
  }
  // What was done cannot be made undone.
  for (const step of program.steps) if (step.kind === 'do' && step.sets.length === 0) moves.push({ state: doneState(step.name), to: 'not done', minutes: MINUTES_OUT_OF_PLACE });
  for (const state of procedure.states) {
    for (const change of state.changes) {
      if (change.time && !isMade(state.name.value, change.to.value)) moves.push({ state: state.name.value, to: change.to.value, minutes: minutes(change.time.value) });
    }
  }
  return moves;
}

function startOf(program: Program, opening: readonly ProgramStep[], contexts: ReadonlyMap<number, TestContext>): Record<string, string> {
  const start: Record<string, string> = {};
  for (const { notAfter } of contexts.values()) for (const index of notAfter) start[doneState(program.steps[index]?.name ?? '')] = 'not done';
  for (const state of program.states) if (state.atStart !== undefined) start[state.name] = state.values[state.atStart] ?? '';
  for (const step of opening) Object.assign(start, statesSet(program, step));
  return start;
}

function minutes(quantity: Quantity): number {
  return quantity.unit?.dimension === 'time' ? rationalToNumber(quantity.base) / 60 : 0;
}
