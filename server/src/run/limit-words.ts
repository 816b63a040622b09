/** Limits and readings in words: 'at least 23.6 V (supply - 1.5 V)', '450 mV', 'overload (OL)'. */
import type { Band, BandCondition, Expression } from '../quantity/expression.ts';
import { evaluate, type Environment } from '../quantity/evaluate.ts';
import { formatExpression, formatWritten } from '../quantity/format-band.ts';
import { formatQuantity } from '../quantity/format-quantity.ts';
import { fromBase } from '../quantity/quantity.ts';
import { exactDecimals, orderOfMagnitude } from '../quantity/rational.ts';
import type { Reading } from '../quantity/select-band.ts';
import type { Unit } from '../quantity/unit.ts';
import { uncapitalised } from './texts.ts';
import type { Understood } from './walk-state.ts';

/** Most decimals that a computed limit shows; it is judged exactly all the same. */
const MOST_DECIMALS = 4;

/** A band in words. A bound with names shows its value in this run, and how it was written behind it. */
export function bandWords(band: Band, environment: Environment, unit: Unit | undefined, pointTitle: (point: string) => string): string {
  if (band.kind === 'otherwise') return 'anything else';
  if (band.kind === 'open') return 'overload (OL)';
  return band.conditions.map((condition) => conditionWords(condition, environment, unit, pointTitle)).join(' and ');
}

/** Every name that the bounds of a band use, each once. */
export function bandNames(band: Band): string[] {
  if (band.kind !== 'conditions') return [];
  const names = band.conditions.flatMap(({ comparison }) => {
    if (comparison.kind === 'shows') return [];
    return comparison.kind === 'between'
      ? [...expressionNames(comparison.low), ...expressionNames(comparison.high)]
      : expressionNames(comparison.bound);
  });
  return [...new Set(names)];
}

export function expressionNames(expression: Expression): string[] {
  switch (expression.kind) {
    case 'quantity':
      return [];
    case 'name':
      return [expression.name];
    case 'negative':
      return expressionNames(expression.of);
    case 'call':
      return expression.arguments.flatMap(expressionNames);
    default:
      return [...expressionNames(expression.left), ...expressionNames(expression.right)];
  }
}

/** An entry as it was understood. */
export function understoodWords(understood: Understood): string {
  if (understood.kind === 'word') return understood.word;
  return understood.kind === 'open' ? 'overload (OL)' : formatQuantity(understood.quantity);
}

/** A computed reading. */
export function readingWords(reading: Reading): string {
  if (reading.kind === 'word') return reading.word;
  return reading.kind === 'open' ? 'overload (OL)' : valueWords(reading.base, reading.unit);
}

const COMPARED = { at_least: 'at least', at_most: 'at most', above: 'above', below: 'below', equal: 'equal to' } as const;

function conditionWords(condition: BandCondition, environment: Environment, unit: Unit | undefined, pointTitle: (point: string) => string): string {
  const { comparison, point } = condition;
  const bound = (expression: Expression): string => boundWords(expression, environment, unit);
  const at = point === undefined ? '' : ` at ${uncapitalised(pointTitle(point.name))}`;
  if (comparison.kind === 'shows') return `${comparison.word}${at}`;
  if (comparison.kind === 'between') return `between ${bound(comparison.low)} and ${bound(comparison.high)}${at}`;
  return `${COMPARED[comparison.kind]} ${bound(comparison.bound)}${at}`;
}

function boundWords(expression: Expression, environment: Environment, unit: Unit | undefined): string {
  if (expression.kind === 'quantity') return formatWritten(expression.quantity).replace(/ /g, '\u202f').replace(/^-/, '\u2212');
  const written = formatExpression(expression);
  const { value } = evaluate(expression, environment);
  if (value === undefined || value.open) return written;
  const shown = valueWords(value.base, value.unit ?? (unit?.dimension === value.dimension ? unit : undefined));
  return expressionNames(expression).length === 0 ? shown : `${shown} (${written})`;
}

function valueWords(base: Parameters<typeof fromBase>[0], unit: Unit | undefined): string {
  const number = unit === undefined ? base : fromBase(base, unit);
  const exact = exactDecimals(number);
  // Three figures at least: 0.000 02 Ω is not 0.0000 Ω.
  const decimals = exact !== undefined && exact <= MOST_DECIMALS ? exact : Math.max(MOST_DECIMALS, Math.min(12, 2 - orderOfMagnitude(number)));
  return formatQuantity({ base, unit }, { decimals });
}
