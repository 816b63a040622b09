/**
 * A quantity inside a longer text: the number, then the longest spelling of a unit that follows it; also `1 min 30 s` and
 * `5 ft 6 in`. What an expression, an entry and prose all read with.
 */
import { addRational, compareRational } from './rational.ts';
import { findUnit, LONGEST_UNIT, lookUpUnit } from './unit.ts';
import { fromBase, makeQuantity } from './quantity.ts';
import { scanNumber } from './scan-number.ts';
import { scanWireGauge } from './wire-gauge.ts';
import type { FoundUnit, Unit } from './unit.ts';
import type { Quantity } from './quantity.ts';
import type { ScannedNumber, ScanOptions } from './scan-number.ts';
import type { Span } from '../text/span.ts';

export type QuantityProblemKind =
  'not-a-number' | 'impossible' | 'unit-unknown' | 'unit-ambiguous' | 'unit-missing' | 'trailing-text' | 'syntax' | 'too-long' | 'too-deep';

export interface QuantityProblem {
  readonly kind: QuantityProblemKind;
  /** What is wrong, in a sentence. */
  readonly message: string;
  /** What to do. */
  readonly help?: string;
  /** Counts from the start of the text given. */
  readonly span: Span;
  /** A spelling that is probably meant. */
  readonly near?: string;
  /** Spellings that would be clear. */
  readonly choices?: readonly string[];
}

export interface QuantityScan {
  readonly quantity: Quantity | undefined;
  readonly problem: QuantityProblem | undefined;
  readonly end: number;
}

export interface QuantityScanOptions extends ScanOptions {
  /** Takes words that are no unit for text that follows, as prose needs; else they are an unknown unit. */
  readonly lenient?: boolean;
}

/** The quantity that begins at `start`, or undefined where no number does. */
export function scanQuantity(text: string, start: number, options: QuantityScanOptions = {}): QuantityScan | undefined {
  const mm2 = /awg/i.test(text.slice(start, start + 12)) ? lookUpUnit('mm²')?.unit : undefined;
  const gauge = mm2 && scanWireGauge(text, start, mm2);
  if (gauge) return { ...gauge, problem: undefined };
  const scan = scanNumber(text, start, options);
  if (!scan) return undefined;
  if (!scan.number) {
    const problem: QuantityProblem = {
      kind: 'not-a-number',
      message: scan.problem,
      help: scan.help,
      span: { start: scan.start, end: scan.end },
    };
    return { quantity: undefined, problem, end: scanUnit(text, scan.end, true)?.end ?? scan.end };
  }
  const number = scan.number;
  const feet = feetAndInches(text, number);
  if (feet) return feet;
  const found = hyphenedUnit(text, number.end) ?? scanUnit(text, number.end, options.lenient ?? false);
  if (!found)
    return {
      quantity: makeQuantity(text.slice(start, number.end), number.value, undefined, number.decimals),
      problem: undefined,
      end: number.end,
    };
  const problem = unitProblem(text.slice(found.start, found.end), found.found, { start: found.start, end: found.end });
  if (problem || !found.found.unit) return { quantity: undefined, problem, end: found.end };
  const first = makeQuantity(text.slice(start, found.end), number.value, found.found.unit, number.decimals);
  return addSmallerUnits(text, start, first, found.end);
}

/** What is wrong with a unit that was looked up; undefined where it was found. */
export function unitProblem(spelling: string, found: FoundUnit, span: Span): QuantityProblem | undefined {
  if (found.unit) return undefined;
  if (found.ambiguous) {
    const choices = found.ambiguous.map((unit) => unit.symbol);
    return {
      kind: 'unit-ambiguous',
      message: `'${spelling}' can mean ${listOf(choices, 'or')}.`,
      help: `Write ${listOf(choices, 'or')}.`,
      span,
      choices,
    };
  }
  const near = found.near;
  return near === undefined
    ? {
        kind: 'unit-unknown',
        message: `'${spelling}' is not a known unit.`,
        help: 'Write a unit such as V, ohm, bar, N·m or °C.',
        span,
      }
    : { kind: 'unit-unknown', message: `'${spelling}' is not a known unit.`, help: `Did you mean '${near}'?`, span, near };
}

/** a, b or c. */
export function listOf(items: readonly string[], word: 'or' | 'and'): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} ${word} ${items[items.length - 1] ?? ''}`;
}

interface ScannedUnit {
  readonly found: FoundUnit;
  readonly start: number;
  readonly end: number;
}

/** `3/8-inch`, `12-V`: a hyphen joins them; `5-min(a, b)` is a subtraction. */
function hyphenedUnit(text: string, position: number): ScannedUnit | undefined {
  if (!/^[-\u2010\u2011]\p{L}/u.test(text.slice(position, position + 3))) return undefined;
  const found = scanUnit(text, position + 1, true);
  return found?.found.unit && found.found.unit.dimension !== 'ratio' && !/^\s?\(/.test(text.slice(found.end, found.end + 2)) ? found : undefined;
}

const GAP = /[ \t\u00a0\u2000-\u200b\u202f]{0,4}/y;
/** What a unit's spelling is made of; operators of an expression only without spaces around them. */
const UNIT_STUFF =
  /(?:[\p{L}\p{M}\d_°º℃℉%‰"'\u2032\u2033\u2018\u2019\u201d·\u22c5\u2219\u2022.*/^²³¹⁻()[\]{}\u2206-]|(?<! [*/\-–])[ \u00a0\u202f](?![*/\-–] )|–){0,48}/uy;
const WORD_END = /[\p{L}\d_]/u;
const FOLLOWING_WORDS = /^(?:and|at|or|to|then)\b/i;
const MOST_WORDS = 5;

/** The longest spelling of a unit at `position`, after a gap. Undefined where what follows is no unit at all. */
export function scanUnit(text: string, position: number, lenient: boolean): ScannedUnit | undefined {
  GAP.lastIndex = position;
  const start = position + (GAP.exec(text)?.[0].length ?? 0);
  UNIT_STUFF.lastIndex = start;
  const stuff = (UNIT_STUFF.exec(text)?.[0] ?? '').slice(0, LONGEST_UNIT);
  if (stuff === '' || FOLLOWING_WORDS.test(stuff)) return undefined;
  let longest = stuff.length;
  const words = [...stuff.matchAll(/[ \u00a0\u202f]+/g)];
  if (words.length >= MOST_WORDS) longest = words[MOST_WORDS - 1]?.index ?? longest;
  for (let end = longest; end > 0; end--) {
    const last = stuff.charAt(end - 1);
    if (/[ \u00a0\u202f*/^–(-]/.test(last)) continue;
    const next = text.charAt(start + end);
    const runsOn = next !== '' && WORD_END.test(last) && WORD_END.test(next);
    if (runsOn && !(/[hnds]/.test(last) && /\d/.test(next))) continue;
    const found = lookUpUnit(stuff.slice(0, end));
    // `1h30min` and `2min30s` run on; nothing else does.
    if (found && (!runsOn || found.unit?.dimension === 'time')) return { found, start, end: start + end };
  }
  if (lenient) return undefined;
  const unknown = /^[\p{L}\p{M}_°℃℉%‰µΩ"'$€£#&@!?;:][^\s,()<>=+]*/u.exec(text.slice(start, start + LONGEST_UNIT));
  if (!unknown) return undefined;
  const spelling = unknown[0].replace(/[.;:!?]+$/, '') || unknown[0];
  return { found: findUnit(spelling), start, end: start + spelling.length };
}

/** `1 min 30 s`: the value in the smallest unit given. */
function addSmallerUnits(text: string, start: number, first: Quantity, end: number): QuantityScan {
  let whole = first;
  let position = end;
  for (let i = 0; i < 3; i++) {
    const unit = whole.unit;
    if (!unit || !['time', 'length', 'angle', 'mass'].includes(unit.dimension)) break;
    GAP.lastIndex = position;
    const next = scanNumber(text, position + (GAP.exec(text)?.[0].length ?? 0));
    if (!next?.number) break;
    const found = scanUnit(text, next.number.end, true);
    const smaller = sameKind(found?.found, unit);
    if (!found || !smaller || compareRational(smaller.factor, unit.factor) >= 0) break;
    const part = makeQuantity('', next.number.value, smaller, next.number.decimals);
    const number = addRational(fromBase(whole.base, smaller), part.number);
    position = found.end;
    whole = makeQuantity(text.slice(start, position), number, smaller, next.number.decimals);
  }
  return { quantity: whole, problem: undefined, end: position };
}

/** `5' 6"`: the mark alone could be feet, minutes of arc or of time; the inches after it tell. */
function feetAndInches(text: string, feet: ScannedNumber): QuantityScan | undefined {
  if (!/^['\u2032\u2019]/.test(text.slice(feet.end, feet.end + 1))) return undefined;
  const inches = scanNumber(text, feet.end + 1 + (text.charAt(feet.end + 1) === ' ' ? 1 : 0))?.number;
  if (!inches || !/^(?:["\u2033\u201d]|'')/.test(text.slice(inches.end, inches.end + 2))) return undefined;
  const foot = lookUpUnit('ft')?.unit;
  const inch = lookUpUnit('in')?.unit;
  if (!foot || !inch) return undefined;
  const end = inches.end + (text.startsWith("''", inches.end) ? 2 : 1);
  const whole = makeQuantity('', feet.value, foot, feet.decimals);
  const number = addRational(fromBase(whole.base, inch), inches.value);
  return { quantity: makeQuantity(text.slice(feet.start, end), number, inch, inches.decimals), problem: undefined, end };
}

function sameKind(found: FoundUnit | undefined, unit: Unit): Unit | undefined {
  const candidates = found?.unit ? [found.unit] : (found?.ambiguous ?? []);
  return candidates.find((candidate) => candidate.dimension === unit.dimension);
}
