/** Short ways to ask the quantity room for a number, for tests. */
import { evaluate } from '../../../server/src/quantity/evaluate.ts';
import { findUnit } from '../../../server/src/quantity/unit.ts';
import { fromBase } from '../../../server/src/quantity/quantity.ts';
import { parseExpression } from '../../../server/src/quantity/parse-band.ts';
import { parseQuantity } from '../../../server/src/quantity/parse-quantity.ts';
import { rationalToNumber } from '../../../server/src/quantity/rational.ts';

/** `convert('1 psi', 'kPa')`. */
export function convert(from: string, to: string): number {
  const { quantity, problems } = parseQuantity(from);
  const unit = findUnit(to).unit;
  if (!quantity?.unit || !unit || problems.length > 0) throw new Error(`${from} → ${to}: not understood`);
  if (quantity.unit.dimension !== unit.dimension) throw new Error(`${from} → ${to}: ${quantity.unit.dimension} is not ${unit.dimension}`);
  return rationalToNumber(fromBase(quantity.base, unit));
}

/** `value('voltage_drop(200 A, 35 mm2, 2 m)', 'V')`: the number, or the problem in words. */
export function value(expression: string, unitText?: string): number | string {
  const parsed = parseExpression(expression);
  if (!parsed.expression) throw new Error(`${expression}: ${parsed.problems[0]?.message ?? ''}`);
  const result = evaluate(parsed.expression, () => undefined);
  if (result.problem !== undefined) return result.problem;
  if (!result.value) return `unknown: ${result.unknown.join()}`;
  const unit = unitText === undefined ? undefined : findUnit(unitText).unit;
  if (unitText !== undefined && unit?.dimension !== result.value.dimension) return `${result.value.dimension} is not ${unit?.dimension ?? 'known'}`;
  return rationalToNumber(unit ? fromBase(result.value.base, unit) : result.value.base);
}
