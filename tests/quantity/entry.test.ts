/** What a technician types. */
import { describe, expect, it } from 'vitest';
import { findUnit } from '../../server/src/quantity/unit.ts';
import { formatQuantityPlain } from '../../server/src/quantity/format-quantity.ts';
import { understandEntry } from '../../server/src/quantity/entry.ts';
import type { QuantityWord } from '../../server/src/quantity/quantity-words.ts';

function enter(typed: string, word: QuantityWord, unit?: string): string {
  const entry = understandEntry(typed, { word, unit: unit === undefined ? undefined : findUnit(unit).unit });
  if (entry.quantity) return formatQuantityPlain(entry.quantity);
  return entry.open ? 'open' : (entry.word ?? entry.problem ?? '');
}

describe('understandEntry', () => {
  it.each<[string, QuantityWord, string | undefined, string]>([
    ['12,6', 'dc_voltage', 'V', '12.6 V'], ['12.6', 'dc_voltage', 'V', '12.6 V'], ['12.6V', 'dc_voltage', 'V', '12.6 V'],
    ['450 mV', 'dc_voltage', 'V', '450 mV'], [' -0.02 ', 'dc_voltage', 'V', '-0.02 V'],
    ['12.6 vdc', 'dc_voltage', 'V', '12.6 V DC'],
    ['12.60', 'dc_voltage', 'V', '12.60 V'], ['90', 'resistance', 'ohm', '90 Ω'],
    ['4.7k', 'resistance', undefined, '4.7 kΩ'], ['1.2 M', 'insulation_resistance', 'ohm', '1.2 MΩ'],
    ['1.2 Mohm', 'resistance', 'ohm', '1.2 MΩ'],
    ['OL', 'resistance', 'ohm', 'open'], ['O.L', 'resistance', 'ohm', 'open'], ['0L', 'resistance', 'ohm', 'open'],
    ['ol', 'continuity', undefined, 'open'], ['open', 'resistance', undefined, 'open'],
    ['∞', 'insulation_resistance', undefined, 'open'], ['OL MΩ', 'resistance', undefined, 'open'],
    ['OL', 'dc_voltage', 'V', 'open'],
    ['20 C', 'temperature', '°C', '20 °C'], ['68F', 'temperature', '°C', '68 °F'],
    ['5 °C', 'temperature_difference', 'K', '5 Δ°C'], ['5', 'temperature_difference', 'K', '5 K'], ['7', 'count', undefined, '7'],
    ['1.265', 'relative_density', undefined, '1.265'], ['35', 'torque', 'N·m', '35 N·m'],
    ['26 ft-lb', 'torque', 'N·m', '26 lb·ft'],
    ['8 bar', 'pressure', 'psi', '8 bar'], ['1 min 5 s', 'time', 's', '65 s'], ['7/16', 'length', 'in', '0.4375 in'],
    ['3 oz', 'force', undefined, '3 ozf'], ['20', 'vacuum', 'inHg', '20 inHg'],
  ])('%j as %s in %s: %s', (typed, word, unit, expected) => expect(enter(typed, word, unit)).toBe(expected));

  it.each<[string, QuantityWord, string | undefined, string]>([
    ['', 'dc_voltage', 'V', 'Nothing was typed.'], ['12', 'dc_voltage', undefined,
      'The unit is missing. Type it after the number, such as 12 V.'], ['12 ohm', 'dc_voltage', 'V',
      'Ω is not a unit of DC voltage. Type it in V, mV or kV.'],
    ['12 V AC', 'dc_voltage', 'V', 'V AC is not a unit of DC voltage. Type it in V, mV or kV.'],
    ['-3', 'resistance', 'ohm', 'A reading of resistance cannot be negative.'],
    ['3.5', 'count', undefined, 'A count is a whole number.'], ['3 V', 'count', undefined,
    'V is not a unit of count. Type it in plain numbers.'],
    ['120 %', 'duty_cycle', undefined, 'Duty cycle is at most 100 %.'], ['50', 'duty_cycle', undefined,
      'The unit is missing. Type it after the number, such as 50 %.'], ['-300 °C', 'temperature', undefined,
      'Nothing is colder than absolute zero (-273.15 °C, -459.67 °F).'], ['5 gal', 'volume', undefined,
      "'gal' can mean US gal or imp gal. Write US gal or imp gal."],
    ['abc', 'dc_voltage', 'V', "'abc' is not a quantity. Write a number and a unit, such as 12.6 V."],
    ['1,200', 'rotational_speed', 'rpm', "'1,200' can be read as 1.200 or as 1200. Write 1200, or 1.200."],
    ['12.6.1', 'dc_voltage', 'V', "'.1' after 12.6 is not understood. Write one number and one unit."],
    ['35 inHg', 'vacuum', 'inHg', 'No vacuum is deeper than the pressure of the air: about 1 bar (101 kPa, 30 inHg).'],
    ['-2', 'pressure', 'bar', 'No vacuum is deeper than the pressure of the air: about 1 bar (101 kPa, 30 inHg).'],
    ['-300', 'temperature', '°C', 'Nothing is colder than absolute zero (-273.15 °C, -459.67 °F).'],
    ['-5 psia', 'pressure', 'psi', 'An absolute pressure cannot be negative.'],
    ['∞', 'dc_voltage', 'V', "'∞' is no reading of DC voltage."], ['5 J', 'torque', 'N·m',
      'J is not a unit of torque. Type it in N·m, lb·ft or lb·in.'],
  ])('%j as %s in %s is refused: %s', (typed, word, unit, problem) => expect(enter(typed, word, unit)).toBe(problem));

  it('keeps what was typed', () => {
    expect(understandEntry(' 12,6 ', { word: 'dc_voltage', unit: findUnit('V').unit }).quantity?.text).toBe('12,6');
  });

  it('reads what a lamp shows', () => {
    const lamp = { word: 'dc_voltage', words: ['lit', 'dark'] } as const;
    expect(understandEntry('Lit', lamp)).toEqual({ word: 'lit' });
    expect(understandEntry('on', lamp)).toEqual({ problem: "'on' is not what the instrument shows. Type lit or dark." });
  });
});
