/** Bands and expressions as written: a small language with places, parsed by our own parser (parse-band.ts). */
import type { Quantity } from './quantity.ts';
import type { Span } from '../text/span.ts';

/** Spans count from the start of the band's or expression's own text. */
export type Expression =
  | { readonly kind: 'quantity'; readonly quantity: Quantity; readonly span: Span }
  | { readonly kind: 'name'; readonly name: string; readonly span: Span }
  | { readonly kind: 'negative'; readonly of: Expression; readonly span: Span }
  | {
      readonly kind: 'sum' | 'difference' | 'product' | 'quotient';
      readonly left: Expression;
      readonly right: Expression;
      readonly span: Span;
    }
  | {
      readonly kind: 'call';
      readonly function: string;
      readonly nameSpan: Span;
      readonly arguments: readonly Expression[];
      readonly span: Span;
    };

export type Comparison =
  | { readonly kind: 'at_least' | 'at_most' | 'above' | 'below' | 'equal'; readonly bound: Expression }
  | { readonly kind: 'between'; readonly low: Expression; readonly high: Expression }
  /** A lamp's word: lit, dark. */
  | { readonly kind: 'shows'; readonly word: string };

export interface BandCondition {
  readonly comparison: Comparison;
  /** The point of `at_each`. */
  readonly point: { readonly name: string; readonly span: Span } | undefined;
  readonly span: Span;
}

export type Band =
  | { readonly kind: 'conditions'; readonly conditions: readonly BandCondition[]; readonly span: Span }
  | { readonly kind: 'otherwise'; readonly span: Span }
  | { readonly kind: 'open'; readonly span: Span };

/** The expressions of a comparison: one bound, two, or none for a lamp's word. */
export function boundsOf(comparison: Comparison): readonly Expression[] {
  if (comparison.kind === 'shows') return [];
  return comparison.kind === 'between' ? [comparison.low, comparison.high] : [comparison.bound];
}

/** The expressions of a band, in the order written. */
export function expressionsOf(band: Band): readonly Expression[] {
  return band.kind === 'conditions' ? band.conditions.flatMap((condition) => boundsOf(condition.comparison)) : [];
}

/** The names used in an expression, each with its place, in the order written. */
export function namesIn(expression: Expression): readonly { readonly name: string; readonly span: Span }[] {
  switch (expression.kind) {
    case 'quantity':
      return [];
    case 'name':
      return [{ name: expression.name, span: expression.span }];
    case 'negative':
      return namesIn(expression.of);
    case 'call':
      return expression.arguments.flatMap(namesIn);
    default:
      return [...namesIn(expression.left), ...namesIn(expression.right)];
  }
}
