/**
 * Detection and isolation in the sense of IEEE 1522: the fraction of faults detected is that of the faults on which some test shows something;
 * faults that all tests answer alike form an ambiguity group; the fraction isolated to L is that of the detected faults in groups of at most L. Each
 * by count and by weight. (IEEE Std 1522-2004; terms and figures of merit from memory.)
 */
import { probabilities, signatureOf, type DiagnosisProblem } from './problem.ts';

export interface Isolation {
  readonly detected: { readonly count: number; readonly weighted: number };
  /** Groups of faults that no test tells apart, the largest first; groups of one are among them. */
  readonly groups: readonly { readonly faults: readonly number[]; readonly share: number; readonly detected: boolean }[];
  /** For each size L from 1: the share of the detected faults in groups of at most L. */
  readonly isolatedTo: readonly { readonly size: number; readonly count: number; readonly weighted: number }[];
}

/**
 * `undetected` says which faults no test notices. Where it is absent, a fault is undetected when every test answers it with its last outcome for
 * certain, as a test that passes does.
 */
export function isolationOf(problem: DiagnosisProblem, undetected?: (fault: number) => boolean): Isolation {
  const weights = probabilities(problem.faults);
  const unnoticed = undetected ?? ((fault: number): boolean => problem.tests.every(({ outcomes }) => outcomes[outcomes.length - 1]?.given[fault] === 1));
  const bySignature = new Map<string, number[]>();
  problem.faults.forEach((_, fault) => {
    const key = signatureOf(problem, fault);
    bySignature.set(key, [...(bySignature.get(key) ?? []), fault]);
  });
  const groups = [...bySignature.values()]
    .map((faults) => ({ faults, share: faults.reduce((sum, fault) => sum + (weights[fault] ?? 0), 0), detected: !faults.some(unnoticed) }))
    .sort((a, b) => b.faults.length - a.faults.length || (a.faults[0] ?? 0) - (b.faults[0] ?? 0));
  const noticed = groups.filter((group) => group.detected);
  const count = noticed.reduce((sum, { faults }) => sum + faults.length, 0);
  const weighted = noticed.reduce((sum, { share }) => sum + share, 0);
  const largest = Math.max(0, ...noticed.map(({ faults }) => faults.length));
  return {
    detected: { count: count / Math.max(1, problem.faults.length), weighted },
    groups,
    isolatedTo: Array.from({ length: largest }, (_, index) => {
      const within = noticed.filter(({ faults }) => faults.length <= index + 1);
      return {
        size: index + 1,
        count: within.reduce((sum, { faults }) => sum + faults.length, 0) / Math.max(1, count),
        weighted: weighted > 0 ? within.reduce((sum, { share }) => sum + share, 0) / weighted : 0,
      };
    }),
  };
}
