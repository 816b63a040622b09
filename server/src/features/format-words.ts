/**
 * How a single value is best written: bands in words, quantities with a space, spelled-out units short. It changes how a value is
 * written and never what it is: what would not read back as the same value is left as it stands.
 */

import type { Procedure } from '../procedure/model.ts';
import { formatBand, formatExpression, formatWritten } from '../quantity/format-band.ts';
import { parseBand, parseExpression } from '../quantity/parse-band.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { lookUpUnit, type Unit } from '../quantity/unit.ts';
import type { ScalarNode } from '../syntax/tree.ts';

/** What is written in place of a scalar, by where the scalar begins. */
export type Spellings = ReadonlyMap<number, string>;

/**
 * Units spelled out, and the short spelling of the same unit. Only what is plainly one unit's name: `bhp` or `CCA` say more than
 * their unit does, `ft-lb` is as short as `lb·ft`.
 */
export const SPELLED_OUT: Readonly<Record<string, string>> = {
  volt: 'V',
  volts: 'V',
  millivolt: 'mV',
  millivolts: 'mV',
  kilovolt: 'kV',
  kilovolts: 'kV',
  amp: 'A',
  amps: 'A',
  ampere: 'A',
  amperes: 'A',
  milliampere: 'mA',
  milliamperes: 'mA',
  ohms: 'ohm',
  megohm: 'Mohm',
  megohms: 'Mohm',
  hertz: 'Hz',
  kilohertz: 'kHz',
  watt: 'W',
  watts: 'W',
  kilowatt: 'kW',
  kilowatts: 'kW',
  second: 's',
  seconds: 's',
  sec: 's',
  secs: 's',
  minute: 'min',
  minutes: 'min',
  mins: 'min',
  hour: 'h',
  hours: 'h',
  hr: 'h',
  hrs: 'h',
  millisecond: 'ms',
  milliseconds: 'ms',
  percent: '%',
  'per cent': '%',
  celsius: '°C',
  'degrees celsius': '°C',
  'degrees c': '°C',
  'deg c': '°C',
  fahrenheit: '°F',
  'degrees fahrenheit': '°F',
  'degrees f': '°F',
  'deg f': '°F',
  millimetre: 'mm',
  millimetres: 'mm',
  millimeter: 'mm',
  millimeters: 'mm',
  metre: 'm',
  metres: 'm',
  meter: 'm',
  meters: 'm',
  inch: 'in',
  inches: 'in',
  foot: 'ft',
  feet: 'ft',
  litre: 'L',
  litres: 'L',
  liter: 'L',
  liters: 'L',
  kilogram: 'kg',
  kilograms: 'kg',
  'newton metre': 'N·m',
  'newton metres': 'N·m',
  'newton meter': 'N·m',
  'newton meters': 'N·m',
  newton: 'N',
  newtons: 'N',
  'pounds per square inch': 'psi',
  kilopascal: 'kPa',
  kilopascals: 'kPa',
  bars: 'bar',
  'revolutions per minute': 'rpm',
};

/** The bands and expressions of a procedure that are better written otherwise. */
export function bandSpellings(procedure: Procedure | undefined): Spellings {
  const spellings = new Map<number, string>();
  const put = (node: ScalarNode | undefined, written: string | undefined): void => {
    if (node !== undefined && written !== undefined && written !== node.text) spellings.set(node.span.start, written);
  };
  for (const step of [...(procedure?.steps ?? []), ...(procedure?.afterRepair ?? [])]) {
    for (const { when } of step.results) if (when?.kind === 'band') put(when.node, bandInWords(when.text));
    if (step.seek) put(step.seek.node, bandInWords(step.seek.text));
    if (step.decide?.expression) put(step.decide.node, expressionInWords(step.decide.text));
  }
  return spellings;
}

/** The band in canonical words; undefined where it cannot be read, or says more than its words would (35 ± 5 N·m). */
export function bandInWords(text: string): string | undefined {
  const { band, problems } = parseBand(text);
  if (band === undefined || problems.length > 0 || /±|\+\/?[-−]/.test(text)) return undefined;
  const written = shortUnits(formatBand(band));
  const again = parseBand(written);
  return again.problems.length === 0 && again.band !== undefined && isSame(band, again.band) ? written : undefined;
}

export function expressionInWords(text: string): string | undefined {
  const { expression, problems } = parseExpression(text);
  if (expression === undefined || problems.length > 0) return undefined;
  const written = shortUnits(formatExpression(expression));
  const again = parseExpression(written);
  return again.problems.length === 0 && again.expression !== undefined && isSame(expression, again.expression)
    ? written
    : undefined;
}

/** The quantity with one space before its unit; undefined where it cannot be read. */
export function quantityInWords(text: string): string | undefined {
  const { quantity, problems } = parseQuantity(text);
  if (quantity === undefined || problems.length > 0) return undefined;
  const written = shortUnits(formatWritten(quantity));
  const again = parseQuantity(written);
  return again.problems.length === 0 && again.quantity !== undefined && isSame(quantity, again.quantity) ? written : undefined;
}

/** Whether two values are one: their places and spelling left out. */
function isSame(first: unknown, second: unknown): boolean {
  return plain(first) === plain(second);
}

function plain(value: unknown): string {
  return JSON.stringify(value, (key, part: unknown) => {
    if (typeof part === 'bigint') return part.toString();
    if (key === 'text' || key === 'span' || key === 'nameSpan') return undefined;
    // A unit is told by its symbol and its supply.
    if (key === 'unit')
      return part === undefined || part === null ? undefined : { symbol: (part as Unit).symbol, supply: (part as Unit).supply };
    return part;
  });
}

/** Behind a number, the name of a unit as its symbol. */
function shortUnits(text: string): string {
  return text.replace(/(?<=\d )[\p{L}]+(?: [\p{L}]+){0,3}/gu, (words) => {
    // The longest name first: `newton metres and` holds one.
    const parts = words.split(' ');
    for (let count = parts.length; count > 0; count--) {
      const name = parts.slice(0, count).join(' ');
      const short = Object.hasOwn(SPELLED_OUT, name.toLowerCase()) ? SPELLED_OUT[name.toLowerCase()] : undefined;
      if (short === undefined) continue;
      const before = lookUpUnit(name)?.unit;
      const after = lookUpUnit(short)?.unit;
      if (before === undefined || before.symbol !== after?.symbol || before.supply !== after.supply) continue;
      return [short, ...parts.slice(count)].join(' ');
    }
    return words;
  });
}
