/** What makes no sense is refused with a reason and without a number, however it is written; nothing throws, and nothing takes long. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { COMPUTATIONS } from '../../server/src/quantity/computations.ts';
import { evaluate } from '../../server/src/quantity/evaluate.ts';
import { formatQuantityPlain } from '../../server/src/quantity/format-quantity.ts';
import { guardedVerdict, resultsWithin } from '../../server/src/quantity/accuracy.ts';
import { parseExpression } from '../../server/src/quantity/parse-band.ts';
import { parseQuantity } from '../../server/src/quantity/parse-quantity.ts';
import { rational } from '../../server/src/quantity/rational.ts';
import { selectResult } from '../../server/src/quantity/select-band.ts';
import { allUnits } from '../../server/src/quantity/unit.ts';
import { band } from './bands.ts';

function outcome(text: string): string {
  const { expression, problems } = parseExpression(text);
  if (!expression) return `✗ ${problems[0]?.message ?? ''}`;
  const found = evaluate(expression, () => undefined);
  if (found.value) return formatQuantityPlain({ base: found.value.base, unit: found.value.unit });
  return found.problem === undefined ? `? ${(found.unknown ?? []).join()}` : `✗ ${found.problem}`;
}

describe('arithmetic between kinds', () => {
  it.each([
    // Temperatures as points and as differences.
    ['20 °C + 5 K', '25 °C'], ['20 °C - 5 °C', '15 Δ°C'], ['68 °F - 20 °C', '0 Δ°F'], ['20 °C - 5 K', '15 °C'], ['5 K + 20 °C', '25 °C'],
    ['20 °C + 5 °C', '✗ Two temperatures cannot be added.'], ['2 * 20 °C', '✗ A temperature on a scale cannot be multiplied: twice 20 °C means nothing.'],
    ['5 K - 20 °C', '✗ A temperature cannot be taken from a temperature difference.'], ['-(20 °C)', '✗ A temperature on a scale cannot be negated.'],
    ['min(20 °C, 5 K)', '✗ min compares a temperature with a temperature difference.'], ['20 °C - 400 K', '✗ Nothing is colder than absolute zero (-273.15 °C, -459.67 °F).'],
    // Pressures with their zero points.
    ['100 psia - 14.7 psi', '85.3 psi abs'], ['5 bar gauge - 1 bar gauge', '4 bar diff'], ['5 bar - 1 bar gauge', '4 bar'],
    ['100 psig + 14.7 psia', '✗ A gauge pressure and an absolute pressure have different zero points and cannot be mixed.'],
    ['5 bar - 1 bar abs', '✗ An absolute pressure cannot be taken from a pressure that is not absolute.'],
    ['30 inHg - 20 inHg vac', '✗ A vacuum cannot be taken from a pressure.'], ['20 inHg vac + 5 inHg', '25 inHg vac'],
    ['5 psia - 10 psi', '✗ An absolute pressure cannot be negative.'], ['45 psia + 45 psia', '✗ Two absolute pressures cannot be added.'],
    // Torque is not energy, a pound not a pound.
    ['5 N·m + 5 J', '✗ A torque and an energy cannot be added.'], ['5 N * 2 m', '10 N·m'], ['5 J / 2 m', '2.5 N'],
    ['5 lb + 5 lbf', '✗ A mass and a force cannot be added.'], ['5 lb * 9.80665 m/s²', '22.24111 N'], ['50 Hz - 3000 rpm', '✗ A frequency and a rotational speed cannot be subtracted.'],
    ['35 N·m - 10 %', '✗ A torque and a plain number or ratio cannot be subtracted.'], ['35 N·m * 90 %', '31.5 N·m'],
    // What is computed has a unit that a shop reads.
    ['5 V * 2 A', '10 W'], ['5 V / 2 A', '2.5 Ω'], ['12.6 V / 90 ohm', '140 mA'], ['60 km/h * 1 h', '60000 m'], ['5 L / 2 min', '2.5 L/min'],
    // Nothing is divided by zero.
    ['5 V / 0 A', '✗ The expression divides by zero.'], ['5 V / (3 - 3)', '✗ The expression divides by zero.'], ['0 V / 0 V', '✗ The expression divides by zero.'],
  ])('%s: %s', (text, expected) => expect(outcome(text)).toBe(expected));
});

describe('computations outside their range', () => {
  it.each([
    ['isolation_minimum_dc(400 V AC)', '✗ isolation_minimum_dc is for DC, and V AC is not.'], ['approach_distance(480 V DC)', '✗ approach_distance is for AC, and V DC is not.'],
    ['isolation_minimum_ac(400 V AC)', '200 kΩ'], ['isolation_minimum_dc(400 V)', '40 kΩ'], ['resistance_at(-5 ohm, 20 °C, 60 °C)', '✗ A resistance cannot be negative.'],
    ['state_of_charge(24.8 V)', '✗ The voltage is outside the range of the computation.'], ['state_of_charge(24.8 V, 25 °C, 2)', '75 %'],
    ['state_of_charge(12.4 V, 20)', '✗ state_of_charge needs a temperature for temperature, not a plain number or ratio.'],
    ['state_of_charge(12.4 V, 25 °C, 1.5)', '✗ The number of batteries is 1 to 8.'], ['leak_rate(100 psi, 98 psi, 0 min)', '✗ The time must be above 0.'],
    ['leak_rate(100 psi, 98 psi, 1 min)', '2 psi/min'], ['voltage_drop(200 A, 0 mm², 2 m)', '✗ The cross-section is outside the range of the computation.'],
    ['voltage_drop_awg(200 A, 2.5, 2 m)', '✗ A gauge is a whole number.'], ['r134a_temperature(70 psig)', '✗ r134a_temperature needs an absolute pressure for pressure, not a gauge pressure.'],
    ['absolute_of(-2 bar)', '✗ That would be below a full vacuum.'], ['parallel()', '✗ parallel takes resistance, ….'], ['parallel(100 ohm, 0 ohm)', '✗ Each resistance must be above 0 ohm.'],
    ['current_of(55 W, 0 V)', '✗ The voltage must not be 0 V.'], ['adapter_setting(100 J, 500 mm, 10 mm)', '✗ adapter_setting needs a torque for torque, not an energy.'],
  ])('%s: %s', (text, expected) => expect(outcome(text)).toBe(expected));

  it('a cross-section and a gauge give one drop', () => {
    expect(outcome('voltage_drop(200 A, 2/0 AWG, 2 m)')).toBe(outcome('voltage_drop_awg(200 A, -1, 2 m)'));
  });

  it.each(COMPUTATIONS.map((each) => [each.name, each] as const))('%s never throws, and gives nothing below zero where it says so', (_, computation) => {
    const number = fc.tuple(fc.bigInt({ min: -1_000_000n, max: 1_000_000n }), fc.bigInt({ min: 1n, max: 1000n }), fc.integer({ min: -6, max: 6 }))
      .map(([n, d, power]) => (power >= 0 ? rational(n * 10n ** BigInt(power), d) : rational(n, d * 10n ** BigInt(-power))));
    const given = fc.array(number, { minLength: computation.parameters.length, maxLength: computation.parameters.length + (computation.variadic ? 3 : 0) });
    fc.assert(fc.property(given, (values) => {
      const found = computation.compute(values);
      if (found.problem !== undefined) expect(found.value).toBeUndefined();
      else if (computation.notNegative) expect(found.value.numerator >= 0n).toBe(true);
    }), { numRuns: 200, seed: 2026 });
  });
});

describe('hostile numbers and texts', () => {
  it.each(['1e60 V', '1e-60 V', '0 V', '-0 V', '0e60 V', `${'1'.repeat(40)} V`, '0.' + '0'.repeat(38) + '1 V'])('%s is read, and read again as printed', (text) => {
    const { quantity } = parseQuantity(text);
    expect(quantity).toBeDefined();
    const again = quantity && parseQuantity(quantity.text).quantity;
    expect(again?.base).toEqual(quantity?.base);
  });

  it.each(['1e61 V', '1e-61 V', `${'1'.repeat(41)} V`, '1e1e1 V', '..5 V', '5 /0 V', `5 ${'x'.repeat(5000)}`, `${'5 '.repeat(200)}`, '½½ in', '1/2/3 in'])('%j is refused or stops short, and does not throw', (text) => {
    expect(parseQuantity(text).problems.length).toBeGreaterThan(0);
  });

  it('the largest products stay exact', () => {
    expect(outcome(`${Array.from({ length: 30 }, () => '1e60 V').join(' / ')}`)).toMatch(/^0\.0+1/);
    expect(outcome(`${Array.from({ length: 400 }, () => '1e60').join(' * ')}`)).toMatch(/^(?:1(?:0){24000}|✗ .*)$/);
  });

  it('random texts of numbers, signs and units never throw, and every problem has a place', () => {
    const units = allUnits().map((unit) => unit.symbol);
    const word = fc.oneof(fc.constantFrom(...units), fc.constantFrom('in', 'min', 'm', 't', 'ton', 'gal', 'oz', 'lb', 'C', 'F', 'cal', 'AWG', 'per', 'and', 'to', 'g', 'DC'),
      fc.constantFrom('+', '-', '−', '±', '/', '*', '·', '(', ')', ',', '.', '…', '°', '"', "'", '%', '½', '7/16', '2/0', '1 000', '1,5', '1e9', '12.6', ' ', '\u00a0', '²', '⁻¹'));
    fc.assert(fc.property(fc.array(word, { maxLength: 12 }), fc.constantFrom('', ' '), (words, join) => {
      const text = words.join(join);
      const { quantity, problems } = parseQuantity(text);
      for (const { span, message } of problems) {
        expect(span.start).toBeGreaterThanOrEqual(0);
        expect(span.end).toBeLessThanOrEqual(Math.max(text.length, 0));
        expect(message).not.toBe('');
      }
      if (!quantity) expect(problems.length).toBeGreaterThan(0);
      else if (problems.length === 0 && quantity.unit?.dimension === 'temperature') expect(quantity.base.numerator >= 0n).toBe(true);
      outcome(text);
    }), { numRuns: 3000, seed: 2026 });
  });
});

describe('guard bands', () => {
  it('agree, whether a limit is held against a reading or a reading against two results', () => {
    const bands = ['at least 12.4 V', 'below 12.4 V'].map(band);
    const limit = rational(124, 10);
    fc.assert(fc.property(fc.bigInt({ min: 1200n, max: 1300n }), fc.bigInt({ min: 0n, max: 30n }), (hundredths, width) => {
      const reading = rational(hundredths, 100n);
      const w = rational(width, 100n);
      const within = resultsWithin((base) => selectResult(bands, { kind: 'number', base, dimension: 'voltage' }, () => undefined), reading, w, [limit]);
      const verdict = guardedVerdict(reading, { low: limit }, w);
      // On the guarded limit itself a strict comparison still may go either way.
      const onEdge = hundredths + width === 1240n;
      if (!onEdge) expect(within?.length === 2 ? 'too_close' : within?.[0] === 0 ? 'accept' : 'reject').toBe(verdict);
    }), { numRuns: 500, seed: 2026 });
  });
});
