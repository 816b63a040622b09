/**
 * Weights from records: the written weights as a Dirichlet prior, the faults found as counts. It never rewrites a procedure; it says what
 * the records say, with the spread that so few or many of them leave.
 */

export interface LearnedWeight {
  readonly fault: string;
  /** Shares, from 0 to 1. */
  readonly written: number;
  readonly learned: number;
  /** Standard deviation of the learned share. */
  readonly spread: number;
  readonly found: number;
}

/**
 * The posterior over the faults. `priorStrength` is how many findings the written weights are worth. Mean (a + n) / total and variance
 * m(1 − m) / (total + 1) of the Dirichlet distribution (any textbook of Bayesian statistics).
 */
export function learnWeights(weights: readonly { readonly fault: string; readonly weight: number }[], found: ReadonlyMap<string, number>, priorStrength = 10): LearnedWeight[] {
  const sum = weights.reduce((total, { weight }) => total + weight, 0) || 1;
  const counted = weights.reduce((total, { fault }) => total + (found.get(fault) ?? 0), 0);
  const total = priorStrength + counted;
  return weights.map(({ fault, weight }) => {
    const written = weight / sum;
    const count = found.get(fault) ?? 0;
    const learned = (written * priorStrength + count) / total;
    return { fault, written, learned, spread: Math.sqrt((learned * (1 - learned)) / (total + 1)), found: count };
  });
}
