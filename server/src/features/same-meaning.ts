/**
 * Whether two texts of a file mean the same work: the same steps, ways, states, limits, units and names. What a person reads
 * (instructions, questions, titles) may differ. It is what a fix that is applied without being shown must leave alone.
 */
import type { FileKind } from '../analysis/analysis.ts';
import { buildAssets } from '../procedure/build-assets.ts';
import { buildProcedure } from '../procedure/build-procedure.ts';
import { buildShop } from '../procedure/build-shop.ts';

/** Keys of the model that hold what a person reads, and places. */
const FOR_READERS = new Set([
  'title',
  'text',
  'why',
  'note',
  'question',
  'actions',
  'says',
  'remedy',
  'complaint',
  'photo',
  'place',
  'from',
  'because',
  'by',
  'hazard',
  'consequence',
  'avoid',
  'problems',
  'node',
  'terms',
  'abbreviations',
]);

export function meanTheSame(kind: FileKind, first: string, second: string): boolean {
  return meaningOf(kind, first) === meaningOf(kind, second);
}

function meaningOf(kind: FileKind, text: string): string {
  const model =
    kind === 'procedure'
      ? buildProcedure('', text).procedure
      : kind === 'shop'
        ? buildShop('', text).shop
        : kind === 'assets'
          ? buildAssets('', text).assets
          : text;
  return JSON.stringify(model, (key, value: unknown) => {
    if (typeof value === 'bigint') return value.toString();
    if (FOR_READERS.has(key) || /span$/i.test(key)) return undefined;
    if (value === null || typeof value !== 'object') return value;
    // Of a quantity, a band and an expression what it is counts; how it is spelled is left out as `text`.
    if ('base' in value && 'decimals' in value && 'unit' in value) {
      const { base, unit } = value as { base: unknown; unit: { symbol: string } | undefined };
      return { base, unit: unit?.symbol };
    }
    return value;
  });
}
