/**
 * Fault finding as a problem of its own: faults with weights, tests with costs, and what each result of a test says about each fault. It
 * knows nothing of procedures; from-procedure.ts builds it from one, the published examples build it by hand.
 */

export interface DiagnosisFault {
  readonly name: string;
  /** Any positive number; they need not add up to anything. */
  readonly weight: number;
}

export interface TestOutcome {
  readonly label: string;
  /** For each fault, the probability of this outcome when that fault is the cause. */
  readonly given: readonly number[];
}

export interface DiagnosisTest {
  readonly name: string;
  /** Minutes, without getting into its states. */
  readonly minutes: number;
  /** For each fault, the outcomes' probabilities add up to 1. */
  readonly outcomes: readonly TestOutcome[];
  /** States it needs: state → value. */
  readonly states?: Readonly<Record<string, string>>;
  /** Names of tests that must have been done before it: a reading it uses, a priority the writer pinned. */
  readonly after?: readonly string[];
}

/** Minutes to bring a state from one value to another. */
export interface StateMove {
  readonly state: string;
  readonly to: string;
  readonly minutes: number;
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
  const queue = weights.filter((weight) => weight > 0).sort((a, b) => a - b);
  const total = queue.reduce((sum, weight) => sum + weight, 0);
  if (queue.length < 2 || arity < 2) return 0;
  while ((queue.length - 1) % (arity - 1) !== 0) queue.unshift(0);
  let length = 0;
  while (queue.length > 1) {
    const merged = queue.splice(0, arity).reduce((sum, weight) => sum + weight, 0);
    length += merged;
    let at = queue.findIndex((weight) => weight >= merged);
    if (at < 0) at = queue.length;
    queue.splice(at, 0, merged);
  }
  return length / total;
}

/** Minutes to get from `from` into the states that a test needs. A move that nobody described takes `unknownMinutes`. */
export function minutesToReach(problem: DiagnosisProblem, from: Readonly<Record<string, string>>, test: DiagnosisTest, unknownMinutes = 1): number {
  let minutes = 0;
  for (const [state, value] of Object.entries(test.states ?? {})) {
    if (from[state] === value) continue;
    minutes += problem.moves?.find((move) => move.state === state && move.to === value)?.minutes ?? unknownMinutes;
  }
  return minutes;
}

/** The states after a test was done. */
export function statesAfterTest(from: Readonly<Record<string, string>>, test: DiagnosisTest): Readonly<Record<string, string>> {
  return test.states ? { ...from, ...test.states } : from;
}
