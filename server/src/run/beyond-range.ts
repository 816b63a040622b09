/**
 * Readings that the instrument could not have shown: more than the range of the step, or than the instrument reaches. Most are a decimal point or a
 * unit mistyped. They are judged all the same; the remark tells the person at once, and the record.
 */
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { compareRational, subtractRational, rational, type Rational } from '../quantity/rational.ts';
import type { StepSheet } from './checklist-document.ts';
import { plainWords, uncapitalised } from './texts.ts';
import type { PointEntry } from './walk-state.ts';

/** One sentence for each of these entries that is beyond what could be read. */
export function beyondRangeRemarks(sheet: StepSheet, entries: readonly PointEntry[]): string[] {
  const most = sheet.range ?? sheet.instrument?.upTo;
  const limit = most === undefined ? undefined : parseQuantity(most).quantity;
  if (most === undefined || limit === undefined) return [];
  return entries.flatMap(({ understood, point, words }) => {
    if (understood.kind !== 'quantity' || understood.quantity.unit?.dimension !== limit.unit?.dimension) return [];
    if (compareRational(magnitude(understood.quantity.base), magnitude(limit.base)) <= 0) return [];
    const title = point === undefined ? undefined : sheet.points.find((one) => one.name === point)?.title ?? plainWords(point);
    const reach = sheet.range === undefined ? 'than the instrument shows' : 'than this range shows';
    return [`Look again at ${words}${title === undefined ? '' : ` (${uncapitalised(title)})`}: it is more ${reach}, ${most}. Correct it where the decimal point or the unit was mistyped.`];
  });
}

function magnitude(number: Rational): Rational {
  return number.numerator < 0n ? subtractRational(rational(0), number) : number;
}
