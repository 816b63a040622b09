/** Quantities as a reader sees them: a narrow no-break space before the unit, digits kept as they were given. */
import { fromBase } from './quantity.ts';
import { rationalToDecimal, rationalToText } from './rational.ts';
import type { Quantity } from './quantity.ts';
import type { Rational } from './rational.ts';
import type { Unit } from './unit.ts';

export interface ValueInUnit {
  /** In base units. */
  readonly base: Rational;
  readonly unit: Unit | undefined;
}

export interface FormatOptions {
  /** Shows it in this unit, which must be of the same kind. */
  readonly unit?: Unit;
  /** Digits after the decimal point; else those it was written with, or as many as the value needs. */
  readonly decimals?: number;
}

const NARROW_NO_BREAK_SPACE = '\u202f';

/** `12.6 V`, for a screen or a page: SI style puts a space before the unit, which must not break; the minus is U+2212. */
export function formatQuantity(value: Quantity | ValueInUnit, options: FormatOptions = {}): string {
  return write(value, options, NARROW_NO_BREAK_SPACE).replace(/^-/, '\u2212');
}

/** The same with an ordinary space and a plain hyphen: for a file, a message or a terminal. */
export function formatQuantityPlain(value: Quantity | ValueInUnit, options: FormatOptions = {}): string {
  return write(value, options, ' ');
}

function write(value: Quantity | ValueInUnit, options: FormatOptions, space: string): string {
  const unit = options.unit ?? value.unit;
  const number = unit === undefined ? value.base : fromBase(value.base, unit);
  const kept = 'decimals' in value && options.unit === undefined ? value.decimals : undefined;
  const decimals = options.decimals ?? kept;
  const digits = decimals === undefined ? rationalToText(number) : rationalToDecimal(number, { decimals });
  if (unit === undefined) return digits;
  return unit.symbol === '°' ? digits + unit.symbol : `${digits}${space}${unit.symbol}`;
}
