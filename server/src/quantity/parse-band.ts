/**
 * Bands and expressions from their text, with places and plain messages. Hostile text is met with caps on length, depth and
 * digits: it never throws and never hangs. Knows no names but those of functions.
 *
 *   band = cond { "and" cond } | "otherwise" | "open"      cond = comp [ "at" point ]
 *   comp = ("at least" | "at most" | "above" | "below" | "equal to" | >= <= > < =) expr | "between" expr "and" expr | word
 *   expr = term { (+ -) term }      term = factor { (* /) factor }
 *   factor = quantity | name | function "(" expr { "," expr } ")" | "(" expr ")" | "-" factor
 *
 * Besides, what a shop writes: `35 ± 5 N·m`, `9.6 V to 14.7 V`, and `between 5 and 10 V` with the unit once.
 */
import { coverSpans } from '../text/span.ts';
import { guarded } from './band-reader.ts';
import { isUnitSpelling } from './unit.ts';
import { KEYWORDS } from './reserved.ts';
import { makeQuantity } from './quantity.ts';
import { absRational, addRational, divideRational, multiplyRational, rationalToText, subtractRational } from './rational.ts';
import { readFactor, readSum } from './parse-expression.ts';
import type { Band, BandCondition, Comparison, Expression } from './expression.ts';
import type { BandProblem, BandReader } from './band-reader.ts';

export { parseExpression } from './parse-expression.ts';
export type { BandProblem } from './band-reader.ts';
export type { ParsedExpression } from './parse-expression.ts';

export interface ParsedBand {
  readonly band?: Band;
  readonly problems: readonly BandProblem[];
}

/** Reads what stands in `when:` of a measured or decided step, or in `seek:`. */
export function parseBand(text: string): ParsedBand {
  return guarded(text, (reader) => {
    const band = readBand(reader);
    reader.expectEnd();
    return { band, problems: reader.problems };
  });
}

const AND = /and\b/iy;
const AT = /at\b(?!\s+(?:least|most)\b)/iy;
const WORD_ALONE = /[\p{L}_][\p{L}0-9_-]*(?=\s*(?:$|and\b|at\b))/iuy;
const COMPARISONS: readonly (readonly [RegExp, 'at_least' | 'at_most' | 'above' | 'below' | 'equal'])[] = [
  [/at\s+least\b/iy, 'at_least'],
  [/at\s+most\b/iy, 'at_most'],
  [/above\b/iy, 'above'],
  [/below\b/iy, 'below'],
  [/equal\s+to\b/iy, 'equal'],
  [/>=|=>|≥|⩾/y, 'at_least'],
  [/<=|=<|≤|⩽/y, 'at_most'],
  [/>/y, 'above'],
  [/</y, 'below'],
  [/==?/y, 'equal'],
];
/** Near words of a comparison, and the canonical word for each. */
const NEAR_WORDS: readonly (readonly [RegExp, string])[] = [
  [/(?:more|greater|higher|larger|bigger)\s+than\b|over\b|exceeds?\b|exceeding\b/iy, 'above'],
  [/(?:less|lower|smaller|fewer)\s+than\b|under\b/iy, 'below'],
  [/(?:not|no)\s+(?:less|lower|fewer|below)\s*(?:than)?\b|min(?:imum)?\.?\s+(?=[-\d])|from\b|a\s+minimum\s+of\b/iy, 'at least'],
  [
    /(?:not|no)\s+(?:more|greater|higher|over|above)\s*(?:than)?\b|max(?:imum)?\.?\s+(?=[-\d])|up\s+to\b|a\s+maximum\s+of\b/iy,
    'at most',
  ],
  [/equals?\b(?!\s+to)|exactly\b|is\b/iy, 'equal to'],
  [/within\b|in\s+the\s+range\b/iy, 'between … and'],
];

function readBand(reader: BandReader): Band {
  if (reader.atEnd())
    reader.fail(
      'The band is missing.',
      'Write one such as `at least 12.4 V`, `between 18 ohm and 26 ohm` or `otherwise`.',
      reader.restSpan(),
    );
  const whole = reader.take(/otherwise\b|open\b(?=\s*$)/iy);
  if (whole) return { kind: whole.text.toLowerCase() === 'open' ? 'open' : 'otherwise', span: whole.span };
  const conditions: BandCondition[] = [readCondition(reader)];
  while (reader.take(AND)) conditions.push(readCondition(reader));
  const first = conditions[0];
  const last = conditions[conditions.length - 1];
  return {
    kind: 'conditions',
    conditions,
    span: first && last ? coverSpans(first.span, last.span) : { start: 0, end: reader.position },
  };
}

function readCondition(reader: BandReader): BandCondition {
  reader.skipSpace();
  reader.count();
  const start = reader.position;
  const comparison = readComparison(reader);
  let point: BandCondition['point'];
  if (reader.take(AT)) {
    const name = reader.take(/[\p{L}_][\p{L}0-9_]*/uy);
    if (!name) reader.fail('The point is missing after `at`.', 'Write the name of a point of `at_each`.', reader.restSpan());
    else point = { name: name.text, span: name.span };
  }
  return { comparison, point, span: { start, end: reader.position } };
}

function readComparison(reader: BandReader): Comparison {
  for (const [pattern, kind] of COMPARISONS) {
    if (reader.take(pattern)) return { kind, bound: readSum(reader) };
  }
  if (reader.take(/between\b/iy)) {
    const low = readSum(reader);
    if (!reader.take(AND)) {
      const to = reader.peek(/to\b/iy);
      reader.fail(
        '`between` needs two limits.',
        to ? 'Write `and` for `to`: between 5 V and 9 V.' : 'Write it as: between 5 V and 9 V.',
        reader.restSpan(),
      );
    }
    const high = readSum(reader);
    return between(low, high);
  }
  return readTolerance(reader) ?? readWord(reader);
}

/** `35 ± 5 N·m`, `35 N·m ± 5 %`, `9.6 to 14.7 V`: what a data sheet prints, read as `between`. */
function readTolerance(reader: BandReader): Comparison | undefined {
  if (!reader.peek(/[-+−\d.½¼¾]/y)) return undefined;
  const middle = readFactor(reader);
  const uneven = readUnevenTolerance(reader, middle);
  if (uneven) return uneven;
  const plusMinus = reader.take(/±|\+\/-|\+-|\+\/−/y);
  const range = plusMinus ? undefined : reader.take(/to\b|\.{2,3}|…|[–—-]/iy);
  if (!plusMinus && !range) {
    reader.fail(
      'A limit stands alone.',
      'Write how to compare: `at least`, `at most`, `above`, `below`, `equal to` or `between … and …`.',
      middle.span,
    );
  }
  const second = readFactor(reader);
  if (range) return between(middle, second);
  return (
    tolerance(reader, middle, second) ??
    reader.fail(
      'A tolerance needs two plain quantities of one kind.',
      'Write it as: between 30 N·m and 40 N·m.',
      coverSpans(middle.span, second.span),
    )
  );
}

/** `35 N·m +5/-3 N·m`, `35 +5 -3 N·m`: a tolerance that differs above and below. */
function readUnevenTolerance(reader: BandReader, middle: Expression): Comparison | undefined {
  const start = reader.position;
  // The signs stand right before their numbers; a sum, with spaces around them, is no tolerance.
  if (middle.kind !== 'quantity' || !reader.take(/\+(?=[\d.½¼¾])/y)) return undefined;
  const above = readFactor(reader);
  const minus = reader.take(/\/?\s*[-−–](?=[\d.½¼¾])/y);
  if (!minus) {
    reader.position = start;
    return undefined;
  }
  const below = readFactor(reader);
  const unitless = (part: Expression): Expression =>
    part.kind === 'quantity' && part.quantity.unit === undefined && below.kind === 'quantity' && below.quantity.unit
      ? { ...part, quantity: makeQuantity(part.quantity.text, part.quantity.number, below.quantity.unit, part.quantity.decimals) }
      : part;
  const whole = unitless(middle);
  const high = tolerance(reader, whole, unitless(above));
  const low = tolerance(reader, whole, below);
  if (high?.kind !== 'between' || low?.kind !== 'between') return undefined;
  const span = coverSpans(middle.span, below.span);
  return { kind: 'between', low: { ...low.low, span }, high: { ...high.high, span } };
}

function tolerance(reader: BandReader, middle: Expression, half: Expression): Comparison | undefined {
  if (middle.kind !== 'quantity' || half.kind !== 'quantity') return undefined;
  const unit = middle.quantity.unit ?? half.quantity.unit;
  const wide = half.quantity.unit;
  let width = half.quantity.number;
  if (wide?.symbol === '%' && unit?.offset !== undefined)
    return reader.fail('A share of a temperature means nothing: its scale has no true zero.', 'Write it as: 20 °C ± 2 °C.', half.span);
  if (wide?.symbol === '%' && unit !== undefined && unit !== wide)
    width = absRational(multiplyRational(half.quantity.base, middle.quantity.number));
  else if (unit !== undefined && wide !== undefined && wide.symbol !== unit.symbol) {
    const sameKind =
      wide.dimension === unit.dimension || (unit.dimension === 'temperature' && wide.dimension === 'temperature_difference');
    if (!sameKind || wide.offset !== undefined) return undefined;
    width = multiplyRational(half.quantity.number, divideRational(wide.factor, unit.factor));
  }
  if (width.numerator < 0n) reader.fail('A tolerance cannot be negative.', 'Write it as: 35 ± 5 N·m.', half.span);
  const decimals = Math.max(middle.quantity.decimals, half.quantity.decimals);
  const spelling = unitSpelling(middle) || unitSpelling(half);
  const limit = (number: typeof width): Expression => {
    const text = `${rationalToText(number)}${spelling === '' ? '' : ` ${spelling}`}`;
    return { kind: 'quantity', quantity: makeQuantity(text, number, unit, decimals), span: coverSpans(middle.span, half.span) };
  };
  return {
    kind: 'between',
    low: limit(subtractRational(middle.quantity.number, width)),
    high: limit(addRational(middle.quantity.number, width)),
  };
}

function unitSpelling(expression: Expression): string {
  if (expression.kind !== 'quantity' || expression.quantity.unit === undefined) return '';
  return /[^\d\s.,'+\-−/½¼¾⅓⅔⅛⅜⅝⅞][\s\S]*$/.exec(expression.quantity.text)?.[0] ?? expression.quantity.unit.symbol;
}

/** `between 5 and 10 V`: a first limit without a unit has that of the second. */
function between(low: Expression, high: Expression): Comparison {
  if (
    low.kind !== 'quantity' ||
    high.kind !== 'quantity' ||
    low.quantity.unit !== undefined ||
    high.quantity.unit === undefined
  ) {
    return { kind: 'between', low, high };
  }
  const { number, decimals, text } = low.quantity;
  const quantity = makeQuantity(`${text} ${unitSpelling(high)}`, number, high.quantity.unit, decimals);
  return { kind: 'between', low: { ...low, quantity }, high };
}

function readWord(reader: BandReader): Comparison {
  for (const [pattern, word] of NEAR_WORDS) {
    const near = reader.take(pattern);
    if (near)
      reader.fail(`'${near.text.trim()}' is not a word of a band.`, `Write '${word}'.`, near.span, 'syntax', { near: word });
  }
  const word = reader.take(WORD_ALONE);
  if (word && !KEYWORDS.has(word.text.toLowerCase()) && !isUnitSpelling(word.text)) return { kind: 'shows', word: word.text };
  const rest = word?.text ?? reader.restText();
  const span = word?.span ?? reader.restSpan();
  if (rest === '') return reader.fail('A condition is missing.', 'Write one such as `at least 12.4 V`.', span);
  return reader.fail(
    `'${rest}' is not a band.`,
    'Begin with `at least`, `at most`, `above`, `below`, `equal to` or `between`.',
    span,
  );
}
