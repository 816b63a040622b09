/**
 * The best order of tests: exact AND/OR search over what is still possible where it finishes within its budget, otherwise lookahead with
 * information gain for each minute; always with a lower bound beside it (order-bounds.ts says why it is one).
 */
import { compileProblem, MASK_GROUPS, type Compiled } from './compile-problem.ts';
import { ExactSearch, membersOf, OutOfPlaces, SearchCancelled, type ExactPlace } from './exact-search.ts';
import { Lookahead, type GroupTree } from './lookahead.ts';
import { OrderBounds } from './order-bounds.ts';
import type { DiagnosisProblem } from './problem.ts';

export { SearchCancelled };

/** What to do next: a test and what follows each outcome; a leaf where nothing more can be told apart. */
export type OrderTree =
  | { readonly kind: 'leaf'; readonly possible: readonly number[] }
  | { readonly kind: 'test'; readonly test: number; readonly minutes: number; readonly branches: readonly OrderBranch[] };

export interface OrderBranch {
  readonly outcome: number;
  readonly probability: number;
  /** Minutes on top of the test's. */
  readonly minutes?: number;
  readonly tree: OrderTree;
}

export interface BestOrder {
  readonly tree: OrderTree;
  /** Expected minutes to a leaf. */
  readonly minutes: number;
  /** No order of these tests takes fewer on average. Equals `minutes` where the search was exact. */
  readonly lowerBound: number;
  readonly exact: boolean;
  /** Places opened. */
  readonly opened: number;
}

export interface SearchBudget {
  /** Places that may be opened before the search settles for lookahead. */
  readonly places?: number;
  /** Answers true when the caller no longer wants the result. */
  readonly cancelled?: () => boolean;
}

const PLACES = 30_000;
/** Work of the lookahead, in passes of the greedy order. */
const PASSES = 6;
/** What the lookahead may do at the least: small problems can afford more passes. */
const LEAST_WORK = 400_000;

/** The best order found. Throws SearchCancelled when the budget says so, and nothing else. */
export function bestOrder(problem: DiagnosisProblem, budget: SearchBudget = {}): BestOrder {
  const compiled = compileProblem(problem);
  const places = budget.places ?? PLACES;
  const bounds = new OrderBounds(compiled);
  let lower = 0;
  let opened = 0;
  if (compiled.groups.length <= MASK_GROUPS && places > 0) {
    const search = new ExactSearch(compiled, bounds, places, budget.cancelled);
    try {
      const minutes = search.solve(search.start);
      const { opened: solvedIn } = search;
      search.places = Infinity;
      return { tree: exactTree(compiled, search, search.start), minutes, lowerBound: minutes, exact: true, opened: solvedIn };
    } catch (error) {
      if (!(error instanceof OutOfPlaces)) throw error;
      lower = search.lowerBound();
      opened = search.opened;
    }
  }
  const lookahead = new Lookahead(compiled, budget.cancelled);
  const greedy = lookahead.greedy();
  const improved = lookahead.improved(Math.max(PASSES * lookahead.work, places > 0 ? LEAST_WORK : 0));
  const best = improved.total < greedy.total ? improved : greedy;
  lower = Math.max(lower, bounds.boundOfAll());
  return { tree: treeOf(compiled, best), minutes: best.total, lowerBound: Math.min(best.total, lower), exact: false, opened };
}

/** The order that takes the test with the most information for each minute, with no lookahead: the baseline of the benchmark. */
export function greedyOrder(problem: DiagnosisProblem): { readonly tree: OrderTree; readonly minutes: number } {
  const compiled = compileProblem(problem);
  const greedy = new Lookahead(compiled).greedy();
  return { tree: treeOf(compiled, greedy), minutes: greedy.total };
}

/** The lower bound on expected minutes for any order of the tests. */
export function lowerBound(problem: DiagnosisProblem): number {
  return new OrderBounds(compileProblem(problem)).boundOfAll();
}

/** Expected minutes of a tree. */
export function minutesOf(tree: OrderTree): number {
  if (tree.kind === 'leaf') return 0;
  return tree.branches.reduce((minutes, branch) => minutes + branch.probability * ((branch.minutes ?? 0) + minutesOf(branch.tree)), tree.minutes);
}

/** Expected number of tests of a tree. */
export function testsOf(tree: OrderTree): number {
  if (tree.kind === 'leaf') return 0;
  return tree.branches.reduce((count, branch) => count + branch.probability * testsOf(branch.tree), 1);
}

/** The dearest way through a tree, in minutes. */
export function worstOf(tree: OrderTree): number {
  if (tree.kind === 'leaf') return 0;
  return tree.minutes + Math.max(0, ...tree.branches.map((branch) => (branch.minutes ?? 0) + worstOf(branch.tree)));
}

function exactTree(compiled: Compiled, search: ExactSearch, place: ExactPlace): OrderTree {
  const index = search.testAt(place);
  const test = index === undefined ? undefined : compiled.tests[index];
  if (index === undefined || test === undefined) return { kind: 'leaf', possible: faultsOf(compiled, membersOf(place.mask)) };
  return {
    kind: 'test', test: index, minutes: search.minutes(place, index),
    branches: search.outcomes(place, test).map(({ outcome, probability, minutes, place: next, found }) => ({
      outcome, probability, ...(minutes > 0 ? { minutes } : {}),
      tree: next ? exactTree(compiled, search, next) : { kind: 'leaf' as const, possible: faultsOf(compiled, [found]) },
    })),
  };
}

function treeOf(compiled: Compiled, tree: GroupTree): OrderTree {
  if (tree.test < 0) return { kind: 'leaf', possible: faultsOf(compiled, tree.members) };
  return {
    kind: 'test', test: tree.test, minutes: tree.minutes,
    branches: tree.branches.map(({ outcome, probability, minutes, tree: next }) => ({
      outcome, probability, ...(minutes > 0 ? { minutes } : {}), tree: treeOf(compiled, next),
    })),
  };
}

function faultsOf(compiled: Compiled, groups: readonly number[]): number[] {
  return groups.flatMap((group) => compiled.groups[group]?.faults ?? []).sort((a, b) => a - b);
}
