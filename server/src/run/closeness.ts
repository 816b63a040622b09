/**
 * Whether a reading is too close to a limit for the instrument it was read with. It is judged all the same, as the procedure says; the
 * remark tells the person and the record. Decision rule: a guard band of the expanded uncertainty, k = 2 (quantity/accuracy.ts).
 */
import { guardWidth, parseAccuracy, resultsWithin, uncertaintyOf } from '../quantity/accuracy.ts';
import { evaluate, type Environment } from '../quantity/evaluate.ts';
import type { Band } from '../quantity/expression.ts';
import { formatQuantity } from '../quantity/format-quantity.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { amountOf, fromBase } from '../quantity/quantity.ts';
import { exactDecimals, rationalToNumber, type Rational } from '../quantity/rational.ts';
import type { Reading } from '../quantity/select-band.ts';
import type { Unit } from '../quantity/unit.ts';
import type { StepSheet } from './checklist-document.ts';
import { orList } from './texts.ts';

/**
 * A remark where the true value may belong to another result than the one taken; undefined where the verdict stands, or where the
 * instrument's accuracy is not known. `limits` are the results' limits in words.
 */
export function closenessRemark(
  sheet: StepSheet, bands: readonly (Band | undefined)[], reading: Reading, taken: number, environment: Environment, limits: readonly string[],
): string | undefined {
  if (reading.kind !== 'number' || sheet.instrument?.accuracy === undefined) return undefined;
  const { accuracy } = parseAccuracy(sheet.instrument.accuracy);
  if (accuracy === undefined) return undefined;
  const uncertainty = uncertaintyOf(reading.base, {
    accuracy, resolution: amount(sheet.instrument.resolution), fullScale: amount(sheet.range) ?? amount(sheet.instrument.upTo), unit: reading.unit,
  });
  if (uncertainty === undefined) return undefined;
  const width = guardWidth(uncertainty);
  const possible = resultsWithin(bands, reading, width, environment, boundValues(bands, environment))?.filter((index) => index !== taken) ?? [];
  if (possible.length === 0) return undefined;
  const others = possible.map((index) => limits[index] ?? '');
  return `Too close to call with this instrument, which reads to ±${widthWords(width, reading.unit)}: it may also be ${orList(others)}.`;
}

/** The values of all bounds: between two of them a result may lie that neither end of the guard band meets. */
function boundValues(bands: readonly (Band | undefined)[], environment: Environment): Rational[] {
  return bands.flatMap((band) => (band?.kind === 'conditions' ? band.conditions : [])).flatMap(({ comparison }) => {
    if (comparison.kind === 'shows') return [];
    const bounds = comparison.kind === 'between' ? [comparison.low, comparison.high] : [comparison.bound];
    return bounds.map((bound) => evaluate(bound, environment).value?.base).filter((base) => base !== undefined);
  });
}

/** As an amount: a resolution of 0.1 °C is a tenth of a kelvin. */
function amount(written: string | undefined): Rational | undefined {
  const quantity = written === undefined ? undefined : parseQuantity(written).quantity;
  return quantity && amountOf(quantity);
}

/** To two significant figures, as an uncertainty is given. */
function widthWords(width: Rational, unit: Unit | undefined): string {
  // A width is a difference: of a temperature, without the scale's zero.
  const scale = unit === undefined ? undefined : { ...unit, offset: undefined };
  const number = scale === undefined ? width : fromBase(width, scale);
  const order = Math.floor(Math.log10(Math.max(rationalToNumber(number), 1e-12)));
  const exact = exactDecimals(number);
  return formatQuantity({ base: width, unit: scale }, { decimals: Math.max(0, Math.min(exact ?? 12, 1 - order)) });
}
