/** Bands and expressions in canonical words: `at least 12.4 V`. What the formatter and every message print. */
import { rationalToText } from './rational.ts';
import { lookUpUnit } from './unit.ts';
import { scanNumber } from './scan-number.ts';
import type { Band, BandCondition, Comparison, Expression } from './expression.ts';
import type { Quantity } from './quantity.ts';

const WORDS = { at_least: 'at least', at_most: 'at most', above: 'above', below: 'below', equal: 'equal to' } as const;

/** The band in words; symbols become words, spaces one. Units stay as the writer spells them. */
export function formatBand(band: Band): string {
  return band.kind === 'conditions' ? band.conditions.map(formatCondition).join(' and ') : band.kind;
}

export function formatCondition(condition: BandCondition): string {
  const text = formatComparison(condition.comparison);
  return condition.point ? `${text} at ${condition.point.name}` : text;
}

export function formatComparison(comparison: Comparison): string {
  if (comparison.kind === 'shows') return comparison.word;
  if (comparison.kind === 'between')
    return `between ${formatExpression(comparison.low)} and ${formatExpression(comparison.high)}`;
  return `${WORDS[comparison.kind]} ${formatExpression(comparison.bound)}`;
}

/** The expression with one space around each operator and only the brackets it needs. */
export function formatExpression(expression: Expression): string {
  switch (expression.kind) {
    case 'quantity':
      return formatWritten(expression.quantity);
    case 'name':
      return expression.name;
    case 'negative':
      return `-${bracketed(expression.of, !isPlain(expression.of) || isNegative(expression.of))}`;
    case 'call':
      return `${expression.function}(${expression.arguments.map(formatExpression).join(', ')})`;
    case 'sum':
      return `${formatExpression(expression.left)} + ${bracketed(expression.right, isSum(expression.right))}`;
    case 'difference':
      return `${formatExpression(expression.left)} - ${bracketed(expression.right, isSum(expression.right))}`;
    case 'product':
      return `${bracketed(expression.left, isSum(expression.left))} * ${bracketed(expression.right, !isPlain(expression.right))}`;
    case 'quotient':
      return `${bracketed(expression.left, isSum(expression.left))} / ${bracketed(expression.right, !isPlain(expression.right))}`;
  }
}

/** A quantity with its number in plain digits and its unit as written: `12,6V` gives `12.6 V`, `7/16in` keeps its fraction. */
export function formatWritten(quantity: Quantity): string {
  const text = quantity.text.trim();
  const scan = scanNumber(text, 0, { sign: true })?.number;
  if (!scan) return text;
  const written = text.slice(0, scan.end);
  const unit = text.slice(scan.end).trim().replace(/\s+/g, ' ');
  // More than one number: 1 min 30 s stays as it is.
  if (unit !== '' && lookUpUnit(unit) === undefined) return text.replace(/\s+/g, ' ');
  const number = /[/\u2044½¼¾⅓⅔⅛⅜⅝⅞]/.test(written) ? written : plainNumber(written, quantity);
  if (quantity.unit === undefined) return number;
  const spelling = unit === '' ? quantity.unit.symbol : unit.replace(/(?<=\w)\.$/, '');
  return spelling === '°' ? number + spelling : `${number} ${spelling}`;
}

function plainNumber(written: string, quantity: Quantity): string {
  const plain = written.replace(/[\u2212\u2010-\u2013]\s?/, '-').replace(/^\+/, '');
  if (/^-?\d+(?:\.\d+)?$/.test(plain)) return plain;
  const scale = quantity.decimals;
  const exact = rationalToText(quantity.number);
  const digits = exact.includes('.') ? exact.length - exact.indexOf('.') - 1 : 0;
  return digits >= scale || scale > 12 ? exact : `${exact}${digits === 0 ? '.' : ''}${'0'.repeat(scale - digits)}`;
}

function isSum(expression: Expression): boolean {
  return expression.kind === 'sum' || expression.kind === 'difference';
}

function isNegative(expression: Expression): boolean {
  return expression.kind === 'negative' || (expression.kind === 'quantity' && expression.quantity.number.numerator < 0n);
}

function isPlain(expression: Expression): boolean {
  return expression.kind === 'name' || expression.kind === 'quantity' || expression.kind === 'call';
}

function bracketed(expression: Expression, brackets: boolean): string {
  return brackets ? `(${formatExpression(expression)})` : formatExpression(expression);
}
