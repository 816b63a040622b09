/**
 * What a test needs around it to mean what its writer says: which faults must be gone before it, and which steps must have been done. A planner
 * that moved tests without this would break what the writer knew and did not write down.
 *
 * A test speaks of a fault only where
 *  - some result finds it, or leads on and leaves it possible (where any leads on);
 *  - the fault was not excluded before the test, on every walk, by a result that chose between branches;
 *  - it is no missing supply ahead of a missing supply: 'below 22 V' shows the next wire only where the feed was found good.
 *
 * A step that stands before a test on every walk, and that is instructions or a test that tells nothing (a proof that a circuit is dead),
 * stays before it. States that instructions before it have set still hold, and a reading is taken with every state as it was written to be.
 */
import type { Exploration, FlowEdge, FlowNode } from '../flow/explore.ts';
import { allFaults, faultsAfter, valuesIn } from '../flow/meaning.ts';
import type { ProgramResult, ProgramStep } from '../flow/program.ts';
import type { Procedure, Step } from '../procedure/model.ts';

export interface TestContext {
  /** For each fault, whether the test says something of it. */
  readonly speaksOf: readonly boolean[];
  /** Steps that must have been done. */
  readonly gates: readonly number[];
  /** States that it may rely on, as they are when it begins in the order as written. */
  readonly states: Readonly<Record<string, string>>;
}

const MAX_PLACES = 20_000;

/** The context of every step of the first search, by index; `opening` steps come first in any order and need not be asked for. */
export function testContexts(procedure: Procedure, exploration: Exploration, opening: ReadonlySet<number>): ReadonlyMap<number, TestContext> {
  const { program } = exploration;
  const written = [...procedure.steps, ...procedure.afterRepair];
  const contexts = faultsInContext(exploration);
  const before = stepsBefore(exploration);
  const changed = new Set(program.steps.flatMap((step) => (step.section === 'steps' && step.kind === 'do' ? step.sets.map(({ state }) => state) : [])));
  const found = new Map<number, TestContext>();
  for (const step of program.steps) {
    if (step.section !== 'steps') continue;
    const ahead = [...(before.get(step.index) ?? [])];
    const possible = contexts.get(step.index) ?? allFaults(program);
    const missing = isMissingSupply(written[step.index], step);
    const gone = new Set(missing ? ahead.flatMap((other) => missingSupplyFaults(written[other], program.steps[other])) : []);
    const gates = ahead.filter((other) => !opening.has(other) && isGate(program.steps[other], program.faults.length));
    const states: Record<string, string> = {};
    const node = firstBegun(exploration, step.index);
    const keep = (state: number, only?: number): void => {
      const info = program.states[state];
      const values = valuesIn(node?.begun[state] ?? 0);
      if (info === undefined || values.length !== 1 || step.during.some((during) => during.state === state)) return;
      if (only === undefined || values[0] === only) states[info.name] = info.values[values[0] as number] ?? '';
    };
    for (const need of step.needs) keep(need.state);
    for (const other of ahead) if (!opening.has(other)) for (const { state, value } of program.steps[other]?.sets ?? []) keep(state, value);
    // A reading may depend on any state that the search changes, whether its writer thought of it or not; a question is taken at its word.
    if (step.kind === 'measure' || step.kind === 'run') for (const state of changed) keep(state);
    found.set(step.index, {
      speaksOf: program.faults.map((_, fault) => step.results.length === 0 || (((possible >> BigInt(fault)) & 1n) === 1n && !gone.has(fault) && leavesSomewhere(step, fault, allFaults(program)))),
      gates, states,
    });
  }
  return found;
}

/** The node in which a step is first begun. */
export function firstBegun(exploration: Exploration, step: number): FlowNode | undefined {
  for (const id of exploration.nodesOfStep[step] ?? []) {
    const node = exploration.nodes[id];
    if (node && !node.passedOver) return node;
  }
  return undefined;
}

/** Whether all results say the same of every fault: instructions, a proof, a reading that is only stored. */
function isGate(step: ProgramStep | undefined, faults: number): boolean {
  if (step === undefined || step.kind === 'decide' || (step.kind === 'measure' && step.results.length === 0)) return false;
  if (step.kind === 'do') return step.sets.length === 0;
  if (step.results.some(({ way }) => way.kind === 'finds')) return false;
  const all = (1n << BigInt(faults)) - 1n;
  const leading = step.results.filter(({ way }) => way.kind === 'step');
  return leading.length === 1 && faultsAfter(all, leading[0] as ProgramResult) === all;
}

/** False where every result that leads on excludes the fault, as where an earlier test was to find it. */
function leavesSomewhere(step: ProgramStep, fault: number, all: bigint): boolean {
  if (step.results.some(({ way }) => way.kind === 'finds' && !way.byElimination && way.fault === fault)) return true;
  const leading = step.results.filter(({ way }) => way.kind === 'step' || (way.kind === 'finds' && way.byElimination));
  return leading.length === 0 || leading.some((result) => ((faultsAfter(all, result) >> BigInt(fault)) & 1n) === 1n);
}

/** For each step the faults that no choice between branches has excluded before it, over all walks. */
function faultsInContext(exploration: Exploration): Map<number, bigint> {
  const { program, nodes, edges, out } = exploration;
  const union = new Map<number, bigint>();
  const seen = new Set<string>();
  const places: { readonly node: FlowNode; readonly context: bigint }[] = [];
  const arrive = (node: FlowNode | undefined, context: bigint): void => {
    const key = `${node?.id ?? -1}|${context}`;
    if (node?.step === undefined || node.afterRepair || seen.has(key)) return;
    seen.add(key);
    places.push({ node, context });
    union.set(node.step, (union.get(node.step) ?? 0n) | context);
  };
  arrive(nodes[0], allFaults(program));
  for (let at = 0; at < places.length && at < MAX_PLACES; at++) {
    const { node, context } = places[at] as (typeof places)[number];
    const step = program.steps[node.step ?? -1];
    const branches = new Set(step?.results.flatMap(({ way }) => (way.kind === 'step' ? [way.step] : []))).size > 1;
    for (const id of out[node.id] ?? []) {
      const edge = edges[id] as FlowEdge;
      const result = edge.result === undefined ? undefined : step?.results[edge.result];
      if (edge.repairs === undefined) arrive(nodes[edge.to], branches && result ? faultsAfter(context, result) : context);
    }
  }
  return union;
}

/** For each step of the first search, the steps that every walk to it has done. */
function stepsBefore(exploration: Exploration): Map<number, Set<number>> {
  const { nodes, edges, out } = exploration;
  // Over nodes first (the usual iteration of dominators), then what all nodes of a step have in common.
  const order = nodes.filter((node) => node.step !== undefined && !node.afterRepair);
  const beforeNode = new Map<number, Set<number>>();
  const [first] = order;
  if (first) beforeNode.set(first.id, new Set());
  for (let changed = true; changed; ) {
    changed = false;
    for (const node of order) {
      const own = beforeNode.get(node.id);
      if (own === undefined) continue;
      for (const id of out[node.id] ?? []) {
        const edge = edges[id] as FlowEdge;
        const to = nodes[edge.to];
        if (to?.step === undefined || to.afterRepair || edge.repairs !== undefined || to.id === first?.id) continue;
        const known = beforeNode.get(to.id);
        const through = (step: number): boolean => own.has(step) || (!edge.passedOver && step === node.step);
        if (known === undefined) {
          const all = new Set(own);
          if (!edge.passedOver && node.step !== undefined) all.add(node.step);
          beforeNode.set(to.id, all);
          changed = true;
        } else {
          for (const step of known) {
            if (through(step)) continue;
            known.delete(step);
            changed = true;
          }
        }
      }
    }
  }
  const before = new Map<number, Set<number>>();
  for (const node of order) {
    const own = beforeNode.get(node.id);
    if (own === undefined || node.step === undefined || node.passedOver) continue;
    const known = before.get(node.step);
    if (known === undefined) before.set(node.step, new Set(own));
    else for (const step of known) if (!own.has(step)) known.delete(step);
  }
  return before;
}

/** A voltage or pressure that shows a fault by being too low: it means something only where what feeds it was found good. */
function isMissingSupply(written: Step | undefined, step: ProgramStep | undefined): boolean {
  return missingSupplyFaults(written, step).length > 0;
}

function missingSupplyFaults(written: Step | undefined, step: ProgramStep | undefined): number[] {
  const quantity = written?.quantity?.value;
  if (step === undefined || (quantity !== 'dc_voltage' && quantity !== 'ac_voltage' && quantity !== 'pressure')) return [];
  return step.results.flatMap((result, index) => {
    const when = written?.results[index]?.when;
    if (result.way.kind !== 'finds' || when?.kind !== 'band' || when.band?.kind !== 'conditions') return [];
    const low = when.band.conditions.some(({ comparison }) => comparison.kind === 'below' || comparison.kind === 'at_most' || (comparison.kind === 'shows' && comparison.word === 'dark'));
    return low ? [result.way.fault] : [];
  });
}
