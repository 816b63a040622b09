/** Quantities in sentences. */
import { describe, expect, it } from 'vitest';
import { findQuantitiesInProse, quantitiesAgree } from '../../server/src/quantity/prose-quantities.ts';
import { formatQuantityPlain } from '../../server/src/quantity/format-quantity.ts';
import { parseQuantity } from '../../server/src/quantity/parse-quantity.ts';

const found = (text: string): string[] => findQuantitiesInProse(text).map(({ quantity, span, pairedWith, tolerance }) =>
  `${formatQuantityPlain(quantity)} [${text.slice(span.start, span.end)}]${tolerance ? ` ± ${formatQuantityPlain(tolerance)}` : ''}${pairedWith ? ` with ${formatQuantityPlain(pairedWith.quantity)}` : ''}`);

describe('findQuantitiesInProse', () => {
  it.each([
    ['Torque the nuts to 35 N·m.', ['35 N·m [35 N·m]']], ['Torque to 35 N·m (26 lb·ft).',
      ['35 N·m [35 N·m] with 26 lb·ft', '26 lb·ft [26 lb·ft] with 35 N·m']], ['Charge to 30 psi/200 kPa.',
      ['30 psi [30 psi] with 200 kPa', '200 kPa [200 kPa] with 30 psi']],
    ['Set 35 ± 5 N·m.', ['35 N·m [35] ± 5 N·m']], ['between 18 and 26 ohm', ['18 Ω [18]', '26 Ω [26 ohm]']],
    ['18–26 N·m (13–19 lb·ft)', ['18 N·m [18] with 13 lb·ft', '26 N·m [26 N·m] with 19 lb·ft', '13 lb·ft [13] with 18 N·m',
    '19 lb·ft [19 lb·ft] with 26 N·m']],
    ['Use a 12-V battery and a 10-mm socket.', ['12 V [12-V]', '10 mm [10-mm]']], ['Wait 1 min 30 s, then read.',
      ['90 s [1 min 30 s]']], ['from -20 °C to 40 °C', ['-20 °C [-20 °C]', '40 °C [40 °C]']], ['Less than 0.5 V.',
      ['0.5 V [0.5 V]']], ['A 3 in. hose.', ['3 in [3 in.]']],
    ['Use a 1/2" drive.', ['0.5 in [1/2"]']], ['12 V or 24 V', ['12 V [12 V]', '24 V [24 V]']], ['5 V at the 3 A fuse',
      ['5 V [5 V]', '3 A [3 A]']], ['Hold for 3 seconds.', ['3 s [3 seconds]']],
  ])('%s', (text, expected) => expect(found(text)).toEqual(expected));

  it.each([
    'Put 2 in the box.', 'Use diagram WD-7 V2 of 2026-10-30.', 'Select 1st gear, then 2nd.', 'Fit an M8 bolt.',
      'Read it at 10:30 h.', 'Fill 2 gal.', 'Set the dial to "5".', 'Check 4 in-line fuses.', 'Do it three times.',
      'Item 12, then 13.', 'Turn {supply} off.', 'R134a and 5W30', 'sheet 2/3',
  ])('finds nothing in: %s', (text) => expect(found(text)).toEqual([]));
});

describe('quantitiesAgree', () => {
  it.each<[string, string, boolean | undefined]>([
    ['35 N·m', '26 lb·ft', true], ['35 N·m', '36 lb·ft', false], ['35 N·m', '25.8 lb·ft', true], ['35 N·m', '25.5 lb·ft', true],
    ['35 N·m', '25.1 lb·ft', false], ['100 psi', '7 bar', true], ['100 psi', '6.9 bar', true], ['100 psi', '7.9 bar', false],
    ['30 psi', '200 kPa', true], ['30 psi', '300 kPa', false],
    ['10 mm', '3/8 in', true], ['100 °C', '212 °F', true], ['100 °C', '200 °F', false], ['0.5 V', '500 mV', true],
    ['0.5 V', '50 mV', false], ['1 in', '25.4 mm', true], ['1 in', '25 mm', true], ['1 in', '28 mm', false],
    ['12 V', '12 A', undefined], ['2 bar abs', '29 psi', undefined],
  ])('%s and %s: %s', (a, b, expected) => {
    const first = parseQuantity(a).quantity;
    const second = parseQuantity(b).quantity;
    expect(first && second && quantitiesAgree(first, second)).toBe(expected);
  });
});
