/**
 * The checker and the runner mean the same: a reading meets exactly one result just where the examination found neither a gap nor
 * an overlap. The reading is one of the bounds, or lies near one, so that ends are tried often.
 */
import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { band, SYMBOLS } from './bands.ts';
import { examineBands } from '../../server/src/quantity/band-algebra.ts';
import { judgeReadings, selectResult } from '../../server/src/quantity/select-band.ts';
import { parseBand } from '../../server/src/quantity/parse-band.ts';
import { parseQuantity } from '../../server/src/quantity/parse-quantity.ts';
import { rational } from '../../server/src/quantity/rational.ts';
import type { Band } from '../../server/src/quantity/expression.ts';
import type { BandOptions } from '../../server/src/quantity/band-algebra.ts';
import type { Environment } from '../../server/src/quantity/evaluate.ts';
import type { Reading, Readings } from '../../server/src/quantity/select-band.ts';

const number = (halves: number): Reading => ({ kind: 'number', base: rational(halves, 2), dimension: 'voltage' });
const NOTHING: Environment = () => undefined;

const comparison = (value: fc.Arbitrary<string>): fc.Arbitrary<string> => fc.oneof(
  fc.tuple(fc.constantFrom('at least', 'at most', 'above', 'below', 'equal to'), value).map((parts) => parts.join(' ')),
  fc.tuple(value, value).map(([low, high]) => `between ${low} and ${high}`),
);
const volts = fc.integer({ min: -3, max: 3 }).map((value) => `${value} V`);
const oneBand = fc.oneof(
  { weight: 8, arbitrary: fc.array(comparison(volts), { minLength: 1, maxLength: 2 }).map((parts) => parts.join(' and ')) },
  { weight: 1, arbitrary: fc.constant('otherwise') },
  { weight: 1, arbitrary: fc.constant('open') },
);

/** Whether a text of a gap or an overlap, read as a band, holds the readings: the printed interval is taken at its word. */
function textHolds(text: string, readings: Readings): boolean {
  if (text === 'any reading') return true;
  const alternatives = text.split(/ or (?=open)/).flatMap((part) => (part.includes('open (overload)') ? ['open'] : [part]));
  return alternatives.some((part) => {
    if (part === 'any number') return 'kind' in readings && readings.kind === 'number';
    const parsed = parseBand(part.replaceAll('exactly', 'equal to')).band;
    if (!parsed) throw new Error(`'${part}' is not a band`);
    // An open reading lies above every bound, but the text says so where it is meant.
    if (part !== 'open' && 'kind' in readings && readings.kind === 'open') return false;
    return selectResult([parsed], readings, NOTHING).index === 0;
  });
}

function agree(bands: readonly Band[], options: Omit<BandOptions, 'environment'>, readings: Readings): void {
  const found = examineBands(bands, { ...options, environment: SYMBOLS });
  if (found.undecided.length > 0) return;
  const selected = selectResult(bands, readings, NOTHING);
  const inGap = found.gaps.some((gap) => textHolds(gap.text, readings));
  const inOverlap = found.overlaps.filter((overlap) => textHolds(overlap.text, readings)).flatMap((overlap) => overlap.bands);
  expect(selected.none === true, `gaps: ${found.gaps.map((gap) => gap.text).join('; ')}`).toBe(inGap);
  expect(selected.several ?? [],
    `overlaps: ${found.overlaps.map((overlap) => overlap.text).join('; ')}`).toEqual([...new Set(inOverlap)].sort((a,
    b) => a - b));
  expect(selected.index !== undefined).toBe(!inGap && inOverlap.length === 0);
  // What is said never to be met is not met.
  if (selected.index !== undefined) expect(found.neverMet.map((never) => never.band)).not.toContain(selected.index);
}

describe('examineBands and selectResult agree', () => {
  it('on one reading', () => {
    fc.assert(fc.property(fc.array(oneBand, { minLength: 1, maxLength: 4 }), fc.integer({ min: -8, max: 8 }), (texts, halves) => {
      agree(texts.map(band), { word: 'dc_voltage' }, number(halves));
    }), { numRuns: 1500 });
  });

  it('on a resistance, which has a floor and overload', () => {
    const ohms = fc.integer({ min: 0, max: 4 }).map((value) => `${value} ohm`);
    const bands = fc.array(fc.oneof({ weight: 5, arbitrary: comparison(ohms) }, fc.constantFrom('otherwise', 'open')),
      { minLength: 1, maxLength: 4 });
    const reading = fc.oneof(fc.integer({ min: 0, max: 10 }).map((halves): Reading => ({ kind: 'number', base: rational(halves,
      2), dimension: 'resistance' })), fc.constant<Reading>({ kind: 'open' }));
    fc.assert(fc.property(bands, reading, (texts, read) => agree(texts.map(band), { word: 'resistance' }, read)),
      { numRuns: 1500 });
  });

  it('on a count', () => {
    const counts = fc.integer({ min: 0, max: 5 }).map(String);
    fc.assert(fc.property(fc.array(comparison(counts), { minLength: 1, maxLength: 3 }), fc.integer({ min: 0, max: 6 }), (texts,
      count) => {
      agree(texts.map(band), { word: 'count' }, { kind: 'number', base: rational(count), dimension: 'ratio' });
    }), { numRuns: 1500 });
  });

  it('on readings at two points', () => {
    const at = fc.tuple(comparison(volts), fc.constantFrom('left', 'right')).map(([text, point]) => `${text} at ${point}`);
    const bands = fc.array(fc.oneof({ weight: 6, arbitrary: fc.array(at,
      { minLength: 1, maxLength: 2 }).map((parts) => parts.join(' and ')) }, fc.constant('otherwise')),
      { minLength: 1, maxLength: 3 });
    fc.assert(fc.property(bands, fc.integer({ min: -8, max: 8 }), fc.integer({ min: -8, max: 8 }), (texts, left, right) => {
      agree(texts.map(band), { word: 'dc_voltage', points: ['left', 'right'] }, new Map([['left', number(left)],
        ['right', number(right)]]));
    }), { numRuns: 2000 });
  });

  it('with names: what is certain holds for every value, what is possible for some', () => {
    const bound = fc.tuple(fc.constantFrom('a_low', 'a_high', 'b_mid'), fc.integer({ min: -1, max: 1 })).map(([name,
      shift]) => (shift === 0 ? name : `${name} ${shift > 0 ? '+' : '-'} ${Math.abs(shift)} V`));
    const either = fc.oneof(volts, bound);
    const bands = fc.array(fc.oneof({ weight: 6, arbitrary: comparison(either) }, fc.constant('otherwise')),
      { minLength: 1, maxLength: 3 });
    const values = fc.tuple(fc.integer({ min: -6, max: 6 }), fc.integer({ min: -6, max: 6 }), fc.integer({ min: -6, max: 6 }));
    fc.assert(fc.property(bands, values, fc.integer({ min: -10, max: 10 }), (texts, [a, b, c], halves) => {
      const parsed = texts.map(band);
      const known: Environment = (name) => {
        const halvesOf = { a_low: a, a_high: b, b_mid: c }[name];
        return halvesOf === undefined ? undefined : { base: rational(halvesOf, 2), dimension: 'voltage' };
      };
      const found = examineBands(parsed, { word: 'dc_voltage', environment: () => ({ symbolic: true, dimension: 'voltage' }) });
      if (found.undecided.some((each) => each.text.includes('too many') || each.text.includes('contradict'))) return;
      // The examination takes `between x and y` at its word; where the values break it, nothing was promised.
      const promised = found.assumed.every((text) => assumptionHolds(text, known));
      if (!promised) return;
      const selected = selectResult(parsed, number(halves), known);
      const clean = found.gaps.length === 0 && found.overlaps.length === 0 && found.undecided.length === 0;
      if (clean) expect(selected.index).toBeDefined();
      if (found.gaps.length === 0 && !found.undecided.some((each) => each.text.includes('no result'))) expect(selected.none).toBeUndefined();
      if (found.overlaps.length === 0 && !found.undecided.some((each) => each.text.includes('two results'))) expect(selected.several).toBeUndefined();
      if (selected.index !== undefined) expect(found.neverMet.map((never) => never.band)).not.toContain(selected.index);
    }), { numRuns: 1500 });
  });
});

function assumptionHolds(text: string, known: Environment): boolean {
  const [left = '', right = ''] = text.split(/ is (?:at most|below) /);
  const bound = parseBand(`${text.includes(' is at most ') ? 'at most' : 'below'} ${right}`).band;
  const value = parseBand(`equal to ${left}`).band;
  if (bound?.kind !== 'conditions' || value?.kind !== 'conditions') throw new Error(text);
  for (let quarters = -200; quarters <= 200; quarters++) {
    const reading: Reading = { kind: 'number', base: rational(quarters, 4), dimension: 'voltage' };
    if (selectResult([value], reading, known).index === 0) return selectResult([bound], reading, known).index === 0;
  }
  throw new Error(`${text}: no value`);
}

describe('selectResult', () => {
  const bands = ['at most 0.4 V', 'above 0.4 V'].map(band);
  const volt = (text: string): Reading => {
    const { quantity } = parseQuantity(text);
    if (!quantity) throw new Error(text);
    return { kind: 'number', base: quantity.base, dimension: 'voltage' };
  };

  it('takes a reading in any unit of the kind', () => {
    expect(selectResult(bands, volt('400 mV'), NOTHING)).toEqual({ index: 0 });
    expect(selectResult(bands, volt('0.401 V'), NOTHING)).toEqual({ index: 1 });
  });

  it('says which names are missing', () => {
    expect(selectResult([band('below supply - 1.5 V'), band('otherwise')], volt('3 V'),
      NOTHING)).toEqual({ unknown: ['supply'] });
  });

  it('refuses to compare kinds', () => {
    expect(selectResult(bands, { kind: 'number', base: rational(3), dimension: 'resistance' },
      NOTHING).problem).toContain('resistance');
  });

  it('gives overload to what is open above, or to the result that says so', () => {
    const ohms = ['at most 5 ohm', 'above 5 ohm'].map(band);
    expect(selectResult(ohms, { kind: 'open' }, NOTHING)).toEqual({ index: 1 });
    expect(selectResult([...ohms, band('open')], { kind: 'open' }, NOTHING)).toEqual({ index: 2 });
    expect(selectResult([ohms[0], band('otherwise')], { kind: 'open' }, NOTHING)).toEqual({ index: 1 });
    expect(selectResult([ohms[0]], { kind: 'open' }, NOTHING)).toEqual({ none: true });
  });

  it('reads a lamp at its points', () => {
    const fuse = ['lit at fuse_in and dark at fuse_out', 'lit at fuse_in and lit at fuse_out', 'otherwise'].map(band);
    const shown = (into: string, out: string): Readings => new Map([['fuse_in', { kind: 'word', word: into }], ['fuse_out',
      { kind: 'word', word: out }]]);
    expect(selectResult(fuse, shown('lit', 'dark'), NOTHING)).toEqual({ index: 0 });
    expect(selectResult(fuse, shown('Lit', 'LIT'), NOTHING)).toEqual({ index: 1 });
    expect(selectResult(fuse, shown('dark', 'dark'), NOTHING)).toEqual({ index: 2 });
  });
});

describe('judgeReadings', () => {
  const readings = [1, 5, 3].map((value) => number(2 * value));
  it.each([['highest', 5], ['lowest', 1], ['mean', 3], ['spread', 4]] as const)('%s', (judge, value) => {
    expect(judgeReadings(judge, readings)).toMatchObject({ base: rational(value) });
  });

  it('makes a spread of temperatures a difference', () => {
    const temperatures = [20, 25].map((value): Reading => ({ kind: 'number', base: rational(value), dimension: 'temperature' }));
    expect(judgeReadings('spread', temperatures)).toEqual({ kind: 'number', base: rational(5),
      dimension: 'temperature_difference' });
  });

  it('knows that overload is the highest', () => {
    const open: Reading = { kind: 'open' };
    expect(judgeReadings('highest', [...readings, open])).toEqual(open);
    expect(judgeReadings('lowest', [...readings, open])).toMatchObject({ base: rational(1) });
    expect(judgeReadings('spread', [...readings, open])).toEqual(open);
    expect(judgeReadings('mean', [...readings, open]).kind).toBe('problem');
  });
});
