/**
 * Fault finding as a problem of its own: faults with weights, tests with costs, and what each result of a test says about each fault. It
 * knows nothing of procedures; from-procedure.ts builds it from one, the published examples build it by hand.
 */

export interface DiagnosisFault {
  readonly name: string;
  /** Any positive number; they need not add up to anything. */
  readonly weight: number;
  /** True where being the only one left is not enough: an outcome that `finds` or `confirms` it must be seen. */
  readonly confirm?: boolean;
}

export interface TestOutcome {
  readonly label: string;
  /** For each fault, the probability of this outcome when that fault is the cause. */
  readonly given: readonly number[];
  /** Index of the fault that this outcome shows by itself: only that fault gives it. */
  readonly finds?: number;
  /** Index of the fault that it confirms: it shows it only where no other is possible any more. */
  readonly confirms?: number;
  /** Minutes on top of the test's own where it ends like this, as when a repair that was tried did not help. */
  readonly minutes?: number;
}

export interface DiagnosisTest {
  readonly name: string;
  /** Minutes, without getting into its states. */
  readonly minutes: number;
  /** For each fault, the outcomes' probabilities add up to 1. */
  readonly outcomes: readonly TestOutcome[];
  /** States it needs, in the order in which they are brought about: state → value. */
  readonly states?: Readonly<Record<string, string>>;
  /** States that it leaves changed. */
  readonly sets?: Readonly<Record<string, string>>;
  /**
   * For each fault, whether the test says something of it; absent: of all. It is done only once the faults of which it says nothing are gone,
   * unless nothing else is left to do: then it counts MINUTES_OUT_OF_PLACE more.
   */
  readonly speaksOf?: readonly boolean[];
  /** The writer wants it before all tests that are not first themselves, wherever it still tells something. */
  readonly first?: boolean;
}

/** Minutes to bring a state from one value to another. */
export interface StateMove {
  readonly state: string;
  readonly to: string;
  readonly minutes: number;
  /** The step that makes it, by name. */
  readonly by?: string;
  /** States it needs itself, brought about before it. */
  readonly needs?: Readonly<Record<string, string>>;
  /** What the same move brings about besides, at no further cost. */
  readonly also?: Readonly<Record<string, string>>;
}

export interface DiagnosisProblem {
  readonly faults: readonly DiagnosisFault[];
  readonly tests: readonly DiagnosisTest[];
  readonly moves?: readonly StateMove[];
  /** State → states whose change undoes it: a proof that a circuit is dead is none once the circuit was switched on again. */
  readonly fades?: Readonly<Record<string, readonly string[]>>;
  /** The states before the first test. */
  readonly start?: Readonly<Record<string, string>>;
}

/** Weights as probabilities that add up to 1; equal ones where all are zero. */
export function probabilities(faults: readonly DiagnosisFault[]): number[] {
  const total = faults.reduce((sum, fault) => sum + Math.max(0, fault.weight), 0);
  return faults.map((fault) => (total > 0 ? Math.max(0, fault.weight) / total : 1 / faults.length));
}

/** Entropy in bits of weights that need not be normalised. */
export function entropy(weights: readonly number[]): number {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  if (total <= 0) return 0;
  return weights.reduce((sum, weight) => (weight > 0 ? sum - (weight / total) * Math.log2(weight / total) : sum), 0);
}

/**
 * The expected length of a Huffman code over the weights, in symbols of an alphabet of `arity`: no order of tests with at most so many outcomes
 * each needs fewer tests on average. (Huffman 1952; its use as a bound for test sequencing: Pattipati and Alexandridis 1990.)
 */
export function huffmanLength(weights: readonly number[], arity = 2): number {
  const leaves = weights.filter((weight) => weight > 0).sort((a, b) => a - b);
  if (leaves.length < 2 || arity < 2) return 0;
  const total = leaves.reduce((sum, weight) => sum + weight, 0);
  // The first merge takes what is over, so that every later one is full.
  let take = ((leaves.length - 2) % (arity - 1)) + 2;
  const merged: number[] = [];
  let leaf = 0;
  let node = 0;
  let length = 0;
  while (leaves.length - leaf + merged.length - node > 1) {
    let weight = 0;
    for (; take > 0; take--) {
      const fromLeaves = leaf < leaves.length && (node >= merged.length || (leaves[leaf] as number) <= (merged[node] as number));
      weight += (fromLeaves ? leaves[leaf++] : merged[node++]) ?? 0;
    }
    merged.push(weight);
    length += weight;
    take = arity;
  }
  return length / total;
}

/** What a move that nobody described takes, in minutes. */
export const MINUTES_OF_UNKNOWN_MOVE = 1;

/** What a test counts on top where it is done while faults are possible of which it says nothing: more than any sound order takes. */
export const MINUTES_OUT_OF_PLACE = 10_000;

/** The state of knowledge that a reading was taken. */
export function readingState(step: string): string {
  return `reading ${step}`;
}

/** The readings among some states: the names of their steps. */
export function storedReadings(states: Readonly<Record<string, string>> = {}): string[] {
  return Object.keys(states).flatMap((state) => (state.startsWith(readingState('')) ? [state.slice(readingState('').length)] : []));
}

/** The state of knowledge, or of the work, that a step was done. */
export function doneState(step: string): string {
  return `step ${step}`;
}

/** What the tests say of a fault: faults with the same signature cannot be told apart. */
export function signatureOf(problem: DiagnosisProblem, fault: number): string {
  return problem.tests.map((test) => test.outcomes.map((outcome) => (outcome.given[fault] ?? 0).toFixed(9)).join()).join(';');
}
