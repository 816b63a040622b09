/** Gaps, overlaps and results never met, printed as a writer reads them. */
import { describe, expect, it } from 'vitest';
import { band, inShort, SYMBOLS } from './bands.ts';
import { examineBands } from '../../server/src/quantity/band-algebra.ts';
import type { BandOptions } from '../../server/src/quantity/band-algebra.ts';

type Case = readonly [title: string, bands: readonly string[], options: Partial<BandOptions>, expected: Record<string, unknown>];

function holds(cases: readonly Case[]): void {
  it.each(cases)('%s', (_, bands, options, expected) => expect(inShort(bands, options)).toEqual(expected));
}

const volts = { word: 'dc_voltage' } as const;
const ohms = { word: 'resistance' } as const;

describe('ends, open and closed', () => holds([
  ['two bands that meet', ['at most 0.4 V', 'above 0.4 V'], volts, {}],
  ['a gap between two values', ['at most 0.4 V', 'above 0.5 V'], volts, { gaps: ['above 0.4 V and at most 0.5 V'] }],
  ['a gap with its lower end in', ['below 0.4 V', 'at least 0.5 V'], volts, { gaps: ['at least 0.4 V and below 0.5 V'] }],
  ['a gap with both ends in', ['below 0.4 V', 'above 0.5 V'], volts, { gaps: ['between 0.4 V and 0.5 V'] }],
  ['a gap with neither end in', ['at most 0.4 V', 'at least 0.5 V'], volts, { gaps: ['above 0.4 V and below 0.5 V'] }],
  ['a gap of one value', ['below 12.4 V', 'above 12.4 V'], volts, { gaps: ['exactly 12.4 V'] }],
  ['an overlap of one value', ['at most 12.4 V', 'at least 12.4 V'], volts, { overlaps: ['0+1 exactly 12.4 V'] }],
  ['an overlap of many', ['at most 13 V', 'above 12.4 V'], volts, { overlaps: ['0+1 above 12.4 V and at most 13 V'] }],
  ['the same bound in two units', ['at most 400 mV', 'above 0.4 V'], volts, {}],
  ['a third of an inch is not 0.333 in', ['at most 1/3 in', 'above 0.3333 in'], { word: 'length' },
    { overlaps: ['0+1 above 0.3333 in and at most 1/3 in'] }],
  ['gaps keep the writer\'s units', ['at most 400 mV', 'above 0.5 V'], volts, { gaps: ['above 400 mV and at most 0.5 V'] }],
  ['both sides left out', ['between 11 V and 13 V'], volts, { gaps: ['below 11 V', 'above 13 V'] }],
  ['several gaps', ['below 1 V', 'between 2 V and 3 V', 'above 4 V'], volts,
    { gaps: ['at least 1 V and below 2 V', 'above 3 V and at most 4 V'] }],
  ['equal to', ['equal to 5 V', 'below 5 V', 'above 5 V'], volts, {}],
  ['20 °C is 68 °F', ['at most 20 °C', 'above 68 °F'], { word: 'temperature' }, {}],
]));

describe('what cannot be read needs no result', () => holds([
  ['no resistance is below zero', ['at most 5 ohm', 'above 5 ohm'], ohms, {}],
  ['from zero on', ['between 0 ohm and 5 ohm', 'above 5 ohm'], ohms, {}],
  ['above zero leaves zero itself', ['above 0 ohm'], ohms, { gaps: ['exactly 0 ohm'] }],
  ['a band below zero is never met', ['below 0 ohm', 'at least 0 ohm'], ohms, { never: ['0 outside'] }],
  ['a direct voltage can be negative', ['between 0 V and 12 V', 'above 12 V'], volts, { gaps: ['below 0 V'] }],
  ['an alternating one cannot', ['between 0 V and 12 V', 'above 12 V'], { word: 'ac_voltage' }, {}],
  ['a duty cycle ends at 100 %', ['at most 50 %', 'between 51 % and 100 %'], { word: 'duty_cycle' },
    { gaps: ['above 50 % and below 51 %'] }],
  ['above 100 % is never met', ['at most 100 %', 'above 100 %'], { word: 'duty_cycle' }, { never: ['1 outside'] }],
  ['absolute pressure is not negative', ['between 0 bar abs and 1 bar abs', 'above 1 bar abs'], { word: 'pressure' }, {}],
  ['gauge pressure can be', ['between 0 bar and 1 bar', 'above 1 bar'], { word: 'pressure' }, { gaps: ['below 0 bar'] }],
  ['a spread is not negative, and is a difference', ['at most 5 K', 'above 5 K'],
    { word: 'temperature', judge: 'spread', points: ['a', 'b'] }, {}],
  ['a spread has no degrees of a scale', ['at most 5 °C'], { word: 'temperature', judge: 'spread', points: ['a', 'b'] },
    { problems: ['unit-mismatch: The limit 5 °C is a temperature, but a temperature difference is judged.'] }],
]));

describe('counts are whole', () => holds([
  ['between 3 and 4 there is nothing', ['at most 3', 'at least 4'], { word: 'count' }, {}],
  ['4 is left out', ['at most 3', 'at least 5'], { word: 'count' }, { gaps: ['exactly 4'] }],
  ['4 and 5 are left out', ['below 4', 'at least 6'], { word: 'count' }, { gaps: ['between 4 and 5'] }],
  ['above 3 and below 4 is empty', ['above 3 and below 4', 'otherwise'], { word: 'count' }, { never: ['0 empty'] }],
  ['halves do not matter', ['at most 3.5', 'at least 3.6'], { word: 'count' }, {}],
  ['the mean of counts is not whole', ['at most 3', 'at least 4'], { word: 'count', judge: 'mean', points: ['a', 'b'] },
    { gaps: ['above 3 and below 4'] }],
]));

describe('overload', () => holds([
  ['lies above every bound', ['at most 5 ohm', 'above 5 ohm'], ohms, {}],
  ['is left over where no band is open above', ['at most 5 ohm', 'above 5 ohm and at most 1 Mohm'], ohms,
    { gaps: ['above 1 Mohm or open (overload)'] }],
  ['is taken by a result that says so', ['at most 5 ohm', 'above 5 ohm', 'open'], ohms, {}],
  ['and by otherwise', ['at most 5 ohm', 'otherwise'], ohms, {}],
  ['belongs to two results that say open', ['at most 5 ohm', 'above 5 ohm', 'open', 'open'], ohms,
    { overlaps: ['2+3 open (overload)'] }],
  ['is no number: open alone leaves the numbers', ['open'], ohms, { gaps: ['any number'] }],
]));

describe('names without a value', () => holds([
  ['one bound', ['at least supply - 1.5 V', 'below supply - 1.5 V'], volts, {}],
  ['the same bound put in another way', ['at least supply - 1.5 V', 'below -1500 mV + supply'], volts, {}],
  ['a gap below it', ['at least supply - 1.5 V'], volts, { gaps: ['below supply - 1.5 V'] }],
  ['bounds that differ by a constant', ['at least supply - 1.5 V', 'below supply - 2 V'], volts,
    { gaps: ['at least supply - 2 V and below supply - 1.5 V'] }],
  ['overlap of bounds that differ by a constant', ['at least supply - 2 V', 'below supply - 1.5 V'], volts,
    { overlaps: ['0+1 at least supply - 2 V and below supply - 1.5 V'] }],
  ['between two facts, and otherwise', ['between coil_low and coil_high', 'otherwise'], ohms,
    { assumed: ['coil_low is at most coil_high'] }],
  ['between two facts alone', ['between coil_low and coil_high'], ohms, { gaps: ['below coil_low',
    'above coil_high or open (overload)'], assumed: ['coil_low is at most coil_high'] }],
  ['below, between, above', ['below coil_low', 'between coil_low and coil_high', 'above coil_high'], ohms,
    { assumed: ['coil_low is at most coil_high'] }],
  ['ends that both count', ['at most coil_low', 'between coil_low and coil_high', 'above coil_high'], ohms,
    { overlaps: ['0+1 exactly coil_low'], assumed: ['coil_low is at most coil_high'] }],
  ['an order that nobody knows', ['at most 5 ohm', 'above coil_low'], ohms, { undecided: [
    'Depending on coil_low, a reading above 5 ohm and at most coil_low may have no result.',
      'Depending on coil_low, a reading above coil_low and at most 5 ohm may have two results.'] }],
  ['a share of a resistance has a known order', ['below coil_low * 0.9', 'between coil_low * 0.9 and coil_low * 1.1',
    'above 1.1 * coil_low'], ohms, {}],
  ['a share of a voltage has not: it may be negative', ['below supply * 0.9', 'between supply * 0.9 and supply * 1.1',
    'above supply * 1.1'], volts, { assumed: ['supply * 0.9 is at most supply * 1.1'] }],
  ['the greater of two', ['above max(coil_low, coil_high)', 'at most max(coil_low, coil_high)'], ohms, {}],
  ['the greater of two is one of them', ['above max(coil_low, coil_high)', 'at most coil_low',
    'above coil_low and at most max(coil_low, coil_high)'], ohms, { assumed: ['coil_low is below max(coil_low, coil_high)'] }],
  ['max with constants is a constant', ['at most max(3 ohm, 5 ohm)', 'above 5 ohm'], ohms, {}],
  ['abs', ['at most abs(supply)', 'above abs(supply)'], volts, {}],
  ['a temperature and a difference', ['at most rest + 5 K', 'above rest + 9 Δ°F'], { word: 'temperature' }, {}],
  ['a name that nobody declared is a symbol', ['at most whatever', 'above whatever'], volts, {}],
]));

describe('results that are never met', () => holds([
  ['limits the wrong way round', ['between 5 V and 3 V', 'otherwise'], volts, { never: ['0 empty'] }],
  ['conditions that shut each other out', ['above 5 V and below 3 V', 'otherwise'], volts, { never: ['0 empty'] }],
  ['an otherwise with nothing left', ['at most 5 V', 'above 5 V', 'otherwise'], volts, { never: ['2 taken'] }],
  ['a second otherwise', ['at most 5 V', 'otherwise', 'otherwise'], volts, { never: ['2 taken'] }],
  ['a word the lamp never shows', ['lit', 'dark', 'flashing'], { ...volts, words: ['lit', 'dark'] }, { never: ['2 not_shown'] }],
  ['a number on a lamp', ['lit', 'dark', 'above 5 V'], { ...volts, words: ['lit', 'dark'] }, { never: ['2 not_shown'] }],
  ['a word on a meter', ['lit', 'at most 5 V', 'above 5 V'], volts, { never: ['0 not_shown'] }],
]));

describe('points', () => {
  const fuse = { ...volts, points: ['fuse_in', 'fuse_out'], words: ['lit', 'dark'] };
  const drops = { ...volts, points: ['motor_case', 'chassis'] };
  holds([
    ['a lamp at two points', ['lit at fuse_in and dark at fuse_out', 'lit at fuse_in and lit at fuse_out'], fuse,
      { gaps: ['dark at fuse_in'] }],
    ['with otherwise', ['lit at fuse_in and dark at fuse_out', 'lit at fuse_in and lit at fuse_out', 'otherwise'], fuse, {}],
    ['one combination is missing', ['lit at fuse_in and dark at fuse_out', 'lit at fuse_in and lit at fuse_out',
      'dark at fuse_in and dark at fuse_out'], fuse, { gaps: ['dark at fuse_in and lit at fuse_out'] }],
    ['numbers at two points', ['at most 3 V at motor_case and at most 3 V at chassis', 'above 3 V at motor_case',
      'above 3 V at chassis'], drops, { overlaps: ['1+2 above 3 V at motor_case and above 3 V at chassis'] }],
    ['a corner is missing', ['at most 3 V at motor_case and at most 3 V at chassis', 'above 3 V at motor_case'], drops,
      { gaps: ['at most 3 V at motor_case and above 3 V at chassis'] }],
    ['a condition without a point', ['at most 3 V', 'above 3 V at chassis'], drops,
      { problems: ['point-missing: The condition does not say at which point.'] }],
    ['a point that is not there', ['at most 3 V at motor', 'otherwise'], drops,
      { problems: ["point-unknown: 'motor' is not a point of this step."] }],
    ['one value is judged', ['at most 3 V', 'above 3 V'], { ...drops, judge: 'highest' }, {}],
    ['each takes its own result', ['at most 3 V', 'at least 4 V'], { ...drops, judge: 'each' },
      { gaps: ['above 3 V and below 4 V'] }],
    ['a lamp whose words are not stated', ['lit', 'dark'], volts,
      { undecided: ['What the instrument can show is not stated, so it is not known whether every reading has a result.'] }],
  ]);

  it('says so where there are too many combinations', () => {
    const points = Array.from({ length: 12 }, (_, index) => `p${index}`);
    const bands = [band(points.map((point) => `at most 3 V at ${point}`).join(' and '))];
    const found = examineBands(bands, { ...volts, points, environment: SYMBOLS });
    expect(found.gaps).toEqual([]);
    expect(found.undecided[0]?.text).toContain('too many combinations');
  });

  it('says so where too many values are unknown', () => {
    const names = Array.from({ length: 9 }, (_, index) => `value_${index}`);
    const found = examineBands(names.map((name) => band(`equal to ${name}`)), { ...volts, environment: SYMBOLS });
    expect(found.undecided[0]?.text).toContain('too many values');
  });
});

describe('kinds', () => holds([
  ['ohms for volts', ['below 5 V', 'at most 3 ohm'], volts,
    { problems: ['unit-mismatch: The limit 3 ohm is a resistance, but DC voltage is judged.'] }],
  ['no unit', ['below 5'], volts, { problems: ['unit-missing: The limit 5 has no unit.'] }],
  ['AC for DC', ['below 5 V AC'], volts, { problems: ['unit-mismatch: The limit 5 V AC does not fit DC voltage.'] }],
  ['energy for torque', ['below 5 J'], { word: 'torque' },
    { problems: ['unit-mismatch: The limit 5 J is an energy, but torque is judged.'] }],
  ['two temperatures added', ['below 20 °C + 5 °C'], { word: 'temperature' },
    { problems: ['expression: Two temperatures cannot be added.'] }],
  ['a kelvin is a temperature too', ['below 300 K', 'at least 300 K'], { word: 'temperature' }, {}],
  ['absolute and gauge in one step', ['below 3 bar abs', 'at least 3 bar'], { word: 'pressure' },
    { problems: ['unit-mismatch: The limit 3 bar is a pressure, but 3 bar abs is an absolute pressure.'] }],
  ['inches of mercury as a vacuum', ['below 20 inHg', 'at least 20 inHg'], { word: 'vacuum' }, {}],
  ['a duty cycle needs its %', ['below 50'], { word: 'duty_cycle' }, { problems: ['unit-missing: The limit 50 has no unit.'] }],
  ['a decision on a ratio', ['at most 0.5', 'above 50 %'], { dimension: 'ratio' }, {}],
  ['a decision of unknown kind', ['at most 0.5 V', 'above 0.5 V'], {}, {}],
]));

it('reports no gap where a band could not be read', () => {
  const found = examineBands([band('below 5 V'), undefined], { ...volts, environment: SYMBOLS });
  expect(found.gaps).toEqual([]);
});

it('knows values of the shop', () => {
  const environment = (name: string) => (name === 'full_rest' ? { base: { numerator: 253n, denominator: 10n },
    dimension: 'voltage' } : SYMBOLS(name));
  expect(inShort(['at least full_rest', 'below 25.3 V'], { ...volts, environment })).toEqual({});
  expect(inShort(['at least full_rest', 'below 25 V'], { ...volts,
    environment })).toEqual({ gaps: ['at least 25 V and below full_rest'] });
});
