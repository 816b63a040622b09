/** Bands and expressions: what is read, how it is written back, and what is said of what cannot be read. */
import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { formatBand, formatExpression } from '../../server/src/quantity/format-band.ts';
import { parseBand, parseExpression } from '../../server/src/quantity/parse-band.ts';
import { parseQuantity } from '../../server/src/quantity/parse-quantity.ts';
import { findQuantitiesInProse } from '../../server/src/quantity/prose-quantities.ts';
import { understandEntry } from '../../server/src/quantity/entry.ts';

const CANONICAL: readonly (readonly [written: string, words: string])[] = [
  ['at least 12.4 V', 'at least 12.4 V'], ['>= 12.4 V', 'at least 12.4 V'], ['≥12,4V', 'at least 12.4 V'],
  ['=> 12.4 V', 'at least 12.4 V'], ['<=0.4V', 'at most 0.4 V'], ['≤ 0.4 V', 'at most 0.4 V'],
  ['> 0.4 V', 'above 0.4 V'], ['< 0.4 V', 'below 0.4 V'], ['= 3', 'equal to 3'], ['equal  to 3', 'equal to 3'],
  ['At Least 12.4 V', 'at least 12.4 V'], ['between 18 ohm and 26 ohm', 'between 18 ohm and 26 ohm'],
  ['between 5 and 10 V', 'between 5 V and 10 V'], ['35 ± 5 N·m', 'between 30 N·m and 40 N·m'],
  ['35 N·m ± 10 %', 'between 31.5 N·m and 38.5 N·m'], ['35 N·m +/- 5 N·m', 'between 30 N·m and 40 N·m'],
  ['20 °C ± 5 K', 'between 15 °C and 25 °C'],
  ['1.2 kohm ± 60 ohm', 'between 1.14 kohm and 1.26 kohm'], ['9.6–14.7 V', 'between 9.6 V and 14.7 V'],
  ['9.6 V to 14.7 V', 'between 9.6 V and 14.7 V'], ['otherwise', 'otherwise'], ['open', 'open'], ['lit', 'lit'],
  ['lit at fuse_in and dark at fuse_out', 'lit at fuse_in and dark at fuse_out'],
  ['at most 3 V at chassis and above 1 V at motor_case', 'at most 3 V at chassis and above 1 V at motor_case'],
  ['at least 5 V and below 7 V', 'at least 5 V and below 7 V'],
  ['between a_low and a_high at left and below 3 V at right', 'between a_low and a_high at left and below 3 V at right'],
  ['below supply-1.5 V', 'below supply - 1.5 V'], ['at least 20 °C + 5 K', 'at least 20 °C + 5 K'],
  ['above max(coil_low,3 ohm)*2', 'above max(coil_low, 3 ohm) * 2'], ['above 5 V/2', 'above 5 V / 2'],
  ['above 10 m/s', 'above 10 m/s'], ['at least −20°C', 'at least -20 °C'], ['below 1 min 30 s', 'below 1 min 30 s'],
  ['at least 7/16in', 'at least 7/16 in'], ['at least 1-7/16 in', 'at least 1-7/16 in'],
  ['at most 1 200 rpm', 'at most 1200 rpm'], ['below return_drop.chassis', 'below return_drop.chassis'],
  ['at most 12.40 V', 'at most 12.40 V'],
];

describe('parseBand', () => {
  it.each(CANONICAL)('%s reads as: %s', (written, words) => {
    const { band, problems } = parseBand(written);
    expect(problems).toEqual([]);
    expect(band && formatBand(band)).toBe(words);
    const again = parseBand(words).band;
    expect(again && formatBand(again)).toBe(words);
  });

  it.each([
    ['12 V', 'A limit stands alone.', '12 V'], ['less than 5 V', "'less than' is not a word of a band.", 'less than'],
    ['at least', 'A limit is missing.', ''], ['at least V', "A number is missing before 'V'.", 'V'],
    ['between 5 V to 9 V', '`between` needs two limits.', 'to 9 V'], ['below 5 V or above 9 V',
      "'or above 9 V' is not understood here.", 'or above 9 V'], ['at least foo(3)', "'foo' is not a known function.", 'foo'],
      ['at least Max(3, 4)', "'Max' is not a known function.", 'Max'],
    ['at least 3 gal', "'gal' can mean US gal or imp gal.", 'gal'], ['at least 3 xyz', "'xyz' is not a known unit.", 'xyz'],
    ['below (a_b + 3 V', 'A bracket is not closed.', ''], ['below 3 V at', 'The point is missing after `at`.', ''],
    ['below 3 V and', 'A condition is missing.', ''],
    ['below min', "A number is missing before 'min'.", 'min'], ['', 'The band is missing.', ''],
    ['at least 1,200 V', "'1,200' can be read as 1.200 or as 1200.", '1,200'],
    ['otherwise or not', "'or not' is not understood here.", 'or not'], ['over 5 V', "'over' is not a word of a band.", 'over'],
    ['maximum 5 V', "'maximum' is not a word of a band.", 'maximum '], ['below 3 V ! 4', "'! 4' is not understood here.", '! 4'],
  ])('%j: %s', (written, message, place) => {
    const { band, problems } = parseBand(written);
    expect(band).toBeUndefined();
    expect(problems.map((problem) => problem.message)).toEqual([message]);
    const [problem] = problems;
    expect(written.slice(problem?.span.start, problem?.span.end)).toBe(place);
    expect(problem?.help ?? '').not.toBe('');
  });

  it('keeps the place of every part', () => {
    const text = '  at most supply - 1.5 V at left';
    const { band } = parseBand(text);
    if (band?.kind !== 'conditions') throw new Error('no conditions');
    const [condition] = band.conditions;
    expect(condition?.point && text.slice(condition.point.span.start, condition.point.span.end)).toBe('left');
    const bound = condition && 'bound' in condition.comparison ? condition.comparison.bound : undefined;
    expect(bound && text.slice(bound.span.start, bound.span.end)).toBe('supply - 1.5 V');
    if (bound?.kind !== 'difference') throw new Error('no difference');
    expect(text.slice(bound.left.span.start, bound.left.span.end)).toBe('supply');
    expect(text.slice(bound.right.span.start, bound.right.span.end)).toBe('1.5 V');
  });

  it('folds a minus into a temperature, since -(20 °C) means nothing', () => {
    const { expression } = parseExpression('-20 °C');
    expect(expression?.kind).toBe('quantity');
  });

  it('refuses depth and length, and says so', () => {
    expect(parseExpression(`${'('.repeat(300)}1${')'.repeat(300)}`).problems[0]?.kind).toBe('too-deep');
    expect(parseExpression('-'.repeat(900)).problems[0]?.kind).toBe('too-deep');
    expect(parseBand(`below ${'1 + '.repeat(2000)}1`).problems[0]?.kind).toBe('too-long');
    expect(parseBand(`below ${'1+'.repeat(480)}1`).problems[0]?.kind).toBe('too-long');
    expect(parseQuantity('9'.repeat(10_000)).problems[0]?.kind).toBe('too-long');
  });
});

describe('hostile text', () => {
  const pieces = fc.array(fc.constantFrom(
    'at least ', 'between ', ' and ', ' at ', 'otherwise', 'open', 'lit', '12.6', '-', '−', '±', '(', ')', ',', '/', '*', ' V',
      ' °C', '·', 'ft-lb', '1,200', '7/16', '½', 'e9', '^', '{', '}', '"', "'", '\u0000', '\u202f', '🔧', 'max(', 'supply', '.',
      '\n', '٣', 'Ω', '=', '<', '>',
  ), { maxLength: 40 }).map((parts) => parts.join(''));
  const anything = fc.oneof(pieces, fc.string({ maxLength: 300 }), fc.string({ unit: 'binary', maxLength: 100 }));

  it('is never thrown over, and every place lies in the text', () => {
    fc.assert(fc.property(anything, (text) => {
      for (const { problems } of [parseBand(text), parseExpression(text), parseQuantity(text)]) {
        for (const problem of problems) {
          expect(problem.span.start).toBeGreaterThanOrEqual(0);
          expect(problem.span.end).toBeLessThanOrEqual(text.length);
          expect(problem.span.start).toBeLessThanOrEqual(problem.span.end);
          expect(problem.message).not.toBe('');
        }
      }
      findQuantitiesInProse(text).forEach(({ span }) => expect(span.end).toBeLessThanOrEqual(text.length));
      understandEntry(text, { word: 'dc_voltage' });
    }), { numRuns: 3000 });
  });

  it('gives a value or a problem, never neither', () => {
    fc.assert(fc.property(anything, (text) => {
      const band = parseBand(text);
      expect(band.band !== undefined).toBe(band.problems.length === 0);
      const expression = parseExpression(text);
      expect(expression.expression !== undefined).toBe(expression.problems.length === 0);
    }), { numRuns: 2000 });
  });

  it('is read again as it was written back', () => {
    fc.assert(fc.property(anything, (text) => {
      const { band } = parseBand(text);
      if (band) {
        const words = formatBand(band);
        const again = parseBand(words);
        expect(again.band && formatBand(again.band), `${JSON.stringify(text)} → ${words}`).toBe(words);
      }
    }), { numRuns: 3000 });
  });
});

describe('formatExpression', () => {
  const leaf = fc.constantFrom('supply', '1.5 V', 'coil_low', '3', '-2 V', 'max(a_b, 2 V)');
  const tree: fc.Arbitrary<string> = fc.letrec<{ node: string }>((tie) => ({
    node: fc.oneof({ maxDepth: 4 }, leaf, fc.tuple(tie('node'), fc.constantFrom('+', '-', '*', '/'), tie('node')).map(([a, mark,
      b]) => `(${a}) ${mark} (${b})`), tie('node').map((a) => `-(${a})`)),
  })).node;

  it('needs no bracket it leaves out', () => {
    fc.assert(fc.property(tree, (text) => {
      const first = parseExpression(text).expression;
      if (!first) return;
      const second = parseExpression(formatExpression(first)).expression;
      expect(second && shape(second)).toEqual(shape(first));
    }), { numRuns: 1000 });
  });
});

/** An expression without its places. */
function shape(expression: NonNullable<ReturnType<typeof parseExpression>['expression']>): unknown {
  switch (expression.kind) {
    case 'quantity': return [expression.quantity.base.numerator, expression.quantity.base.denominator];
    case 'name': return expression.name;
    case 'negative': {
      // -(3 V) is written -3 V, which reads as one quantity.
      const of = shape(expression.of);
      return Array.isArray(of) && typeof of[0] === 'bigint' ? [-of[0], of[1] as bigint] : ['-', of];
    }
    case 'call': return [expression.function, ...expression.arguments.map(shape)];
    default: return [expression.kind, shape(expression.left), shape(expression.right)];
  }
}
