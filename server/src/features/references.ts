/** Every place that names what the name at a place stands for. */
import type { Analysis } from '../analysis/analysis.ts';
import { occurrencesIn, occurrencesOf, sameSymbol, symbolAt } from './symbols.ts';
import type { Library, Occurrence } from './symbols.ts';

/** Over all files of the library. */
export function referencesAt(library: Library, analysis: Analysis, offset: number, withDeclarations: boolean): Occurrence[] {
  const here = symbolAt(library, analysis, offset);
  if (!here) return [];
  return occurrencesOf(library, here.symbol).filter((occurrence) => withDeclarations || !occurrence.declares);
}

/** In the file alone, for marking them while the cursor is on one. */
export function highlightsAt(library: Library, analysis: Analysis, offset: number): Occurrence[] {
  const here = symbolAt(library, analysis, offset);
  if (!here) return [];
  return occurrencesIn(library, analysis).filter((occurrence) => sameSymbol(occurrence.symbol, here.symbol));
}
