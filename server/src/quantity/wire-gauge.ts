/**
 * American wire gauge: the sizes of solid round wire by number, and how a shop writes them (`4 AWG`, `AWG 2/0`). A gauge is a
 * cross-section by name. ASTM B258: diameter 0.127 mm × 92^((36 - n)/39) (from memory).
 */
import { makeQuantity } from './quantity.ts';
import { orderOfMagnitude, rational } from './rational.ts';
import type { Quantity } from './quantity.ts';
import type { Unit } from './unit.ts';

/** 4/0 and 40: the thickest and the thinnest gauge of the formula's range. */
export const THICKEST_GAUGE = -3;
export const THINNEST_GAUGE = 40;

/** Metres. */
export function gaugeDiameter(gauge: number): number {
  return 0.000127 * 92 ** ((36 - gauge) / 39);
}

/** Square metres. */
export function gaugeArea(gauge: number): number {
  return (Math.PI / 4) * gaugeDiameter(gauge) ** 2;
}

const SIZE = '([1-4]\\/0|0{1,4}(?![\\d/])|[1-9]\\d?(?![\\d/.,]))';
const BEFORE = new RegExp(`AWG[ \\u00a0\\u202f]?(?:#|[Nn]o\\.?[ \\u00a0]?)?${SIZE}(?![\\w])`, 'iy');
const AFTER = new RegExp(`(?:#)?${SIZE}[ \\u00a0\\u202f-]?AWG(?![\\w])`, 'iy');

/** The wire that is named at `start`, as its cross-section to three figures in the unit given (mm²); undefined where none is. */
export function scanWireGauge(text: string, start: number, squareMillimetre: Unit): { readonly quantity: Quantity; readonly end: number } | undefined {
  const match = matchAt(AFTER, text, start) ?? matchAt(BEFORE, text, start);
  const size = match?.[1];
  if (!match || size === undefined) return undefined;
  const gauge = gaugeNumber(size);
  if (gauge > THINNEST_GAUGE) return undefined;
  const area = rational(Number((gaugeArea(gauge) * 1e6).toPrecision(12)));
  const written = match[0];
  return { quantity: makeQuantity(written, area, squareMillimetre, Math.max(0, 2 - orderOfMagnitude(area))), end: start + written.length };
}

/** Whether a quantity was written as a gauge. */
export function isWireGauge(quantity: Quantity): boolean {
  return /^(?:AWG|#?\d{1,4}(?:\/0)?[\s-]?AWG$)/i.test(quantity.text.trim());
}

/** 0 of `0` and `1/0`, -3 of `0000` and `4/0`. */
function gaugeNumber(size: string): number {
  const aught = /^([1-4])\/0$/.exec(size);
  if (aught) return 1 - Number(aught[1]);
  return /^0+$/.test(size) ? 1 - size.length : Number(size);
}

function matchAt(shape: RegExp, text: string, position: number): RegExpExecArray | undefined {
  shape.lastIndex = position;
  return shape.exec(text) ?? undefined;
}
