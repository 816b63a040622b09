/**
 * What a band selects: the one place that says which values a comparison takes, so that the checker (band-algebra.ts) and the
 * runner (select-band.ts) cannot differ.
 */
import type { Band, BandCondition, Comparison, Expression } from './expression.ts';

/** One end of a comparison: the bound, and whether the bound itself is in. */
export interface ComparisonEnd {
  readonly bound: Expression;
  readonly closed: boolean;
}

export interface ComparisonEnds {
  readonly low: ComparisonEnd | undefined;
  readonly high: ComparisonEnd | undefined;
}

/** The ends of a comparison with numbers. `between` has both ends in. */
export function comparisonEnds(comparison: Exclude<Comparison, { readonly kind: 'shows' }>): ComparisonEnds {
  switch (comparison.kind) {
    case 'at_least':
      return { low: { bound: comparison.bound, closed: true }, high: undefined };
    case 'above':
      return { low: { bound: comparison.bound, closed: false }, high: undefined };
    case 'at_most':
      return { low: undefined, high: { bound: comparison.bound, closed: true } };
    case 'below':
      return { low: undefined, high: { bound: comparison.bound, closed: false } };
    case 'equal':
      return { low: { bound: comparison.bound, closed: true }, high: { bound: comparison.bound, closed: true } };
    case 'between':
      return { low: { bound: comparison.low, closed: true }, high: { bound: comparison.high, closed: true } };
  }
}

/** Whether a value meets the ends, given how it compares with each bound (below 0: the value is smaller). */
export function endsHold(ends: ComparisonEnds, toLow: number, toHigh: number): boolean {
  if (ends.low && (ends.low.closed ? toLow < 0 : toLow <= 0)) return false;
  if (ends.high && (ends.high.closed ? toHigh > 0 : toHigh >= 0)) return false;
  return true;
}

/** Whether an overload reading meets a condition: it lies above every number, so only an end above shuts it out. */
export function takesOpen(condition: BandCondition): boolean {
  const { comparison } = condition;
  return comparison.kind !== 'shows' && comparisonEnds(comparison).high === undefined;
}

/** Whether some result says `open`, which then alone takes an overload reading. */
export function someSaysOpen(bands: readonly (Band | undefined)[]): boolean {
  return bands.some((band) => band?.kind === 'open');
}

/** Whether a whole band takes an overload reading at one point, `otherwise` apart. */
export function bandTakesOpen(band: Band, openIsNamed: boolean): boolean {
  if (band.kind === 'open') return true;
  if (band.kind === 'otherwise' || openIsNamed) return false;
  return band.conditions.every(takesOpen);
}

/** Two spellings of a lamp's word are one word. */
export function sameWord(a: string, b: string): boolean {
  return a.toLowerCase() === b.toLowerCase();
}
