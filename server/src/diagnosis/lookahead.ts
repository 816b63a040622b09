/**
 * An order of tests for problems of any size: greedy by information for each minute, then looked over from the top: where another of the most
 * promising tests, continued greedily, takes fewer minutes, it takes the place of the first. The work is counted and bounded, never timed.
 */
import type { Compiled, CompiledTest } from './compile-problem.ts';
import { mayShow, plogp } from './compile-problem.ts';
import { SearchCancelled } from './exact-search.ts';
import { MINUTES_OUT_OF_PLACE } from './problem.ts';

export interface GroupTree {
  readonly test: number;
  /** Expected minutes from here to the end. */
  readonly total: number;
  /** Of the test, with getting into its states. */
  readonly minutes: number;
  readonly members: readonly number[];
  readonly branches: readonly GroupBranch[];
}

export interface GroupBranch {
  readonly outcome: number;
  readonly probability: number;
  readonly minutes: number;
  readonly tree: GroupTree;
}

interface Place {
  readonly members: Int32Array;
  /** Parallel to `members`. */
  readonly weights: Float64Array;
  readonly state: number;
  /** Tests done that are not known to be useless by now. */
  readonly done: ReadonlySet<number>;
  readonly found: boolean;
}

/** A tree whose parts can still be exchanged. */
interface Draft {
  place: Place;
  test: number;
  minutes: number;
  total: number;
  branches: { outcome: number; probability: number; minutes: number; tree: Draft }[];
}

interface Candidate {
  readonly test: CompiledTest;
  readonly minutes: number;
  readonly rate: number;
}

const NO_TESTS: ReadonlySet<number> = new Set();
/** Alternatives looked at in each place. */
const ALTERNATIVES = 3;

export class Lookahead {
  /** Looks at a fault for a test: the unit of work. */
  work = 0;
  readonly #compiled: Compiled;
  readonly #cancelled: (() => boolean) | undefined;
  readonly #keepDone: boolean;
  #nextAsked = 0;

  constructor(compiled: Compiled, cancelled?: () => boolean) {
    this.#compiled = compiled;
    this.#cancelled = cancelled;
    this.#keepDone = !compiled.allCertain;
  }

  /** The order that always takes the test with the most information for each minute. */
  greedy(): GroupTree {
    return settled(this.#greedy(this.#start()));
  }

  /** The greedy order, improved until `work` more units are used up. */
  improved(work: number): GroupTree {
    const root = this.#greedy(this.#start());
    const until = this.work + work;
    const queue: { draft: Draft; share: number }[] = [{ draft: root, share: 1 }];
    while (queue.length > 0 && this.work < until) {
      // Where most minutes are spent is looked at first.
      let at = 0;
      for (let index = 1; index < queue.length; index++) if (stake(queue[index]) > stake(queue[at])) at = index;
      const [{ draft, share }] = queue.splice(at, 1) as [{ draft: Draft; share: number }];
      this.#improve(draft, until);
      for (const { tree, probability } of draft.branches) if (tree.test >= 0) queue.push({ draft: tree, share: share * probability });
    }
    recount(root);
    return settled(root);
  }

  #improve(draft: Draft, until: number): void {
    const candidates = this.#candidates(draft.place).slice(0, ALTERNATIVES);
    for (const candidate of candidates) {
      if (candidate.test.index === draft.test || this.work >= until) continue;
      const other = this.#with(draft.place, candidate);
      if (other.total < draft.total - 1e-9) Object.assign(draft, other);
    }
  }

  #start(): Place {
    const { weights } = this.#compiled;
    return { members: Int32Array.from(weights.keys()), weights, state: 0, done: NO_TESTS, found: false };
  }

  #greedy(place: Place): Draft {
    if ((++this.#nextAsked & 63) === 0 && this.#cancelled?.()) throw new SearchCancelled();
    const [best] = this.#candidates(place);
    return best === undefined ? { place, test: -1, minutes: 0, total: 0, branches: [] } : this.#with(place, best);
  }

  #with(place: Place, { test, minutes }: Candidate): Draft {
    const branches = this.#outcomes(place, test).map(({ next, ...branch }) => ({ ...branch, tree: this.#greedy(next) }));
    const draft: Draft = { place, test: test.index, minutes, total: 0, branches };
    draft.total = totalOf(draft);
    return draft;
  }

  /** The tests that tell something here, the most informative for each minute first. */
  #candidates(place: Place): Candidate[] {
    const { members, weights } = place;
    if (place.found) return [];
    if (members.length === 1) return this.#finding(place);
    let total = 0;
    for (const weight of weights) total += weight;
    const found: Candidate[] = [];
    for (const test of this.#compiled.tests) {
      if (!this.#mayFollow(place, test)) continue;
      this.work += members.length;
      const bits = this.#information(test, members, weights, total);
      if (bits <= 1e-12) continue;
      const minutes = test.minutes + this.#compiled.states.reach(place.state, test.index).minutes;
      found.push({ test, minutes, rate: bits / Math.max(this.#expectedMinutes(test, minutes, members, weights, total), 1e-6) });
    }
    return preferred(found.filter(({ test }) => !speaksNotOf(test, members)), found.map(outOfPlace));
  }

  #finding(place: Place): Candidate[] {
    const [group = -1] = place.members;
    if (!this.#compiled.groups[group]?.confirm) return [];
    const found = this.#compiled.tests
      .filter((test) => this.#mayFollow(place, test) && test.outcomes.some((outcome) => mayShow(outcome, group)))
      .map((test) => ({ test, rate: 0, minutes: test.minutes + this.#compiled.states.reach(place.state, test.index).minutes }));
    return preferred(found.filter(({ test }) => !speaksNotOf(test, place.members)), found.map(outOfPlace));
  }

  /** Bits that a test brings: the entropy of its outcomes less what of it is chance. */
  #information(test: CompiledTest, members: Int32Array, weights: Float64Array, total: number): number {
    let bits = 0;
    if (test.certain) {
      const sums = new Float64Array(test.outcomes.length);
      for (let at = 0; at < members.length; at++) {
        const outcome = test.outcomeOf[members[at] as number] as number;
        sums[outcome] = (sums[outcome] as number) + (weights[at] as number);
      }
      for (const sum of sums) bits -= plogp(sum / total);
      return bits;
    }
    for (const { given } of test.outcomes) {
      let sum = 0;
      for (let at = 0; at < members.length; at++) sum += (weights[at] as number) * (given[members[at] as number] as number);
      bits -= plogp(sum / total);
    }
    for (let at = 0; at < members.length; at++) bits -= ((weights[at] as number) / total) * (test.noise[members[at] as number] as number);
    return bits;
  }

  #expectedMinutes(test: CompiledTest, minutes: number, members: Int32Array, weights: Float64Array, total: number): number {
    if (test.fullMinutes === test.minutes) return minutes;
    let more = 0;
    for (const outcome of test.outcomes) {
      if (outcome.minutes === 0) continue;
      for (let at = 0; at < members.length; at++) more += ((weights[at] as number) / total) * (outcome.given[members[at] as number] as number) * outcome.minutes;
    }
    return minutes + more;
  }

  #mayFollow(place: Place, test: CompiledTest): boolean {
    return !place.done.has(test.index);
  }

  #outcomes(place: Place, test: CompiledTest): { outcome: number; probability: number; minutes: number; next: Place }[] {
    const state = this.#compiled.states.reach(place.state, test.index).next;
    const done = this.#keepDone ? new Set(place.done).add(test.index) : NO_TESTS;
    let total = 0;
    for (const weight of place.weights) total += weight;
    const found: { outcome: number; probability: number; minutes: number; next: Place }[] = [];
    test.outcomes.forEach((outcome, index) => {
      const members: number[] = [];
      const weights: number[] = [];
      let sum = 0;
      for (let at = 0; at < place.members.length; at++) {
        const group = place.members[at] as number;
        const weight = (place.weights[at] as number) * (outcome.given[group] as number);
        if (weight <= 0) continue;
        members.push(group);
        weights.push(weight);
        sum += weight;
      }
      if (sum <= 0) return;
      const shown = outcome.finds >= 0 || (members.length === 1 && members[0] === outcome.confirms);
      const next: Place = { members: Int32Array.from(members), weights: Float64Array.from(weights), state, done, found: shown };
      found.push({ outcome: index, probability: sum / total, minutes: outcome.minutes, next });
    });
    return found;
  }
}

/** The candidates to choose from, the best first; `others` where there are none. */
function preferred(candidates: readonly Candidate[], others: readonly Candidate[]): Candidate[] {
  const found = candidates.length > 0 ? candidates : others;
  const first = found.filter(({ test }) => test.first);
  const open = first.length > 0 ? first : found;
  const free = open.find(({ test }) => test.free);
  return free ? [free] : [...open].sort((a, b) => b.rate - a.rate || a.minutes - b.minutes || a.test.index - b.test.index);
}

function outOfPlace(candidate: Candidate): Candidate {
  return { ...candidate, minutes: candidate.minutes + MINUTES_OUT_OF_PLACE };
}

function speaksNotOf(test: CompiledTest, members: Int32Array): boolean {
  return test.silentOf.length > 0 && test.silentOf.some((group) => members.includes(group));
}

function stake(entry: { readonly draft: Draft; readonly share: number } | undefined): number {
  return entry ? entry.share * entry.draft.total : -1;
}

function totalOf(draft: Draft): number {
  return draft.branches.reduce((total, { probability, minutes, tree }) => total + probability * (minutes + tree.total), draft.minutes);
}

function recount(draft: Draft): number {
  for (const { tree } of draft.branches) recount(tree);
  return (draft.total = totalOf(draft));
}

function settled(draft: Draft): GroupTree {
  return {
    test: draft.test, total: draft.total, minutes: draft.minutes, members: [...draft.place.members],
    branches: draft.branches.map((branch) => ({ ...branch, tree: settled(branch.tree) })),
  };
}
