/**
 * Exact AND/OR search over what is still possible. A place is (groups still possible, their weights where uncertain outcomes have changed
 * them, states of the machine). Choosing a test is an OR, its outcomes an AND; places are solved once and kept, and a place that cannot beat
 * what is known already is left with the bound that shows it.
 *
 * Works where the groups fit the bits of a number (MASK_GROUPS).
 */
import type { Compiled, CompiledTest } from './compile-problem.ts';
import { MASK_GROUPS, mayShow } from './compile-problem.ts';
import type { OrderBounds } from './order-bounds.ts';
import { tells } from './order-bounds.ts';
import { MINUTES_OUT_OF_PLACE } from './problem.ts';

/** The budget of places is used up. */
export class OutOfPlaces extends Error {}
/** Thrown when the caller no longer wants the result. */
export class SearchCancelled extends Error {}

export interface ExactPlace {
  /** Groups still possible. */
  readonly mask: number;
  /** For each group its prior weight times the probability of the outcomes so far. */
  readonly weights: Float64Array;
  readonly state: number;
  /** Uncertain tests done, with the outcome met: test × 256 + outcome, in the order of tests. */
  readonly met: readonly number[];
  /** What is known of it, once it was asked for. */
  known?: KnownPlace;
}

interface KnownPlace {
  /** No order takes less from here; exact where `solved`. */
  lower: number;
  solved: boolean;
  test: number;
}

export interface NextPlace {
  readonly outcome: number;
  readonly probability: number;
  /** Undefined where the outcome ends the search. */
  readonly place: ExactPlace | undefined;
  readonly found: number;
  readonly minutes: number;
}

const EPSILON = 1e-12;

export class ExactSearch {
  readonly start: ExactPlace;
  opened = 0;
  places: number;
  readonly #compiled: Compiled;
  readonly #cancelled: (() => boolean) | undefined;
  readonly #bounds: OrderBounds;
  readonly #known = new Map<number | string, KnownPlace>();
  readonly #tellsOf = new Map<number, readonly CompiledTest[]>();

  constructor(compiled: Compiled, bounds: OrderBounds, places: number, cancelled?: () => boolean) {
    this.#compiled = compiled;
    this.#bounds = bounds;
    this.places = places;
    this.#cancelled = cancelled;
    const count = compiled.groups.length;
    if (count > MASK_GROUPS) throw new RangeError(`At most ${MASK_GROUPS} groups of faults, found ${count}.`);
    this.start = { mask: 2 ** count - 1, weights: compiled.weights, state: 0, met: [] };
  }

  /** Expected minutes from a place. Throws OutOfPlaces or SearchCancelled. */
  solve(place: ExactPlace): number {
    return this.#solve(place, Infinity);
  }

  /** The test with which the solved place goes on; undefined at a leaf. */
  testAt(place: ExactPlace): number | undefined {
    if (!this.#knownOf(place).solved) this.solve(place);
    const { test } = this.#knownOf(place);
    return test < 0 ? undefined : test;
  }

  /** What no order takes less than from the start, as far as the search came. */
  lowerBound(): number {
    const known = this.#knownOf(this.start);
    if (known.solved) return known.lower;
    const candidates = this.#candidates(this.start).map(({ bound }) => bound);
    return Math.max(known.lower, candidates.length > 0 ? Math.min(...candidates) : 0);
  }

  minutes(place: ExactPlace, test: number): number {
    const outOfPlace = ((this.#compiled.tests[test]?.silentMask ?? 0) & place.mask) !== 0 ? MINUTES_OUT_OF_PLACE : 0;
    return outOfPlace + (this.#compiled.tests[test]?.minutes ?? 0) + this.#compiled.states.reach(place.state, test).minutes;
  }

  /** The outcomes that can be met, with what is possible after each. */
  outcomes(place: ExactPlace, test: CompiledTest): NextPlace[] {
    const { mask, weights } = place;
    const state = this.#compiled.states.reach(place.state, test.index).next;
    const total = weigh(mask, weights);
    const next: NextPlace[] = [];
    test.outcomes.forEach((outcome, index) => {
      const left = mask & outcome.mask;
      if (left === 0) return;
      let after = weights;
      let met = place.met;
      if (!test.certain) {
        after = weights.slice();
        for (let rest = left; rest !== 0; rest &= rest - 1) {
          const group = 31 - Math.clz32(rest & -rest);
          after[group] = (weights[group] ?? 0) * (outcome.given[group] ?? 0);
        }
        met = [...met, test.index * 256 + index].sort((a, b) => a - b);
      }
      const weight = weigh(left, after);
      if (weight <= 0) return;
      const found = outcome.finds >= 0 || outcome.confirms < 0 || left !== 1 << outcome.confirms ? outcome.finds : outcome.confirms;
      next.push({
        outcome: index, probability: weight / total, minutes: outcome.minutes, found,
        place: found >= 0 ? undefined : { mask: left, weights: after, state, met },
      });
    });
    return next;
  }

  #solve(place: ExactPlace, limit: number): number {
    const known = this.#knownOf(place);
    if (known.solved || known.lower >= limit) return known.lower;
    if (++this.opened > this.places) throw new OutOfPlaces();
    if ((this.opened & 255) === 1 && this.#cancelled?.()) throw new SearchCancelled();
    const candidates = this.#candidates(place);
    if (candidates.length === 0) {
      known.lower = 0;
      known.solved = true;
      return 0;
    }
    let best = limit;
    let bestTest = -1;
    let least = Infinity;
    for (const { test, outcomes, bound } of candidates) {
      if (bound >= best - EPSILON) {
        least = Math.min(least, bound);
        break;
      }
      // Bounds may have risen since the tests were put in order.
      let minutes = this.#lowerOf(place, test, outcomes);
      if (minutes >= best - EPSILON) {
        least = Math.min(least, minutes);
        continue;
      }
      // Two outcomes may lead to one place: what was assumed of each is noted before any is solved.
      const assumed = outcomes.map(({ place: next }) => (next ? this.#knownOf(next).lower : 0));
      for (const [index, { place: next, probability }] of outcomes.entries()) {
        if (next === undefined) continue;
        const lower = assumed[index] as number;
        minutes += probability * (this.#solve(next, (best - minutes) / probability + lower) - lower);
        if (minutes >= best - EPSILON) break;
      }
      if (minutes < best - EPSILON) {
        best = minutes;
        bestTest = test.index;
      } else least = Math.min(least, minutes);
    }
    if (bestTest < 0) return (known.lower = Math.max(known.lower, limit, least));
    known.lower = best;
    known.solved = true;
    known.test = bestTest;
    return best;
  }

  /** The tests that may come next, the most promising first, each with its outcomes and the bound on the minutes it leads to. */
  #candidates(place: ExactPlace): { readonly test: CompiledTest; readonly outcomes: readonly NextPlace[]; readonly bound: number }[] {
    const candidates: { test: CompiledTest; outcomes: NextPlace[]; bound: number }[] = [];
    for (const test of this.#testsAt(place)) {
      const outcomes = this.outcomes(place, test).sort((a, b) => b.probability - a.probability);
      candidates.push({ test, outcomes, bound: this.#lowerOf(place, test, outcomes) });
    }
    return candidates.sort((a, b) => a.bound - b.bound || a.test.index - b.test.index);
  }

  #testsAt(place: ExactPlace): readonly CompiledTest[] {
    const alone = (place.mask & (place.mask - 1)) === 0;
    const wanted = (alone ? this.#testsFinding(place.mask) : this.#testsTelling(place.mask)).filter((test) => this.#mayFollow(place, test));
    const speaking = wanted.filter((test) => (test.silentMask & place.mask) === 0);
    // Nothing left says something of every fault: a test out of place is better than none.
    const ready = speaking.length > 0 ? speaking : wanted;
    const pinned = ready.filter((test) => test.first);
    const open = pinned.length > 0 ? pinned : ready;
    const free = open.find((test) => test.free);
    return free ? [free] : open;
  }

  #testsTelling(mask: number): readonly CompiledTest[] {
    let tests = this.#tellsOf.get(mask);
    if (tests === undefined) {
      const members = membersOf(mask);
      this.#tellsOf.set(mask, (tests = this.#compiled.tests.filter((test) => tells(test, members))));
    }
    return tests;
  }

  /** Of a fault that is alone and must be seen: the tests that show it. */
  #testsFinding(mask: number): readonly CompiledTest[] {
    const group = 31 - Math.clz32(mask);
    if (!this.#compiled.groups[group]?.confirm) return [];
    return this.#compiled.tests.filter((test) => test.outcomes.some((outcome) => mayShow(outcome, group)));
  }

  #mayFollow(place: ExactPlace, test: CompiledTest): boolean {
    return test.certain || !place.met.some((one) => one >> 8 === test.index);
  }

  #lowerOf(place: ExactPlace, test: CompiledTest, outcomes: readonly NextPlace[]): number {
    let lower = this.minutes(place, test.index);
    for (const next of outcomes) lower += next.probability * (next.minutes + (next.place ? this.#knownOf(next.place).lower : 0));
    return lower;
  }

  #knownOf(place: ExactPlace): KnownPlace {
    if (place.known) return place.known;
    const key = this.#key(place);
    let known = this.#known.get(key);
    if (known === undefined) this.#known.set(key, (known = { lower: this.#bounds.bound(membersOf(place.mask), place.weights), solved: false, test: -1 }));
    return (place.known = known);
  }

  #key(place: ExactPlace): number | string {
    const plain = place.state * 2 ** 30 + place.mask;
    if (place.met.length === 0) return plain;
    const members = membersOf(place.mask);
    // What an uncertain test has shown is forgotten once it tells the faults left no more.
    const alone = members.length === 1;
    const met = place.met.filter((one) => {
      const test = this.#compiled.tests[one >> 8];
      return test !== undefined && (tells(test, members) || (alone && test.outcomes.some((outcome) => mayShow(outcome, members[0] ?? -1))));
    });
    return met.length === 0 ? plain : `${plain}|${met.join()}`;
  }
}

export function membersOf(mask: number): number[] {
  const members: number[] = [];
  for (let rest = mask; rest !== 0; rest &= rest - 1) members.push(31 - Math.clz32(rest & -rest));
  return members;
}

function weigh(mask: number, weights: Float64Array): number {
  let total = 0;
  for (let rest = mask; rest !== 0; rest &= rest - 1) total += weights[31 - Math.clz32(rest & -rest)] ?? 0;
  return total;
}
