/**
 * What the written order costs and proves: minutes and steps to a finding, and how far the faults are told apart, in the sense of IEEE 1522
 * (terms from memory). Each fault is followed through the explored walks with the probabilities of from-procedure.ts.
 */
import type { Exploration, FlowEdge, FlowNode } from '../flow/explore.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import { minutesOfStep, resultsGiven } from './from-procedure.ts';
import { probabilities } from './problem.ts';

export interface FaultOutcome {
  readonly fault: string;
  readonly probability: number;
  readonly minutes: number;
  readonly steps: number;
  /** The dearest walk that this fault can take. */
  readonly worstMinutes: number;
  /** Probability that the procedure finds this fault when it is the cause. */
  readonly found: number;
  /** Probability that it finds another, and which. */
  readonly mistaken: number;
  readonly mistakenFor: readonly string[];
  /** Probability that it ends without a finding. */
  readonly referred: number;
}

export interface WrittenOrder {
  readonly faults: readonly FaultOutcome[];
  readonly minutes: number;
  readonly steps: number;
  readonly worstMinutes: number;
  /** Fraction of faults detected: those that some walk finds or that lead to a finding at all, by count and by weight. */
  readonly detected: { readonly count: number; readonly weighted: number };
  /** Fraction of the detected faults isolated to one, by count and by weight. */
  readonly isolated: { readonly count: number; readonly weighted: number };
}

const LEAST_MASS = 1e-9;
const MOST_ROUNDS = 20_000;

/** Follows every fault through the first search. */
export function writtenOrder(procedure: Procedure, exploration: Exploration): WrittenOrder {
  const { program } = exploration;
  const weights = probabilities(procedure.faults.map((fault) => ({ name: fault.name.value, weight: fault.weight?.value ?? 1 })));
  const written = [...procedure.steps, ...procedure.afterRepair];
  const faults = program.faults.map((_, fault) => followFault(exploration, written, fault, weights[fault] ?? 0));
  const share = (of: (fault: FaultOutcome) => number): number => faults.reduce((sum, fault) => sum + fault.probability * of(fault), 0);
  const count = (of: (fault: FaultOutcome) => number): number => faults.reduce((sum, fault) => sum + of(fault), 0) / Math.max(1, faults.length);
  const detected = (fault: FaultOutcome): number => fault.found + fault.mistaken;
  const detectedCount = count(detected);
  const detectedWeighted = share(detected);
  return {
    faults,
    minutes: share((fault) => fault.minutes),
    steps: share((fault) => fault.steps),
    worstMinutes: Math.max(0, ...faults.map((fault) => fault.worstMinutes)),
    detected: { count: detectedCount, weighted: detectedWeighted },
    isolated: {
      count: detectedCount > 0 ? count((fault) => fault.found) / detectedCount : 0,
      weighted: detectedWeighted > 0 ? share((fault) => fault.found) / detectedWeighted : 0,
    },
  };
}

function followFault(exploration: Exploration, written: readonly Step[], fault: number, probability: number): FaultOutcome {
  const { program, nodes } = exploration;
  let mass = new Map<number, number>([[0, 1]]);
  let minutes = 0;
  let steps = 0;
  let found = 0;
  let mistaken = 0;
  let referred = 0;
  const mistakenFor = new Set<string>();
  for (let round = 0; round < MOST_ROUNDS && mass.size > 0 && nodes.length > 0; round++) {
    const next = new Map<number, number>();
    for (const [id, share] of mass) {
      const node = nodes[id] as FlowNode;
      if (node.step === undefined) continue;
      if (!node.passedOver) {
        minutes += share * minutesOfStep(written[node.step] as Step);
        steps += share;
      }
      for (const { edge, part } of partsOf(exploration, node, fault)) {
        const flows = share * part;
        const way = edge.result === undefined ? undefined : program.steps[edge.step]?.results[edge.result]?.way;
        if (way?.kind === 'finds') {
          if (way.fault === fault) found += flows;
          else {
            mistaken += flows;
            mistakenFor.add(program.faults[way.fault] ?? '');
          }
        } else if (nodes[edge.to]?.ending) referred += flows;
        else if (flows > LEAST_MASS) next.set(edge.to, (next.get(edge.to) ?? 0) + flows);
      }
    }
    mass = next;
  }
  return {
    fault: program.faults[fault] ?? '', probability, minutes, steps, worstMinutes: worstOf(exploration, written, fault), found, mistaken,
    mistakenFor: [...mistakenFor], referred,
  };
}

/** The edges that the fault can take from a node, with their shares. Facts and endings of procedures that are run share equally. */
function partsOf(exploration: Exploration, node: FlowNode, fault: number): { readonly edge: FlowEdge; readonly part: number }[] {
  const { program } = exploration;
  const edges = (exploration.out[node.id] ?? []).map((id) => exploration.edges[id] as FlowEdge);
  const step = program.steps[node.step ?? -1];
  if (step === undefined || edges.length === 0) return [];
  const given = step.results.length > 0 && step.decidesFact === undefined ? resultsGiven(program, step, fault) : undefined;
  const weightOf = (edge: FlowEdge): number => {
    if (edge.result === undefined || given === undefined) return 1;
    const sharing = edges.filter((other) => other.result === edge.result).length;
    return (given[edge.result] ?? 0) / sharing;
  };
  const total = edges.reduce((sum, edge) => sum + weightOf(edge), 0);
  if (total <= 0) return edges.map((edge) => ({ edge, part: 1 / edges.length }));
  return edges.map((edge) => ({ edge, part: weightOf(edge) / total })).filter(({ part }) => part > 0);
}

/** The longest walk without going round a loop twice. */
function worstOf(exploration: Exploration, written: readonly Step[], fault: number): number {
  const known = new Map<number, number>();
  const open = new Set<number>();
  const visit = (id: number): number => {
    const before = known.get(id);
    if (before !== undefined) return before;
    const node = exploration.nodes[id];
    if (node?.step === undefined || open.has(id)) return 0;
    open.add(id);
    let worst = 0;
    for (const { edge } of partsOf(exploration, node, fault)) if (edge.repairs === undefined) worst = Math.max(worst, visit(edge.to));
    open.delete(id);
    const minutes = worst + (node.passedOver ? 0 : minutesOfStep(written[node.step] as Step));
    known.set(id, minutes);
    return minutes;
  };
  return exploration.nodes.length > 0 ? visit(0) : 0;
}
