/**
 * Fault finding as a problem of its own: faults with weights, tests with costs, and what each result of a test says about each fault. It
 * knows nothing of procedures; from-procedure.ts builds it from one, the published examples build it by hand.
 */

export interface DiagnosisFault {
  readonly name: string;
  /** Any positive number; they need not add up to anything. */
  readonly weight: number;
  /** True where being the only one left is not enough: an outcome that `finds` it must be seen. */
  readonly confirm?: boolean;
}

export interface TestOutcome {
  readonly label: string;
  /** For each fault, the probability of this outcome when that fault is the cause. */
  readonly given: readonly number[];
  /** Index of the fault that this outcome shows by itself: only that fault gives it. */
  readonly finds?: number;
  /** Minutes on top of the test's own where it ends like this, as when a repair that was tried did not help. */
  readonly minutes?: number;
}

export interface DiagnosisTest {
  readonly name: string;
  /** Minutes, without getting into its states. */
  readonly minutes: number;
  /** For each fault, the outcomes' probabilities add up to 1. */
  readonly outcomes: readonly TestOutcome[];
  /** States it needs: state → value. */
  readonly states?: Readonly<Record<string, string>>;
  /** States that it leaves changed. */
  readonly sets?: Readonly<Record<string, string>>;
  /** Names of tests that must have been done before it. */
  readonly after?: readonly string[];
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
  /** What the same move brings about besides, at no further cost. */
  readonly also?: Readonly<Record<string, string>>;
}

export interface DiagnosisProblem {
  readonly faults: readonly DiagnosisFault[];
  readonly tests: readonly DiagnosisTest[];
  readonly moves?: readonly StateMove[];
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

/** Minutes to get from `from` into the states that a test needs, and the states after the test was done. */
export function reachTest(
  problem: DiagnosisProblem, from: Readonly<Record<string, string>>, test: DiagnosisTest,
): { readonly minutes: number; readonly states: Readonly<Record<string, string>> } {
  if (test.states === undefined && test.sets === undefined) return { minutes: 0, states: from };
  let minutes = 0;
  const states: Record<string, string> = { ...from };
  for (const [state, value] of Object.entries(test.states ?? {})) {
    if (states[state] === value) continue;
    const move = problem.moves?.find((one) => one.state === state && one.to === value);
    minutes += move?.minutes ?? MINUTES_OF_UNKNOWN_MOVE;
    Object.assign(states, move?.also, { [state]: value });
  }
  Object.assign(states, test.states, test.sets);
  return { minutes, states };
}

/** What the tests say of a fault: faults with the same signature cannot be told apart. */
export function signatureOf(problem: DiagnosisProblem, fault: number): string {
  return problem.tests.map((test) => test.outcomes.map((outcome) => (outcome.given[fault] ?? 0).toFixed(9)).join()).join(';');
}
