/**
 * What no order of tests can go below, in expected minutes. Four bounds, of which the largest counts:
 *
 * Code: the outcomes met spell a code for the class of faults that is left. No code is shorter on average than Huffman's over the classes
 * that must be told apart, and k tests take at least the k cheapest minutes that can still tell something: a convex function of k, so that by
 * Jensen's inequality it may be applied to the average (Huffman 1952; Pattipati and Alexandridis 1990).
 *
 * Spine: follow always the outcome that most faults can give. If no test parts more than d faults from it, then at most the d·k likeliest faults
 * are told apart by k tests, and every other way takes more than k. That is the stronger one where each test shows one fault.
 *
 * Cover: on the same way, k tests part at most the sum of their own weights from the rest. Whatever order they come in, in t minutes no more can be
 * parted than by those with the most weight for each minute, as in filling a sack with what can be cut; and all that was not parted pays for those
 * minutes (Dantzig 1957 for the sack). Worked out for whole problems alone: it looks at every test and fault.
 *
 * Pairs: the way to a fault contains, for each other, a test that can part the two; so it takes at least the dearest of the cheapest of these,
 * and where its writer wants the fault seen, at least the test that shows it.
 *
 * With uncertain outcomes two faults must be told apart only where some test parts them for certain; classes are what remains joined.
 */
import type { Compiled, CompiledTest } from './compile-problem.ts';
import { huffmanLength } from './problem.ts';

const SMALL_PARTS = 3;

/** Where the faults still possible are given as a list of groups with weights. */
export class OrderBounds {
  readonly #compiled: Compiled;
  readonly #byMinutes: readonly CompiledTest[];
  /** For each pair of groups the least minutes of a test that parts them at all; Infinity where none does. */
  readonly #least: Float64Array | undefined;
  /** For each pair, 1 where some test parts them for certain. */
  readonly #parted: Uint8Array | undefined;
  readonly #finding: Float64Array;
  /** The most groups that a test parts from the rest. */
  readonly #parts: number;

  constructor(compiled: Compiled) {
    this.#compiled = compiled;
    this.#parts = Math.max(0, ...compiled.tests.map(partsOf));
    this.#byMinutes = [...compiled.tests].sort((a, b) => a.fullMinutes - b.fullMinutes);
    const count = compiled.groups.length;
    const small = count <= 64;
    if (small) this.#least = new Float64Array(count * count).fill(Infinity);
    if (!compiled.allCertain) this.#parted = new Uint8Array(count * count);
    this.#finding = new Float64Array(count).fill(Infinity);
    for (const { outcomes, minutes } of this.#byMinutes) {
      for (const { finds, confirms, given } of outcomes) {
        for (const group of [finds, confirms]) {
          if (group < 0 || !compiled.groups[group]?.confirm) continue;
          // A test that may fail to show the fault can be behind us already: then nothing is known to be left to do.
          this.#finding[group] = Math.min(this.#finding[group] ?? Infinity, (given[group] ?? 0) < 1 ? 0 : minutes);
        }
      }
    }
    if (!small && compiled.allCertain) return;
    for (let one = 0; one < count; one++) {
      for (let other = 0; other < one; other++) {
        for (const test of compiled.tests) this.#takePair(test, one, other, count);
      }
    }
  }

  /** Expected minutes that every order takes from here. `weights` need not be normalised; `members` are groups. */
  bound(members: readonly number[], weights: ArrayLike<number>): number {
    if (members.length === 0) return 0;
    let total = 0;
    for (const group of members) total += weights[group] ?? 0;
    if (total <= 0) return 0;
    const costs = this.#byMinutes.filter((test) => tells(test, members)).map((test) => test.fullMinutes);
    const classes = this.#classes(members, weights);
    const pairs = this.#pairBound(members, weights, total);
    if (classes.length < 2) return pairs;
    const code = this.#codeBound(costs, classes.map(({ weight }) => weight));
    // Where tests part the faults into halves, the spine tells nothing that the code does not.
    if (this.#parts > SMALL_PARTS) return Math.max(code, pairs);
    return Math.max(code, pairs, this.#spineBound(costs, members, weights, total, Math.max(...classes.map(({ size }) => size))));
  }

  /** Like `bound`, for the whole problem: takes longer and tells more where each test parts few faults from many. */
  boundOfAll(): number {
    const { weights } = this.#compiled;
    const all = [...weights.keys()];
    return Math.max(this.bound(all, weights), this.#coverBound(all, weights));
  }

  #coverBound(members: readonly number[], weights: ArrayLike<number>): number {
    const total = members.reduce((sum, group) => sum + (weights[group] ?? 0), 0);
    const classes = this.#classes(members, weights);
    if (classes.length < 2) return 0;
    // The way ends where one class is left: at the most the heaviest.
    const heaviest = Math.max(...classes.map(({ weight }) => weight)) / total;
    const parts = this.#compiled.tests.map(({ minutes, outcomes }) => {
      const staying = Math.max(...outcomes.map(({ given }) => members.reduce((sum, group) => sum + (weights[group] ?? 0) * (given[group] ?? 0), 0)));
      return { minutes, parted: 1 - staying / total };
    }).filter(({ parted }) => parted > 1e-12).sort((a, b) => a.minutes / a.parted - b.minutes / b.parted);
    let left = 1;
    let bound = 0;
    for (const { minutes, parted } of parts) {
      const taken = Math.min(1, (left - heaviest) / parted);
      if (taken <= 1e-12) break;
      // What is parted leaves evenly over the minutes of the test.
      bound += taken * minutes * (left - (taken * parted) / 2);
      left -= taken * parted;
    }
    return bound;
  }

  #takePair(test: CompiledTest, one: number, other: number, count: number): void {
    let differs = false;
    let overlap = false;
    for (const { given } of test.outcomes) {
      const p = given[one] ?? 0;
      const q = given[other] ?? 0;
      if (p !== q) differs = true;
      if (p > 0 && q > 0) overlap = true;
    }
    const at = one * count + other;
    const mirrored = other * count + one;
    if (!overlap && this.#parted) this.#parted[at] = this.#parted[mirrored] = 1;
    // A test whose outcome has minutes of its own may be the last, with the cheapest outcome.
    if (differs && this.#least) this.#least[at] = this.#least[mirrored] = Math.min(this.#least[at] ?? Infinity, test.minutes);
  }

  #codeBound(costs: readonly number[], classes: readonly number[]): number {
    // Of tests with minutes in one outcome, the last on a way may be spared them.
    const length = Math.max(0, huffmanLength(classes, this.#compiled.arity) - (this.#compiled.outcomeMinutes ? 1 : 0));
    const whole = Math.floor(length);
    let minutes = (length - whole) * (costs[whole] ?? 0);
    for (let k = 0; k < whole; k++) minutes += costs[k] ?? 0;
    return minutes;
  }

  #spineBound(costs: readonly number[], members: readonly number[], weights: ArrayLike<number>, total: number, largest: number): number {
    const parts = this.#parts;
    const sorted = members.map((group) => weights[group] ?? 0).sort((a, b) => b - a);
    const spared = this.#compiled.outcomeMinutes ? 1 : 0;
    let minutes = 0;
    let left = total;
    let taken = 0;
    for (let k = 0; k < costs.length + spared && k * parts < sorted.length - largest; k++) {
      for (; taken < k * parts; taken++) left -= sorted[taken] ?? 0;
      if (k >= spared) minutes += left * (costs[k - spared] ?? 0);
    }
    return minutes / total;
  }

  /** The classes that must be told apart: weight and number of groups of each. */
  #classes(members: readonly number[], weights: ArrayLike<number>): { readonly weight: number; readonly size: number }[] {
    const parted = this.#parted;
    if (!parted) return members.map((group) => ({ weight: weights[group] ?? 0, size: 1 }));
    const count = this.#compiled.groups.length;
    const left = new Set(members);
    const classes: { weight: number; size: number }[] = [];
    for (const first of members) {
      if (!left.delete(first)) continue;
      let weight = 0;
      const queue = [first];
      for (const group of queue) {
        weight += weights[group] ?? 0;
        for (const other of left) {
          if (parted[group * count + other]) continue;
          left.delete(other);
          queue.push(other);
        }
      }
      classes.push({ weight, size: queue.length });
    }
    return classes;
  }

  #pairBound(members: readonly number[], weights: ArrayLike<number>, total: number): number {
    const least = this.#least;
    if (!least) return 0;
    const parted = this.#parted;
    const count = this.#compiled.groups.length;
    let minutes = 0;
    for (const group of members) {
      let most = this.#finding[group] ?? 0;
      if (most === Infinity) most = 0;
      for (const other of members) {
        if (other === group || (parted && !parted[group * count + other])) continue;
        const one = least[group * count + other] ?? Infinity;
        if (one > most && one < Infinity) most = one;
      }
      minutes += (weights[group] ?? 0) * most;
    }
    return minutes / total;
  }
}

/** How many groups can leave the outcome that most groups are sure to give. */
function partsOf(test: CompiledTest): number {
  return Math.min(...test.outcomes.map(({ given }) => given.reduce((count, p) => (p < 1 ? count + 1 : count), 0)));
}

/** Whether a test changes the weights of these groups against one another. */
export function tells(test: CompiledTest, members: readonly number[]): boolean {
  const [first] = members;
  if (first === undefined) return false;
  if (test.certain) {
    const outcome = test.outcomeOf[first];
    for (const group of members) if (test.outcomeOf[group] !== outcome) return true;
    return false;
  }
  for (const { given } of test.outcomes) {
    const p = given[first];
    for (const group of members) if (given[group] !== p) return true;
  }
  return false;
}
