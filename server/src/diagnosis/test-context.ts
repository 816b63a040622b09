/**
 * What a test needs around it to mean what its writer says: which faults must be gone before it, and which steps must have been done. A planner
 * that moved tests without this would break what the writer knew and did not write down.
 *
 * A test speaks of a fault only where
 *  - some result finds it, or leads on and leaves it possible (where any leads on);
 *  - the fault was not excluded before the test, on every walk, by a result that chose between branches;
 *  - it is no missing supply ahead of a missing supply: 'below 22 V' shows the next wire only where the feed was found good.
 *
 * These stay before what they stand before on every walk:
 *  - instructions which set no state: nobody can tell what they change, so that nothing ahead of them is put behind them either;
 *  - a proof that a circuit is dead, whatever else it tells, and what is asked of the tester before and after it;
 *  - a test that tells nothing;
 *  - a test that may pass the machine as sound: what follows is for those that it does not pass;
 *  - a reading that is only stored, as long as the machine is left as it was: the next step may go on where it left off;
 *  - a test that may show the same fault: the second is meant for what the first one missed;
 *  - the same reading by the same limits: the second is compared with the first.
 *
 * And every step, instructions too, is done with the machine as it is when the step comes up as written: so a fault is found, and its repair begun,
 * with the machine as it is found now.
 */
import type { Exploration, FlowEdge, FlowNode } from '../flow/explore.ts';
import { allFaults, faultsAfter, valuesIn } from '../flow/meaning.ts';
import type { ProgramResult, ProgramStep } from '../flow/program.ts';
import type { Procedure, Step } from '../procedure/model.ts';

export interface TestContext {
  /** For each fault, whether the test says something of it. */
  readonly speaksOf: readonly boolean[];
  /** Steps that must have been done, in the order of writing. */
  readonly gates: readonly number[];
  /** Instructions that must not have been done yet. */
  readonly notAfter: readonly number[];
  /** Of instructions behind which nothing is put that stands ahead of them: the readings to be taken before, as later it is too late. */
  readonly readings: readonly number[];
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
  const changed = statesChanged(exploration);
  const followers = new Map(program.steps.filter((step) => step.section === 'steps' && isStored(step)).map(({ index }) => [index, unchangedAfter(exploration, index)]));
  const aheadOf = stepsAheadOf(exploration, program.steps.filter((step) => step.section === 'steps' && isUnclear(step) && !opening.has(step.index)));
  const guards = proofsAndTheirTesters(written, program.steps, before, allFaults(program));
  const found = new Map<number, TestContext>();
  for (const step of program.steps) {
    if (step.section !== 'steps') continue;
    const ahead = [...(before.get(step.index) ?? [])];
    const possible = contexts.get(step.index) ?? allFaults(program);
    const missing = isMissingSupply(written[step.index], step);
    const gone = new Set(missing ? ahead.flatMap((other) => missingSupplyFaults(written[other], program.steps[other])) : []);
    const states: Record<string, string> = {};
    const begun = begunWith(exploration, step.index);
    const gates = ahead.filter((other) => !opening.has(other) && (isGate(program.steps[other], program.faults.length) || guards.has(other)
      || (step.kind !== 'decide' && followers.get(other)?.has(step.index))
      || showTheSame(program.steps[other], step) || isTakenAgain(written[other], written[step.index]))).sort((a, b) => a - b);
    // What a step finds, and whether it is safe, may depend on any state that the search changes, whether its writer thought of it or not.
    for (const state of new Set([...step.needs.map((need) => need.state), ...changed])) {
      const info = program.states[state];
      const values = valuesIn(begun[state] ?? 0);
      if (info && values.length === 1 && !step.during.some((during) => during.state === state)) states[info.name] = info.values[values[0] as number] ?? '';
    }
    const passing = gates.flatMap((gate) => program.steps[gate] ?? []).filter((gate) => gate.kind !== 'do' && mayPass(gate));
    found.set(step.index, {
      speaksOf: program.faults.map((_, fault) => step.results.length === 0
        || (((possible >> BigInt(fault)) & 1n) === 1n && !gone.has(fault) && [step, ...passing].every((one) => leavesSomewhere(one, fault, allFaults(program))))),
      gates, states, readings: isUnclear(step) ? ahead.filter((other) => isStored(program.steps[other])) : [],
      notAfter: [...aheadOf].flatMap(([instructions, steps]) => (steps.has(step.index) ? [instructions] : [])),
    });
  }
  return found;
}

/** The states that the search changes on some walk, by index. */
export function statesChanged({ nodes, edges }: Exploration): Set<number> {
  const changed = new Set<number>();
  for (const { from, to, passedOver, repairs } of edges) {
    const before = nodes[from];
    const after = nodes[to];
    if (before === undefined || after === undefined || before.afterRepair || passedOver || repairs !== undefined) continue;
    after.states.forEach((set, state) => { if (set !== before.begun[state]) changed.add(state); });
  }
  return changed;
}

/** The states with which a step is begun in the first search, over all walks: for each a set of values. Empty where no walk comes to it. */
export function begunWith(exploration: Exploration, step: number): readonly number[] {
  let known = begunKnown.get(exploration);
  if (known === undefined) begunKnown.set(exploration, (known = []));
  const before = known[step];
  if (before) return before;
  const { nodes, nodesOfStep } = exploration;
  const begun = (nodesOfStep[step] ?? []).flatMap((id) => nodes[id] ?? []).filter((node) => !node.passedOver && !node.afterRepair);
  return (known[step] = begun.reduce<readonly number[]>((sets, node) => node.begun.map((set, state) => set | (sets[state] ?? 0)), []));
}

const begunKnown = new WeakMap<Exploration, (readonly number[] | undefined)[]>();

/** Instructions of which nothing says what they change. */
function isUnclear(step: ProgramStep): boolean {
  return step.kind === 'do' && step.sets.length === 0;
}

function isStored(step: ProgramStep | undefined): boolean {
  return step?.kind === 'measure' && step.results.length === 0;
}

/** A fault that both may show. */
function showTheSame(other: ProgramStep | undefined, step: ProgramStep): boolean {
  const shown = ({ results }: ProgramStep): number[] => results.flatMap(({ way }) => (way.kind === 'finds' && !way.byElimination ? [way.fault] : []));
  const own = shown(step);
  return other !== undefined && own.length > 0 && shown(other).some((fault) => own.includes(fault));
}

/** The same quantity at the same places, judged by the same limits. */
function isTakenAgain(other: Step | undefined, step: Step | undefined): boolean {
  if (other?.kind !== 'measure' || step?.kind !== 'measure' || other.quantity?.value !== step.quantity?.value) return false;
  const placesOf = ({ at, atEach }: Step): string[] =>
    [...at.map(({ probe, place }) => `${probe.value} ${place.value}`), ...atEach.flatMap((point) => [point.name.value, ...point.at.map(({ probe, place }) => `${probe.value} ${place.value}`)])].sort();
  const places = placesOf(step);
  const limits = other.results.map(({ when }) => when?.text);
  return places.length > 0 && step.results.some(({ when }) => limits.includes(when?.text)) && placesOf(other).join('\n') === places.join('\n');
}

function mayPass(step: ProgramStep): boolean {
  return step.results.some(({ way }) => way.kind === 'passes');
}

/** Whether it has to be done before what stands behind it: instructions without states, a proof, a test that may find the machine sound. */
function isGate(step: ProgramStep | undefined, faults: number): boolean {
  if (step === undefined || isStored(step)) return false;
  if (step.kind === 'do') return isUnclear(step);
  if (mayPass(step)) return true;
  // All results say the same of every fault.
  if (step.kind === 'decide' || step.results.some(({ way }) => way.kind === 'finds')) return false;
  const all = (1n << BigInt(faults)) - 1n;
  const leading = step.results.filter(({ way }) => way.kind === 'step');
  return leading.length === 1 && faultsAfter(all, leading[0] as ProgramResult) === all;
}

/** Proofs that a circuit is dead; and steps that tell nothing of a fault and stand before a proof on every walk, or ask after the tester. */
function proofsAndTheirTesters(
  written: readonly Step[], steps: readonly ProgramStep[], before: ReadonlyMap<number, ReadonlySet<number>>, all: bigint,
): Set<number> {
  const proofs = steps.filter(({ index }) => written[index]?.provesDead !== undefined);
  const tellsNothing = ({ kind, results }: ProgramStep): boolean =>
    kind !== 'decide' && results.length > 0 && results.every((result) => result.way.kind !== 'finds' && faultsAfter(all, result) === all);
  const isTesterCheck = (step: ProgramStep): boolean => {
    const words = [written[step.index]?.question, written[step.index]?.title, written[step.index]?.text].map((text) => text?.value ?? '').join(' ');
    return proofs.some(({ index }) => before.get(index)?.has(step.index)) || (proofs.length > 0 && /\b(tester|proving unit|known (live )?source)\b/iu.test(words));
  };
  return new Set([...proofs, ...steps.filter((step) => tellsNothing(step) && isTesterCheck(step))].map(({ index }) => index));
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

/** The steps that come after a step on some walk, before any state is changed. */
function unchangedAfter({ nodes, edges, out, nodesOfStep }: Exploration, step: number): Set<number> {
  const places = [...(nodesOfStep[step] ?? [])].filter((id) => nodes[id]?.afterRepair === false);
  const seen = new Set(places);
  for (const id of places) {
    const node = nodes[id] as FlowNode;
    for (const edge of (out[id] ?? []).flatMap((one) => edges[one] ?? [])) {
      const to = nodes[edge.to];
      if (to?.step === undefined || to.afterRepair || seen.has(to.id) || (!edge.passedOver && to.states.some((set, state) => set !== node.begun[state]))) continue;
      seen.add(to.id);
      places.push(to.id);
    }
  }
  return new Set(places.flatMap((id) => nodes[id]?.step ?? []).filter((other) => other !== step));
}

/** For some steps, those from which walks of the first search lead to them, and to which none leads back. */
function stepsAheadOf({ nodes, edges }: Exploration, wanted: readonly ProgramStep[]): Map<number, Set<number>> {
  const into = new Map<number, Set<number>>();
  const outOf = new Map<number, Set<number>>();
  for (const { from, to, repairs } of wanted.length === 0 ? [] : edges) {
    const before = nodes[from];
    const after = nodes[to];
    if (before?.step === undefined || after?.step === undefined || before.afterRepair || after.afterRepair || repairs !== undefined) continue;
    into.set(after.step, (into.get(after.step) ?? new Set<number>()).add(before.step));
    outOf.set(before.step, (outOf.get(before.step) ?? new Set<number>()).add(after.step));
  }
  const closure = (start: number, next: ReadonlyMap<number, ReadonlySet<number>>): Set<number> => {
    const reached = new Set(next.get(start));
    for (const step of reached) for (const other of next.get(step) ?? []) reached.add(other);
    return reached;
  };
  return new Map(wanted.map(({ index }) => {
    const behind = closure(index, outOf);
    return [index, new Set([...closure(index, into)].filter((step) => !behind.has(step)))];
  }));
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
