/**
 * What the order as written costs and proves: minutes and steps to a finding, and how far the faults are told apart. Each fault is followed
 * through the explored walks with the probabilities of from-procedure.ts. The flow is first put into plain data, so that a page can follow it
 * again with other weights and times.
 *
 * Two costs stand side by side: what the steps take as they stand, and what the planner would count for the same tests in the same order. Only
 * the second may be compared with the best order.
 */
import type { Exploration, FlowEdge, FlowNode } from '../flow/explore.ts';
import type { OrderTree } from './best-order.ts';
import { resultsGiven } from './from-procedure.ts';
import { probabilities, type DiagnosisProblem } from './problem.ts';
import { StateSpace } from './state-space.ts';

/** The first search of a procedure as plain JSON. */
export interface WrittenFlow {
  readonly nodes: readonly WrittenNode[];
  /** For each step, fault and result: the probability of the result. Steps without results have none. */
  readonly given: readonly (readonly (readonly number[])[] | null)[];
}

export interface WrittenNode {
  /** Index of the step. */
  readonly step: number;
  readonly passedOver: boolean;
  readonly ways: readonly WrittenWay[];
}

export interface WrittenWay {
  /** Index of the result; -1 where the step has none. */
  readonly result: number;
  /** Index of the node it leads to; -1 where the search ends. */
  readonly to: number;
  /** Of an end: the fault found, or -1. */
  readonly finds: number;
  /** The result itself shows the fault found; false where it is the only one left. */
  readonly shown: boolean;
}

export interface FaultOutcome {
  readonly fault: string;
  readonly probability: number;
  /** Minutes as the steps stand. */
  readonly minutes: number;
  /** Minutes as the planner counts them. */
  readonly planned: number;
  readonly steps: number;
  /** The dearest walk that this fault can take, in minutes as the steps stand. */
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
  readonly planned: number;
  readonly steps: number;
  readonly worstMinutes: number;
  /** Share of the faults that lead to a finding, by count and by weight. */
  readonly detected: { readonly count: number; readonly weighted: number };
  /** Share of the detected faults isolated to the right one, by count and by weight. */
  readonly isolated: { readonly count: number; readonly weighted: number };
}

const LEAST_MASS = 1e-9;
const MOST_ROUNDS = 20_000;

/** The flow of the first search as plain data. */
export function writtenFlow(exploration: Exploration): WrittenFlow {
  const { program, nodes, edges, out } = exploration;
  const numbers = new Map<number, number>();
  const order: FlowNode[] = [];
  const number = (node: FlowNode): number => {
    let known = numbers.get(node.id);
    if (known === undefined) {
      numbers.set(node.id, (known = order.length));
      order.push(node);
    }
    return known;
  };
  const [first] = nodes;
  if (first?.step !== undefined) number(first);
  const found: WrittenNode[] = [];
  for (let at = 0; at < order.length; at++) {
    const node = order[at] as FlowNode;
    const ways = (out[node.id] ?? []).map((id): WrittenWay => {
      const edge = edges[id] as FlowEdge;
      const result = edge.result ?? -1;
      const way = program.steps[edge.step]?.results[result]?.way;
      const to = nodes[edge.to];
      if (way?.kind === 'finds') return { result, to: -1, finds: way.fault, shown: !way.byElimination };
      return { result, finds: -1, shown: false, to: to === undefined || to.ending !== undefined || to.step === undefined || to.afterRepair ? -1 : number(to) };
    });
    found.push({ step: node.step ?? -1, passedOver: node.passedOver, ways });
  }
  const given = program.steps.map((step) => (step.results.length > 0 ? program.faults.map((_, fault) => resultsGiven(program, step, fault)) : null));
  return { nodes: found, given };
}

export interface WrittenCosts {
  readonly problem: DiagnosisProblem;
  /** For each test of the problem, the index of its step. */
  readonly steps: readonly (number | undefined)[];
  /** For each step, its minutes as it stands. */
  readonly minutes: readonly number[];
  readonly opening: { readonly minutes: number };
}

/** Follows every fault through the flow. */
export function writtenOrder(flow: WrittenFlow, costs: WrittenCosts): WrittenOrder {
  const { problem } = costs;
  const weights = probabilities(problem.faults);
  const spaces = new StateSpace(problem);
  const faults = problem.faults.map(({ name }, fault) => ({ ...followFault(flow, costs, spaces, fault), fault: name, probability: weights[fault] ?? 0 }));
  const share = (of: (fault: FaultOutcome) => number): number => faults.reduce((sum, fault) => sum + fault.probability * of(fault), 0);
  const count = (of: (fault: FaultOutcome) => number): number => faults.reduce((sum, fault) => sum + of(fault), 0) / Math.max(1, faults.length);
  const detected = (fault: FaultOutcome): number => fault.found + fault.mistaken;
  const detectedCount = count(detected);
  const detectedWeighted = share(detected);
  return {
    faults,
    minutes: share((fault) => fault.minutes),
    planned: share((fault) => fault.planned),
    steps: share((fault) => fault.steps),
    worstMinutes: Math.max(0, ...faults.map((fault) => fault.worstMinutes)),
    detected: { count: detectedCount, weighted: detectedWeighted },
    isolated: {
      count: detectedCount > 0 ? count((fault) => fault.found) / detectedCount : 0,
      weighted: detectedWeighted > 0 ? share((fault) => fault.found) / detectedWeighted : 0,
    },
  };
}

/** For each node the share of runs that come through it: the sum over faults of weight times probability. */
export function arrivals(flow: WrittenFlow, problem: DiagnosisProblem): number[][] {
  const weights = probabilities(problem.faults);
  return problem.faults.map((_, fault) => {
    const shares = flow.nodes.map(() => 0);
    let mass = new Map<number, number>(flow.nodes.length > 0 ? [[0, weights[fault] ?? 0]] : []);
    for (let round = 0; round < MOST_ROUNDS && mass.size > 0; round++) {
      const next = new Map<number, number>();
      for (const [at, share] of mass) {
        shares[at] = (shares[at] ?? 0) + share;
        for (const { way, part } of partsOf(flow, flow.nodes[at] as WrittenNode, fault)) {
          if (way.to >= 0 && share * part > LEAST_MASS) next.set(way.to, (next.get(way.to) ?? 0) + share * part);
        }
      }
      mass = next;
    }
    return shares;
  });
}

/** For each of so many faults the probability that it is found when it is the cause, and that another is found in its place. */
export function findingShares(flow: WrittenFlow, faults: number): { readonly found: number; readonly mistaken: number }[] {
  return Array.from({ length: faults }, (_, fault) => {
    let found = 0;
    let mistaken = 0;
    let mass = new Map<number, number>(flow.nodes.length > 0 ? [[0, 1]] : []);
    for (let round = 0; round < MOST_ROUNDS && mass.size > 0; round++) {
      const next = new Map<number, number>();
      for (const [at, share] of mass) {
        for (const { way, part } of partsOf(flow, flow.nodes[at] as WrittenNode, fault)) {
          const flows = share * part;
          if (way.finds === fault) found += flows;
          else if (way.finds >= 0) mistaken += flows;
          else if (way.to >= 0 && flows > LEAST_MASS) next.set(way.to, (next.get(way.to) ?? 0) + flows);
        }
      }
      mass = next;
    }
    return { found, mistaken };
  });
}

function followFault(flow: WrittenFlow, costs: WrittenCosts, spaces: StateSpace, fault: number): Omit<FaultOutcome, 'fault' | 'probability'> {
  const { problem } = costs;
  const testOf = new Map(costs.steps.flatMap((step, test) => (step === undefined ? [] : [[step, test] as const])));
  let mass = new Map<string, { at: number; states: number; share: number }>();
  if (flow.nodes.length > 0) mass.set('start', { at: 0, states: 0, share: 1 });
  let minutes = 0;
  let planned = costs.opening.minutes;
  let steps = 0;
  let found = 0;
  let mistaken = 0;
  let referred = 0;
  const mistakenFor = new Set<string>();
  for (let round = 0; round < MOST_ROUNDS && mass.size > 0; round++) {
    const next = new Map<string, { at: number; states: number; share: number }>();
    for (const { at, states, share } of mass.values()) {
      const node = flow.nodes[at] as WrittenNode;
      let after = states;
      if (!node.passedOver) {
        minutes += share * (costs.minutes[node.step] ?? 0);
        steps += share;
        const test = testOf.get(node.step);
        if (test !== undefined) {
          const reached = spaces.reach(states, test);
          planned += share * (reached.minutes + (problem.tests[test]?.minutes ?? 0));
          after = reached.next;
        }
      }
      for (const { way, part } of partsOf(flow, node, fault)) {
        const flows = share * part;
        if (way.finds === fault) found += flows;
        else if (way.finds >= 0) {
          mistaken += flows;
          mistakenFor.add(problem.faults[way.finds]?.name ?? '');
        } else if (way.to < 0) referred += flows;
        else if (flows > LEAST_MASS) {
          const key = `${way.to} ${after}`;
          const before = next.get(key);
          if (before) before.share += flows;
          else next.set(key, { at: way.to, states: after, share: flows });
        }
      }
    }
    mass = next;
  }
  return { minutes, planned, steps, worstMinutes: worstOf(flow, costs, fault), found, mistaken, mistakenFor: [...mistakenFor], referred };
}

/** The ways that the fault can take from a node, with their shares. Facts and endings of procedures that are run share equally. */
function partsOf(flow: WrittenFlow, node: WrittenNode, fault: number): { readonly way: WrittenWay; readonly part: number }[] {
  const given = flow.given[node.step]?.[fault];
  const weightOf = (way: WrittenWay): number => {
    if (way.result < 0 || given === undefined) return 1;
    return (given[way.result] ?? 0) / node.ways.filter((other) => other.result === way.result).length;
  };
  const total = node.ways.reduce((sum, way) => sum + weightOf(way), 0);
  if (total <= 0) return node.ways.map((way) => ({ way, part: 1 / node.ways.length }));
  return node.ways.map((way) => ({ way, part: weightOf(way) / total })).filter(({ part }) => part > 0);
}

/** The longest walk without going round a loop twice. */
function worstOf(flow: WrittenFlow, costs: WrittenCosts, fault: number): number {
  const known = new Map<number, number>();
  const open = new Set<number>();
  const visit = (at: number): number => {
    const before = known.get(at);
    if (before !== undefined) return before;
    const node = flow.nodes[at];
    if (node === undefined || open.has(at)) return 0;
    open.add(at);
    let worst = 0;
    for (const { way } of partsOf(flow, node, fault)) if (way.to >= 0) worst = Math.max(worst, visit(way.to));
    open.delete(at);
    const minutes = worst + (node.passedOver ? 0 : (costs.minutes[node.step] ?? 0));
    known.set(at, minutes);
    return minutes;
  };
  return flow.nodes.length > 0 ? visit(0) : 0;
}

/** Branches in a tree of the written order, at the most. */
const MOST_BRANCHES = 5_000;

/** The order as written as a tree of its tests, for what the faults can meet; steps in between count to the test behind them. */
export function writtenTree({ flow, problem, steps, minutes }: TreeSheet): OrderTree {
  const testOf = new Map(steps.flatMap((step, test) => (step === undefined || step === null ? [] : [[step, test] as const])));
  let branchesLeft = MOST_BRANCHES;
  const leaf = (weights: readonly number[]): OrderTree => ({ kind: 'leaf', possible: weights.flatMap((weight, fault) => (weight > 0 ? [fault] : [])) });
  const visit = (from: number, weights: readonly number[], depth: number): OrderTree => {
    let spent = 0;
    for (let at = from, walked = 0; at >= 0 && walked < flow.nodes.length && branchesLeft > 0; walked++) {
      const node = flow.nodes[at] as WrittenNode;
      if (!node.passedOver) spent += minutes[node.step] ?? 0;
      const test = testOf.get(node.step);
      const next = node.ways.map((way) => ({
        way, weights: weights.map((weight, fault) => weight * (weight > 0 ? (partsOf(flow, node, fault).find((one) => one.way === way)?.part ?? 0) : 0)),
      })).filter((one) => one.weights.some((weight) => weight > LEAST_MASS));
      const [only] = next;
      if (only === undefined) return leaf(weights);
      if (next.length > 1 || only.way.to < 0) {
        if (test === undefined || node.passedOver || depth > flow.nodes.length) {
          // Ways that part for another reason than a test's result: the likeliest stands for all.
          at = only.way.to;
          if (at < 0) return leaf(weights);
          continue;
        }
        const total = weights.reduce((sum, weight) => sum + weight, 0);
        branchesLeft -= next.length;
        return {
          kind: 'test', test, minutes: spent,
          branches: next.map(({ way, weights: after }) => ({
            outcome: way.result, probability: after.reduce((sum, weight) => sum + weight, 0) / total, tree: way.to < 0 ? leaf(after) : visit(way.to, after, depth + 1),
          })),
        };
      }
      at = only.way.to;
    }
    return leaf(weights);
  };
  return flow.nodes.length > 0 ? visit(0, probabilities(problem.faults), 0) : leaf([]);
}

interface TreeSheet {
  readonly flow: WrittenFlow;
  readonly problem: DiagnosisProblem;
  readonly steps: readonly (number | null | undefined)[];
  readonly minutes: readonly number[];
}

/** For each fault that comes to a stretch of steps: what it spends there, and how likely it comes out of it without an ending or by its last way. */
export function throughUnit(
  flow: WrittenFlow, costs: WrittenCosts, unit: { readonly from: number; readonly to: number },
): { readonly minutes: readonly number[]; readonly goesOn: readonly number[] } {
  const start = flow.nodes.findIndex((node) => node.step === unit.from);
  const minutes: number[] = [];
  const goesOn: number[] = [];
  costs.problem.faults.forEach((_, fault) => {
    let mass = new Map<number, number>(start < 0 ? [] : [[start, 1]]);
    let spent = 0;
    let ended = 0;
    for (let round = 0; round < MOST_ROUNDS && mass.size > 0; round++) {
      const next = new Map<number, number>();
      for (const [at, share] of mass) {
        const node = flow.nodes[at] as WrittenNode;
        if (!node.passedOver) spent += share * (costs.minutes[node.step] ?? 0);
        for (const { way, part } of partsOf(flow, node, fault)) {
          const inside = way.to >= 0 && (flow.nodes[way.to]?.step ?? -1) >= unit.from && (flow.nodes[way.to]?.step ?? -1) <= unit.to;
          // By elimination is no test's own finding: the fault came through.
          if (way.finds >= 0 && way.shown) ended += share * part;
          else if (inside && share * part > LEAST_MASS) next.set(way.to, (next.get(way.to) ?? 0) + share * part);
        }
      }
      mass = next;
    }
    minutes.push(spent);
    goesOn.push(Math.max(0, 1 - ended));
  });
  return { minutes, goesOn };
}
