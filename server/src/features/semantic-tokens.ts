/** Which words are names, and of what; which are quantities: what an editor may colour beyond plain YAML. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Span } from '../text/span.ts';
import { quantitiesIn } from './quantities.ts';
import { occurrencesIn } from './symbols.ts';
import type { Library, SymbolKind } from './symbols.ts';
import { scalarsIn, spanInScalar } from './tree-path.ts';

/** Names that themes know. */
export const TOKEN_TYPES = ['function', 'variable', 'enumMember', 'class', 'type', 'event', 'number', 'property'] as const;
export type TokenType = (typeof TOKEN_TYPES)[number];

export interface Token {
  readonly span: Span;
  readonly type: TokenType;
  readonly declares: boolean;
}

const TYPE_OF: Record<SymbolKind, TokenType> = {
  procedure: 'function',
  step: 'function',
  fault: 'event',
  state: 'variable',
  state_value: 'enumMember',
  fact: 'variable',
  choice: 'enumMember',
  circuit: 'class',
  caution: 'type',
  hazard: 'type',
  instrument: 'class',
  qualification: 'type',
  value: 'variable',
  point: 'property',
  reference: 'property',
  asset: 'class',
};

/** Sorted, without overlaps. */
export function tokensOf(library: Library, analysis: Analysis): Token[] {
  const tokens: Token[] = occurrencesIn(library, analysis).map(({ symbol, span, declares }) => ({
    span,
    type: TYPE_OF[symbol.kind],
    declares,
  }));
  for (const scalar of scalarsIn(analysis.tree)) {
    if (scalar.style === 'block' || !/\d/.test(scalar.text)) continue;
    for (const span of quantitySpans(scalar.text)) tokens.push({ span: spanInScalar(scalar, span), type: 'number', declares: false });
  }
  tokens.sort((a, b) => a.span.start - b.span.start || b.span.end - a.span.end);
  let end = -1;
  return tokens.filter(({ span }) => {
    if (span.start < end || span.end <= span.start) return false;
    end = span.end;
    return true;
  });
}

/** The same few texts stand in hundreds of steps, and most are as they were before an edit. */
const known = new Map<string, readonly Span[]>();
const MOST_KNOWN = 20_000;

function quantitySpans(text: string): readonly Span[] {
  let spans = known.get(text);
  if (spans === undefined) {
    if (known.size >= MOST_KNOWN) known.clear();
    known.set(text, (spans = quantitiesIn(text).map(({ span }) => span)));
  }
  return spans;
}
