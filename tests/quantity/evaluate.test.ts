/** Values and kinds of expressions. */
import { describe, expect, it } from 'vitest';
import { dimensionOf, evaluate } from '../../server/src/quantity/evaluate.ts';
import { fromBase } from '../../server/src/quantity/quantity.ts';
import { findUnit } from '../../server/src/quantity/unit.ts';
import { parseExpression } from '../../server/src/quantity/parse-band.ts';
import { rational, rationalToText } from '../../server/src/quantity/rational.ts';
import type { Environment } from '../../server/src/quantity/evaluate.ts';

const KNOWN: Environment = (name) => {
  const values: Readonly<Record<string, readonly [number, string]>> = { supply: [24, 'voltage'], coil: [20, 'resistance'],
    rest: [293, 'temperature'], 'drop.left': [1, 'voltage'] };
  const value = values[name];
  if (name === 'blown') return { base: rational(0), dimension: 'resistance', open: true };
  return value && { base: rational(value[0]), dimension: value[1] };
};

function expression(text: string) {
  const parsed = parseExpression(text).expression;
  if (!parsed) throw new Error(text);
  return parsed;
}

describe('evaluate', () => {
  it.each([
    ['supply - 1.5 V', 'V', '22.5'], ['supply * 90 %', 'V', '21.6'], ['supply / coil', 'A', '1.2'],
    ['supply * (supply / coil)', 'W', '28.8'], ['max(supply, 25 V)', 'V', '25'], ['min(supply, 25 V, drop.left)', 'V', '1'],
    ['abs(-3 V)', 'V', '3'], ['20 °C + 5 K', '°C', '25'], ['5 K + 20 °C', '°C', '25'], ['25 °C - 20 °C', 'K', '5'],
    ['20 °C + 9 Δ°F', '°C', '25'], ['-(3 V)', 'V', '-3'], ['2 * 3 + 4', undefined, '10'], ['2 + 3 * 4', undefined, '14'],
    ['10 - 3 - 2', undefined, '5'], ['12 / 3 / 2', undefined, '2'], ['180 bar - 10 bar', 'bar', '170'],
    ['100 kPa abs - 10 kPa', 'kPa abs', '90'], ['30 psig - 5 psid', 'psi gauge', '25'], ['40 psig - 30 psig', 'psi diff', '10'],
    ['35 N·m * 2', 'N·m', '70'], ['1 kN * 10 cm', 'N·m', '100'], ['100 N·m / 50 cm', 'N', '200'], ['6 L / 2 min', 'L/min', '3'],
    ['10 m / 2 s', 'm/s', '5'], ['12 V * 80 Ah', 'Wh', '960'], ['0.1 + 0.2', undefined, '0.3'],
  ])('%s', (text, unitText, expected) => {
    const result = evaluate(expression(text), KNOWN);
    if (!result.value) throw new Error(result.problem ?? result.unknown.join());
    const unit = unitText === undefined ? undefined : findUnit(unitText).unit;
    expect(result.value.dimension).toBe(unit?.dimension ?? 'ratio');
    expect(rationalToText(unit ? fromBase(result.value.base, unit) : result.value.base)).toBe(expected);
  });

  it.each([
    ['20 °C + 5 °C', 'Two temperatures cannot be added.', '20 °C + 5 °C'],
    ['2 * 20 °C', 'A temperature on a scale cannot be multiplied: twice 20 °C means nothing.', '2 * 20 °C'],
    ['supply + coil', 'A voltage and a resistance cannot be added.', 'supply + coil'],
    ['supply - 10 %', 'A voltage and a plain number or ratio cannot be subtracted.', 'supply - 10 %'],
    ['3 bar abs + 2 psig', 'An absolute pressure and a gauge pressure have different zero points and cannot be mixed.',
    '3 bar abs + 2 psig'],
    ['5 N·m + 5 J', 'A torque and an energy cannot be added.', '5 N·m + 5 J'],
    ['supply / 0', 'The expression divides by zero.', '0'], ['supply / (coil - 20 ohm)', 'The expression divides by zero.',
    '(coil - 20 ohm)'], ['max(3 V, 3 ohm)', 'max compares a voltage with a resistance.', '3 ohm'],
    ['abs(1 V, 2 V)', 'abs takes one argument.', 'abs(1 V, 2 V)'], ['max()', 'max takes at least one argument.', 'max()'],
    ['voltage_drop(3 V, 2 mm2, 1 m)', 'voltage_drop needs a current for current, not a voltage.', '3 V'],
    ['5 K - 20 °C', 'A temperature cannot be taken from a temperature difference.', '5 K - 20 °C'],
    ['blown + 3 ohm', "'blown' reads open (overload) and has no number.", 'blown'],
    ['load_test_minimum()', 'load_test_minimum takes temperature.', 'load_test_minimum()'],
  ])('%s: %s', (text, problem, place) => {
    const result = evaluate(expression(text), KNOWN);
    expect(result.problem).toBe(problem);
    expect(result.problem !== undefined && text.slice(result.span.start, result.span.end)).toBe(place);
  });

  it('names what is missing, each once', () => {
    expect(evaluate(expression('a_one + max(b_two, a_one) - supply'), KNOWN)).toEqual({ unknown: ['a_one', 'b_two'] });
  });
});

describe('dimensionOf', () => {
  const kinds = (name: string): string | undefined => ({ supply: 'voltage', coil: 'resistance', rest: 'temperature' })[name];

  it.each([['supply - 1.5 V', 'voltage'], ['supply / coil', 'current'], ['rest + 5 K', 'temperature'],
    ['max(supply, 3 V)', 'voltage'], ['state_of_charge(supply)', 'ratio'],
    ['coil * 2', 'resistance']])('%s is a %s', (text, dimension) => {
    expect(dimensionOf(expression(text), kinds)).toEqual({ dimension });
  });

  it('needs no value to find a fault', () => {
    expect(dimensionOf(expression('supply + coil'), kinds).problem).toBe('A voltage and a resistance cannot be added.');
    expect(dimensionOf(expression('state_of_charge(coil)'), kinds).problem).toContain('needs a voltage');
    expect(dimensionOf(expression('nobody + 3 V'), kinds)).toEqual({ unknown: ['nobody'] });
  });
});
