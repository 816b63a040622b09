/**
 * Model → program: names to indexes, `next` to a step. What cannot be resolved leads nowhere or is left out; that it is wrong has
 * been said by `unknown-name`, and nothing here says it again.
 */
import type { Circuit, Name, Procedure, Result, StateCondition, Step, WayOn, When } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import type {
  Assignment, CircuitIndex, Condition, Guard, Program, ProgramCircuit, ProgramFact, ProgramResult, ProgramState, ProgramStep,
  ProgramWhen, StepIndex, Way,
} from './program.ts';
import { anyAlternativeHolds, anyValue } from './meaning.ts';

/**
 * The program of a procedure in its scope. `alsoStates` names states that take part though the procedure itself does not speak
 * of them: those of the procedures that it runs.
 */
export function buildProgram(procedure: Procedure, scope: Scope, alsoStates: Iterable<string> = []): Program {
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const stateNames = statesThatTakePart(procedure, scope, alsoStates);
  const states = stateNames.map((name) => programState(name, scope));
  const names: Indexes = {
    step: indexByName(steps.map((step) => step.name?.value)),
    state: indexByName(stateNames),
    stateValues: states.map((state) => indexByName(state.values)),
    fact: indexByName(procedure.facts.map((fact) => fact.name.value)),
    factChoices: procedure.facts.map((fact) => indexByName((fact.choices ?? []).map((choice) => choice.value))),
    fault: indexByName(procedure.faults.map((fault) => fault.name.value)),
    circuit: new Map(),
  };
  const circuits: ProgramCircuit[] = [];
  for (const [name, declared] of scope.circuits) {
    if (!circuitTakesPart(name, declared.origin, steps)) continue;
    names.circuit.set(name, circuits.length);
    circuits.push(programCircuit(declared.item, names, states));
  }
  const mainCount = procedure.steps.length;
  const firstRepairStep: StepIndex | undefined = procedure.afterRepair.length > 0 ? mainCount : undefined;
  return {
    name: procedure.name?.value ?? '',
    purpose: procedure.purpose,
    states,
    facts: procedure.facts.map((fact) => programFact(fact.name.value, fact.choices, procedure)),
    faults: procedure.faults.map((fault) => fault.name.value),
    afterRepair: procedure.faults.map((fault) => {
      const own = fault.afterRepair && names.step.get(fault.afterRepair.value);
      return own !== undefined && own >= mainCount ? own : firstRepairStep;
    }),
    circuits,
    steps: steps.map((step, index) => {
      const last = index === mainCount - 1 || index === steps.length - 1;
      const next: Way = last ? { kind: 'nowhere' } : { kind: 'step', step: index + 1 };
      return programStep(step, index, next, names);
    }),
  };
}

/** The names of the states that a procedure speaks of, itself or through the circuits it uses. */
export function statesOf(procedure: Procedure, scope: Scope): Set<string> {
  const found = new Set<string>();
  const add = (conditions: readonly StateCondition[]): void => {
    for (const condition of conditions) if (scope.states.has(condition.state.value)) found.add(condition.state.value);
  };
  const steps = [...procedure.steps, ...procedure.afterRepair];
  for (const step of steps) {
    add(step.needs);
    add(step.during);
    add(step.sets);
    add(step.onlyIf);
    for (const result of step.results) add(result.sets);
  }
  for (const [name, declared] of scope.circuits) {
    if (!circuitTakesPart(name, declared.origin, steps)) continue;
    for (const alternative of declared.item.deadWhen ?? []) add(alternative);
    for (const alternative of declared.item.liveWhen ?? []) add(alternative);
  }
  for (const state of procedure.states) found.add(state.name.value);
  return found;
}

interface Indexes {
  readonly step: ReadonlyMap<string, number>;
  readonly state: ReadonlyMap<string, number>;
  readonly stateValues: readonly ReadonlyMap<string, number>[];
  readonly fact: ReadonlyMap<string, number>;
  readonly factChoices: readonly ReadonlyMap<string, number>[];
  readonly fault: ReadonlyMap<string, number>;
  readonly circuit: Map<string, CircuitIndex>;
}

function indexByName(names: readonly (string | undefined)[]): Map<string, number> {
  const map = new Map<string, number>();
  names.forEach((name, index) => {
    if (name !== undefined && !map.has(name)) map.set(name, index);
  });
  return map;
}

function statesThatTakePart(procedure: Procedure, scope: Scope, alsoStates: Iterable<string>): string[] {
  const found = statesOf(procedure, scope);
  for (const name of alsoStates) if (scope.states.has(name)) found.add(name);
  return [...found].filter((name) => scope.states.has(name));
}

function circuitTakesPart(name: string, origin: string, steps: readonly Step[]): boolean {
  if (origin === 'procedure') return true;
  return steps.some((step) => step.circuit?.value === name || step.provesDead?.value === name);
}

function programState(name: string, scope: Scope): ProgramState {
  const state = scope.states.get(name)?.item;
  // Exploration keeps a set of values in one 31-bit word.
  const values = (state?.values ?? []).slice(0, 30).map((value) => value.value);
  const index = (value: Name): number[] => {
    const at = values.indexOf(value.value);
    return at < 0 ? [] : [at];
  };
  return {
    name,
    values,
    atStart: state?.atStart && index(state.atStart)[0],
    atEnd: state?.atEnd?.flatMap(index),
    held: (state?.held ?? []).flatMap(index),
  };
}

function programFact(name: string, choices: readonly Name[] | undefined, procedure: Procedure): ProgramFact {
  const words = (choices ?? []).map((choice) => choice.value);
  const fixed = procedure.appliesTo.find((applies) => applies.fact.value === name);
  const only = fixed?.values.map((value) => words.indexOf(value.value)).filter((index) => index >= 0);
  return { name, choices: words, only: only && only.length > 0 ? only : undefined };
}

function programCircuit(circuit: Circuit, names: Indexes, states: readonly ProgramState[]): ProgramCircuit {
  const known = (alternatives: readonly (readonly StateCondition[])[]): Condition[][] => alternatives.flatMap((alternative) => {
    const understood = conditions(alternative, names, true);
    return understood ? [understood] : [];
  });
  const deadWhen = known(circuit.deadWhen ?? []);
  const liveWhen = circuit.liveWhen && known(circuit.liveWhen);
  const unknown = deadWhen.length < (circuit.deadWhen ?? []).length || (liveWhen?.length ?? 0) < (circuit.liveWhen ?? []).length;
  // What always holds makes nothing dead: whoever wrote it forgot what does.
  const always = anyAlternativeHolds(deadWhen, states.map(anyValue)) === 'yes';
  return {
    name: circuit.name.value, deadWhen: always ? [] : deadWhen, liveWhen,
    ...(always ? { unclear: 'always dead' as const } : unknown ? { unclear: 'unknown name' as const } : {}),
  };
}

function programStep(step: Step, index: StepIndex, next: Way, names: Indexes): ProgramStep {
  const decided = step.kind === 'decide' ? names.fact.get(step.decide?.text.trim() ?? '') : undefined;
  const decidesFact = decided !== undefined && (names.factChoices[decided]?.size ?? 0) > 0 ? decided : undefined;
  const way = step.go ? stepWay(step.go, names) : next;
  return {
    index,
    name: step.name?.value ?? `step ${index + 1}`,
    section: step.section,
    kind: step.kind,
    needs: conditions(step.needs, names),
    during: assignments(step.during, names),
    sets: assignments(step.sets, names),
    onlyIf: guards(step.onlyIf, names),
    circuit: step.circuit && names.circuit.get(step.circuit.value),
    provesDead: step.provesDead && names.circuit.get(step.provesDead.value),
    decidesFact,
    run: step.kind === 'run' ? step.run?.value : undefined,
    repeatAtMost: step.repeatAtMost?.value,
    results: step.results.map((result) => programResult(result, way, decidesFact, names)),
    way,
    passOver: next,
  };
}

function programResult(result: Result, next: Way, decidesFact: number | undefined, names: Indexes): ProgramResult {
  const faults = (list: readonly Name[]): number[] =>
    list.map((name) => names.fault.get(name.value)).filter((index) => index !== undefined);
  return {
    when: programWhen(result.when, decidesFact, names),
    rulesOut: faults(result.rulesOut),
    leaves: result.leaves && faults(result.leaves),
    sets: assignments(result.sets, names),
    raises: result.raises && names.fault.get(result.raises.value),
    way: resultWay(result.way, next, names),
  };
}

function programWhen(when: When | undefined, decidesFact: number | undefined, names: Indexes): ProgramWhen {
  if (when === undefined) return { kind: 'missing', text: '' };
  if (when.kind === 'ending') return { kind: 'ending', text: when.text, ending: when.ending, fault: when.fault?.value };
  if (decidesFact !== undefined && when.kind !== 'otherwise') {
    return { kind: 'choice', text: when.text, choice: names.factChoices[decidesFact]?.get(when.text.trim()) };
  }
  return { kind: when.kind, text: when.text };
}

function resultWay(way: WayOn, next: Way, names: Indexes): Way {
  switch (way.kind) {
    case 'go':
      return stepWay(way.step, names);
    case 'finds':
    case 'by_elimination': {
      const fault = names.fault.get(way.fault.value);
      return fault === undefined ? { kind: 'nowhere', broken: true } : { kind: 'finds', fault, byElimination: way.kind === 'by_elimination' };
    }
    case 'refer':
      return { kind: 'refer' };
    case 'passes':
      return { kind: 'passes' };
    case 'next':
      return next;
  }
}

function stepWay(name: Name, names: Indexes): Way {
  const step = names.step.get(name.value);
  return step === undefined ? { kind: 'nowhere', broken: true } : { kind: 'step', step };
}

function conditions(list: readonly StateCondition[], names: Indexes): Condition[];
/** `whole`: undefined where a name of the list is unknown. */
function conditions(list: readonly StateCondition[], names: Indexes, whole: true): Condition[] | undefined;
function conditions(list: readonly StateCondition[], names: Indexes, whole = false): Condition[] | undefined {
  const found: Condition[] = [];
  for (const condition of list) {
    const state = names.state.get(condition.state.value);
    const values = state === undefined ? [] : condition.values.map((value) => names.stateValues[state]?.get(value.value)).filter((value) => value !== undefined);
    if (whole && (state === undefined || values.length < condition.values.length)) return undefined;
    if (state !== undefined && values.length > 0) found.push({ state, values });
  }
  return found;
}

function assignments(list: readonly StateCondition[], names: Indexes): Assignment[] {
  return conditions(list, names).map((condition) => ({ state: condition.state, value: condition.values[0] ?? 0 }));
}

function guards(list: readonly StateCondition[], names: Indexes): Guard[] {
  const found: Guard[] = [];
  for (const guard of list) {
    const fact = names.fact.get(guard.state.value);
    if (fact === undefined) {
      for (const condition of conditions([guard], names)) found.push({ kind: 'state', ...condition });
      continue;
    }
    const values = guard.values.map((value) => names.factChoices[fact]?.get(value.value)).filter((value) => value !== undefined);
    if (values.length > 0) found.push({ kind: 'fact', fact, values });
  }
  return found;
}
