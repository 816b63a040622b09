/**
 * The same quantity in the other units of its kind, rounded to the significance it was written with (NIST SP 811 B.7 and ASTM E29,
 * from memory): converting must neither lose what was said nor claim more.
 */
import {
  absRational,
  equalRational,
  isZeroRational,
  orderOfMagnitude,
  rational,
  divideRational,
  rationalToDecimal,
  roundToDecimals,
  compareRational,
} from './rational.ts';
import { formatQuantityPlain } from './format-quantity.ts';
import { fromBase, quantityDimension, toBase } from './quantity.ts';
import { lookUpUnit } from './unit.ts';
import { isWireGauge } from './wire-gauge.ts';
import type { Quantity } from './quantity.ts';
import type { Rational } from './rational.ts';
import type { Unit } from './unit.ts';

export interface ConvertedQuantity {
  readonly unit: Unit;
  readonly decimals: number;
  /** With an ordinary space: `26 lb·ft`. */
  readonly text: string;
  /** False where it was rounded. */
  readonly exact: boolean;
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
    ['cm³', 'metric'],
    ['in³', 'inch'],
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
  const units = candidates(quantity).map(({ unit }) => unit);
  return (isWireGauge(quantity) && quantity.unit ? [quantity.unit, ...units] : units).map((unit) => convertedTo(quantity, unit));
}

/**
 * The quantity in the other system: inch-pound for metric, metric for inch-pound; undefined where both systems share the unit, or
 * the other has none that a shop reads (V, s, a wire of 35 mm²). A wire gauge is given in mm².
 */
export function inOtherSystem(quantity: Quantity): ConvertedQuantity | undefined {
  const unit = isWireGauge(quantity) ? quantity.unit : unitOfOtherSystem(quantity);
  return unit && convertedTo(quantity, unit);
}

interface TogetherConverted {
  readonly unit: Unit;
  readonly numbers: readonly string[];
  /** False where one of them was rounded. */
  readonly exact: boolean;
}

/**
 * Quantities of one kind in one unit of the other system, to the same decimals: the two of a range, or a value and its tolerance.
 * The unit suits the largest. Undefined as for `inOtherSystem`.
 */
export function togetherInOtherSystem(quantities: readonly Quantity[]): TogetherConverted | undefined {
  const largest = quantities.reduce<Quantity | undefined>(
    (best, each) => (best === undefined || compareRational(sizeOf(each), sizeOf(best)) > 0 ? each : best), undefined);
  const unit = largest && unitOfOtherSystem(largest);
  if (!unit) return undefined;
  const parts = quantities.map((each) => {
    // A tolerance of a temperature is a difference: it takes the scale's step without its zero.
    const own = each.unit?.dimension === 'temperature_difference' && unit.dimension === 'temperature' ? { ...unit, offset: undefined } : unit;
    const value = fromBase(each.base, own);
    return { value, decimals: Math.min(MOST_DECIMALS, decimalsFor(each, value, own)) };
  });
  const decimals = Math.max(...parts.map((part) => part.decimals));
  const shown = parts.map(({ value }) => roundToDecimals(value, decimals));
  return {
    unit,
    numbers: shown.map((value) => rationalToDecimal(value, { decimals: Math.max(0, decimals) })),
    exact: parts.every(({ value }, index) => shown[index] !== undefined && equalRational(value, shown[index])),
  };
}

/** What a shop of the other system reads for a unit, where its size would leave a choice. */
const COUNTERPARTS: Readonly<Record<string, string>> = {
  mm: 'in', cm: 'in', m: 'ft', km: 'mi', µm: 'thou', in: 'mm', thou: 'mm', ft: 'm', mi: 'km', 'cm³': 'in³', 'in³': 'cm³', L: 'US gal', mL: 'US fl oz',
  'US fl oz': 'mL', 'imp fl oz': 'mL', g: 'oz av', 'oz av': 'g', kg: 'lb', t: 'lb', lb: 'kg', kPa: 'psi', bar: 'psi', MPa: 'psi', Pa: 'inH2O',
  inH2O: 'mbar', inHg: 'kPa', 'L/h': 'US gph', 'm³/h': 'cfm', 'm/min': 'ft/min', 'ft/min': 'm/min', cfm: 'm³/h',
};

/** Metric units that inch-pound shops write too. */
const SHARED = /^(?:[mkM]?W|[mkM]?VA|[mkMG]?J|[mkMG]?Wh|mm²|cSt)$/;

function unitOfOtherSystem(quantity: Quantity): Unit | undefined {
  const own = quantity.unit;
  const rows = USUAL[quantityDimension(quantity)] ?? [];
  const system = own === undefined ? undefined : systemOf(own, rows);
  if (own === undefined || system === undefined || SHARED.test(own.symbol)) return undefined;
  const [, plain = own.symbol, kind = ''] = /^(.*?)( (?:gauge|abs|diff|vac))?$/.exec(own.symbol) ?? [];
  // A vacuum is read in inches of mercury, not in psi.
  const counterpart = kind === ' vac' && COUNTERPARTS[plain] === 'psi' ? 'inHg' : COUNTERPARTS[plain];
  const usual = counterpart === undefined ? undefined : lookUpUnit(`${counterpart}${kind}`)?.unit;
  if (usual && suits(quantity, usual, -2)) return usual;
  const others = candidates(quantity).filter((each) => each.system !== system);
  return others.sort((a, b) => awkwardness(quantity, a.unit) - awkwardness(quantity, b.unit))[0]?.unit;
}

function suits(quantity: Quantity, unit: Unit, lowest: number, highest = 4): boolean {
  const value = fromBase(quantity.base, unit);
  const order = orderOfMagnitude(value);
  return isZeroRational(value) || unit.offset !== undefined || (order >= lowest && order <= highest);
}

function sizeOf(quantity: Quantity): Rational {
  return absRational(quantity.base);
}

/**
 * The quantity in another unit of its kind, to the significance it was written with; half to even. A temperature keeps its decimals:
 * one step of the last figure means about the same in both units.
 */
export function convertedTo(quantity: Quantity, unit: Unit): ConvertedQuantity {
  const value = fromBase(quantity.base, unit);
  const wanted = Math.min(MOST_DECIMALS, decimalsFor(quantity, value, unit));
  const decimals = Math.max(0, wanted);
  const shown = roundToDecimals(value, wanted);
  return { unit, decimals, text: formatQuantityPlain({ base: toBase(shown, unit), unit }, { decimals }), exact: equalRational(shown, value) };
}

const FRACTION = /\d[/\u2044]\d|[½¼¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚]/;
const MOST_DECIMALS = 12;

/**
 * Decimals of the converted value: the fewest with which half its last step is no larger a share of it than half the last step written
 * was (SP 811 B.7.1: 36 ft is 11.0 m, since 11 m would have lost what 36 said). At least two figures, since few who write 1 m mean half
 * a metre to a metre and a half; and no digit before the point is rounded away until three are left.
 */
function decimalsFor(quantity: Quantity, value: Rational, unit: Unit): number {
  if (unit.offset !== undefined || isZeroRational(quantity.number) || isZeroRational(value)) return quantity.decimals;
  const order = orderOfMagnitude(value);
  // A fraction of an inch is read off a scale of fractions, a gauge off a list: their decimals say nothing of how well they are known.
  if (FRACTION.test(quantity.text) || isWireGauge(quantity)) return Math.max(0, 2 - order);
  const had = divideRational(lastStep(quantity.decimals), absRational(quantity.number));
  const keeps = (decimals: number): boolean => compareRational(divideRational(lastStep(decimals), absRational(value)), had) <= 0;
  let decimals = -order;
  while (decimals < MOST_DECIMALS && !keeps(decimals)) decimals += 1;
  if (decimals === -order && !equalRational(roundToDecimals(value, decimals), value)) decimals += 1;
  return Math.max(decimals, Math.min(0, 2 - order));
}

function lastStep(decimals: number): Rational {
  const power = rational(10n ** BigInt(Math.abs(decimals)));
  return decimals >= 0 ? divideRational(rational(1), power) : power;
}

function candidates(quantity: Quantity): { readonly unit: Unit; readonly system: 'metric' | 'inch' }[] {
  const rows = USUAL[quantityDimension(quantity)] ?? [];
  return rows.flatMap(([symbol, system]) => {
    const unit = lookUpUnit(symbol)?.unit;
    if (!unit || unit.symbol === quantity.unit?.symbol || sameScale(unit, quantity.unit)) return [];
    // Where only prefixes differ, 24 V as 24000 mV says nothing.
    const lowest = rows.some(([, other]) => other === 'inch') ? -3 : -1;
    return suits(quantity, unit, lowest, lowest === -1 ? 3 : 4) ? [{ unit, system }] : [];
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
