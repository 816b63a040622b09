/** A number with a unit, exact in base units, as written. */
import { addRational, divideRational, multiplyRational, subtractRational } from './rational.ts';
import type { Rational } from './rational.ts';
import type { Unit } from './unit.ts';

export interface Quantity {
  /** As it was written. */
  readonly text: string;
  /** The number as written, in `unit`. */
  readonly number: Rational;
  /** Undefined for a bare number. */
  readonly unit: Unit | undefined;
  /** The value in the base unit of its dimension (kelvin for a temperature point). */
  readonly base: Rational;
  /** Digits after the decimal point as written: what a display of it must keep. */
  readonly decimals: number;
}

/** The quantity of that number and unit, with its value in base units. */
export function makeQuantity(text: string, number: Rational, unit: Unit | undefined, decimals: number): Quantity {
  return { text, number, unit, base: unit === undefined ? number : toBase(number, unit), decimals };
}

/** The kind of a quantity; a bare number is a ratio. */
export function quantityDimension(quantity: Quantity): string {
  return quantity.unit?.dimension ?? 'ratio';
}

/** Why no value of that kind (base units) can be, in a sentence; undefined where it can. */
export function impossibleValue(base: Rational, dimension: string): string | undefined {
  if (base.numerator >= 0n) return undefined;
  if (dimension === 'temperature') return 'Nothing is colder than absolute zero (-273.15 °C, -459.67 °F).';
  return dimension === 'absolute_pressure' ? 'An absolute pressure cannot be negative.' : undefined;
}

/** A number in a unit, in base units. */
export function toBase(number: Rational, unit: Unit): Rational {
  const scaled = multiplyRational(number, unit.factor);
  return unit.offset === undefined ? scaled : addRational(scaled, unit.offset);
}

/** A value in base units, as a number in a unit of its kind. */
export function fromBase(base: Rational, unit: Unit): Rational {
  return divideRational(unit.offset === undefined ? base : subtractRational(base, unit.offset), unit.factor);
}

/** How much a quantity is as an amount, in base units: a resolution of 0.1 °C is a tenth of a kelvin, not 273.25 K. */
export function amountOf(quantity: Quantity): Rational {
  return quantity.unit === undefined ? quantity.number : multiplyRational(quantity.number, quantity.unit.factor);
}
