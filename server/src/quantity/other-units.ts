/**
 * The same quantity in the other units of its kind, with as many figures as it was given (NIST SP 811 B.7 and ASTM E29, from
 * memory): converting must not claim more than was measured.
 */
import {
  absRational,
  isZeroRational,
  orderOfMagnitude,
  rational,
  rationalToDecimal,
  divideRational,
  roundToDecimals,
  subtractRational,
  compareRational,
} from './rational.ts';
import { formatQuantityPlain } from './format-quantity.ts';
import { fromBase, quantityDimension, toBase } from './quantity.ts';
import { lookUpUnit } from './unit.ts';
import type { Quantity } from './quantity.ts';
import type { Rational } from './rational.ts';
import type { Unit } from './unit.ts';

export interface ConvertedQuantity {
  readonly unit: Unit;
  readonly decimals: number;
  /** With an ordinary space: `26 lb·ft`. */
  readonly text: string;
}

/** The units of each kind that a shop reads side by side, and the system each belongs to (both: either). */
const USUAL: Readonly<Record<string, readonly (readonly [symbol: string, system: 'metric' | 'inch'])[]>> = {
  temperature: [
    ['°C', 'metric'],
    ['°F', 'inch'],
  ],
  temperature_difference: [
    ['K', 'metric'],
    ['Δ°F', 'inch'],
  ],
  pressure: [
    ['bar', 'metric'],
    ['kPa', 'metric'],
    ['MPa', 'metric'],
    ['psi', 'inch'],
    ['inHg', 'inch'],
  ],
  gauge_pressure: [
    ['bar gauge', 'metric'],
    ['kPa gauge', 'metric'],
    ['psi gauge', 'inch'],
  ],
  absolute_pressure: [
    ['bar abs', 'metric'],
    ['kPa abs', 'metric'],
    ['psi abs', 'inch'],
  ],
  pressure_difference: [
    ['bar diff', 'metric'],
    ['kPa diff', 'metric'],
    ['psi diff', 'inch'],
  ],
  vacuum: [
    ['kPa vac', 'metric'],
    ['mbar vac', 'metric'],
    ['inHg vac', 'inch'],
  ],
  torque: [
    ['N·m', 'metric'],
    ['lb·ft', 'inch'],
    ['lb·in', 'inch'],
  ],
  force: [
    ['N', 'metric'],
    ['kN', 'metric'],
    ['lbf', 'inch'],
  ],
  length: [
    ['mm', 'metric'],
    ['m', 'metric'],
    ['km', 'metric'],
    ['in', 'inch'],
    ['ft', 'inch'],
    ['mi', 'inch'],
  ],
  area: [
    ['mm²', 'metric'],
    ['cm²', 'metric'],
    ['m²', 'metric'],
    ['in²', 'inch'],
    ['ft²', 'inch'],
  ],
  volume: [
    ['L', 'metric'],
    ['mL', 'metric'],
    ['US gal', 'inch'],
    ['imp gal', 'inch'],
    ['US fl oz', 'inch'],
  ],
  mass: [
    ['kg', 'metric'],
    ['g', 'metric'],
    ['t', 'metric'],
    ['lb', 'inch'],
    ['oz av', 'inch'],
  ],
  flow_rate: [
    ['L/min', 'metric'],
    ['L/h', 'metric'],
    ['m³/h', 'metric'],
    ['US gpm', 'inch'],
    ['imp gpm', 'inch'],
    ['cfm', 'inch'],
  ],
  speed: [
    ['km/h', 'metric'],
    ['m/s', 'metric'],
    ['mph', 'inch'],
    ['ft/min', 'inch'],
  ],
  power: [
    ['W', 'metric'],
    ['kW', 'metric'],
    ['hp', 'inch'],
  ],
  energy: [
    ['J', 'metric'],
    ['kWh', 'metric'],
    ['Btu', 'inch'],
  ],
  pressure_rate: [
    ['kPa/min', 'metric'],
    ['bar/min', 'metric'],
    ['psi/min', 'inch'],
  ],
  voltage: [
    ['mV', 'metric'],
    ['V', 'metric'],
    ['kV', 'metric'],
  ],
  current: [
    ['µA', 'metric'],
    ['mA', 'metric'],
    ['A', 'metric'],
  ],
  resistance: [
    ['mΩ', 'metric'],
    ['Ω', 'metric'],
    ['kΩ', 'metric'],
    ['MΩ', 'metric'],
  ],
  capacitance: [
    ['nF', 'metric'],
    ['µF', 'metric'],
    ['mF', 'metric'],
  ],
  time: [
    ['ms', 'metric'],
    ['s', 'metric'],
    ['min', 'metric'],
    ['h', 'metric'],
  ],
  charge: [
    ['mAh', 'metric'],
    ['Ah', 'metric'],
  ],
  frequency: [
    ['Hz', 'metric'],
    ['kHz', 'metric'],
  ],
  illuminance: [
    ['lx', 'metric'],
    ['fc', 'inch'],
  ],
};

/** The quantity in the other usual units of its kind, those left out that would need many zeros. */
export function otherUnits(quantity: Quantity): readonly ConvertedQuantity[] {
  return candidates(quantity).map(({ unit }) => convertedTo(quantity, unit));
}

/**
 * The quantity in the other system: inch-pound for metric, metric for inch-pound; undefined where both systems share the unit.
 */
export function inOtherSystem(quantity: Quantity): ConvertedQuantity | undefined {
  const rows = USUAL[quantityDimension(quantity)] ?? [];
  const own = quantity.unit === undefined ? undefined : systemOf(quantity.unit, rows);
  if (own === undefined) return undefined;
  const others = candidates(quantity).filter(({ system }) => system !== own);
  const best = others.sort((a, b) => awkwardness(quantity, a.unit) - awkwardness(quantity, b.unit))[0];
  return best ? convertedTo(quantity, best.unit) : undefined;
}

/**
 * The quantity in another unit of its kind, to as many figures as it was written with. Half to even. A temperature is rounded so
 * that one step of the last figure means about the same in both units.
 */
export function convertedTo(quantity: Quantity, unit: Unit): ConvertedQuantity {
  const value = fromBase(quantity.base, unit);
  const wanted = Math.min(12, decimalsFor(quantity, value, unit));
  const decimals = Math.max(0, wanted);
  const base = wanted < 0 ? toBase(roundToDecimals(value, wanted), unit) : quantity.base;
  return { unit, decimals, text: formatQuantityPlain({ base, unit }, { decimals }) };
}

function decimalsFor(quantity: Quantity, value: Rational, unit: Unit): number {
  if (unit.offset !== undefined || isZeroRational(quantity.number) || isZeroRational(value)) return quantity.decimals;
  const figures = orderOfMagnitude(quantity.number) + 1 + quantity.decimals;
  const own = Math.max(1, figures);
  // Tens are rounded away only where three figures are left: 3 US gal is 11 L, not 10 L.
  const order = orderOfMagnitude(value);
  const decimals = Math.max(own - 1 - order, Math.min(0, 2 - order));
  // A first figure of 1 carries less than a first figure of 9: one more is kept where rounding would lose more than the original
  // had.
  const lost = lostShare(value, decimals);
  const had = divideRational(rational(1n, 2n), absRational(unscaled(quantity)));
  return compareRational(lost, had) > 0 ? decimals + 1 : decimals;
}

/** The number with its decimal point taken away: half a step of its last digit is half over this. */
function unscaled(quantity: Quantity): Rational {
  const digits = BigInt(rationalToDecimal(absRational(quantity.number), { decimals: quantity.decimals }).replace('.', ''));
  return rational(digits === 0n ? 1n : digits);
}

function lostShare(value: Rational, decimals: number): Rational {
  return divideRational(absRational(subtractRational(value, roundToDecimals(value, decimals))), absRational(value));
}

function candidates(quantity: Quantity): { readonly unit: Unit; readonly system: 'metric' | 'inch' }[] {
  const rows = USUAL[quantityDimension(quantity)] ?? [];
  return rows.flatMap(([symbol, system]) => {
    const unit = lookUpUnit(symbol)?.unit;
    if (!unit || unit.symbol === quantity.unit?.symbol || sameScale(unit, quantity.unit)) return [];
    const value = fromBase(quantity.base, unit);
    const order = orderOfMagnitude(value);
    return isZeroRational(value) || unit.offset !== undefined || (order >= -3 && order <= 4) ? [{ unit, system }] : [];
  });
}

function sameScale(a: Unit, b: Unit | undefined): boolean {
  return b !== undefined && a.offset === undefined && b.offset === undefined && compareRational(a.factor, b.factor) === 0;
}

function systemOf(unit: Unit, rows: readonly (readonly [string, 'metric' | 'inch'])[]): 'metric' | 'inch' | undefined {
  if (!rows.some(([, system]) => system === 'inch')) return undefined;
  const row = rows.find(([symbol]) => symbol === unit.symbol);
  if (row) return row[1];
  if (/kgf|Hg|H2O|atm|Torr|PS/.test(unit.symbol)) return unit.symbol.startsWith('in') ? 'inch' : 'metric';
  // Metric factors are made of tens and sixties; inches bring in 127, pounds and gallons other primes.
  return onlyTwosThreesFives(unit.factor.numerator) && onlyTwosThreesFives(unit.factor.denominator) ? 'metric' : 'inch';
}

function onlyTwosThreesFives(value: bigint): boolean {
  let rest = value;
  for (const prime of [2n, 3n, 5n]) while (rest % prime === 0n) rest /= prime;
  return rest === 1n;
}

function awkwardness(quantity: Quantity, unit: Unit): number {
  const order = orderOfMagnitude(fromBase(quantity.base, unit));
  return order < 0 ? -3 * order : Math.abs(order - 1);
}
