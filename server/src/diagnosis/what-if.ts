/**
 * The numbers of a diagnosis for given weights and times: worked out from plain data, so that a page follows a slider with the same code that the
 * command line uses.
 */
import { bestOrder, testsOf, worstOf, type OrderTree, type SearchBudget } from './best-order.ts';
import { MINUTES_OUT_OF_PLACE, doneState, entropy, probabilities, readingState, storedReadings, type DiagnosisProblem, type DiagnosisTest } from './problem.ts';
import { arrivals, writtenOrder, writtenTree, type WrittenCosts, type WrittenFlow, type WrittenOrder } from './written-order.ts';

/** Everything that the numbers are worked out from: plain JSON. */
export interface DiagnosisSheet {
  readonly problem: DiagnosisProblem;
  /** For each test, the index of its step; null where it is a repair that is tried. */
  readonly steps: readonly (number | null)[];
  readonly stepNames: readonly string[];
  /** For each step, its minutes as it stands. */
  readonly minutes: readonly number[];
  readonly opening: { readonly steps: readonly number[]; readonly minutes: number };
  /** Steps whose time the writer left out. */
  readonly untimed: readonly string[];
  readonly flow: WrittenFlow;
}

/** What a person changes: weights by fault, minutes by step. */
export interface WhatIf {
  readonly weights?: Readonly<Record<string, number>>;
  readonly minutes?: Readonly<Record<string, number>>;
}

export interface TestValue {
  readonly test: string;
  readonly minutes: number;
  /** Minutes of the readings that were stored for it and that no test above it has used. */
  readonly readings: number;
  /** Share of the runs that come to it in the order as written. */
  readonly reached: number;
  /** Bits it brings there, on average over the runs that come to it. */
  readonly bits: number;
  /** Bits for each minute, its readings included; undefined where it takes no time. */
  readonly bitsPerMinute?: number;
}

/** A step of the search, test or not, in the order as written. */
export interface StepCost {
  readonly step: string;
  readonly minutes: number;
  readonly reached: number;
}

export interface BestOfSheet {
  readonly tree: OrderTree;
  /** Expected minutes, what comes first in every order included. */
  readonly minutes: number;
  readonly lowerBound: number;
  readonly exact: boolean;
  readonly worstMinutes: number;
  readonly tests: number;
  /** False where no order could be found that keeps every test in its place. */
  readonly sound: boolean;
  /** Where the order first differs from the one written. */
  readonly firstMove?: FirstMove;
}

export interface FirstMove {
  /** Results met before, from the start. */
  readonly after: readonly { readonly test: string; readonly when: string }[];
  readonly test: string;
  /** What stands there as written; absent where the search has ended there. */
  readonly insteadOf?: string;
}

export interface DiagnosisNumbers {
  readonly written: WrittenOrder;
  readonly values: readonly TestValue[];
  readonly steps: readonly StepCost[];
  readonly best: BestOfSheet;
}

/** The sheet with other weights and times. */
export function changedSheet(sheet: DiagnosisSheet, { weights = {}, minutes = {} }: WhatIf): DiagnosisSheet {
  const minutesOf = (name: string | undefined, before: number): number => (name !== undefined && Object.hasOwn(minutes, name) ? Math.max(0, minutes[name] ?? 0) : before);
  const { problem } = sheet;
  const openingNames = sheet.opening.steps.map((step) => sheet.stepNames[step]);
  return {
    ...sheet,
    minutes: sheet.minutes.map((before, step) => minutesOf(sheet.stepNames[step], before)),
    opening: { ...sheet.opening, minutes: sheet.opening.steps.reduce((sum, step, index) => sum + minutesOf(openingNames[index], sheet.minutes[step] ?? 0), 0) },
    problem: {
      ...problem,
      faults: problem.faults.map((fault) => (Object.hasOwn(weights, fault.name) ? { ...fault, weight: Math.max(0, weights[fault.name] ?? 0) } : fault)),
      tests: problem.tests.map((test) => ({ ...test, minutes: minutesOf(test.name, test.minutes) })),
      moves: (problem.moves ?? []).map((move) => ({ ...move, minutes: minutesOf(move.by, move.minutes) })),
    },
  };
}

/** All numbers of a sheet; `best` stands in for the best order where it is to be looked for later. Throws SearchCancelled when the budget says so. */
export function numbersOf(sheet: DiagnosisSheet, budget: SearchBudget = {}, best?: BestOfSheet): DiagnosisNumbers {
  return { written: writtenNumbers(sheet), values: testValues(sheet), steps: stepCosts(sheet), best: best ?? bestOfSheet(sheet, budget) };
}

export function writtenNumbers(sheet: DiagnosisSheet): WrittenOrder {
  return writtenOrder(sheet.flow, writtenCosts(sheet));
}

export function writtenCosts({ problem, steps, minutes, opening }: DiagnosisSheet): WrittenCosts {
  return { problem, steps: steps.map((step) => step ?? undefined), minutes, opening };
}

/** The best order found: that of the search, or the one written where the search found no better. */
export function bestOfSheet(sheet: DiagnosisSheet, budget: SearchBudget = {}): BestOfSheet {
  const best = bestOrder(sheet.problem, budget);
  const { minutes: opening } = sheet.opening;
  const sound = worstOf(best.tree) < MINUTES_OUT_OF_PLACE;
  if (!best.exact || !sound) {
    const written = writtenNumbers(sheet);
    // It is one of the orders, as far as it tells the faults apart; a search that had to stop may not have come to it.
    const comparable = written.isolated.weighted > 0.999 && written.detected.weighted > 0.999;
    if (comparable && (!sound || written.minutes < best.minutes + opening)) {
      const tree = writtenTree(sheet);
      return {
        tree, minutes: written.minutes, lowerBound: Math.min(written.minutes, best.lowerBound + opening), exact: false, worstMinutes: written.worstMinutes, tests: testsOf(tree), sound: true,
      };
    }
  }
  const firstMove = sound ? firstDifference(sheet, best.tree) : undefined;
  return {
    tree: best.tree, minutes: best.minutes + opening, lowerBound: best.lowerBound + opening, exact: best.exact, worstMinutes: worstOf(best.tree) + opening,
    tests: testsOf(best.tree), sound, ...(firstMove ? { firstMove } : {}),
  };
}

/** What each test of the written order brings where it stands. */
export function testValues(sheet: DiagnosisSheet): TestValue[] {
  const { problem, flow } = sheet;
  const arriving = arrivals(flow, problem);
  const used = new Set<string>();
  return problem.tests.flatMap((test, index): TestValue[] => {
    const step = sheet.steps[index];
    if (step === null || step === undefined) return [];
    const weights = arriving.map((shares) => flow.nodes.reduce((sum, node, at) => (node.step === step && !node.passedOver ? sum + (shares[at] ?? 0) : sum), 0));
    const reached = weights.reduce((sum, weight) => sum + weight, 0);
    let after = 0;
    for (const outcome of test.outcomes) {
      const left = weights.map((weight, fault) => weight * (outcome.given[fault] ?? 0));
      after += left.reduce((sum, weight) => sum + weight, 0) * entropy(left);
    }
    const bits = reached > 0 ? Math.max(0, entropy(weights) - after / reached) : 0;
    const fresh = storedReadings(test.states).filter((name) => !used.has(name) && !problem.tests.some((other) => other.name === name));
    for (const name of fresh) used.add(name);
    const readings = fresh.reduce((sum, name) => sum + (sheet.minutes[sheet.stepNames.indexOf(name)] ?? 0), 0);
    const minutes = test.minutes + readings;
    return [{ test: test.name, minutes: test.minutes, readings, reached: Math.min(1, reached), bits, ...(minutes > 0 ? { bitsPerMinute: bits / minutes } : {}) }];
  });
}

/** The steps of the search that some fault comes to, in the order of writing. */
function stepCosts({ problem, flow, minutes, stepNames }: DiagnosisSheet): StepCost[] {
  const arriving = arrivals(flow, problem);
  const reached = new Map<number, number>();
  flow.nodes.forEach(({ step, passedOver }, at) => {
    if (!passedOver) reached.set(step, (reached.get(step) ?? 0) + arriving.reduce((sum, shares) => sum + (shares[at] ?? 0), 0));
  });
  return [...reached].filter(([step]) => step >= 0).sort(([a], [b]) => a - b)
    .map(([step, share]) => ({ step: stepNames[step] ?? '', minutes: minutes[step] ?? 0, reached: Math.min(1, share) }));
}

/** Follows both orders side by side, the likeliest ways first, to where they part. Tests without minutes make no difference. */
function firstDifference(sheet: DiagnosisSheet, tree: OrderTree): FirstMove | undefined {
  const { problem, flow } = sheet;
  const testOf = new Map(sheet.steps.flatMap((step, test) => (step === null ? [] : [[step, test] as const])));
  interface Place { readonly tree: OrderTree; readonly node: number; readonly met: ReadonlyMap<number, number>; readonly after: FirstMove['after']; readonly share: number }
  /** The next node with a test whose result is not known yet. */
  const arrive = (from: number, met: ReadonlyMap<number, number>): number => {
    let at = from;
    for (let count = 0; at >= 0 && count < flow.nodes.length; count++) {
      const node = flow.nodes[at];
      const test = node && testOf.get(node.step);
      const known = test === undefined ? undefined : met.get(test);
      if (node === undefined || (test !== undefined && known === undefined && !node.passedOver)) return at;
      const way = known === undefined ? node.ways[0] : node.ways.find(({ result }) => result === known);
      if (way === undefined) return -1;
      at = way.to;
    }
    return -1;
  };
  const queue: Place[] = [{ tree, node: 0, met: new Map(), after: [], share: 1 }];
  for (let count = 0; queue.length > 0 && count < 2000; count++) {
    queue.sort((a, b) => b.share - a.share);
    const place = queue.shift() as Place;
    if (place.tree.kind === 'leaf') continue;
    const { test, branches } = place.tree;
    const info = problem.tests[test];
    const node = arrive(place.node, place.met);
    const writtenTest = node < 0 ? undefined : testOf.get(flow.nodes[node]?.step ?? -1);
    const free = info?.minutes === 0 && Object.keys(info.states ?? {}).length === 0;
    // A free test of the written order is passed with any of its results: what matters is what costs.
    if (writtenTest !== test && !free) {
      const written = writtenTest === undefined ? undefined : problem.tests[writtenTest];
      if (written !== undefined && written.minutes === 0 && Object.keys(written.states ?? {}).length === 0) continue;
      // What the test relies on comes before it in either order: a tester that was checked, a proof that the circuit is dead.
      const passed = written && isReliedOn(written.name, info) ? outcomeThatLeads(written) : undefined;
      if (written && writtenTest !== undefined && passed !== undefined) {
        const label = written.outcomes[passed]?.label ?? '';
        queue.push({ ...place, node, met: new Map(place.met).set(writtenTest, passed), after: [...place.after, { test: written.name, when: label }] });
        continue;
      }
      return { after: place.after, test: info?.name ?? '', ...(written ? { insteadOf: written.name } : {}) };
    }
    for (const branch of branches) {
      const met = new Map(place.met).set(test, branch.outcome);
      const label = info?.outcomes[branch.outcome]?.label ?? '';
      queue.push({ tree: branch.tree, node: node < 0 ? -1 : node, met, after: free ? place.after : [...place.after, { test: info?.name ?? '', when: label }], share: place.share * branch.probability });
    }
  }
  return undefined;
}

function isReliedOn(name: string, test: DiagnosisTest | undefined): boolean {
  return test?.states?.[doneState(name)] !== undefined || test?.states?.[readingState(name)] !== undefined;
}

/** The outcome that most faults give. */
function outcomeThatLeads({ outcomes }: DiagnosisTest): number | undefined {
  const shares = outcomes.map(({ given }) => given.reduce((sum, share) => sum + share, 0));
  const most = shares.indexOf(Math.max(...shares));
  return most < 0 ? undefined : most;
}

/** Shares of the weights, by fault. */
export function sharesOf(problem: DiagnosisProblem): number[] {
  return probabilities(problem.faults);
}
