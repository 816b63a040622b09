/**
 * Exact exploration: every (step, states, facts) that some walk reaches, breadth first, so that the first arrival anywhere is a
 * shortest walk. States and facts are sets of values, split only where a step depends on them; as the sets of different states are
 * independent until then, a node stands for just the vectors in their product, and each of those is on a real walk.
 *
 * Past `maxNodes` the exploration starts again with one set of values for each state at each step (`approximate`): every real
 * walk is still among its walks, so that a safety check stays silent only with reason, but a walk it shows may not exist.
 *
 * After an unmet `needs` the walk goes on as if it had been met: one mistake gives one finding.
 */
import {
  anyValue, bits, conditionHolds, guardHolds, startFacts, startStates, statesAfter, valuesIn, type FactVector,
  type StateVector,
} from './meaning.ts';
import type { Condition, FaultIndex, Guard, Program, ProgramResult, ProgramStep, StepIndex, Way } from './program.ts';

export interface Ending {
  readonly kind: 'passes' | 'refer' | 'finds' | 'nowhere';
  readonly fault?: FaultIndex;
  /** Of `nowhere`: the way on names a step or fault that does not exist, which has a finding of its own. */
  readonly broken?: true;
}

export interface FlowNode {
  readonly id: number;
  /** The step about to be done; undefined at an ending. */
  readonly step: StepIndex | undefined;
  readonly ending: Ending | undefined;
  /** The states on arrival. */
  readonly states: StateVector;
  /** The states in which the step is begun: after `only_if` was judged and `needs` met or taken as met. */
  readonly begun: StateVector;
  readonly facts: FactVector;
  /** How often each step with `repeat_at_most` was done in this search. */
  readonly counts: readonly number[];
  /** True after a repair: in `after_repair`, and in a search that follows it. */
  readonly afterRepair: boolean;
  /** Conditions of `needs` that do not hold here on some walk. */
  readonly unmet: readonly Condition[];
  /** Never begun: `only_if` or `repeat_at_most` always passes it over here. */
  readonly passedOver: boolean;
  /** The edge of a shortest walk that arrives here; undefined at the start. */
  readonly via: number | undefined;
}

export interface FlowEdge {
  readonly id: number;
  readonly from: number;
  readonly to: number;
  readonly step: StepIndex;
  /** Index of the result taken; undefined where the step has none or is passed over. */
  readonly result: number | undefined;
  readonly passedOver: boolean;
  /** The way on passes through a repair. */
  readonly repairs: FaultIndex | undefined;
  /** What a called procedure was found to need and not to have, where it was run from here. */
  readonly calleeUnmet: readonly CalleeUnmet[];
}

export interface Exploration {
  readonly program: Program;
  readonly nodes: readonly FlowNode[];
  readonly edges: readonly FlowEdge[];
  /** Edges out of each node. */
  readonly out: readonly (readonly number[])[];
  /** Edges into each node. */
  readonly into: readonly (readonly number[])[];
  /** Nodes of each step. */
  readonly nodesOfStep: readonly (readonly number[])[];
  readonly approximate: boolean;
}

export interface CalleeUnmet {
  readonly step: string;
  readonly state: string;
  readonly values: readonly string[];
}

export interface CalleeEnding {
  readonly ending: 'passed' | 'referred' | 'finds' | 'raised';
  readonly fault?: string;
  /** State name → values it may have then. */
  readonly states: ReadonlyMap<string, readonly string[]>;
}

export interface CalleeRun {
  readonly endings: readonly CalleeEnding[];
  readonly unmet: readonly CalleeUnmet[];
}

/** What running the named procedure from these states leads to; undefined where it is not known. */
export type Callees = (name: string, states: ReadonlyMap<string, readonly string[]>) => CalleeRun | undefined;

export interface ExploreOptions {
  readonly callees?: Callees;
  /** States to start in, in place of `at_start`. */
  readonly start?: StateVector;
  /** A procedure that is run by another returns at `finds`, before its remedy. */
  readonly returnAtFinds?: boolean;
  readonly maxNodes?: number;
}

export const MAX_NODES = 60_000;

/** Explores all walks of a program. Never throws; takes time in proportion to the nodes, of which there are at most `maxNodes`. */
export function explore(program: Program, options: ExploreOptions = {}): Exploration {
  return exploreExactly(program, options) ?? exploreApproximately(program, options);
}

/** The edges of the shortest walk to a node, from the start. */
export function walkTo(exploration: Exploration, node: number): FlowEdge[] {
  const walk: FlowEdge[] = [];
  let at: number | undefined = node;
  while (at !== undefined) {
    const via: number | undefined = exploration.nodes[at]?.via;
    const edge: FlowEdge | undefined = via === undefined ? undefined : exploration.edges[via];
    if (edge === undefined) break;
    walk.push(edge);
    at = edge.from;
  }
  return walk.reverse();
}

interface Move {
  readonly result: number | undefined;
  readonly passedOver: boolean;
  readonly way: Way;
  readonly states: StateVector;
  readonly facts: FactVector;
  readonly counts: readonly number[];
  readonly calleeUnmet: readonly CalleeUnmet[];
}

interface Expansion {
  readonly begun: StateVector;
  readonly unmet: readonly Condition[];
  readonly passedOver: boolean;
  readonly moves: readonly Move[];
}

interface Arrival {
  readonly step: StepIndex | undefined;
  readonly ending: Ending | undefined;
  readonly states: StateVector;
  readonly facts: FactVector;
  readonly counts: readonly number[];
  readonly afterRepair: boolean;
  readonly repairs: FaultIndex | undefined;
}

interface Frame {
  readonly program: Program;
  readonly options: ExploreOptions;
  /** For each step with `repeat_at_most`, its place in `counts`. */
  readonly counters: ReadonlyMap<StepIndex, number>;
  readonly freeFacts: FactVector;
  /** For each step, the facts that it or a later one depends on; the others are forgotten. */
  readonly liveFacts: readonly ReadonlySet<number>[];
  readonly abstract: boolean;
  /** No step with `repeat_at_most` was done yet. */
  readonly noCounts: readonly number[];
}

function frameOf(program: Program, options: ExploreOptions, abstract: boolean): Frame {
  const counters = new Map<StepIndex, number>();
  for (const step of program.steps) if (step.repeatAtMost !== undefined) counters.set(step.index, counters.size);
  return { program, options, counters, freeFacts: startFacts(program), liveFacts: liveFactsOf(program), abstract, noCounts: abstract ? [] : [...counters].map(() => 0) };
}

function exploreExactly(program: Program, options: ExploreOptions): Exploration | undefined {
  const maxNodes = options.maxNodes ?? MAX_NODES;
  const frame = frameOf(program, options, false);
  const nodes: FlowNode[] = [];
  const edges: (FlowEdge & { to: number })[] = [];
  const known = new Map<string, number>();
  const expansions: Expansion[] = [];
  const keyOf = keyMaker();

  const arrive = (arrival: Arrival, via: number | undefined): number => {
    const key = keyOf(arrival);
    const before = known.get(key);
    if (before !== undefined) return before;
    const id = nodes.length;
    known.set(key, id);
    const expansion = expand(frame, arrival);
    expansions.push(expansion);
    nodes.push({
      id, step: arrival.step, ending: arrival.ending, states: arrival.states, begun: expansion.begun, facts: arrival.facts,
      counts: arrival.counts, afterRepair: arrival.afterRepair, unmet: expansion.unmet, passedOver: expansion.passedOver, via,
    });
    return id;
  };

  if (program.steps.length > 0) arrive(startOf(frame), undefined);
  for (let from = 0; from < nodes.length; from++) {
    if (nodes.length > maxNodes) return undefined;
    const node = nodes[from];
    if (node?.step === undefined) continue;
    for (const move of expansions[from]?.moves ?? []) {
      const arrival = arrivalOf(frame, move, node.afterRepair);
      const id = edges.length;
      const edge = {
        id, from, to: -1, step: node.step, result: move.result, passedOver: move.passedOver, repairs: arrival.repairs,
        calleeUnmet: move.calleeUnmet,
      };
      edges.push(edge);
      edge.to = arrive(arrival, id);
    }
  }
  return finished(program, nodes, edges, false);
}

/** One node for each (step, after a repair or not): the sets of all arrivals joined until nothing grows. */
function exploreApproximately(program: Program, options: ExploreOptions): Exploration {
  const frame = frameOf(program, options, true);
  const joined = new Map<string, Arrival>();
  const queue: string[] = [];
  const join = (arrival: Arrival): void => {
    const key = placeOf(arrival);
    const before = joined.get(key);
    if (before === undefined) {
      joined.set(key, arrival);
      queue.push(key);
      return;
    }
    const states = before.states.map((set, index) => set | (arrival.states[index] ?? 0));
    const facts = before.facts.map((set, index) => set | (arrival.facts[index] ?? 0));
    if (states.every((set, i) => set === before.states[i]) && facts.every((set, i) => set === before.facts[i])) return;
    joined.set(key, { ...before, states, facts });
    queue.push(key);
  };
  if (program.steps.length > 0) join(startOf(frame));
  while (queue.length > 0) {
    const arrival = joined.get(queue.shift() as string) as Arrival;
    if (arrival.step === undefined) continue;
    for (const move of expand(frame, arrival).moves) join(arrivalOf(frame, move, arrival.afterRepair));
  }

  // A second pass, breadth first over the fixed sets, gives nodes, edges and shortest walks.
  const nodes: FlowNode[] = [];
  const edges: FlowEdge[] = [];
  const ids = new Map<string, number>();
  const arrive = (key: string, via: number | undefined): number => {
    const before = ids.get(key);
    if (before !== undefined) return before;
    const arrival = joined.get(key) as Arrival;
    const { begun, unmet, passedOver } = expand(frame, arrival);
    const id = nodes.length;
    ids.set(key, id);
    nodes.push({
      id, step: arrival.step, ending: arrival.ending, states: arrival.states, begun, facts: arrival.facts, counts: arrival.counts,
      afterRepair: arrival.afterRepair, unmet, passedOver, via,
    });
    return id;
  };
  if (program.steps.length > 0) arrive(placeOf(startOf(frame)), undefined);
  for (let from = 0; from < nodes.length; from++) {
    const node = nodes[from] as FlowNode;
    if (node.step === undefined) continue;
    for (const move of expand(frame, { ...node, repairs: undefined }).moves) {
      const arrival = arrivalOf(frame, move, node.afterRepair);
      const id = edges.length;
      const edge = {
        id, from, to: -1, step: node.step, result: move.result, passedOver: move.passedOver, repairs: arrival.repairs,
        calleeUnmet: move.calleeUnmet,
      };
      edges.push(edge);
      edges[id] = { ...edge, to: arrive(placeOf(arrival), id) };
    }
  }
  return finished(program, nodes, edges, true);
}

function startOf(frame: Frame): Arrival {
  return {
    step: 0, ending: undefined, states: frame.options.start ?? startStates(frame.program), facts: frame.freeFacts,
    counts: frame.noCounts, afterRepair: false, repairs: undefined,
  };
}

/** Names each arrival. Vectors are numbered as they come: most moves pass the very vector on that they got. */
function keyMaker(): (arrival: Arrival) => string {
  const byObject = new Map<readonly number[], number>();
  const byContent = new Map<string, number>();
  const numberOf = (vector: readonly number[]): number => {
    let number = byObject.get(vector);
    if (number === undefined) {
      const content = vector.join();
      number = byContent.get(content);
      if (number === undefined) byContent.set(content, (number = byContent.size));
      byObject.set(vector, number);
    }
    return number;
  };
  return (arrival) => `${placeOf(arrival)}|${numberOf(arrival.states)}|${numberOf(arrival.facts)}|${numberOf(arrival.counts)}`;
}

function placeOf(arrival: Arrival): string {
  const { ending } = arrival;
  const place = ending ? `${ending.kind}${ending.fault ?? ''}${ending.broken ? '!' : ''}` : String(arrival.step);
  return arrival.afterRepair ? `${place}r` : place;
}

/** Where a move arrives: a step, an ending, or through a repair at the first step that proves it. */
function arrivalOf(frame: Frame, move: Move, afterRepair: boolean): Arrival {
  const { way, states } = move;
  const at = (step: StepIndex, repairs: FaultIndex | undefined): Arrival => ({
    step, ending: undefined, states, afterRepair: afterRepair || repairs !== undefined, repairs,
    facts: remembered(frame, move.facts, step),
    counts: repairs === undefined ? move.counts : frame.noCounts,
  });
  const end = (ending: Ending): Arrival => ({
    step: undefined, ending, states, facts: frame.freeFacts, counts: frame.noCounts, afterRepair, repairs: undefined,
  });
  switch (way.kind) {
    case 'step':
      return at(way.step, undefined);
    case 'finds': {
      const proof = frame.options.returnAtFinds ? undefined : frame.program.afterRepair[way.fault];
      return proof === undefined ? end({ kind: 'finds', fault: way.fault }) : at(proof, way.fault);
    }
    case 'refer':
    case 'passes':
      return end({ kind: way.kind });
    case 'nowhere':
      return end(way.broken ? { kind: 'nowhere', broken: true } : { kind: 'nowhere' });
  }
}

/** The facts that matter from a step on; the others are forgotten. */
function remembered(frame: Frame, facts: FactVector, step: StepIndex): FactVector {
  const live = frame.liveFacts[step];
  const differs = (set: number, fact: number): boolean => !live?.has(fact) && set !== (frame.freeFacts[fact] ?? 0);
  return facts.some(differs) ? facts.map((set, fact) => (live?.has(fact) ? set : (frame.freeFacts[fact] ?? 0))) : facts;
}

/** All moves out of an arrival. */
function expand(frame: Frame, arrival: Arrival): Expansion {
  const step = arrival.step === undefined ? undefined : frame.program.steps[arrival.step];
  if (step === undefined) return { begun: arrival.states, unmet: [], passedOver: false, moves: [] };
  const moves: Move[] = [];
  const passOver = (states: StateVector, facts: FactVector): void => {
    moves.push({ result: undefined, passedOver: true, way: step.passOver, states, facts, counts: arrival.counts, calleeUnmet: [] });
  };

  // only_if: each guard that may fail splits off the walks on which it does.
  let { states, facts } = arrival;
  for (const guard of step.onlyIf) {
    const truth = guardHolds(guard, states, facts);
    if (truth !== 'yes') {
      const failing = refined(guard, states, facts, truth === 'maybe' ? 'outside' : 'all');
      passOver(failing.states, failing.facts);
    }
    if (truth === 'no') return { begun: states, unmet: [], passedOver: true, moves };
    ({ states, facts } = refined(guard, states, facts, 'inside'));
  }

  let { counts } = arrival;
  const counter = frame.counters.get(step.index);
  if (counter !== undefined && step.repeatAtMost !== undefined) {
    if (frame.abstract) passOver(states, facts);
    else if ((counts[counter] ?? 0) >= step.repeatAtMost) {
      passOver(states, facts);
      return { begun: states, unmet: [], passedOver: true, moves };
    } else counts = counts.map((count, index) => (index === counter ? count + 1 : count));
  }

  const unmet = step.needs.filter((need) => conditionHolds(need, states) !== 'yes');
  if (unmet.length > 0) {
    const met = [...states];
    for (const need of unmet) met[need.state] = bits(need.values);
    states = met;
  }

  for (const taken of resultsTaken(frame, step, states, facts)) {
    const result = taken.result === undefined ? undefined : step.results[taken.result];
    moves.push({
      result: taken.result, passedOver: false, way: result ? result.way : step.way, counts, facts: taken.facts,
      states: statesAfter(step, result, taken.states), calleeUnmet: taken.calleeUnmet,
    });
  }
  return { begun: states, unmet, passedOver: false, moves };
}

interface Taken {
  readonly result: number | undefined;
  readonly states: StateVector;
  readonly facts: FactVector;
  readonly calleeUnmet: readonly CalleeUnmet[];
}

/** The results that the step can give here, with the states and facts narrowed by each. */
function resultsTaken(frame: Frame, step: ProgramStep, states: StateVector, facts: FactVector): Taken[] {
  if (step.run !== undefined) {
    const called = frame.options.callees?.(step.run, statesByName(frame.program, states));
    if (called !== undefined) return calleeResults(frame.program, step, called, states, facts);
  }
  if (step.results.length === 0) return [{ result: undefined, states, facts, calleeUnmet: [] }];
  const { decidesFact } = step;
  if (decidesFact === undefined) return step.results.map((_, result) => ({ result, states, facts, calleeUnmet: [] }));
  const taken: Taken[] = [];
  let left = facts[decidesFact] ?? 0;
  step.results.forEach((result, index) => {
    const chosen = choiceBits(result) & left;
    if (chosen === 0) return;
    left &= ~chosen;
    taken.push({ result: index, states, facts: replaced(facts, decidesFact, chosen), calleeUnmet: [] });
  });
  return taken;
}

function choiceBits(result: ProgramResult): number {
  if (result.when.kind === 'otherwise') return ~0;
  return result.when.choice === undefined ? 0 : 1 << result.when.choice;
}

function calleeResults(program: Program, step: ProgramStep, called: CalleeRun, states: StateVector, facts: FactVector): Taken[] {
  const taken: Taken[] = [];
  for (const ending of called.endings) {
    const after = withStatesByName(program, states, ending.states);
    const matching = step.results.findIndex((result) => resultMatchesEnding(result, ending));
    if (matching >= 0) taken.push({ result: matching, states: after, facts, calleeUnmet: called.unmet });
    else if (step.results.length === 0) taken.push({ result: undefined, states: after, facts, calleeUnmet: called.unmet });
  }
  return taken;
}

/** Whether a result of a `run` step takes this ending of the procedure run; `otherwise` takes any. */
export function resultMatchesEnding(result: ProgramResult, ending: { readonly ending: string; readonly fault?: string | undefined }): boolean {
  const { when } = result;
  if (when.kind === 'otherwise') return true;
  return when.kind === 'ending' && when.ending === ending.ending && when.fault === ending.fault;
}

/** States by name and words, for a procedure that is run from here. */
export function statesByName(program: Program, states: StateVector): Map<string, readonly string[]> {
  return new Map(
    program.states.map((state, index) => [state.name, valuesIn(states[index] ?? 0).map((value) => state.values[value] ?? '')]),
  );
}

/** A vector with the states that `named` speaks of replaced; names and values the program does not have are passed over. */
export function withStatesByName(program: Program, states: StateVector, named: ReadonlyMap<string, readonly string[]>): StateVector {
  return states.map((set, index) => {
    const state = program.states[index];
    const words = state && named.get(state.name);
    if (state === undefined || words === undefined) return set;
    const replacement = bits(words.map((word) => state.values.indexOf(word)).filter((value) => value >= 0));
    return replacement === 0 ? anyValue(state) : replacement;
  });
}

function refined(
  guard: Guard, states: StateVector, facts: FactVector, part: 'inside' | 'outside' | 'all',
): { states: StateVector; facts: FactVector } {
  if (part === 'all') return { states, facts };
  const wanted = part === 'inside' ? bits(guard.values) : ~bits(guard.values);
  return guard.kind === 'state'
    ? { states: replaced(states, guard.state, (states[guard.state] ?? 0) & wanted), facts }
    : { states, facts: replaced(facts, guard.fact, (facts[guard.fact] ?? 0) & wanted) };
}

function replaced(vector: readonly number[], index: number, set: number): number[] {
  const next = [...vector];
  next[index] = set;
  return next;
}

/** Backward over the steps' ways on: which facts matter from each step. */
function liveFactsOf(program: Program): Set<number>[] {
  const live = program.steps.map((step) => {
    const own = new Set<number>();
    for (const guard of step.onlyIf) if (guard.kind === 'fact') own.add(guard.fact);
    if (step.decidesFact !== undefined) own.add(step.decidesFact);
    return own;
  });
  if (program.facts.length === 0) return live;
  const next = program.steps.map((step) => successors(program, step));
  for (let changed = true; changed; ) {
    changed = false;
    for (let index = program.steps.length - 1; index >= 0; index--) {
      const own = live[index] as Set<number>;
      const before = own.size;
      for (const follower of next[index] ?? []) for (const fact of live[follower] ?? []) own.add(fact);
      if (own.size !== before) changed = true;
    }
  }
  return live;
}

/** The steps that can follow a step, whatever the states. */
export function successors(program: Program, step: ProgramStep): Set<StepIndex> {
  const found = new Set<StepIndex>();
  const add = (way: Way): void => {
    if (way.kind === 'step') found.add(way.step);
    if (way.kind === 'finds') {
      const proof = program.afterRepair[way.fault];
      if (proof !== undefined) found.add(proof);
    }
  };
  if (step.results.length === 0) add(step.way);
  for (const result of step.results) add(result.way);
  if (step.onlyIf.length > 0 || step.repeatAtMost !== undefined) add(step.passOver);
  return found;
}

function finished(program: Program, nodes: FlowNode[], edges: FlowEdge[], approximate: boolean): Exploration {
  const out: number[][] = nodes.map(() => []);
  const into: number[][] = nodes.map(() => []);
  const nodesOfStep: number[][] = program.steps.map(() => []);
  for (const edge of edges) {
    out[edge.from]?.push(edge.id);
    into[edge.to]?.push(edge.id);
  }
  for (const node of nodes) if (node.step !== undefined) nodesOfStep[node.step]?.push(node.id);
  return { program, nodes, edges, out, into, nodesOfStep, approximate };
}
