/**
 * The best order of tests: exact AND/OR search over what is still possible where it finishes within its budget, otherwise lookahead with
 * information gain for each minute; always with a lower bound beside it.
 *
 * A place in the search is (weights of the faults still possible, states of the machine, tests done). Choosing a test is an OR,
 * its outcomes an AND. The bound is admissible: no order needs fewer tests on average than a Huffman code over the groups of faults that can
 * be told apart, and k tests cost at least the k cheapest (a convex function of k, so Jensen's inequality carries it to the average).
 */
import { entropy, huffmanLength, minutesToReach, probabilities, statesAfterTest, type DiagnosisProblem, type DiagnosisTest } from './problem.ts';

/** What to do next: a test and what follows each outcome; a leaf where nothing more can be told apart. */
export type OrderTree =
  | { readonly kind: 'leaf'; readonly possible: readonly number[] }
  | { readonly kind: 'test'; readonly test: number; readonly minutes: number; readonly branches: readonly { readonly outcome: number; readonly probability: number; readonly tree: OrderTree }[] };

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

const PLACES = 150_000;
const EPSILON = 1e-12;

/** Thrown when the caller cancelled. */
export class SearchCancelled extends Error {}

/** The best order found. Throws SearchCancelled when the budget says so, and nothing else. */
export function bestOrder(problem: DiagnosisProblem, budget: SearchBudget = {}): BestOrder {
  const search = new Search(problem, budget);
  const exact = search.exact();
  if (exact) return { ...exact, lowerBound: exact.minutes, exact: true, opened: search.opened };
  const greedy = search.lookahead();
  return { ...greedy, lowerBound: Math.min(greedy.minutes, search.bound(search.start.weights)), exact: false, opened: search.opened };
}

/** The order that takes the test with the most information for each minute, with no lookahead: the baseline of the benchmark. */
export function greedyOrder(problem: DiagnosisProblem): { readonly tree: OrderTree; readonly minutes: number } {
  return new Search(problem, {}).greedy();
}

/** The lower bound on expected minutes for any order of the tests. */
export function lowerBound(problem: DiagnosisProblem): number {
  const search = new Search(problem, {});
  return search.bound(search.start.weights);
}

interface Place {
  /** Weight of each fault, not normalised: prior times the probability of the outcomes so far. */
  readonly weights: readonly number[];
  readonly states: Readonly<Record<string, string>>;
  /** Bit t is set once test t was done. */
  readonly done: bigint;
}

interface Known {
  readonly minutes: number;
  readonly test: number | undefined;
}

class OutOfPlaces extends Error {}

class Search {
  readonly start: Place;
  opened = 0;
  readonly #problem: DiagnosisProblem;
  readonly #budget: SearchBudget;
  readonly #known = new Map<string, Known>();
  readonly #cheapest: readonly number[];
  readonly #arity: number;
  readonly #places: number;
  readonly #certain: boolean;
  readonly #doneMatters: boolean;

  constructor(problem: DiagnosisProblem, budget: SearchBudget) {
    this.#problem = problem;
    this.#budget = budget;
    this.#places = budget.places ?? PLACES;
    this.#cheapest = problem.tests.map((test) => test.minutes).sort((a, b) => a - b);
    this.#arity = Math.max(2, ...problem.tests.map((test) => test.outcomes.length));
    this.#certain = problem.tests.every((test) => test.outcomes.every((outcome) => outcome.given.every((p) => p === 0 || p === 1)));
    // What was done matters to what can follow only where a test may tell more when done again, or where another waits for it.
    this.#doneMatters = !this.#certain || problem.tests.some((test) => (test.after ?? []).length > 0);
    this.start = { weights: probabilities(problem.faults), states: problem.start ?? {}, done: 0n };
  }

  exact(): { readonly tree: OrderTree; readonly minutes: number } | undefined {
    try {
      const known = this.#solve(this.start);
      return { tree: this.#treeOf(this.start, (place) => this.#solve(place).test), minutes: known.minutes };
    } catch (error) {
      if (error instanceof OutOfPlaces) return undefined;
      throw error;
    }
  }

  greedy(): { readonly tree: OrderTree; readonly minutes: number } {
    const tree = this.#treeOf(this.start, (place) => this.#mostInformative(place, 1)[0]?.test);
    return { tree, minutes: minutesOf(tree) };
  }

  /** Of the few most informative tests, the one whose outcomes cost least when each is continued greedily. */
  lookahead(): { readonly tree: OrderTree; readonly minutes: number } {
    const many = this.#problem.tests.length > 40;
    const choose = (place: Place): number | undefined => {
      const candidates = this.#mostInformative(place, many ? 2 : 4);
      if (candidates.length < 2) return candidates[0]?.test;
      let best: { test: number; minutes: number } | undefined;
      for (const { test, minutes: direct } of candidates) {
        const total = sum(place.weights);
        let minutes = direct;
        for (const next of this.#outcomes(place, test)) minutes += (sum(next.weights) / total) * this.#estimate(next);
        if (best === undefined || minutes < best.minutes - EPSILON) best = { test, minutes };
      }
      return best?.test;
    };
    const looked = this.#treeOf(this.start, choose);
    const greedy = this.greedy();
    const minutes = minutesOf(looked);
    return minutes <= greedy.minutes ? { tree: looked, minutes } : greedy;
  }

  /** Admissible: see the head of this file. */
  bound(weights: readonly number[]): number {
    const groups = this.#groupWeights(weights);
    if (groups.length < 2) return 0;
    // With uncertain outcomes nothing is known to be needed: the tests left may tell no more.
    if (!this.#certain) return 0;
    const length = huffmanLength(groups, this.#arity);
    const whole = Math.floor(length);
    let minutes = 0;
    for (let k = 0; k < whole; k++) minutes += this.#cheapest[k] ?? 0;
    return minutes + (length - whole) * (this.#cheapest[whole] ?? 0);
  }

  #solve(place: Place): Known {
    const key = keyOf(place, this.#doneMatters);
    const known = this.#known.get(key);
    if (known) return known;
    if (++this.opened > this.#places) throw new OutOfPlaces();
    if ((this.opened & 1023) === 0 && this.#budget.cancelled?.()) throw new SearchCancelled();
    const total = sum(place.weights);
    let best: Known = { minutes: Infinity, test: undefined };
    const candidates = this.#usefulTests(place)
      .map((test) => ({ test, direct: this.#minutes(place, test), outcomes: this.#outcomes(place, test) }))
      .map((candidate) => ({
        ...candidate,
        bound: candidate.direct + candidate.outcomes.reduce((minutes, next) => minutes + (sum(next.weights) / total) * this.bound(next.weights), 0),
      }))
      .sort((a, b) => a.bound - b.bound);
    for (const { test, direct, outcomes, bound } of candidates) {
      if (bound >= best.minutes - EPSILON) break;
      let minutes = direct;
      for (const next of outcomes) {
        minutes += (sum(next.weights) / total) * this.#solve(next).minutes;
        if (minutes >= best.minutes) break;
      }
      if (minutes < best.minutes - EPSILON) best = { minutes, test };
    }
    const solved = best.test === undefined ? { minutes: 0, test: undefined } : best;
    this.#known.set(key, solved);
    return solved;
  }

  /** Greedy to the end, by expected minutes. */
  #estimate(place: Place): number {
    const [best] = this.#mostInformative(place, 1);
    if (best === undefined) return 0;
    const total = sum(place.weights);
    return this.#outcomes(place, best.test).reduce((minutes, next) => minutes + (sum(next.weights) / total) * this.#estimate(next), best.minutes);
  }

  #mostInformative(place: Place, most: number): { readonly test: number; readonly minutes: number }[] {
    if (this.#budget.cancelled?.()) throw new SearchCancelled();
    const total = sum(place.weights);
    const before = entropy(place.weights);
    return this.#usefulTests(place)
      .map((test) => {
        const minutes = this.#minutes(place, test);
        const after = this.#outcomes(place, test).reduce((bits, next) => bits + (sum(next.weights) / total) * entropy(next.weights), 0);
        return { test, minutes, rate: (before - after) / Math.max(minutes, 1e-6) };
      })
      .sort((a, b) => b.rate - a.rate || a.minutes - b.minutes || a.test - b.test)
      .slice(0, most);
  }

  /** Tests that would change the weights of the faults against one another, and whose forerunners are done. */
  #usefulTests(place: Place): number[] {
    const { tests } = this.#problem;
    const useful: number[] = [];
    if (place.weights.filter((weight) => weight > EPSILON).length < 2) return useful;
    tests.forEach((test, index) => {
      if ((place.done >> BigInt(index)) & 1n || !this.#forerunnersDone(test, place)) return;
      const tells = test.outcomes.some((outcome) => {
        let seen: number | undefined;
        return outcome.given.some((p, fault) => {
          if ((place.weights[fault] ?? 0) <= EPSILON) return false;
          if (seen === undefined) seen = p;
          return Math.abs(p - seen) > EPSILON;
        });
      });
      if (tells) useful.push(index);
    });
    return useful;
  }

  #forerunnersDone(test: DiagnosisTest, place: Place): boolean {
    return (test.after ?? []).every((name) => {
      const index = this.#problem.tests.findIndex((other) => other.name === name);
      return index < 0 || ((place.done >> BigInt(index)) & 1n) === 1n;
    });
  }

  #minutes(place: Place, test: number): number {
    const chosen = this.#problem.tests[test];
    return chosen ? chosen.minutes + minutesToReach(this.#problem, place.states, chosen) : 0;
  }

  #outcomes(place: Place, test: number): (Place & { readonly outcome: number })[] {
    const chosen = this.#problem.tests[test];
    if (!chosen) return [];
    const states = statesAfterTest(place.states, chosen);
    const done = place.done | (1n << BigInt(test));
    return chosen.outcomes.flatMap((outcome, index) => {
      const weights = place.weights.map((weight, fault) => weight * (outcome.given[fault] ?? 0));
      return sum(weights) > EPSILON ? [{ weights, states, done, outcome: index }] : [];
    });
  }

  #treeOf(place: Place, choose: (place: Place) => number | undefined): OrderTree {
    const test = choose(place);
    if (test === undefined) return { kind: 'leaf', possible: place.weights.flatMap((weight, fault) => (weight > EPSILON ? [fault] : [])) };
    const total = sum(place.weights);
    return {
      kind: 'test',
      test,
      minutes: this.#minutes(place, test),
      branches: this.#outcomes(place, test).map((next) => ({
        outcome: next.outcome,
        probability: sum(next.weights) / total,
        tree: this.#treeOf(next, choose),
      })),
    };
  }

  /** The weights of the groups that some test can tell apart. */
  #groupWeights(weights: readonly number[]): number[] {
    const groups = new Map<string, number>();
    weights.forEach((weight, fault) => {
      if (weight <= EPSILON) return;
      const key = signatureOf(this.#problem, fault);
      groups.set(key, (groups.get(key) ?? 0) + weight);
    });
    return [...groups.values()];
  }
}

/** What the tests say of a fault: faults with the same signature cannot be told apart. */
export function signatureOf(problem: DiagnosisProblem, fault: number): string {
  return problem.tests.map((test) => test.outcomes.map((outcome) => (outcome.given[fault] ?? 0).toFixed(9)).join()).join(';');
}

/** Expected minutes of a tree. */
export function minutesOf(tree: OrderTree): number {
  if (tree.kind === 'leaf') return 0;
  return tree.branches.reduce((minutes, branch) => minutes + branch.probability * minutesOf(branch.tree), tree.minutes);
}

/** Expected number of tests of a tree. */
export function testsOf(tree: OrderTree): number {
  if (tree.kind === 'leaf') return 0;
  return tree.branches.reduce((count, branch) => count + branch.probability * testsOf(branch.tree), 1);
}

function sum(numbers: readonly number[]): number {
  let total = 0;
  for (const number of numbers) total += number;
  return total;
}

function keyOf(place: Place, doneMatters: boolean): string {
  const total = sum(place.weights);
  const states = Object.entries(place.states).map(([state, value]) => `${state}=${value}`).sort().join();
  // The order depends on the shape of the weights, not on how likely it was to come here.
  return `${place.weights.map((weight) => (weight / total).toPrecision(9)).join()}|${states}|${doneMatters ? place.done : ''}`;
}
