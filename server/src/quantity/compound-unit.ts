/**
 * Units made of others: `V/m`, `kg·m/s²`, `L/(min·kW)`. Built from parts that are known, so that a shop can write any that it
 * needs. Knows no spellings of its own.
 */
import { divideDimensions, multiplyDimensions, raiseDimension } from './dimension.ts';
import { divideRational, multiplyRational, ONE } from './rational.ts';
import type { DimensionOutcome } from './dimension.ts';
import type { Unit } from './unit.ts';

const MOST_PARTS = 6;

/** The unit of a product or quotient of known parts, or undefined. Reads from left to right, as UCUM does: a/b·c is (a/b)·c. */
export function compoundUnit(spelling: string, find: (part: string) => Unit | undefined): Unit | undefined {
  if (!/[·./]|\d$/.test(spelling)) return undefined;
  const bracketed = /^([^()]+)\/\(([^()]+)\)$/.exec(spelling);
  if (bracketed) {
    const above = raisedUnit(bracketed[1] ?? '', find) ?? compoundUnit(bracketed[1] ?? '', find);
    const below = raisedUnit(bracketed[2] ?? '', find) ?? compoundUnit(bracketed[2] ?? '', find);
    const whole = above && below && join(above, below, true);
    return whole && (/[·/]/.test(below.symbol) ? { ...whole, symbol: `${above.symbol}/(${below.symbol})` } : whole);
  }
  const pieces = spelling.split(/([·./])/);
  if (pieces.length > 2 * MOST_PARTS) return undefined;
  let whole: Unit | undefined;
  let divide = false;
  for (const piece of pieces) {
    if (piece === '·' || piece === '.' || piece === '/') {
      divide = piece === '/';
      continue;
    }
    const part = raisedUnit(piece, find);
    if (!part) return undefined;
    whole = whole === undefined ? (divide ? undefined : part) : join(whole, part, divide);
    if (!whole) return undefined;
  }
  return whole;
}

function raisedUnit(piece: string, find: (part: string) => Unit | undefined): Unit | undefined {
  const known = find(piece);
  if (known) return joinable(known) ? known : undefined;
  const match = /^(.*[^\d^-])\^?(-?[1-3])$/.exec(piece);
  if (!match) return undefined;
  const unit = find(match[1] ?? '');
  const power = Number(match[2]);
  if (!unit || !joinable(unit)) return undefined;
  let factor = ONE;
  for (let i = 0; i < Math.abs(power); i++)
    factor = power > 0 ? multiplyRational(factor, unit.factor) : divideRational(factor, unit.factor);
  const dimension = raiseDimension(unit.dimension, power);
  return {
    symbol: unit.symbol + superscript(power),
    ucum: unit.ucum === '' ? '' : unit.ucum + power,
    dimension,
    factor,
    offset: undefined,
  };
}

function joinable(unit: Unit): boolean {
  return unit.offset === undefined && unit.supply === undefined && !/ (?:gauge|abs|diff|vac)$/.test(unit.symbol);
}

function join(a: Unit, b: Unit, divide: boolean): Unit | undefined {
  const outcome: DimensionOutcome = divide
    ? divideDimensions(a.dimension, b.dimension)
    : multiplyDimensions(a.dimension, b.dimension);
  if (!('dimension' in outcome)) return undefined;
  const mark = divide ? '/' : '·';
  const joined: Unit = {
    symbol: a.symbol + mark + b.symbol,
    ucum: a.ucum === '' || b.ucum === '' ? '' : `${a.ucum}${divide ? '/' : '.'}${/[/.]/.test(b.ucum) ? `(${b.ucum})` : b.ucum}`,
    dimension: outcome.dimension,
    factor: divide ? divideRational(a.factor, b.factor) : multiplyRational(a.factor, b.factor),
    offset: undefined,
  };
  return a.rounded || b.rounded ? { ...joined, rounded: true } : joined;
}

function superscript(power: number): string {
  const digits: Readonly<Record<string, string>> = { '1': '', '2': '²', '3': '³', '-': '⁻' };
  return power === -1 ? '⁻¹' : [...String(power)].map((digit) => digits[digit] ?? digit).join('');
}
