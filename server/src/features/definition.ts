/** Where the name at a place is declared. */
import type { Analysis } from '../analysis/analysis.ts';
import { CATALOGUE_FILE, loadCatalogue } from '../catalogue/load-catalogue.ts';
import { declarationsIn, occurrencesOf, sameSymbol, symbolAt } from './symbols.ts';
import type { Library, Occurrence } from './symbols.ts';
import type { Span } from '../text/span.ts';

export interface Definition {
  /** The name at the place asked about. */
  readonly from: Span;
  readonly file: string;
  /** The declared name, and the whole declaration. */
  readonly span: Span;
  readonly whole: Span;
}

/** What ships with the tool is declared in the catalogue's own file, which is none of the library. */
export function definitionsAt(library: Library, analysis: Analysis, offset: number): Definition[] {
  const here = symbolAt(library, analysis, offset);
  if (!here) return [];
  const at = (occurrence: Occurrence): Definition => ({
    from: here.span,
    file: occurrence.file,
    span: occurrence.span,
    whole: occurrence.whole ?? occurrence.span,
  });
  const { symbol } = here;
  const home = symbol.file === CATALOGUE_FILE ? { file: CATALOGUE_FILE, shop: loadCatalogue() } : library.analyse(symbol.file);
  const own = declarationsIn(home).filter((occurrence) => sameSymbol(occurrence.symbol, symbol));
  if (own.length > 0) return own.map(at);
  // A fact lives in an assets file, but procedures declare it; what none declares is what the assets say.
  const everywhere = occurrencesOf(library, symbol);
  const declared = everywhere.filter((occurrence) => occurrence.declares);
  return (declared.length > 0 ? declared : everywhere.filter((occurrence) => occurrence.file === symbol.file && symbol.kind === 'fact')).map(at);
}
