/** Computations for lead-acid batteries of six cells. */
import { celsius, fahrenheit, interpolate, outsideRange } from './computation.ts';
import {
  addRational,
  compareRational,
  divideRational,
  isWholeRational,
  multiplyRational,
  ONE,
  rational,
  subtractRational,
  ZERO,
} from './rational.ts';
import type { Computation } from './computation.ts';
import type { Rational } from './rational.ts';

const TEMPERATURE = { name: 'temperature', title: 'Temperature of the electrolyte', dimension: 'temperature' } as const;

/** Open-circuit volts of a 12 V battery at rest and its state of charge, as printed. */
export const REST_VOLTAGE_TABLE: readonly (readonly [volts: Rational, share: Rational])[] = [
  [rational(117, 10), ZERO],
  [rational(12), rational(1, 4)],
  [rational(122, 10), rational(1, 2)],
  [rational(124, 10), rational(3, 4)],
  [rational(126, 10), rational(1)],
];

/** Least volts under load of a 12 V battery by temperature, as printed in °F. */
export const LOAD_TEST_TABLE: readonly (readonly [temperature: Rational, volts: Rational])[] = (
  [
    [0, 85],
    [10, 87],
    [20, 89],
    [30, 91],
    [40, 93],
    [50, 94],
    [60, 95],
    [70, 96],
  ] as const
).map(([degrees, tenths]) => [fahrenheit(degrees), rational(tenths, 10)]);

/** Relative density at 80 °F and volts at rest of a 12 V battery, as printed. */
const DENSITY_TABLE: readonly (readonly [density: Rational, volts: Rational])[] = (
  [
    [1120, 1189],
    [1155, 1206],
    [1190, 1224],
    [1225, 1245],
    [1265, 1265],
  ] as const
).map(([thousandths, hundredths]) => [rational(thousandths, 1000), rational(hundredths, 100)]);

export const BATTERY_COMPUTATIONS: readonly Computation[] = [
  {
    name: 'state_of_charge',
    title: 'State of charge of a 12 V flooded lead-acid battery from its voltage at rest',
    parameters: [
      { name: 'voltage', title: 'Voltage at rest, without load', dimension: 'voltage' },
      { ...TEMPERATURE, otherwise: celsius(25) },
      { name: 'batteries', title: 'How many batteries of 12 V stand in series: 2 for 24 V', dimension: 'ratio', otherwise: ONE },
    ],
    notNegative: true,
    result: { dimension: 'ratio', unit: '%' },
    range:
      '10.5 V to 13.2 V a battery, 1 to 8 batteries, -20 °C to 50 °C, at rest and without surface charge; 11.7 V and below is 0 %, 12.6 V and above 100 %',
    source:
      'US Army TM 5-3805-262-20, p. 5-142: 11.7, 12.0, 12.2, 12.4, 12.6 V; straight lines between; 0.2 mV/K a cell from 25 °C (textbook, from memory)',
    basis: 'read',
    compute: ([all = ZERO, temperature = celsius(25), batteries = ONE]) => {
      if (!isWholeRational(batteries) || compareRational(batteries, ONE) < 0 || compareRational(batteries, rational(8)) > 0)
        return { problem: 'The number of batteries is 1 to 8.' };
      const voltage = divideRational(all, batteries);
      const outside = outsideRange([
        [voltage, rational(105, 10), rational(132, 10), 'The voltage'],
        [temperature, celsius(-20), celsius(50), 'The temperature'],
      ]);
      if (outside) return outside;
      const shift = multiplyRational(subtractRational(temperature, celsius(25)), rational(12, 10_000));
      return { value: interpolate(REST_VOLTAGE_TABLE, subtractRational(voltage, shift)) };
    },
  },
  {
    name: 'load_test_minimum',
    title: 'Least voltage of a 12 V battery at the end of a load test of 15 s with half its cold-cranking current',
    parameters: [TEMPERATURE],
    notNegative: true,
    result: { dimension: 'voltage', unit: 'V' },
    range: '0 °F to 120 °F (-17.8 °C to 48.9 °C), charged to 75 % or more; 70 °F and above is 9.6 V',
    source:
      'Battery Council International, service manual: 9.6, 9.5, 9.4, 9.3, 9.1, 8.9, 8.7, 8.5 V at 70 to 0 °F; straight lines between',
    basis: 'from memory',
    compute: ([temperature = ZERO]) =>
      outsideRange([[temperature, fahrenheit(0), fahrenheit(120), 'The temperature']]) ?? {
        value: interpolate(LOAD_TEST_TABLE, temperature),
      },
  },
  {
    name: 'load_test_current',
    title: 'Current of a battery load test: half the cold-cranking current',
    parameters: [{ name: 'cold_cranking', title: 'Rated cold-cranking current', dimension: 'current' }],
    notNegative: true,
    result: { dimension: 'current', unit: 'A' },
    range: '50 A to 2000 A rated',
    source: 'Half the cold-cranking current for 15 s: instructions of a battery tester, as facts of the trade',
    basis: 'read',
    compute: ([rated = ZERO]) =>
      outsideRange([[rated, rational(50), rational(2000), 'The rated current']]) ?? { value: divideRational(rated, rational(2)) },
  },
  {
    name: 'battery_internal_resistance',
    title: 'Internal resistance of a battery from its voltage at rest and under load',
    parameters: [
      { name: 'rest_voltage', title: 'Voltage at rest', dimension: 'voltage' },
      { name: 'load_voltage', title: 'Voltage under load', dimension: 'voltage' },
      { name: 'current', title: 'Current of the load', dimension: 'current' },
    ],
    notNegative: true,
    result: { dimension: 'resistance', unit: 'mΩ' },
    range: 'a current above 0 A and a voltage that falls under load',
    source: "Ohm's law",
    basis: 'common practice, no source',
    compute: ([rest = ZERO, load = ZERO, current = ZERO]) => {
      if (current.numerator <= 0n || compareRational(rest, load) < 0)
        return { problem: 'The voltage must fall under a current above 0 A.' };
      return { value: divideRational(subtractRational(rest, load), current) };
    },
  },
  {
    name: 'corrected_density',
    title: 'Relative density of battery acid, corrected to 80 °F',
    parameters: [{ name: 'density', title: 'Relative density as read', dimension: 'ratio' }, TEMPERATURE],
    notNegative: true,
    result: { dimension: 'ratio', unit: 'SG' },
    range: 'density 1.000 to 1.400, 0 °F to 130 °F',
    source: 'Textbook: 0.004 for each 10 °F above 80 °F (27 °C); US Army TM 5-1185 table IV agrees',
    basis: 'from memory',
    compute: ([density = ZERO, temperature = ZERO]) => {
      const outside = outsideRange([
        [density, rational(1), rational(14, 10), 'The density'],
        [temperature, fahrenheit(0), fahrenheit(130), 'The temperature'],
      ]);
      // 0.004 for 10 °F is 0.00072 for a kelvin.
      return (
        outside ?? {
          value: addRational(density, multiplyRational(subtractRational(temperature, fahrenheit(80)), rational(72, 100_000))),
        }
      );
    },
  },
  {
    name: 'rest_voltage_of_density',
    title: 'Voltage at rest of a 12 V battery from its relative density',
    parameters: [{ name: 'density', title: 'Relative density at 80 °F', dimension: 'ratio' }],
    notNegative: true,
    result: { dimension: 'voltage', unit: 'V' },
    range: 'density 1.120 to 1.265',
    source:
      'Battery Council International, service manual: 12.65, 12.45, 12.24, 12.06, 11.89 V at 1.265, 1.225, 1.190, 1.155, 1.120; straight lines between',
    basis: 'from memory',
    compute: ([density = ZERO]) =>
      outsideRange([[density, rational(112, 100), rational(1265, 1000), 'The density']]) ?? {
        value: interpolate(DENSITY_TABLE, density),
      },
  },
];
