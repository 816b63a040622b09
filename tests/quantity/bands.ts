/** Short ways to put bands into tests. */
import { examineBands } from '../../server/src/quantity/band-algebra.ts';
import { parseBand } from '../../server/src/quantity/parse-band.ts';
import type { Band } from '../../server/src/quantity/expression.ts';
import type { BandExamination, BandOptions } from '../../server/src/quantity/band-algebra.ts';
import type { SymbolEnvironment } from '../../server/src/quantity/linear-form.ts';

/** The band; a text that cannot be read is a fault of the test. */
export function band(text: string): Band {
  const { band: parsed, problems } = parseBand(text);
  if (!parsed) throw new Error(`${text}: ${problems[0]?.message ?? ''}`);
  return parsed;
}

/** Names of a step's surroundings: readings and facts, of which only the kind is known. */
export const SYMBOLS: SymbolEnvironment = (name) => {
  const kinds: Readonly<Record<string, readonly [dimension: string, notNegative: boolean]>> = {
    supply: ['voltage', false], coil_low: ['resistance', true], coil_high: ['resistance', true], relief_pressure: ['pressure',
      false], rest: ['temperature', false], wheels: ['ratio', true],
  };
  const kind = kinds[name];
  return kind && { symbolic: true, dimension: kind[0], notNegative: kind[1] };
};

export function examine(texts: readonly string[], options: Partial<BandOptions> = {}): BandExamination {
  return examineBands(texts.map(band), { environment: SYMBOLS, ...options });
}

/** The examination in short: gaps, overlaps, never met, undecided. */
export function inShort(texts: readonly string[], options: Partial<BandOptions> = {}): Record<string, unknown> {
  const found = examine(texts, options);
  const short: Record<string, unknown> = {};
  if (found.gaps.length > 0) short['gaps'] = found.gaps.map((gap) => gap.text);
  if (found.overlaps.length > 0) short['overlaps'] = found.overlaps.map((overlap) => `${overlap.bands.join('+')} ${overlap.text}`);
  if (found.neverMet.length > 0) short['never'] = found.neverMet.map((never) => `${never.band} ${never.reason}`);
  if (found.undecided.length > 0) short['undecided'] = found.undecided.map((each) => each.text);
  if (found.assumed.length > 0) short['assumed'] = found.assumed;
  if (found.problems.length > 0) short['problems'] = found.problems.map((problem) => `${problem.kind}: ${problem.message}`);
  return short;
}
