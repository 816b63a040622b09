/** Computations for copper conductors, coils and resistors. */
import { celsius, outsideRange, rounded } from './computation.ts';
import { gaugeArea, gaugeDiameter, THICKEST_GAUGE, THINNEST_GAUGE } from './wire-gauge.ts';
import {
  addRational,
  divideRational,
  multiplyRational,
  ONE,
  rational,
  rationalToNumber,
  subtractRational,
  ZERO,
} from './rational.ts';
import type { Computation, ComputationOutcome } from './computation.ts';
import type { Rational } from './rational.ts';

/** IEC 60028:1925, annealed copper at 20 °C: 1/58 Ω·mm²/m, as ohm metre. */
export const COPPER_RESISTIVITY = rational(1n, 58_000_000n);
/** IEC 60028:1925: 0.003 93 a kelvin from 20 °C. */
export const COPPER_COEFFICIENT = rational(393, 100_000);

const LENGTH = { name: 'length', title: 'Length of the conductor, one way', dimension: 'length' } as const;
const AREA = { name: 'area', title: 'Cross-section: 35 mm², or a gauge such as 2/0 AWG', dimension: 'area' } as const;
const GAUGE = { name: 'gauge', title: 'AWG number; 0 for 1/0, -1 for 2/0, -3 for 4/0', dimension: 'ratio' } as const;
const CURRENT = { name: 'current', title: 'Current', dimension: 'current' } as const;
const TEMPERATURE = {
  name: 'temperature',
  title: 'Temperature of the conductor',
  dimension: 'temperature',
  otherwise: celsius(20),
} as const;

const WIRE_RANGE = '0.05 mm² to 400 mm², up to 1000 m, -50 °C to 150 °C; solid annealed copper';
const GAUGE_RANGE = 'AWG 4/0 (-3) to 40, up to 1000 m, -50 °C to 150 °C; solid annealed copper';
const COPPER_SOURCE = 'IEC 60028:1925: 1/58 Ω·mm²/m at 20 °C, 0.003 93 a kelvin';
const GAUGE_SOURCE = 'ASTM B258: diameter 0.127 mm × 92^((36 - n)/39)';

export const WIRE_COMPUTATIONS: readonly Computation[] = [
  {
    name: 'wire_diameter',
    title: 'Diameter of a solid conductor of an AWG number',
    parameters: [GAUGE],
    notNegative: true,
    result: { dimension: 'length', unit: 'mm' },
    range: 'AWG 4/0 (-3) to 40',
    source: GAUGE_SOURCE,
    basis: 'from memory',
    compute: ([gauge = ZERO]) => outsideGauge(gauge) ?? rounded(gaugeDiameter(rationalToNumber(gauge))),
  },
  {
    name: 'wire_area',
    title: 'Cross-section of a solid conductor of an AWG number',
    parameters: [GAUGE],
    notNegative: true,
    result: { dimension: 'area', unit: 'mm²' },
    range: 'AWG 4/0 (-3) to 40',
    source: GAUGE_SOURCE,
    basis: 'from memory',
    compute: ([gauge = ZERO]) => outsideGauge(gauge) ?? rounded(gaugeArea(rationalToNumber(gauge))),
  },
  {
    name: 'wire_resistance',
    title: 'Resistance of a copper conductor',
    parameters: [AREA, LENGTH, TEMPERATURE],
    notNegative: true,
    result: { dimension: 'resistance', unit: 'mΩ' },
    range: WIRE_RANGE,
    source: COPPER_SOURCE,
    basis: 'from memory',
    compute: ([area = ZERO, length = ZERO, temperature = celsius(20)]) => wireResistance(area, length, temperature),
  },
  {
    name: 'wire_resistance_awg',
    title: 'Resistance of a copper conductor of an AWG number',
    parameters: [GAUGE, LENGTH, TEMPERATURE],
    notNegative: true,
    result: { dimension: 'resistance', unit: 'mΩ' },
    range: GAUGE_RANGE,
    source: `${COPPER_SOURCE}; ${GAUGE_SOURCE}`,
    basis: 'from memory',
    compute: ([gauge = ZERO, length = ZERO, temperature = celsius(20)]) => gaugeResistance(gauge, length, temperature),
  },
  {
    name: 'voltage_drop',
    title: 'Voltage drop along a copper conductor',
    parameters: [CURRENT, AREA, LENGTH, TEMPERATURE],
    result: { dimension: 'voltage', unit: 'V' },
    range: WIRE_RANGE,
    source: `${COPPER_SOURCE}; Ohm's law`,
    basis: 'from memory',
    compute: ([current = ZERO, area = ZERO, length = ZERO, temperature = celsius(20)]) =>
      timesCurrent(wireResistance(area, length, temperature), current),
  },
  {
    name: 'voltage_drop_awg',
    title: 'Voltage drop along a copper conductor of an AWG number',
    parameters: [CURRENT, GAUGE, LENGTH, TEMPERATURE],
    result: { dimension: 'voltage', unit: 'V' },
    range: GAUGE_RANGE,
    source: `${COPPER_SOURCE}; ${GAUGE_SOURCE}; Ohm's law`,
    basis: 'from memory',
    compute: ([current = ZERO, gauge = ZERO, length = ZERO, temperature = celsius(20)]) =>
      timesCurrent(gaugeResistance(gauge, length, temperature), current),
  },
  {
    name: 'resistance_at',
    title: 'Resistance of a copper winding at another temperature',
    parameters: [
      { name: 'resistance', title: 'Resistance as known', dimension: 'resistance' },
      { name: 'known_at', title: 'Temperature at which it is known', dimension: 'temperature' },
      { name: 'wanted_at', title: 'Temperature at which it is wanted', dimension: 'temperature' },
    ],
    notNegative: true,
    result: { dimension: 'resistance', unit: 'Ω' },
    range: 'a resistance of 0 Ω or more, -50 °C to 150 °C',
    source: COPPER_SOURCE,
    basis: 'from memory',
    compute: ([resistance = ZERO, known = celsius(20), wanted = celsius(20)]) =>
      (resistance.numerator < 0n ? { problem: 'A resistance cannot be negative.' } : undefined) ??
      outsideRange([
        [known, celsius(-50), celsius(150), 'The first temperature'],
        [wanted, celsius(-50), celsius(150), 'The second temperature'],
      ]) ?? { value: divideRational(multiplyRational(resistance, warmth(wanted)), warmth(known)) },
  },
  {
    name: 'parallel',
    title: 'Resistance of resistors in parallel',
    parameters: [{ name: 'resistance', title: 'Each resistance', dimension: 'resistance' }],
    variadic: true,
    notNegative: true,
    result: { dimension: 'resistance', unit: 'Ω' },
    range: 'each above 0 ohm',
    source: "Ohm's and Kirchhoff's laws",
    basis: 'common practice, no source',
    compute: (values) => {
      if (values.some((value) => value.numerator <= 0n)) return { problem: 'Each resistance must be above 0 ohm.' };
      return {
        value: divideRational(
          ONE,
          values.reduce((sum, value) => addRational(sum, divideRational(ONE, value)), ZERO),
        ),
      };
    },
  },
  {
    name: 'series',
    title: 'Resistance of resistors in series',
    parameters: [{ name: 'resistance', title: 'Each resistance', dimension: 'resistance' }],
    variadic: true,
    notNegative: true,
    result: { dimension: 'resistance', unit: 'Ω' },
    range: 'each at least 0 ohm',
    source: "Ohm's and Kirchhoff's laws",
    basis: 'common practice, no source',
    compute: (values) => {
      if (values.some((value) => value.numerator < 0n)) return { problem: 'Each resistance must be at least 0 ohm.' };
      return { value: values.reduce(addRational, ZERO) };
    },
  },
  {
    name: 'power_of',
    title: 'Power from voltage and current',
    parameters: [{ name: 'voltage', title: 'Voltage', dimension: 'voltage' }, CURRENT],
    result: { dimension: 'power', unit: 'W' },
    range: 'any direct voltage and current',
    source: 'P = U·I',
    basis: 'common practice, no source',
    compute: ([voltage = ZERO, current = ZERO]) => ({ value: multiplyRational(voltage, current) }),
  },
  {
    name: 'current_of',
    title: 'Current from power and voltage',
    parameters: [
      { name: 'power', title: 'Power', dimension: 'power' },
      { name: 'voltage', title: 'Voltage', dimension: 'voltage' },
    ],
    result: { dimension: 'current', unit: 'A' },
    range: 'any direct voltage but 0 V',
    source: 'I = P/U',
    basis: 'common practice, no source',
    compute: ([power = ZERO, voltage = ZERO]) =>
      voltage.numerator === 0n ? { problem: 'The voltage must not be 0 V.' } : { value: divideRational(power, voltage) },
  },
];

function outsideGauge(gauge: Rational): { readonly problem: string } | undefined {
  if (gauge.denominator !== 1n) return { problem: 'A gauge is a whole number.' };
  return outsideRange([[gauge, rational(THICKEST_GAUGE), rational(THINNEST_GAUGE), 'The gauge']]);
}

function gaugeResistance(gauge: Rational, length: Rational, temperature: Rational): ComputationOutcome {
  const area = outsideGauge(gauge) ?? rounded(gaugeArea(rationalToNumber(gauge)));
  return area.problem === undefined ? resistanceOf(area.value, length, temperature) : area;
}

function wireResistance(area: Rational, length: Rational, temperature: Rational): ComputationOutcome {
  return (
    outsideRange([[area, rational(5n, 100_000_000n), rational(4n, 10_000n), 'The cross-section']]) ??
    resistanceOf(area, length, temperature)
  );
}

function resistanceOf(area: Rational, length: Rational, temperature: Rational): ComputationOutcome {
  const outside = outsideRange([
    [length, ZERO, rational(1000), 'The length'],
    [temperature, celsius(-50), celsius(150), 'The temperature'],
  ]);
  return (
    outside ?? {
      value: multiplyRational(divideRational(multiplyRational(COPPER_RESISTIVITY, length), area), warmth(temperature)),
    }
  );
}

/** Resistance at a temperature over that at 20 °C. */
function warmth(temperature: Rational): Rational {
  return addRational(ONE, multiplyRational(COPPER_COEFFICIENT, subtractRational(temperature, celsius(20))));
}

function timesCurrent(outcome: ComputationOutcome, current: Rational): ComputationOutcome {
  return outcome.problem === undefined ? { value: multiplyRational(outcome.value, current) } : outcome;
}
