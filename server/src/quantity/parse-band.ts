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
import { FUNCTION_NAMES } from './function-names.ts';
import { KEYWORDS } from './reserved.ts';
import { makeQuantity, quantityDimension } from './quantity.ts';
import { addRational, maxRational, multiplyRational, absRational, rationalToText, subtractRational } from './rational.ts';
import { isUnitSpelling } from './unit.ts';
import { scanQuantity } from './scan-quantity.ts';
import type { Band, BandCondition, Comparison, Expression } from './expression.ts';
import type { QuantityProblem, QuantityProblemKind } from './scan-quantity.ts';
import type { Span } from '../text/span.ts';

export type BandProblem = QuantityProblem;

export interface ParsedBand {
  readonly band?: Band;
  readonly problems: readonly BandProblem[];
}

export interface ParsedExpression {
  readonly expression?: Expression;
  readonly problems: readonly BandProblem[];
}

export const LONGEST_BAND = 1000;
export const DEEPEST_EXPRESSION = 24;
const MOST_NODES = 200;

/** Reads what stands in `when:` of a measured or decided step, or in `seek:`. */
export function parseBand(text: string): ParsedBand {
  return guarded(text, (reader) => {
    const band = readBand(reader);
    reader.expectEnd();
    return { band, problems: reader.problems };
  });
}

/** Reads what stands in `decide:` and behind a comparison. */
export function parseExpression(text: string): ParsedExpression {
  return guarded(text, (reader) => {
    const expression = readSum(reader);
    reader.expectEnd();
    return { expression, problems: reader.problems };
  });
}

/** A place where reading cannot go on; what was read until there is lost, the problem says why. */
class Stop extends Error {}

class Reader {
  position = 0;
  nodes = 0;
  depth = 0;
  inCall = 0;
  readonly problems: BandProblem[] = [];
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }

  skipSpace(): void {
    while (/\s/.test(this.text.charAt(this.position))) this.position++;
  }

  atEnd(): boolean {
    this.skipSpace();
    return this.position >= this.text.length;
  }

  /** Takes a pattern (sticky) after any space. */
  take(pattern: RegExp): { readonly text: string; readonly span: Span } | undefined {
    this.skipSpace();
    pattern.lastIndex = this.position;
    const found = pattern.exec(this.text);
    if (!found) return undefined;
    const span = { start: this.position, end: this.position + found[0].length };
    this.position = span.end;
    return { text: found[0], span };
  }

  peek(pattern: RegExp): boolean {
    this.skipSpace();
    pattern.lastIndex = this.position;
    return pattern.test(this.text);
  }

  fail(message: string, help: string | undefined, span: Span, kind: QuantityProblemKind = 'syntax', more: Partial<BandProblem> = {}): never {
    this.problems.push({ kind, message, span, ...(help === undefined ? {} : { help }), ...more });
    throw new Stop();
  }

  count(): void {
    this.nodes++;
    if (this.nodes > MOST_NODES) {
      this.fail('The expression has too many parts.', 'Give parts of it names under `values` of the shop file.', this.restSpan(), 'too-long');
    }
  }

  restSpan(): Span {
    this.skipSpace();
    return { start: Math.min(this.position, this.text.length), end: Math.max(this.position, this.text.trimEnd().length) };
  }

  restText(): string {
    const rest = this.text.slice(this.position).trim();
    return rest.length > 40 ? `${rest.slice(0, 40)}…` : rest;
  }

  expectEnd(): void {
    if (this.atEnd()) return;
    const rest = this.restText();
    const wordy = /^or\b/i.test(rest)
      ? 'A result has one band. Write a second result, or turn the band round: below 5 V or above 9 V is what `between 5 V and 9 V` leaves over.'
      : 'Join two conditions with `and`.';
    this.fail(`'${rest}' is not understood here.`, wordy, this.restSpan(), 'trailing-text');
  }
}

function guarded<T extends { readonly problems: readonly BandProblem[] }>(text: string, read: (reader: Reader) => T): T {
  const reader = new Reader(text);
  try {
    if (text.length > LONGEST_BAND) reader.fail('The text is too long.', 'Give parts of it names under `values` of the shop file.', { start: 0, end: text.length }, 'too-long');
    return read(reader);
  } catch (error) {
    if (!(error instanceof Stop)) throw error;
    return { problems: reader.problems } as unknown as T;
  }
}

const AND = /and\b/iy;
const AT = /at\b(?!\s+(?:least|most)\b)/iy;
const NAME = /[a-zA-Z_][a-zA-Z0-9_]*(?:\.[a-zA-Z_][a-zA-Z0-9_]*)?/y;
const WORD_ALONE = /[\p{L}_][\p{L}0-9_-]*(?=\s*(?:$|and\b|at\b))/iuy;
const COMPARISONS: readonly (readonly [RegExp, 'at_least' | 'at_most' | 'above' | 'below' | 'equal'])[] = [
  [/at\s+least\b/iy, 'at_least'], [/at\s+most\b/iy, 'at_most'], [/above\b/iy, 'above'], [/below\b/iy, 'below'], [/equal\s+to\b/iy, 'equal'],
  [/>=|=>|≥|⩾/y, 'at_least'], [/<=|=<|≤|⩽/y, 'at_most'], [/>/y, 'above'], [/</y, 'below'], [/==?/y, 'equal'],
];
/** Near words of a comparison, and the canonical word for each. */
const NEAR_WORDS: readonly (readonly [RegExp, string])[] = [
  [/(?:more|greater|higher|larger|bigger)\s+than\b|over\b|exceeds?\b|exceeding\b/iy, 'above'],
  [/(?:less|lower|smaller|fewer)\s+than\b|under\b/iy, 'below'],
  [/(?:not|no)\s+(?:less|lower|fewer|below)\s*(?:than)?\b|min(?:imum)?\.?\s+(?=[-\d])|from\b|a\s+minimum\s+of\b/iy, 'at least'],
  [/(?:not|no)\s+(?:more|greater|higher|over|above)\s*(?:than)?\b|max(?:imum)?\.?\s+(?=[-\d])|up\s+to\b|a\s+maximum\s+of\b/iy, 'at most'],
  [/equals?\b(?!\s+to)|exactly\b|is\b/iy, 'equal to'],
  [/within\b|in\s+the\s+range\b/iy, 'between … and'],
];

function readBand(reader: Reader): Band {
  if (reader.atEnd()) reader.fail('The band is missing.', 'Write one such as `at least 12.4 V`, `between 18 ohm and 26 ohm` or `otherwise`.', reader.restSpan());
  const whole = reader.take(/otherwise\b|open\b(?=\s*$)/iy);
  if (whole) return { kind: whole.text.toLowerCase() === 'open' ? 'open' : 'otherwise', span: whole.span };
  const conditions: BandCondition[] = [readCondition(reader)];
  while (reader.take(AND)) conditions.push(readCondition(reader));
  const first = conditions[0];
  const last = conditions[conditions.length - 1];
  return { kind: 'conditions', conditions, span: first && last ? coverSpans(first.span, last.span) : { start: 0, end: reader.position } };
}

function readCondition(reader: Reader): BandCondition {
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

function readComparison(reader: Reader): Comparison {
  for (const [pattern, kind] of COMPARISONS) {
    if (reader.take(pattern)) return { kind, bound: readSum(reader) };
  }
  if (reader.take(/between\b/iy)) {
    const low = readSum(reader);
    if (!reader.take(AND)) {
      const to = reader.peek(/to\b/iy);
      reader.fail('`between` needs two limits.', to ? 'Write `and` for `to`: between 5 V and 9 V.' : 'Write it as: between 5 V and 9 V.', reader.restSpan());
    }
    const high = readSum(reader);
    return between(low, high);
  }
  return readTolerance(reader) ?? readWord(reader);
}

/** `35 ± 5 N·m`, `35 N·m ± 5 %`, `9.6 to 14.7 V`: what a data sheet prints, read as `between`. */
function readTolerance(reader: Reader): Comparison | undefined {
  if (!reader.peek(/[-+−\d.½¼¾]/y)) return undefined;
  const middle = readFactor(reader);
  const plusMinus = reader.take(/±|\+\/-|\+-|\+\/−/y);
  const range = plusMinus ? undefined : reader.take(/to\b|\.{2,3}|…|[–—-]/iy);
  if (!plusMinus && !range) {
    reader.fail('A limit stands alone.', 'Write how to compare: `at least`, `at most`, `above`, `below`, `equal to` or `between … and …`.', middle.span);
  }
  const second = readFactor(reader);
  if (range) return between(middle, second);
  return tolerance(reader, middle, second) ?? reader.fail('A tolerance needs two plain quantities of one kind.', 'Write it as: between 30 N·m and 40 N·m.', coverSpans(middle.span, second.span));
}

function tolerance(reader: Reader, middle: Expression, half: Expression): Comparison | undefined {
  if (middle.kind !== 'quantity' || half.kind !== 'quantity') return undefined;
  const unit = middle.quantity.unit ?? half.quantity.unit;
  const wide = half.quantity.unit;
  let width = half.quantity.number;
  if (wide?.symbol === '%' && unit !== undefined && unit !== wide) width = absRational(multiplyRational(half.quantity.base, middle.quantity.number));
  else if (unit !== undefined && wide !== undefined && wide.symbol !== unit.symbol) {
    const sameKind = wide.dimension === unit.dimension || (unit.dimension === 'temperature' && wide.dimension === 'temperature_difference');
    if (!sameKind || wide.offset !== undefined) return undefined;
    width = multiplyRational(half.quantity.number, divide(wide.factor, unit.factor));
  }
  if (width.numerator < 0n) reader.fail('A tolerance cannot be negative.', 'Write it as: 35 ± 5 N·m.', half.span);
  const decimals = Math.max(middle.quantity.decimals, half.quantity.decimals);
  const spelling = unitSpelling(middle) || unitSpelling(half);
  const limit = (number: typeof width): Expression => {
    const text = `${rationalToText(number)}${spelling === '' ? '' : ` ${spelling}`}`;
    return { kind: 'quantity', quantity: makeQuantity(text, number, unit, decimals), span: coverSpans(middle.span, half.span) };
  };
  return { kind: 'between', low: limit(subtractRational(middle.quantity.number, width)), high: limit(addRational(middle.quantity.number, maxRational(width, width))) };
}

function divide(a: { numerator: bigint; denominator: bigint }, b: { numerator: bigint; denominator: bigint }): typeof a {
  return multiplyRational(a, { numerator: b.denominator, denominator: b.numerator });
}

function unitSpelling(expression: Expression): string {
  if (expression.kind !== 'quantity' || expression.quantity.unit === undefined) return '';
  return /[^\d\s.,'+\-−/½¼¾⅓⅔⅛⅜⅝⅞][\s\S]*$/.exec(expression.quantity.text)?.[0] ?? expression.quantity.unit.symbol;
}

/** `between 5 and 10 V`: a first limit without a unit has that of the second. */
function between(low: Expression, high: Expression): Comparison {
  if (low.kind !== 'quantity' || high.kind !== 'quantity' || low.quantity.unit !== undefined || high.quantity.unit === undefined) {
    return { kind: 'between', low, high };
  }
  const { number, decimals, text } = low.quantity;
  const quantity = makeQuantity(`${text} ${unitSpelling(high)}`, number, high.quantity.unit, decimals);
  return { kind: 'between', low: { ...low, quantity }, high };
}

function readWord(reader: Reader): Comparison {
  for (const [pattern, word] of NEAR_WORDS) {
    const near = reader.take(pattern);
    if (near) reader.fail(`'${near.text.trim()}' is not a word of a band.`, `Write '${word}'.`, near.span, 'syntax', { near: word });
  }
  const word = reader.take(WORD_ALONE);
  if (word && !KEYWORDS.has(word.text.toLowerCase()) && !isUnitSpelling(word.text)) return { kind: 'shows', word: word.text };
  const rest = word?.text ?? reader.restText();
  const span = word?.span ?? reader.restSpan();
  if (rest === '') return reader.fail('A condition is missing.', 'Write one such as `at least 12.4 V`.', span);
  return reader.fail(`'${rest}' is not a band.`, 'Begin with `at least`, `at most`, `above`, `below`, `equal to` or `between`.', span);
}

function readSum(reader: Reader): Expression {
  return deeper(reader, () => {
    let left = readProduct(reader);
    for (;;) {
      const mark = reader.take(/\+(?!\/)|[-−–]/y);
      if (!mark) return left;
      reader.count();
      const right = readProduct(reader);
      left = { kind: mark.text === '+' ? 'sum' : 'difference', left, right, span: coverSpans(left.span, right.span) };
    }
  });
}

function readProduct(reader: Reader): Expression {
  let left = readFactor(reader);
  for (;;) {
    const mark = reader.take(/[*×⋅·/÷]/y);
    if (!mark) return left;
    reader.count();
    const right = readFactor(reader);
    left = { kind: mark.text === '/' || mark.text === '÷' ? 'quotient' : 'product', left, right, span: coverSpans(left.span, right.span) };
  }
}

function readFactor(reader: Reader): Expression {
  return deeper(reader, () => {
    reader.skipSpace();
    reader.count();
    const start = reader.position;
    const scan = scanQuantity(reader.text, start, { sign: true, decimalComma: reader.inCall === 0 });
    if (scan) {
      if (scan.problem) reader.problems.push(scan.problem);
      if (!scan.quantity) throw new Stop();
      reader.position = scan.end;
      return { kind: 'quantity', quantity: scan.quantity, span: { start, end: scan.end } };
    }
    if (reader.take(/[-−–]/y)) {
      const of = readFactor(reader);
      return { kind: 'negative', of, span: { start, end: of.span.end } };
    }
    if (reader.take(/\(/y)) {
      const calls = reader.inCall;
      reader.inCall = 0;
      const inner = readSum(reader);
      reader.inCall = calls;
      if (!reader.take(/\)/y)) reader.fail('A bracket is not closed.', 'Write `)` where the part ends.', reader.restSpan());
      return { ...inner, span: { start, end: reader.position } };
    }
    return readNameOrCall(reader);
  });
}

function readNameOrCall(reader: Reader): Expression {
  const name = reader.take(NAME);
  if (!name) {
    const rest = reader.restText();
    return rest === ''
      ? reader.fail('A limit is missing.', 'Write a quantity such as 12.4 V, or a name.', reader.restSpan())
      : reader.fail(`'${rest}' is not a quantity, a name or a function.`, 'Write a quantity such as 12.4 V, or a name.', reader.restSpan());
  }
  if (reader.peek(/\(/y)) return readCall(reader, name.text, name.span);
  const lower = name.text.toLowerCase();
  if (FUNCTION_NAMES.has(lower) && !isUnitSpelling(name.text)) {
    return reader.fail(`'${name.text}' is a function and needs its arguments.`, `Write ${name.text}(…).`, name.span);
  }
  if (KEYWORDS.has(lower)) return reader.fail(`A limit is missing before '${name.text}'.`, 'Write a quantity such as 12.4 V, or a name.', name.span);
  if (isUnitSpelling(name.text)) {
    return reader.fail(`A number is missing before '${name.text}'.`, `Write it as: 12 ${name.text}. Names of units cannot name anything else.`, name.span, 'not-a-number');
  }
  return { kind: 'name', name: name.text, span: name.span };
}

function readCall(reader: Reader, name: string, nameSpan: Span): Expression {
  if (!FUNCTION_NAMES.has(name)) {
    const near = FUNCTION_NAMES.has(name.toLowerCase()) ? name.toLowerCase() : undefined;
    reader.fail(`'${name}' is not a known function.`, near ? `Did you mean '${near}'?` : 'Known are min, max, abs and the computations of the catalogue.', nameSpan, 'syntax', near ? { near } : {});
  }
  reader.take(/\(/y);
  reader.inCall++;
  const given: Expression[] = [];
  if (!reader.peek(/\)/y)) {
    do given.push(readSum(reader)); while (reader.take(/[,;]/y));
  }
  reader.inCall--;
  if (!reader.take(/\)/y)) reader.fail('A bracket is not closed.', `Write \`)\` where ${name}(… ends.`, reader.restSpan());
  return { kind: 'call', function: name, nameSpan, arguments: given, span: { start: nameSpan.start, end: reader.position } };
}

function deeper<T>(reader: Reader, read: () => T): T {
  reader.depth++;
  if (reader.depth > 2 * DEEPEST_EXPRESSION) reader.fail('The expression is nested too deeply.', 'Give parts of it names under `values` of the shop file.', reader.restSpan(), 'too-deep');
  const result = read();
  reader.depth--;
  return result;
}

/** Whether a band's limits are quantities without a unit, where `needed` is a kind that has one. */
export function bareLimits(band: Band, needed: string): readonly Expression[] {
  if (band.kind !== 'conditions' || needed === 'ratio') return [];
  return band.conditions.flatMap(({ comparison }) => {
    const bounds = comparison.kind === 'shows' ? [] : comparison.kind === 'between' ? [comparison.low, comparison.high] : [comparison.bound];
    return bounds.filter((bound) => bound.kind === 'quantity' && quantityDimension(bound.quantity) === 'ratio' && bound.quantity.unit === undefined);
  });
}
