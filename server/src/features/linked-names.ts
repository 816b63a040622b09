/**
 * The places of one file that change together while a name is typed over where it is declared: a step's, a fault's, a point's. Where it is used,
 * another name is another way, and nothing is linked. Only where no other file uses the name: there a rename is the tool, as it changes every file.
 */
import type { Analysis } from '../analysis/analysis.ts';
import { spanHolds, type Span } from '../text/span.ts';
import { occurrencesIn, occurrencesOf, sameSymbol, symbolAt } from './symbols.ts';
import type { Library, SymbolKind } from './symbols.ts';

/** Kinds of name that a procedure declares for itself. */
const OWN: ReadonlySet<SymbolKind> = new Set([
  'step', 'fault', 'point', 'circuit', 'fact', 'choice', 'state', 'state_value', 'caution', 'hazard', 'instrument', 'value',
]);

/** Spans that all read the same, in order; undefined where nothing is linked. */
export function linkedNamesAt(library: Library, analysis: Analysis, offset: number): Span[] | undefined {
  if (analysis.kind !== 'procedure') return undefined;
  const symbol = symbolAt(library, analysis, offset)?.symbol;
  if (!symbol || symbol.file !== analysis.file || !OWN.has(symbol.kind)) return undefined;
  const own = occurrencesIn(library, analysis).filter((occurrence) => sameSymbol(occurrence.symbol, symbol));
  const spans = distinct(own.map(({ span }) => span)).filter(({ start, end }) => analysis.text.slice(start, end) === symbol.name);
  const declared = own.filter((occurrence) => occurrence.declares);
  if (!declared.some(({ span }) => spanHolds(span, offset))) return undefined;
  // Of a name that two declare, nobody can say which is meant; and of quoted ones only some would change.
  if (declared.length !== 1 || spans.length < 2 || spans.length < distinct(own.map(({ span }) => span)).length) return undefined;
  return occurrencesOf(library, symbol).some(({ file }) => file !== analysis.file) ? undefined : spans;
}

/** The names that linked places may take. */
export const LINKED_NAME_PATTERN = '[a-z][a-z0-9_]*';

function distinct(spans: readonly Span[]): Span[] {
  const byStart = new Map(spans.map((span) => [span.start, span]));
  return [...byStart.values()].sort((a, b) => a.start - b.start);
}
