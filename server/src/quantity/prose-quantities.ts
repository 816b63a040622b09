/**
 * Quantities in sentences: `Torque to 35 N·m (26 lb·ft)`, `a 12-V battery`, `between 18 and 26 ohm`. Finds only numbers with a
 * unit, and would rather miss one than take `2 in the box` for inches.
 */
import { absRational, compareRational, divideRational, multiplyRational, rational, subtractRational } from './rational.ts';
import { dimensionsCompare } from './dimension.ts';
import { fromBase, makeQuantity, quantityDimension } from './quantity.ts';
import { scanNumber } from './scan-number.ts';
import { scanQuantity, scanUnit } from './scan-quantity.ts';
import type { Quantity } from './quantity.ts';
import type { Rational } from './rational.ts';
import type { Span } from '../text/span.ts';

export interface ProseQuantity {
  readonly quantity: Quantity;
  readonly span: Span;
  /** Of `35 N·m (26 lb·ft)`: on the first the second, on the second the first. */
  readonly pairedWith?: { readonly quantity: Quantity; readonly span: Span };
  /** Of `35 ± 5 N·m`: the 5 N·m. */
  readonly tolerance?: Quantity;
}

/** One quantity, or what belongs together: the two of a range, or a value with its tolerance. */
export interface QuantityGroup {
  readonly items: readonly ProseQuantity[];
  /** The whole, a tolerance and the unit that is written once included. */
  readonly span: Span;
  /** A conversion of it stands beside it: `35 N·m (26 lb·ft)`. */
  readonly paired: boolean;
}

const LONGEST_PROSE = 20_000;
const FARTHEST_QUOTE = 120;
const START = /[\d½¼¾⅓⅔⅛⅜⅝⅞]|\.(?=\d)/g;
/** What may stand before a number of its own: not a letter, a digit, or a mark that joins it to one (WD-7, 10:30, 2026-10-30). */
const JOINED_BEFORE = /(?:[\p{L}\d_]|[\p{L}\d_][-.:/,'’])$/u;
const SIGN_BEFORE = /(?:^|[\s([{=])[-\u2212]$/;
const RANGE_JOIN = /^\s*(?:(?:-|–|—|to|and|or|\.\.\.?|…)\s*|±\s*|\+\/-\s*)/i;
const BETWEEN = /\bbetween\s+$/i;
const PAIR_JOIN = /^\s*(?:[([]|\/|=|≈)\s*(?:about|approx\.?|ca\.?|or|≈|~|=)?\s*$/i;
/** `in` is a preposition before these, and before most words. */
const AFTER_INCHES =
  /^(?:[.,;:)\]]|$|\s+(?:long|wide|deep|thick|high|tall|of|or|and|to|from|at|above|below|diameter|dia|hose|pipe|bolt|nut|socket|drive|clearance|gap|wrench|spanner|drill|tube|tyre|tire|wheel|rim)\b|\s*[(/±–-]|\s+\d)/i;

/** The quantities in a text, in order. */
export function findQuantitiesInProse(text: string): readonly ProseQuantity[] {
  return findQuantityGroups(text).flatMap(({ items }) => items);
}

/** The same, with what belongs together: `35 ± 5 N·m`, `18–26 N·m`, `between 4 bar and 6 bar`. */
export function findQuantityGroups(text: string): readonly QuantityGroup[] {
  const limited = text.slice(0, LONGEST_PROSE);
  const groups: Group[] = [];
  START.lastIndex = 0;
  let groupEnd = -1;
  for (let start = START.exec(limited); start; start = START.exec(limited)) {
    const group = groupAt(limited, start.index, groupEnd);
    if (!group) {
      // Past the whole number, so that its last digits are not taken for another.
      const number = scanNumber(limited, start.index);
      const past = number === undefined ? 0 : number.number ? number.number.end : number.end;
      START.lastIndex = Math.max(start.index + 1, past);
      continue;
    }
    groups.push(group);
    groupEnd = group.end;
    START.lastIndex = group.end;
  }
  return pairGroups(limited, groups.map(({ items }) => items)).map((items, index) => ({
    items,
    span: { start: items[0]?.span.start ?? 0, end: groups[index]?.end ?? 0 },
    paired: items.some((item) => item.pairedWith !== undefined),
  }));
}

/**
 * Whether a value and its conversion agree, as far as they are rounded: 35 N·m and 26 lb·ft do, 35 N·m and 36 lb·ft do not. The
 * second is taken to be rounded at its last digit; a round number (200 kPa), or the first rounded from the second, may be 5 %
 * off. Undefined where they are of different kinds.
 */
export function quantitiesAgree(first: Quantity, second: Quantity): boolean | undefined {
  if (!dimensionsCompare(quantityDimension(first), quantityDimension(second)) || !first.unit || !second.unit) return undefined;
  return (
    roundsTo(first, second, false, undefined) ||
    roundsTo(first, second, true, FIVE_PERCENT) ||
    roundsTo(second, first, true, FIVE_PERCENT)
  );
}

const FIVE_PERCENT = rational(1, 20);

/** Whether `from`, in the unit of `to`, rounds to it, and is within a share of it where one is given. */
function roundsTo(from: Quantity, to: Quantity, roundZeros: boolean, within: Rational | undefined): boolean {
  if (!to.unit) return false;
  const exact = fromBase(from.base, to.unit);
  const off = absRational(subtractRational(exact, to.number));
  if (compareRational(off, multiplyRational(lastPlace(to, roundZeros), rational(1, 2))) > 0) return false;
  return within === undefined || compareRational(off, multiplyRational(absRational(exact), within)) <= 0;
}

/** What one step of the last written digit is worth, in the quantity's unit. */
function lastPlace(quantity: Quantity, roundZeros: boolean): Rational {
  const fraction = /\d\s*[/\u2044]\s*(\d+)/.exec(quantity.text);
  if (fraction) return rational(1n, BigInt(fraction[1] ?? '1') || 1n);
  if (quantity.decimals > 0) return divideRational(rational(1), rational(10n ** BigInt(Math.min(quantity.decimals, 30))));
  if (!roundZeros || quantity.number.denominator !== 1n) return rational(1);
  const zeros = /0*$/.exec(quantity.number.numerator.toString())?.[0].length ?? 0;
  return rational(10n ** BigInt(zeros));
}

interface Group {
  readonly items: ProseQuantity[];
  readonly end: number;
}

/** One quantity, or the two of a range, or one with its tolerance. */
function groupAt(text: string, start: number, groupEnd: number): Group | undefined {
  const signed = SIGN_BEFORE.test(text.slice(Math.max(0, start - 2), start));
  const from = signed ? start - 1 : start;
  // `30 psi/200 kPa`: the stroke follows a quantity.
  const paired = start - 1 === groupEnd && text.charAt(groupEnd) === '/';
  if (!signed && !paired && JOINED_BEFORE.test(text.slice(Math.max(0, start - 2), start))) return undefined;
  if (text.charAt(start - 1) === '"') return undefined;
  const own = quantityAt(text, from);
  const number = scanNumber(text, from, { sign: true })?.number;
  if (!own && !number) return undefined;
  const firstEnd = own?.span.end ?? number?.end ?? from;
  const join = RANGE_JOIN.exec(text.slice(firstEnd, firstEnd + 12));
  const plusMinus = join !== null && /[±+]/.test(join[0]);
  const second = join ? quantityAt(text, firstEnd + join[0].length) : undefined;
  if (second && join && second.quantity.unit) {
    const unit = second.quantity.unit;
    const first = own ?? (number ? bare(text, from, number.end, unit, number) : undefined);
    const alike = first && dimensionsCompare(quantityDimension(first.quantity), unit.dimension);
    const percent = plusMinus && unit.symbol === '%' && own;
    const oneRange = !/^\s*(?:and|or)/i.test(join[0]) || !own || (/^\s*and/i.test(join[0]) && BETWEEN.test(text.slice(Math.max(0, from - 16), from)));
    if (first && (alike || percent) && (plusMinus || oneRange)) {
      const items = plusMinus ? [{ ...first, tolerance: second.quantity }] : [first, second];
      return { items, end: second.span.end };
    }
  }
  return own ? { items: [own], end: own.span.end } : undefined;
}

function bare(
  text: string,
  from: number,
  end: number,
  unit: NonNullable<Quantity['unit']>,
  number: { readonly value: Rational; readonly decimals: number },
): ProseQuantity {
  return { quantity: makeQuantity(text.slice(from, end), number.value, unit, number.decimals), span: { start: from, end } };
}

/** A number with a unit that begins here; undefined where there is none, or the unit could mean several things. */
function quantityAt(text: string, from: number): ProseQuantity | undefined {
  const hyphened = withHyphen(text, from);
  if (hyphened) return hyphened;
  const scan = scanQuantity(text, from, { sign: true, lenient: true });
  if (!scan?.quantity?.unit || scan.problem) return undefined;
  let { end } = scan;
  if (text.charAt(end - 1) === '.' && !/^\s+[\p{Ll}\d]/u.test(text.slice(end, end + 3))) end -= 1;
  const written = text.slice(from, end);
  const unit = /[^\d\s.,'+\-−/½¼¾⅓⅔⅛⅜⅝⅞].*$/.exec(written)?.[0] ?? '';
  const attached = /\d$/.test(written.slice(0, written.length - unit.length));
  if (/^in\.?$/i.test(unit) && !AFTER_INCHES.test(text.slice(end, end + 16))) return undefined;
  if (attached && /^(?:st|d|a|th|nd|rd)$/i.test(unit)) return undefined;
  // A mark that closes a quotation is no inch mark.
  if (/^["']$/.test(unit) && (text.slice(Math.max(0, from - FARTHEST_QUOTE), from).split(unit).length - 1) % 2 === 1) return undefined;
  if (/^-[\p{L}]/u.test(text.slice(end, end + 2)) && /^[a-z]{1,3}$/.test(unit)) return undefined;
  return { quantity: { ...scan.quantity, text: written }, span: { start: from, end } };
}

/** `a 12-V battery`, `10-mm socket`. */
function withHyphen(text: string, from: number): ProseQuantity | undefined {
  const number = scanNumber(text, from, { sign: true })?.number;
  if (!number || !/^[-\u2010\u2011]\p{L}/u.test(text.slice(number.end, number.end + 2))) return undefined;
  const found = scanUnit(text, number.end + 1, true);
  if (!found?.found.unit || found.found.unit.dimension === 'ratio' || text.charAt(found.end) === '-') return undefined;
  const quantity = makeQuantity(text.slice(from, found.end), number.value, found.found.unit, number.decimals);
  return { quantity, span: { start: from, end: found.end } };
}

function pairGroups(text: string, groups: readonly (readonly ProseQuantity[])[]): ProseQuantity[][] {
  const paired = groups.map((group) => [...group]);
  for (const [index, group] of groups.entries()) {
    const next = groups[index + 1];
    const last = group[group.length - 1];
    const first = next?.[0];
    if (!next || !last || !first || next.length !== group.length) continue;
    const end = last.tolerance ? text.indexOf(last.tolerance.text, last.span.end) + last.tolerance.text.length : last.span.end;
    if (!PAIR_JOIN.test(text.slice(end, first.span.start))) continue;
    const sameKind = dimensionsCompare(quantityDimension(last.quantity), quantityDimension(first.quantity));
    if (!sameKind || last.quantity.unit?.symbol === first.quantity.unit?.symbol) continue;
    for (const [place, item] of group.entries()) {
      const other = next[place];
      const a = paired[index]?.[place];
      const b = paired[index + 1]?.[place];
      if (!other || !a || !b) continue;
      paired[index]?.splice(place, 1, { ...a, pairedWith: { quantity: other.quantity, span: other.span } });
      paired[index + 1]?.splice(place, 1, { ...b, pairedWith: { quantity: item.quantity, span: item.span } });
    }
  }
  return paired;
}
