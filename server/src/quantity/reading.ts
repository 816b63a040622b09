/** A reading as it takes part in bands: a number of some kind, overload, or a word that a lamp shows. */
import { addRational, compareRational, divideRational, rational, subtractRational } from './rational.ts';
import { differenceOf } from './dimension.ts';
import { unitOfDifference } from './unit.ts';
import type { Rational } from './rational.ts';
import type { Unit } from './unit.ts';

export type Reading =
  | { readonly kind: 'number'; readonly base: Rational; readonly dimension: string; readonly unit?: Unit | undefined }
  | { readonly kind: 'open' }
  | { readonly kind: 'word'; readonly word: string };

/** One reading, or one for each point of `at_each`. */
export type Readings = Reading | ReadonlyMap<string, Reading>;

export type JudgeWord = 'highest' | 'lowest' | 'mean' | 'spread' | 'each';

/**
 * The one reading that `judge` makes of several. Overload is above every number, so it is the highest, makes a spread open, and
 * has no mean. `each` does not join readings: the caller judges them one by one.
 */
export function judgeReadings(
  judge: Exclude<JudgeWord, 'each'>,
  readings: readonly Reading[],
): Reading | { readonly kind: 'problem'; readonly problem: string } {
  if (readings.length === 0) return { kind: 'problem', problem: 'There is no reading to judge.' };
  if (readings.some((reading) => reading.kind === 'word'))
    return { kind: 'problem', problem: `Words that a lamp shows have no ${judge === 'mean' ? 'mean' : `${judge} value`}.` };
  const numbers = readings.flatMap((reading) => (reading.kind === 'number' ? [reading] : []));
  const open = numbers.length < readings.length;
  const first = numbers[0];
  if (open && (judge === 'highest' || judge === 'spread' || !first)) return { kind: 'open' };
  if (open && judge === 'mean') return { kind: 'problem', problem: 'One reading shows overload, so there is no mean.' };
  if (!first) return { kind: 'open' };
  const highest = numbers.reduce((best, each) => (compareRational(each.base, best.base) > 0 ? each : best), first);
  const lowest = numbers.reduce((best, each) => (compareRational(each.base, best.base) < 0 ? each : best), first);
  switch (judge) {
    case 'highest':
      return highest;
    case 'lowest':
      return lowest;
    case 'mean': {
      const sum = numbers.slice(1).reduce((total, each) => addRational(total, each.base), first.base);
      return { ...first, base: divideRational(sum, rational(numbers.length)) };
    }
    case 'spread':
      return {
        kind: 'number',
        base: subtractRational(highest.base, lowest.base),
        dimension: differenceOf(first.dimension),
        unit: first.unit && unitOfDifference(first.unit),
      };
  }
}
