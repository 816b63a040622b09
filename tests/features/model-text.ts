/** A file's model as a text, places and spellings of values left out: two texts that say the same have the same one. */
import { buildAssets } from '../../server/src/procedure/build-assets.ts';
import { buildProcedure } from '../../server/src/procedure/build-procedure.ts';
import { buildShop } from '../../server/src/procedure/build-shop.ts';

export function modelOf(name: string, text: string): string {
  if (name.endsWith('shop.yaml')) return plain(buildShop('', text).shop);
  if (name.endsWith('assets.yaml')) return plain(buildAssets('', text).assets);
  return plain(buildProcedure('', text).procedure);
}

function plain(model: { readonly problems: readonly { readonly check: string; readonly step?: string }[] }): string {
  // Problems by check and step: their words hold what was written.
  const problems = model.problems.map(({ check, step }) => `${check} ${step ?? ''}`).sort();
  return JSON.stringify(
    { ...model, problems },
    (key, value: unknown) => {
      if (typeof value === 'bigint') return value.toString();
      if (key === 'node' || /span$/i.test(key)) return undefined;
      if (value === null || typeof value !== 'object') return value;
      if ('base' in value && 'decimals' in value) {
        const { base, unit, decimals } = value as {
          base: { numerator: bigint; denominator: bigint };
          unit?: { symbol: string; supply?: string };
          decimals: number;
        };
        return { base: `${base.numerator}/${base.denominator}`, unit: unit?.symbol, supply: unit?.supply, decimals };
      }
      // What was understood of a band or an expression stands beside its text.
      const understood =
        ('band' in value && value.band !== undefined) || ('expression' in value && value.expression !== undefined);
      return understood ? { ...value, text: undefined } : value;
    },
    1,
  );
}
