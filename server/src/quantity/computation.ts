/** What a computation of the catalogue is, and what its formulas share. */
import { addRational, compareRational, divideRational, multiplyRational, rational, subtractRational } from './rational.ts';
import type { Rational } from './rational.ts';

export interface ComputationParameter {
  readonly name: string;
  readonly title: string;
  readonly dimension: string;
  /** Where only that kind of supply is meant, a value written in the other (`400 V AC`) is refused. */
  readonly supply?: 'dc' | 'ac';
  /** May be left out; then this much, in base units, is taken. */
  readonly otherwise?: Rational;
}

export type ComputationOutcome =
  { readonly value: Rational; readonly problem?: undefined } | { readonly problem: string; readonly value?: undefined };

export interface Computation {
  readonly name: string;
  readonly title: string;
  readonly parameters: readonly ComputationParameter[];
  /** The last parameter may be repeated. */
  readonly variadic?: true;
  /** True where no result is below zero. */
  readonly notNegative?: true;
  readonly result: { readonly dimension: string; readonly unit: string };
  /** In words; outside it there is no number. */
  readonly range: string;
  readonly source: string;
  readonly basis: 'read' | 'from memory' | 'common practice, no source';
  /** Arguments and result in base units; the arguments have the kinds of the parameters and are complete. */
  compute(values: readonly Rational[]): ComputationOutcome;
}

/** Degrees Celsius as the base of a temperature. */
export function celsius(degrees: number): Rational {
  return addRational(rational(degrees), rational(27315, 100));
}

export function fahrenheit(degrees: number): Rational {
  return multiplyRational(addRational(rational(degrees), rational(45967, 100)), rational(5, 9));
}

/** A floating-point result as a fraction of 12 figures: for formulas with no exact answer. */
export function rounded(value: number): ComputationOutcome {
  return Number.isFinite(value)
    ? { value: rational(Number(value.toPrecision(12))) }
    : { problem: 'The result is out of all proportion.' };
}

/** The problem, in words, of the first value outside its range; undefined where all are inside. Both ends are inside. */
export function outsideRange(
  checks: readonly (readonly [value: Rational | undefined, low: Rational, high: Rational, what: string])[],
): { readonly problem: string } | undefined {
  for (const [value, low, high, what] of checks) {
    if (value && (compareRational(value, low) < 0 || compareRational(value, high) > 0))
      return { problem: `${what} is outside the range of the computation.` };
  }
  return undefined;
}

/** Straight lines between the points of a table, which is in rising order; outside it the nearest end. */
export function interpolate(table: readonly (readonly [Rational, Rational])[], at: Rational): Rational {
  const first = table[0];
  const last = table[table.length - 1];
  if (!first || !last) return at;
  if (compareRational(at, first[0]) <= 0) return first[1];
  for (const [index, [x, y]] of table.entries()) {
    const next = table[index + 1];
    if (!next || compareRational(at, next[0]) > 0) continue;
    const share = divideRational(subtractRational(at, x), subtractRational(next[0], x));
    return addRational(y, multiplyRational(share, subtractRational(next[1], y)));
  }
  return last[1];
}
