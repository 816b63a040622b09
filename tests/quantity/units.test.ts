/** The table of units holds together: what is printed is read, prefixes are right, words of quantities have units. */
import { describe, expect, it } from 'vitest';
import { allUnits, findUnit, isUnitSpelling, unitsOf } from '../../server/src/quantity/unit.ts';
import { COMPUTATIONS, computationSignature, findComputation } from '../../server/src/quantity/computations.ts';
import { compareRational, divideRational, rational, rationalToNumber } from '../../server/src/quantity/rational.ts';
import { describeQuantityWord, QUANTITY_WORDS, quantityWord, unitFits } from '../../server/src/quantity/quantity-words.ts';
import { evaluate } from '../../server/src/quantity/evaluate.ts';
import { inOtherSystem, otherUnits } from '../../server/src/quantity/other-units.ts';
import { parseExpression } from '../../server/src/quantity/parse-band.ts';
import { parseQuantity } from '../../server/src/quantity/parse-quantity.ts';
import { QUANTITY_SOURCES } from '../../server/src/quantity/sources.ts';
import { reservedName } from '../../server/src/quantity/reserved.ts';
import { amountOf } from '../../server/src/quantity/quantity.ts';
import { calibrationStatus, parseAccuracy, resultsWithin, uncertaintyOf } from '../../server/src/quantity/accuracy.ts';
import { band } from './bands.ts';
import { selectResult } from '../../server/src/quantity/select-band.ts';

describe('units', () => {
  it.each(allUnits().map((unit) => [unit.symbol, unit] as const))('%s is found by its symbol', (symbol, unit) => {
    const found = findUnit(symbol).unit;
    expect(found?.dimension).toBe(unit.dimension);
    expect(found && compareRational(found.factor, unit.factor)).toBe(0);
    expect(found?.supply).toBe(unit.supply);
  });

  it.each([['mV', 'V', 1e-3], ['kV', 'V', 1e3], ['MΩ', 'Ω', 1e6], ['mΩ', 'Ω', 1e-3], ['kΩ', 'Ω', 1e3], ['µA', 'A', 1e-6],
    ['nF', 'µF', 1e-3], ['ml', 'l', 1e-3], ['mL', 'L', 1e-3], ['cl', 'L', 1e-2], ['hPa', 'Pa', 100], ['mbar', 'bar', 1e-3],
    ['kN', 'N', 1e3], ['GΩ', 'MΩ', 1e3], ['milliamps', 'A', undefined], ['millivolts', 'V', 1e-3],
    ['kilopascal', 'Pa', 1e3], ['millimeters', 'm', 1e-3], ['kilograms', 'kg', 1], ['mg', 'kg', 1e-6], ['KΩ', 'Ω', 1e3],
    ['Kohm', 'Ω', 1e3], ['Mpa', 'Pa', 1e6], ['kw', 'W', 1e3], ['ma', 'A', 1e-3]])('%s is %s times %s', (prefixed, plain,
    times) => {
    const a = findUnit(prefixed).unit;
    const b = findUnit(plain).unit;
    if (times === undefined) expect(a).toBeUndefined();
    else expect(a && b && rationalToNumber(divideRational(a.factor, b.factor))).toBeCloseTo(times, 12);
  });

  it('suggests only what is near', () => {
    const near = (text: string): string | undefined => {
      const found = findUnit(text);
      return found.unknown ? found.near : undefined;
    };
    expect(['mpa', 'mhz', 'bzr', 'Lux', 'qwertz'].map(near)).toEqual(['MPa', 'MHz', 'bar', undefined, undefined]);
  });

  it('lists the units of a kind', () => {
    expect(unitsOf('torque').map((unit) => unit.symbol)).toEqual(expect.arrayContaining(['N·m', 'lb·ft', 'lb·in']));
    expect(unitsOf('torque').map((unit) => unit.symbol)).not.toContain('J');
  });

  it('keeps names free that writers use', () => {
    expect(['supply', 'coil_low', 'battery', 'return_drop', 'pressure', 'fuse', 'isolate', 'full_rest', 'oil_level', 'listen',
      'motor_case'].filter((name) => reservedName(name) !== undefined)).toEqual([]);
    expect(['bar', 'min', 'max', 'otherwise', 'psi', 'in', 'at', 'volts', 'parallel'].map(reservedName)).toEqual(['unit',
      'function', 'function', 'keyword', 'unit', 'unit', 'keyword', 'unit', 'function']);
    expect(isUnitSpelling('gal')).toBe(true);
  });
});

describe('quantity words', () => {
  it.each(QUANTITY_WORDS)('%s has a kind and units that fit', (word) => {
    const info = describeQuantityWord(word);
    expect(info.word).toBe(word);
    for (const symbol of info.usualUnits) {
      const { unit } = findUnit(symbol);
      expect(unit && unitFits(unit, word), symbol).toBe(true);
    }
    expect(info.usualUnits.length > 0 || info.bareNumber).toBe(true);
  });

  it('are all those of the format', () => {
    expect(QUANTITY_WORDS.join(' ')).toBe('dc_voltage ac_voltage dc_current ac_current resistance continuity insulation_resistance capacitance frequency duty_cycle temperature temperature_difference pressure vacuum torque force length depth mass volume flow_rate rotational_speed speed angle time charge power ratio relative_density illuminance sound_level count');
    expect(quantityWord('voltage')).toBeUndefined();
  });

  it('tell kinds apart', () => {
    const fits = (symbol: string, word: Parameters<typeof unitFits>[1]): boolean => unitFits(findUnit(symbol).unit, word);
    expect([fits('J', 'torque'), fits('°C', 'temperature_difference'), fits('K', 'temperature'), fits('V AC', 'dc_voltage'),
      fits('V AC', 'ac_voltage'), fits('psi abs', 'pressure'), fits('inHg', 'vacuum'), fits('%', 'count'), fits('lb',
      'force')]).toEqual([false, false, true, false, true, true, true, false, false]);
    expect([unitFits(undefined, 'count'), unitFits(undefined, 'duty_cycle'), unitFits(undefined, 'dc_voltage'),
      unitFits(undefined, 'relative_density')]).toEqual([true, false, false, true]);
  });
});

describe('computations', () => {
  it.each(COMPUTATIONS.map((each) => [each.name, each] as const))('%s says its source, its range and the unit of its result',
    (name, computation) => {
    expect(findComputation(name)).toBe(computation);
    expect(findUnit(computation.result.unit).unit?.dimension).toBe(computation.result.dimension);
    for (const text of [computation.title, computation.range, computation.source]) expect(text).not.toBe('');
    expect(reservedName(name)).toBe('function');
    expect(computationSignature(computation).startsWith(`${name}(`)).toBe(true);
    // Whatever the numbers, it answers or says why not.
    for (const value of [rational(0), rational(-1), rational(1), rational(1000), rational(10n ** 30n)]) {
      const outcome = computation.compute(computation.parameters.map(() => value));
      expect(outcome.problem !== undefined || outcome.value !== undefined).toBe(true);
    }
  });

  it('can be called in an expression, with arguments that are known later', () => {
    const { expression } = parseExpression('voltage_drop(load, 35 mm2, 2 m, 60 °C)');
    expect(expression && evaluate(expression, () => undefined)).toEqual({ unknown: ['load'] });
  });
});

describe('other units', () => {
  it.each([
    ['35 N·m', 'lb·ft', '25.8 lb·ft'], ['30 N·m', 'lb·ft', '22.1 lb·ft'], ['100 psi', 'kPa', '689 kPa'], ['0.45 V', 'mV', '450 mV'], ['1500 mA', 'A', '1.500 A'], ['20 °C', '°F', '68 °F'],
    ['20.5 °C', '°F', '68.9 °F'], ['0.05 in', 'mm', '1.3 mm'], ['3 US gal', 'L', '11 L'], ['180 bar', 'psi', '2610 psi'],
    ['1 in', 'mm', '25 mm'], ['25.4 mm', 'in', '1.000 in'], ['1 kg', 'lb', '2.2 lb'], ['1 m', 'ft', '3.3 ft'], ['7/16 in', 'mm', '11.1 mm'], ['½ in', 'mm', '12.7 mm'],
    ['0.05 mm', 'in', '0.0020 in'], ['10 K', 'Δ°F', '18 Δ°F'], ['5 K', 'Δ°F', '9 Δ°F'], ['2/0 AWG', 'mm²', '67.4 mm²'], ['0 bar', 'psi', '0 psi'],
    ['-0.8 bar', 'psi', '-12 psi'], ['-40 °C', '°F', '-40 °F'], ['99 psi', 'kPa', '683 kPa'], ['0.1 Ω', 'mΩ', '100 mΩ'], ['9 lb', 'kg', '4.1 kg'],
  ])('%s is about %s: %s', (written, unit, text) => {
    const { quantity } = parseQuantity(written);
    expect(quantity && otherUnits(quantity).find((each) => each.unit.symbol === unit)?.text).toBe(text);
  });

  it.each([['35 N·m', '25.8 lb·ft'], ['5 N·m', '44 lb·in'], ['10 mm', '0.39 in'], ['35 mm²', undefined], ['55 W', undefined], ['7.5 kW', undefined],
    ['100 hp', '74.6 kW'], ['2 L', '0.53 US gal'], ['1600 cm³', '97.64 in³'], ['60 kPa vac', '17.7 inHg vac'], ['2 bar gauge', '29 psi gauge'],
    ['5 thou', '0.13 mm'], ['12 AWG', '3.31 mm²'], ['50 %', undefined], ['1.265 SG', undefined], ['80 km/h', '49.7 mph'], ['5 °', undefined], ['85 lb·ft', '115 N·m'], ['20 °C', '68 °F'], ['8 bar', '116 psi'], ['12 V', undefined],
    ['3 US gal', '11 L'], ['1800 rpm', undefined], ['5 US gpm', '19 L/min']])('%s in the other system: %s', (written, text) => {
    const { quantity } = parseQuantity(written);
    expect(quantity && inOtherSystem(quantity)?.text).toBe(text);
  });
});

describe('instruments', () => {
  it.each([
    ['0.5 % + 2 counts', [0.005, 0, 2]], ['±(0.9 % rdg + 3 digits)', [0.009, 0, 3]], ['±(0.5 % + 2)', [0.005, 0, 2]],
    ['1 % of full scale', [0, 0.01, 0]], ['1 % FS', [0, 0.01, 0]], ['2 counts', [0, 0, 2]], ['1 %', [0.01, 0, 0]],
    ['0,5 % + 2 counts', [0.005, 0, 2]], ['± 1 % of reading + 5 dgts', [0.01, 0, 5]],
  ])('reads %s', (text, [reading, range, counts]) => {
    const { accuracy } = parseAccuracy(text);
    expect(accuracy && [accuracy.ofReading, accuracy.ofRange, accuracy.counts].map(rationalToNumber)).toEqual([reading, range,
      counts]);
  });

  it('reads a fixed amount', () => expect(parseAccuracy('± 0.5 °C').accuracy?.fixed?.text).toBe('0.5 °C'));

  it.each(['', 'good', '5', '0.5 % + a bit', '1 % + 2 V + 3 V', '%'])('refuses %j',
    (text) => expect(parseAccuracy(text).problem).toBeDefined());

  it('takes the share of a temperature from the zero of its scale, and steps as differences', () => {
    const { accuracy } = parseAccuracy('1 % + 2 counts');
    const reading = parseQuantity('50 °C').quantity;
    const step = parseQuantity('0.1 °C').quantity;
    const found = accuracy && reading && step && uncertaintyOf(reading.base, { accuracy, resolution: amountOf(step), unit: reading.unit });
    expect(found && rationalToNumber(found.limit)).toBeCloseTo(0.7, 12);
    expect(accuracy && uncertaintyOf(rational(50), { accuracy })).toBeUndefined();
  });

  it('says which results a reading may belong to', () => {
    const bands = ['below 12.4 V', 'between 12.4 V and 12.6 V', 'above 12.6 V'].map(band);
    const limits = [rational(124, 10), rational(126, 10)];
    const within = (hundredths: number, width: number) => resultsWithin(
      (base) => selectResult(bands, { kind: 'number', base, dimension: 'voltage' }, () => undefined), rational(hundredths, 100), rational(width, 100), limits);
    expect([within(1250, 5), within(1258, 5), within(1250, 20), within(1200, 5)].map((each) => [...(each ?? [])].sort())).toEqual([[1], [1, 2], [0, 1, 2], [0]]);
  });

  it.each([['2027-03-31', '2026-10-30', 'in_date'], ['2026-11-15', '2026-10-30', 'due_soon'],
    ['2026-10-30', '2026-10-30', 'due_soon'], ['2026-10-29', '2026-10-30', 'overdue'], ['2026-02-30', '2026-01-01', 'not_a_date'],
    ['next year', '2026-01-01', 'not_a_date']] as const)('due %s on %s: %s', (due, today, status) => expect(calibrationStatus(due,
    today)).toBe(status));
});

it('sources have one row each', () => {
  expect(new Set(QUANTITY_SOURCES.map((each) => each.id)).size).toBe(QUANTITY_SOURCES.length);
});
