/** Quantities in a text of any kind, and the same value in the other units that a shop reads. */
import { describeQuantityWord, QUANTITY_WORDS } from '../quantity/quantity-words.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { fromBase } from '../quantity/quantity.ts';
import { findQuantitiesInProse } from '../quantity/prose-quantities.ts';
import { orderOfMagnitude, isZeroRational, rationalToDecimal } from '../quantity/rational.ts';
import { findUnit } from '../quantity/unit.ts';
import type { Span } from '../text/span.ts';

/** Quantities with a unit, with their spans in the text. */
export function quantitiesIn(text: string): { readonly quantity: Quantity; readonly span: Span }[] {
  return findQuantitiesInProse(text).filter(({ quantity }) => quantity.unit !== undefined);
}

/** The value in the usual units of its kind, its own left out, those that would need a long row of zeros too. */
export function inOtherUnits(quantity: Quantity): string[] {
  const shown: string[] = [];
  for (const symbol of usualUnits(quantityDimension(quantity))) {
    const found = findUnit(symbol);
    const unit = 'unit' in found ? found.unit : undefined;
    if (!unit || symbol === quantity.unit?.symbol) continue;
    const value = fromBase(quantity.base, unit);
    if (!isZeroRational(value)) {
      const order = orderOfMagnitude(value);
      if (order < -3 || order > 6) continue;
    }
    shown.push(`${trimmed(rationalToDecimal(value, { significant: 4 }))} ${symbol}`);
  }
  return shown;
}

/** What a shop reads for a dimension, over all words for quantities of it. */
function usualUnits(dimension: string): string[] {
  const plain = /pressure|vacuum/.test(dimension) ? ['pressure', 'vacuum'] : [dimension];
  const units = QUANTITY_WORDS.map(describeQuantityWord)
    .filter((word) => plain.includes(word.dimension))
    .flatMap((word) => word.usualUnits);
  return [...new Set(units)];
}

function trimmed(decimal: string): string {
  return decimal.includes('.') ? decimal.replace(/\.?0+$/, '') : decimal;
}
