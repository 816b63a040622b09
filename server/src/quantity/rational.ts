/**
 * Exact fractions: limits meet or miss exactly, so floating point has no place in a band. Knows no units.
 */
export interface Rational {
  readonly numerator: bigint;
  /** Always positive; the fraction is in lowest terms. */
  readonly denominator: bigint;
}

/** Longer numbers are refused: nobody writes them, and they would only slow the checker down. */
export const MOST_DIGITS = 40;
/** The largest power of ten, either way. */
export const LARGEST_EXPONENT = 60;

export const ZERO: Rational = { numerator: 0n, denominator: 1n };
export const ONE: Rational = { numerator: 1n, denominator: 1n };

/**
 * The fraction n/d in lowest terms. A number that is not whole is taken at its shortest decimal form (0.1 is one tenth).
 * Throws RangeError for a zero denominator or a number that is not finite: a fault of the caller, never of a text.
 */
export function rational(n: bigint | number, d: bigint | number = 1n): Rational {
  if (typeof n === 'number' && !Number.isInteger(n)) return divideRational(fromNumber(n), rational(d));
  if (typeof d === 'number' && !Number.isInteger(d)) return divideRational(rational(n), fromNumber(d));
  return reduce(BigInt(n), BigInt(d));
}

export function addRational(a: Rational, b: Rational): Rational {
  if (a.denominator === b.denominator) return reduce(a.numerator + b.numerator, a.denominator);
  return reduce(a.numerator * b.denominator + b.numerator * a.denominator, a.denominator * b.denominator);
}

export function subtractRational(a: Rational, b: Rational): Rational {
  return addRational(a, negateRational(b));
}

export function multiplyRational(a: Rational, b: Rational): Rational {
  return reduce(a.numerator * b.numerator, a.denominator * b.denominator);
}

/** Throws RangeError where b is zero; ask `isZeroRational` first. */
export function divideRational(a: Rational, b: Rational): Rational {
  return reduce(a.numerator * b.denominator, a.denominator * b.numerator);
}

export function negateRational(a: Rational): Rational {
  return { numerator: -a.numerator, denominator: a.denominator };
}

export function absRational(a: Rational): Rational {
  return a.numerator < 0n ? negateRational(a) : a;
}

/** Below 0 where a is the smaller, 0 where they are equal, above 0 where a is the larger. */
export function compareRational(a: Rational, b: Rational): number {
  const difference =
    a.denominator === b.denominator ? a.numerator - b.numerator : a.numerator * b.denominator - b.numerator * a.denominator;
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
}

export function equalRational(a: Rational, b: Rational): boolean {
  return a.numerator === b.numerator && a.denominator === b.denominator;
}

export function isZeroRational(a: Rational): boolean {
  return a.numerator === 0n;
}

export function isWholeRational(a: Rational): boolean {
  return a.denominator === 1n;
}

export function minRational(a: Rational, b: Rational): Rational {
  return compareRational(a, b) <= 0 ? a : b;
}

export function maxRational(a: Rational, b: Rational): Rational {
  return compareRational(a, b) >= 0 ? a : b;
}

/** The largest whole number that is not above a. */
export function floorRational(a: Rational): bigint {
  const quotient = a.numerator / a.denominator;
  return a.numerator < 0n && quotient * a.denominator !== a.numerator ? quotient - 1n : quotient;
}

/** The smallest whole number that is not below a. */
export function ceilingRational(a: Rational): bigint {
  return -floorRational(negateRational(a));
}

/**
 * Reads a plain decimal: `12`, `-0.5`, `.5`, `1.2e-3`. Nothing else: spaces, commas and fractions are parse-quantity.ts's.
 * Undefined where it is not one, or has more digits or a larger exponent than the caps above.
 */
export function parseDecimal(text: string): Rational | undefined {
  if (text.length > MOST_DIGITS + 12) return undefined;
  const match = /^([+-]?)(\d*)(?:\.(\d*))?(?:[eE]([+-]?\d{1,3}))?$/.exec(text);
  if (!match) return undefined;
  const [, sign, whole = '', part = '', power = '0'] = match;
  const digits = whole + part;
  if (digits.length === 0 || digits.length > MOST_DIGITS) return undefined;
  const exponent = Number(power);
  if (Math.abs(exponent) > LARGEST_EXPONENT) return undefined;
  const shift = exponent - part.length;
  let numerator = BigInt(digits);
  if (sign === '-') numerator = -numerator;
  return shift >= 0 ? reduce(numerator * 10n ** BigInt(shift), 1n) : reduce(numerator, 10n ** BigInt(-shift));
}

/** The nearest floating-point number: for drawing and for formulas that have no exact answer, never for a verdict. */
export function rationalToNumber(a: Rational): number {
  const top = Number(a.numerator);
  const bottom = Number(a.denominator);
  if (Number.isFinite(top) && Number.isFinite(bottom)) return top / bottom;
  const shift = BigInt(Math.max(bits(a.numerator), bits(a.denominator)) - 1000);
  return Number(a.numerator >> shift) / Number(a.denominator >> shift);
}

/** The value as decimal text, rounded half to even (ASTM E29 6.4.3, from memory), with a plain hyphen for minus. */
export function rationalToDecimal(a: Rational, how: { readonly decimals: number } | { readonly significant: number }): string {
  const decimals = 'decimals' in how ? how.decimals : how.significant - 1 - orderOfMagnitude(a);
  const rounded = roundToDecimals(a, decimals);
  // 9.99 to two figures is 10, not 10.0.
  if ('significant' in how && !isZeroRational(rounded) && orderOfMagnitude(rounded) > orderOfMagnitude(a)) {
    return fixedText(rounded, Math.max(0, decimals - 1));
  }
  return fixedText(rounded, Math.max(0, decimals));
}

/** Rounded half to even at that decimal place; a negative count rounds to tens, hundreds … */
export function roundToDecimals(a: Rational, decimals: number): Rational {
  const scale = rational(10n ** BigInt(Math.abs(decimals)));
  const scaled = decimals >= 0 ? multiplyRational(a, scale) : divideRational(a, scale);
  const low = floorRational(scaled);
  const rest = compareRational(subtractRational(scaled, rational(low)), { numerator: 1n, denominator: 2n });
  const whole = rest > 0 || (rest === 0 && low % 2n !== 0n) ? low + 1n : low;
  return decimals >= 0 ? divideRational(rational(whole), scale) : multiplyRational(rational(whole), scale);
}

/** The power of ten of the first digit that is not zero: 0 for 1 to 9.99, -1 for 0.5. Of zero: 0. */
export function orderOfMagnitude(a: Rational): number {
  if (isZeroRational(a)) return 0;
  const size = absRational(a);
  let order = size.numerator.toString().length - size.denominator.toString().length;
  if (compareRational(size, powerOfTen(order)) < 0) order--;
  return order;
}

/** Decimals needed to write it exactly, or undefined where no decimal does (1/3) or more than 30 are needed. */
export function exactDecimals(a: Rational): number | undefined {
  let rest = a.denominator;
  let twos = 0;
  let fives = 0;
  for (; rest % 2n === 0n && twos <= 30; rest /= 2n) twos++;
  for (; rest % 5n === 0n && fives <= 30; rest /= 5n) fives++;
  const needed = Math.max(twos, fives);
  return rest === 1n && needed <= 30 ? needed : undefined;
}

/** Exactly where up to 12 decimals do, else to 7 significant figures. */
export function rationalToText(a: Rational): string {
  const decimals = exactDecimals(a);
  return decimals !== undefined && decimals <= 12 ? rationalToDecimal(a, { decimals }) : rationalToDecimal(a, { significant: 7 });
}

function powerOfTen(order: number): Rational {
  return order >= 0 ? rational(10n ** BigInt(order)) : rational(1n, 10n ** BigInt(-order));
}

function fixedText(a: Rational, decimals: number): string {
  const scaled = floorRational(multiplyRational(absRational(a), rational(10n ** BigInt(decimals))));
  const digits = scaled.toString().padStart(decimals + 1, '0');
  const sign = a.numerator < 0n && scaled !== 0n ? '-' : '';
  return decimals === 0 ? sign + digits : `${sign}${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`;
}

function reduce(numerator: bigint, denominator: bigint): Rational {
  if (denominator === 1n) return { numerator, denominator };
  if (denominator === 0n) throw new RangeError('A fraction cannot have zero below the line.');
  let a = numerator < 0n ? -numerator : numerator;
  let b = denominator < 0n ? -denominator : denominator;
  while (b !== 0n) [a, b] = [b, a % b];
  const divisor = denominator < 0n ? -a : a;
  return { numerator: numerator / divisor, denominator: denominator / divisor };
}

function fromNumber(value: number): Rational {
  if (!Number.isFinite(value)) throw new RangeError(`${value} is not a finite number.`);
  const [digits = '', power = '0'] = value.toString().split('e');
  const part = digits.split('.')[1] ?? '';
  const shift = Number(power) - part.length;
  const whole = BigInt(digits.replace('.', ''));
  return shift >= 0 ? rational(whole * 10n ** BigInt(shift)) : reduce(whole, 10n ** BigInt(-shift));
}

function bits(value: bigint): number {
  return (value < 0n ? -value : value).toString(16).length * 4;
}
