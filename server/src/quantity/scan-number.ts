/**
 * Numbers as people write them: decimal point or comma, thousands, fractions of an inch, powers of ten, the true minus sign.
 * Knows no units.
 */
import {
  addRational,
  exactDecimals,
  LARGEST_EXPONENT,
  MOST_DIGITS,
  multiplyRational,
  negateRational,
  parseDecimal,
  rational,
} from './rational.ts';
import type { Rational } from './rational.ts';

export interface ScannedNumber {
  readonly value: Rational;
  readonly decimals: number;
  readonly start: number;
  readonly end: number;
}

export type NumberScan =
  | { readonly number: ScannedNumber; readonly problem?: undefined }
  | {
      readonly number?: undefined;
      readonly problem: string;
      readonly help: string;
      readonly start: number;
      readonly end: number;
    };

export interface ScanOptions {
  /** Whether a sign may stand before it. */
  readonly sign?: boolean;
  /** False between the brackets of a function, where a comma separates. */
  readonly decimalComma?: boolean;
}

const VULGAR: Readonly<Record<string, readonly [number, number]>> = {
  '½': [1, 2],
  '¼': [1, 4],
  '¾': [3, 4],
  '⅓': [1, 3],
  '⅔': [2, 3],
  '⅛': [1, 8],
  '⅜': [3, 8],
  '⅝': [5, 8],
  '⅞': [7, 8],
  '⅕': [1, 5],
  '⅖': [2, 5],
  '⅗': [3, 5],
  '⅘': [4, 5],
  '⅙': [1, 6],
  '⅚': [5, 6],
};

const SIGN = /[+\-\u2212\u2010-\u2013]/y;
const SPACE = '[ \\u00a0\\u2009\\u202f]';
const GROUPED_BY_SPACE = new RegExp(`\\d{1,3}(?:${SPACE}\\d{3}){1,13}(?![\\d/])`, 'y');
const GROUPED_BY_COMMA = /\d{1,3}(?:,\d{3})+(?=\.\d)(?!\d)|\d{1,3}(?:,\d{3}){2,}(?![\d,])/y;
const GROUPED_BY_POINT = /\d{1,3}(?:\.\d{3})+(?=,\d)|\d{1,3}(?:\.\d{3}){2,}(?![\d.])/y;
const GROUPED_BY_APOSTROPHE = /\d{1,3}(?:['\u2019]\d{3})+(?!\d)/y;
const COMMA_EITHER_WAY = /[1-9]\d{0,2},\d{3}(?![\d.,])/y;
const MIXED = new RegExp(`(\\d{1,4})${SPACE}(\\d{1,4})[/\\u2044](\\d{1,4})(?![\\d.])`, 'y');
const MIXED_HYPHEN = /(\d{1,4})-(\d{1,4})[/\u2044](\d{1,4})(?=[ \u00a0]?(?:in\b|inch|"|\u2033|ft\b))/y;
const FRACTION = /(\d{1,4})[/\u2044](\d{1,4})(?![\d.])/y;
const DIGITS = /\d+/y;
const POINT_PART = /\.(\d+)/y;
const COMMA_PART = /,(\d+)/y;
const POWER =
  /[eE]([+-]?\d{1,3})(?![\d.])|\s?[×x·⋅*]\s?10(?:\^([+\-\u2212]?\d{1,3})|([\u207b]?[\u2070\u00b9\u00b2\u00b3\u2074-\u2079]+))/y;
const SUPERSCRIPT = /\u207b?[\u2070\u00b9\u00b2\u00b3\u2074-\u2079]+/y;
const CARET = /\^([+\-\u2212]?\d{1,3})/y;
const VULGAR_SIGN = /[½¼¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚]/y;

/** The number that begins at `start`, or undefined where none does. */
export function scanNumber(text: string, start: number, options: ScanOptions = {}): NumberScan | undefined {
  const commaAllowed = options.decimalComma !== false;
  let position = start;
  let negative = false;
  if (options.sign) {
    const sign = match(SIGN, text, position);
    if (sign) {
      negative = sign[0] !== '+';
      position += 1;
      if (/[ \u00a0\u2009\u202f]/.test(text.charAt(position)) && /[\d.,½¼¾]/.test(text.charAt(position + 1))) position += 1;
    }
  }
  const finish = (value: Rational, decimals: number, end: number): NumberScan => ({
    number: { value: negative ? negateRational(value) : value, decimals, start, end },
  });

  const fraction = scanFraction(text, position);
  if (fraction) {
    if (fraction.problem) return { problem: fraction.problem, help: 'Write the fraction as 7/16.', start, end: fraction.end };
    return finish(fraction.value, Math.min(exactDecimals(fraction.value) ?? 4, 6), fraction.end);
  }

  let whole = '';
  let grouped = false;
  for (const shape of commaAllowed
    ? [GROUPED_BY_SPACE, GROUPED_BY_COMMA, GROUPED_BY_POINT, GROUPED_BY_APOSTROPHE]
    : [GROUPED_BY_SPACE]) {
    const found = match(shape, text, position);
    if (!found) continue;
    whole = found[0].replace(/\D/g, '');
    position += found[0].length;
    grouped = true;
    break;
  }
  if (!grouped) {
    if (commaAllowed) {
      const either = match(COMMA_EITHER_WAY, text, position);
      if (either) {
        const [a = '', b = ''] = either[0].split(',');
        return {
          problem: `'${either[0]}' can be read as ${a}.${b} or as ${a}${b}.`,
          help: `Write ${a}${b}, or ${a}.${b}.`,
          start,
          end: position + either[0].length,
        };
      }
    }
    const digits = match(DIGITS, text, position);
    if (digits) {
      whole = digits[0];
      position += whole.length;
    }
  }
  const part = match(POINT_PART, text, position) ?? (commaAllowed ? match(COMMA_PART, text, position) : undefined);
  const digitsAfter = part?.[1] ?? '';
  if (whole === '' && (digitsAfter === '' || part?.[0].startsWith(','))) return undefined;
  if (part) position += part[0].length;

  if (whole.length + digitsAfter.length > MOST_DIGITS) {
    while (/[\d.,]/.test(text.charAt(position))) position++;
    return {
      problem: 'The number has too many digits.',
      help: `Write it with at most ${MOST_DIGITS} digits.`,
      start,
      end: position,
    };
  }
  let exponent = 0;
  let tenPower = false;
  if (digitsAfter === '' && whole === '10') {
    const power = match(SUPERSCRIPT, text, position) ?? match(CARET, text, position);
    if (power) {
      exponent = powerValue(power[1] ?? power[0]) - 1;
      tenPower = true;
      position += power[0].length;
    }
  }
  const power = !tenPower ? match(POWER, text, position) : undefined;
  if (power) {
    exponent = powerValue(power[1] ?? power[2] ?? power[3] ?? '0');
    position += power[0].length;
  }
  if (Math.abs(exponent) > LARGEST_EXPONENT) {
    return {
      problem: 'The power of ten is out of all proportion.',
      help: 'Use a prefix of the unit: kV, mA.',
      start,
      end: position,
    };
  }
  const value = parseDecimal(`${whole}${digitsAfter === '' ? '' : `.${digitsAfter}`}e${exponent}`);
  if (!value) return { problem: 'The number cannot be read.', help: 'Write it in digits: 12.6.', start, end: position };
  const trailing = tenPower ? 1 : 0;
  return finish(value, Math.max(0, digitsAfter.length - exponent - trailing), position);
}

interface ScannedFraction {
  readonly value: Rational;
  readonly end: number;
  readonly problem?: string;
}

function scanFraction(text: string, position: number): ScannedFraction | undefined {
  const mixed = match(MIXED, text, position) ?? match(MIXED_HYPHEN, text, position);
  const plain = mixed ? undefined : match(FRACTION, text, position);
  const found = mixed ?? plain;
  if (found) {
    const whole = mixed ? BigInt(mixed[1] ?? '0') : 0n;
    const top = BigInt((mixed ? mixed[2] : plain?.[1]) ?? '0');
    const bottom = BigInt((mixed ? mixed[3] : plain?.[2]) ?? '1');
    const end = position + found[0].length;
    if (bottom === 0n) return { value: rational(0), end, problem: `'${found[0]}' divides by zero.` };
    return { value: addRational(rational(whole), rational(top, bottom)), end };
  }
  const digits = match(DIGITS, text, position);
  const after = position + (digits?.[0].length ?? 0);
  const vulgar = match(VULGAR_SIGN, text, after) ?? (digits ? match(VULGAR_SIGN, text, after + 1) : undefined);
  if (!vulgar || (digits && digits[0].length > 4)) return undefined;
  const at = text.indexOf(vulgar[0], after);
  if (at > after && text.charAt(after) !== ' ') return undefined;
  const [top, bottom] = VULGAR[vulgar[0]] ?? [0, 1];
  const whole = rational(BigInt(digits?.[0] ?? '0'));
  return { value: addRational(whole, multiplyRational(rational(1), rational(top, bottom))), end: at + 1 };
}

function powerValue(text: string): number {
  const plain = text
    .replace(/[\u207b\u2212]/g, '-')
    .replace(/\u2070/g, '0')
    .replace(/\u00b9/g, '1')
    .replace(/\u00b2/g, '2')
    .replace(/\u00b3/g, '3')
    .replace(/[\u2074-\u2079]/g, (digit) => String(digit.charCodeAt(0) - 0x2070));
  return Number(plain);
}

function match(shape: RegExp, text: string, position: number): RegExpExecArray | undefined {
  shape.lastIndex = position;
  return shape.exec(text) ?? undefined;
}
