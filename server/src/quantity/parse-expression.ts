/**
 * Expressions from their text: sums, products, calls, names and quantities, each with its place.
 *
 *   expr = term { (+ -) term }      term = factor { (* /) factor }
 *   factor = quantity | name | function "(" expr { "," expr } ")" | "(" expr ")" | "-" factor
 */
import { coverSpans } from '../text/span.ts';
import { DEEPEST_EXPRESSION, guarded, Stop } from './band-reader.ts';
import { FUNCTION_NAMES } from './function-names.ts';
import { isUnitSpelling } from './unit.ts';
import { KEYWORDS } from './reserved.ts';
import { scanQuantity } from './scan-quantity.ts';
import type { BandProblem, BandReader } from './band-reader.ts';
import type { Expression } from './expression.ts';
import type { Span } from '../text/span.ts';

export interface ParsedExpression {
  readonly expression?: Expression;
  readonly problems: readonly BandProblem[];
}

const NAME = /[a-zA-Z_][a-zA-Z0-9_]*(?:\.[a-zA-Z_][a-zA-Z0-9_]*)?/y;

/** Reads what stands in `decide:` and behind a comparison. */
export function parseExpression(text: string): ParsedExpression {
  return guarded(text, (reader) => {
    const expression = readSum(reader);
    reader.expectEnd();
    return { expression, problems: reader.problems };
  });
}

/** A sum, as far as it goes. */
export function readSum(reader: BandReader): Expression {
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

function readProduct(reader: BandReader): Expression {
  let left = readFactor(reader);
  for (;;) {
    const mark = reader.take(/[*×⋅·/÷]/y);
    if (!mark) return left;
    reader.count();
    const right = readFactor(reader);
    left = {
      kind: mark.text === '/' || mark.text === '÷' ? 'quotient' : 'product',
      left,
      right,
      span: coverSpans(left.span, right.span),
    };
  }
}

/** One factor: what a tolerance stands between. */
export function readFactor(reader: BandReader): Expression {
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

function readNameOrCall(reader: BandReader): Expression {
  const name = reader.take(NAME);
  if (!name) {
    const rest = reader.restText();
    return rest === ''
      ? reader.fail('A limit is missing.', 'Write a quantity such as 12.4 V, or a name.', reader.restSpan())
      : reader.fail(
          `'${rest}' is not a quantity, a name or a function.`,
          'Write a quantity such as 12.4 V, or a name.',
          reader.restSpan(),
        );
  }
  if (reader.peek(/\(/y)) return readCall(reader, name.text, name.span);
  const lower = name.text.toLowerCase();
  if (FUNCTION_NAMES.has(lower) && !isUnitSpelling(name.text)) {
    return reader.fail(`'${name.text}' is a function and needs its arguments.`, `Write ${name.text}(…).`, name.span);
  }
  if (KEYWORDS.has(lower))
    return reader.fail(`A limit is missing before '${name.text}'.`, 'Write a quantity such as 12.4 V, or a name.', name.span);
  if (isUnitSpelling(name.text)) {
    return reader.fail(
      `A number is missing before '${name.text}'.`,
      `Write it as: 12 ${name.text}. Names of units cannot name anything else.`,
      name.span,
      'not-a-number',
    );
  }
  return { kind: 'name', name: name.text, span: name.span };
}

function readCall(reader: BandReader, name: string, nameSpan: Span): Expression {
  if (!FUNCTION_NAMES.has(name)) {
    const near = FUNCTION_NAMES.has(name.toLowerCase()) ? name.toLowerCase() : undefined;
    reader.fail(
      `'${name}' is not a known function.`,
      near ? `Did you mean '${near}'?` : 'Known are min, max, abs and the computations of the catalogue.',
      nameSpan,
      'syntax',
      near ? { near } : {},
    );
  }
  reader.take(/\(/y);
  reader.inCall++;
  const given: Expression[] = [];
  if (!reader.peek(/\)/y)) {
    do given.push(readSum(reader));
    while (reader.take(/[,;]/y));
  }
  reader.inCall--;
  if (!reader.take(/\)/y)) reader.fail('A bracket is not closed.', `Write \`)\` where ${name}(… ends.`, reader.restSpan());
  return { kind: 'call', function: name, nameSpan, arguments: given, span: { start: nameSpan.start, end: reader.position } };
}

function deeper<T>(reader: BandReader, read: () => T): T {
  reader.depth++;
  if (reader.depth > 2 * DEEPEST_EXPRESSION)
    reader.fail(
      'The expression is nested too deeply.',
      'Give parts of it names under `values` of the shop file.',
      reader.restSpan(),
      'too-deep',
    );
  const result = read();
  reader.depth--;
  return result;
}
