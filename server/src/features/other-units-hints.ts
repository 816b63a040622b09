/**
 * Hints beside what is written: a quantity in the other system, metric or inch-pound, to the same significance. `35 ± 5 N·m` is one
 * hint, and a difference of temperatures stays one. Must not know what a hint looks like in an editor.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type { Span } from '../text/span.ts';
import { inOtherSystemWords, quantitiesWritten } from './quantities.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

export interface OtherUnitHint {
  /** Where it stands: right behind the quantity. */
  readonly offset: number;
  readonly label: string;
  readonly tooltip?: string;
}

/**
 * The hints for quantities in that part of the file (offsets), in order. None where the other system has no unit in use (V, Ω, s),
 * where the writer gives both, and for nominal sizes (a 10 mm socket).
 */
export function otherUnitHints(analysis: Analysis, range: Span, words: FeatureWords = ENGLISH): OtherUnitHint[] {
  return quantitiesWritten(analysis, range, { cited: false }).flatMap((written) => {
    if (written.group.paired || written.nominal || written.span.end < range.start || written.span.end > range.end) return [];
    const other = inOtherSystemWords(written, words);
    return other === undefined ? [] : [{ offset: written.span.end, label: other.label, tooltip: other.tooltip }];
  });
}
