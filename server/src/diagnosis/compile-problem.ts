/**
 * A diagnosis problem in numbers, for the searches: faults that no test tells apart joined into groups, outcomes as rows.
 */
import { probabilities, signatureOf, type DiagnosisProblem } from './problem.ts';
import { StateSpace } from './state-space.ts';

export interface CompiledOutcome {
  /** For each group, the probability of this outcome. */
  readonly given: Float64Array;
  /** Group that it shows by itself, or -1. */
  readonly finds: number;
  /** Group that it shows where that alone is possible, or -1. */
  readonly confirms: number;
  /** Minutes on top of the test's. */
  readonly minutes: number;
  /** Groups that can give it, as bits; only where there are at most MASK_GROUPS groups. */
  readonly mask: number;
}

export interface CompiledTest {
  readonly index: number;
  readonly minutes: number;
  /** The dearest of its outcomes: what a bound may count for it unless it is the last test. */
  readonly fullMinutes: number;
  readonly outcomes: readonly CompiledOutcome[];
  /** Each group gives one outcome for certain. */
  readonly certain: boolean;
  /** Of a certain test: for each group the index of its outcome. */
  readonly outcomeOf: Int16Array;
  /** For each group, how uncertain its outcome is, in bits. */
  readonly noise: Float64Array;
  /** Groups of which it says nothing; empty for most. */
  readonly silentOf: readonly number[];
  /** The same as bits. */
  readonly silentMask: number;
  readonly first: boolean;
  /** Takes no time, and where it is done makes no difference to any other test: always worth doing at once. */
  readonly free: boolean;
}

export interface Compiled {
  readonly problem: DiagnosisProblem;
  readonly groups: readonly { readonly faults: readonly number[]; readonly confirm: boolean }[];
  readonly weights: Float64Array;
  readonly tests: readonly CompiledTest[];
  readonly allCertain: boolean;
  /** The most outcomes a test has; at least 2. */
  readonly arity: number;
  /** Some outcome has minutes of its own. */
  readonly outcomeMinutes: boolean;
  readonly states: StateSpace;
}

/** As many groups as fit the bits of a number. */
export const MASK_GROUPS = 30;

export function compileProblem(problem: DiagnosisProblem): Compiled {
  const prior = probabilities(problem.faults);
  const bySignature = new Map<string, number[]>();
  problem.faults.forEach((_, fault) => {
    if ((prior[fault] ?? 0) <= 0) return;
    const key = signatureOf(problem, fault);
    const group = bySignature.get(key);
    if (group) group.push(fault);
    else bySignature.set(key, [fault]);
  });
  const groups = [...bySignature.values()].map((faults) => ({ faults, confirm: faults.length === 1 && problem.faults[faults[0] as number]?.confirm === true }));
  const groupOf = new Map(groups.flatMap(({ faults }, group) => faults.map((fault) => [fault, group] as const)));
  // What a free test tells may leave another with nothing to tell, which is then not done: that must matter to none that would have come after it.
  const independent = problem.tests.every(({ states, speaksOf }) => Object.keys(states ?? {}).length === 0 && !speaksOf?.includes(false));
  const tests = problem.tests.map((test, index): CompiledTest => {
    const outcomes = test.outcomes.map((outcome): CompiledOutcome => {
      const given = Float64Array.from(groups, ({ faults }) => outcome.given[faults[0] as number] ?? 0);
      let mask = 0;
      if (groups.length <= MASK_GROUPS) given.forEach((p, group) => { if (p > 0) mask |= 1 << group; });
      const single = (fault: number | undefined): number => {
        const group = fault === undefined ? -1 : (groupOf.get(fault) ?? -1);
        return groups[group]?.faults.length === 1 ? group : -1;
      };
      return { given, mask, minutes: outcome.minutes ?? 0, finds: single(outcome.finds), confirms: single(outcome.confirms) };
    });
    const certain = outcomes.every(({ given }) => given.every((p) => p === 0 || p === 1));
    const silentOf = [...groups.keys()].filter((group) => groups[group]?.faults.some((fault) => test.speaksOf?.[fault] === false));
    const most = Math.max(0, ...outcomes.map(({ minutes }) => minutes));
    return {
      index, minutes: test.minutes, fullMinutes: test.minutes + most, outcomes, certain,
      outcomeOf: Int16Array.from(groups, (_, group) => outcomes.findIndex(({ given }) => (given[group] ?? 0) > 0)),
      noise: Float64Array.from(groups, (_, group) => outcomes.reduce((bits, { given }) => bits - plogp(given[group] ?? 0), 0)),
      first: test.first === true, silentOf, silentMask: groups.length <= MASK_GROUPS ? silentOf.reduce((mask, group) => mask | (1 << group), 0) : 0,
      free: independent && test.minutes + most === 0,
    };
  });
  return {
    problem, groups, tests,
    weights: Float64Array.from(groups, ({ faults }) => faults.reduce((sum, fault) => sum + (prior[fault] ?? 0), 0)),
    allCertain: tests.every(({ certain }) => certain),
    arity: Math.max(2, ...tests.map(({ outcomes }) => outcomes.length)),
    outcomeMinutes: tests.some(({ minutes, fullMinutes }) => fullMinutes > minutes),
    states: new StateSpace(problem),
  };
}

/** Whether an outcome can show the group. */
export function mayShow({ finds, confirms, given }: CompiledOutcome, group: number): boolean {
  return (finds === group || confirms === group) && (given[group] ?? 0) > 0;
}

export function plogp(p: number): number {
  return p > 0 ? p * Math.log2(p) : 0;
}
