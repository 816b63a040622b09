/**
 * The states of the machine, and of what is known and done, that orders come through: each with a number, 0 at the start, and what it takes to get from
 * one into what a test needs. Worked on as small numbers, as the searches ask for it again and again.
 */
import { MINUTES_OF_UNKNOWN_MOVE, type DiagnosisProblem, type StateMove } from './problem.ts';

/** For each state that matters the number of its value; 0 where it has none. */
type Vector = readonly number[];

interface Move {
  readonly index: number;
  readonly minutes: number;
  readonly needs: Wanted;
  readonly brings: readonly Setting[];
}

interface Setting {
  readonly state: number;
  readonly value: number;
}

/** Settings in the order in which they are brought about, and the same by state: 0 where any value will do. */
interface Wanted {
  readonly settings: readonly Setting[];
  readonly byState: Int32Array;
}

interface Reached {
  readonly minutes: number;
  readonly vector: Vector;
}

/** Moves tried to get to one test: beyond, a state is simply set, as by a move that nobody described. */
const MOST_MOVES_TRIED = 600;
const NOTHING: Wanted = { settings: [], byState: new Int32Array() };

export class StateSpace {
  readonly #states: ReadonlyMap<string, number>;
  readonly #values = new Map<string, number>();
  /** State and value → the moves that bring it about. */
  readonly #moves = new Map<number, Move[]>();
  /** The least minutes of a move to it, without what it needs. */
  readonly #least = new Map<number, number>();
  readonly #wants: readonly Wanted[];
  readonly #sets: readonly (readonly Setting[])[];
  /** For each state those that it undoes when it changes. */
  readonly #undoes: readonly (readonly number[])[];
  readonly #known: Vector[] = [];
  readonly #numbers = new Map<string, number>();
  readonly #reached: ({ readonly minutes: number; readonly next: number } | undefined)[][] = [];

  constructor(problem: DiagnosisProblem) {
    const moves = problem.moves ?? [];
    const names = new Set([...problem.tests.map(({ states }) => states), ...moves.map(({ needs }) => needs)].flatMap((states) => Object.keys(states ?? {})));
    for (const [state, by] of Object.entries(problem.fades ?? {})) if (names.has(state)) for (const other of by) names.add(other);
    this.#states = new Map([...names].map((name, index) => [name, index]));
    const undoes: number[][] = [...names].map(() => []);
    for (const [name, by] of Object.entries(problem.fades ?? {})) {
      const state = this.#states.get(name);
      if (state !== undefined) for (const other of by) undoes[this.#states.get(other) ?? -1]?.push(state);
    }
    this.#undoes = undoes;
    this.#wants = problem.tests.map(({ states }) => this.#wanted(states));
    this.#sets = problem.tests.map(({ sets }) => this.#settings(sets));
    moves.forEach((move, index) => { this.#addMove(move, index); });
    const start = [...names].map(() => 0);
    for (const { state, value } of this.#settings(problem.start)) start[state] = value;
    this.#number(start);
  }

  /** Minutes to get into the states of a test, and the number of the states after it. */
  reach(from: number, test: number): { readonly minutes: number; readonly next: number } {
    const row = (this.#reached[from] ??= []);
    const before = row[test];
    if (before) return before;
    const wants = this.#wants[test] ?? NOTHING;
    const sets = this.#sets[test] ?? [];
    if (wants.settings.length === 0 && sets.length === 0) return (row[test] = { minutes: 0, next: from });
    const { minutes, vector } = this.#attain(this.#known[from] ?? [], wants, [], [], { left: MOST_MOVES_TRIED });
    return (row[test] = { minutes, next: this.#number(this.#changed(vector, sets)) });
  }

  get size(): number {
    return this.#known.length;
  }

  /**
   * Brings about what is wanted, one state after the other; of several moves to the same the one that takes least, with what it needs and with what it
   * takes to mend what it spoils of `wanted` and `kept`.
   */
  #attain(from: Vector, wanted: Wanted, kept: readonly Wanted[], under: readonly number[], trials: { left: number }): Reached {
    let vector = from;
    let minutes = 0;
    // A move may undo what another brought about: then it is brought about again, but not for ever.
    const { settings } = wanted;
    for (let left = 3 * settings.length; left > 0; left--) {
      const unmet = settings.find(({ state, value }) => vector[state] !== value);
      if (unmet === undefined) return { minutes, vector };
      let best: Reached | undefined;
      let least = Infinity;
      const candidates = this.#moves.get(keyOf(unmet)) ?? [];
      const all = [...kept, wanted];
      for (const move of candidates) {
        if (under.includes(move.index) || trials.left-- <= 0) continue;
        const before = this.#attain(vector, move.needs, all, [...under, move.index], trials);
        const minutes = before.minutes + move.minutes;
        if (best && minutes >= least) continue;
        const after = this.#changed(before.vector, move.brings);
        const mended = candidates.length > 1 ? minutes + this.#mending(all, vector, after) : minutes;
        if (best && mended >= least) continue;
        best = { minutes, vector: after };
        least = mended;
      }
      best ??= { minutes: MINUTES_OF_UNKNOWN_MOVE, vector: this.#changed(vector, [unmet]) };
      minutes += best.minutes;
      ({ vector } = best);
    }
    return { minutes, vector: this.#changed(vector, settings) };
  }

  /** The least minutes in which what was right before a move, and is not behind it, can be put right again. */
  #mending(wanted: readonly Wanted[], before: Vector, after: Vector): number {
    let minutes = 0;
    for (let state = 0; state < before.length; state++) {
      const value = before[state] as number;
      if (value === 0 || after[state] === value) continue;
      for (const { byState } of wanted) if (byState[state] === value) minutes += this.#least.get(keyOf({ state, value })) ?? MINUTES_OF_UNKNOWN_MOVE;
    }
    return minutes;
  }

  /** The states with some changed; what a change undoes is gone. */
  #changed(vector: Vector, settings: readonly Setting[]): Vector {
    if (settings.every(({ state, value }) => vector[state] === value)) return vector;
    const after = [...vector];
    for (const { state, value } of settings) {
      if (vector[state] === value) continue;
      for (const undone of this.#undoes[state] ?? []) after[undone] = 0;
    }
    for (const { state, value } of settings) after[state] = value;
    return after;
  }

  #addMove({ state: name, to, minutes, needs, also }: StateMove, index: number): void {
    const [target] = this.#settings({ [name]: to });
    if (target === undefined) return;
    const key = keyOf(target);
    this.#least.set(key, Math.min(minutes, this.#least.get(key) ?? Infinity));
    const move: Move = { index, minutes, needs: this.#wanted(needs), brings: this.#settings({ ...also, [name]: to }) };
    const others = this.#moves.get(key);
    if (others) others.push(move);
    else this.#moves.set(key, [move]);
  }

  #wanted(states: Readonly<Record<string, string>> = {}): Wanted {
    const settings = this.#settings(states);
    const byState = new Int32Array(this.#states.size);
    for (const { state, value } of settings) byState[state] = value;
    return { settings, byState };
  }

  #settings(states: Readonly<Record<string, string>> = {}): Setting[] {
    return Object.entries(states).flatMap(([name, value]) => {
      const state = this.#states.get(name);
      if (state === undefined) return [];
      let number = this.#values.get(value);
      if (number === undefined) this.#values.set(value, (number = this.#values.size + 1));
      return [{ state, value: number }];
    });
  }

  #number(vector: Vector): number {
    const key = vector.join();
    let number = this.#numbers.get(key);
    if (number === undefined) {
      number = this.#known.length;
      this.#known.push(vector);
      this.#numbers.set(key, number);
    }
    return number;
  }
}

function keyOf({ state, value }: Setting): number {
  return state * 0x100_0000 + value;
}
