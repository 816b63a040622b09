/** Computations for torque, pressure, air brakes and cooling. */
import { celsius, outsideRange, rounded } from './computation.ts';
import {
  addRational,
  compareRational,
  divideRational,
  multiplyRational,
  rational,
  rationalToNumber,
  subtractRational,
  ZERO,
} from './rational.ts';
import type { Computation, ComputationOutcome } from './computation.ts';
import type { Rational } from './rational.ts';

const WRENCH = {
  name: 'wrench_length',
  title: 'Length of the wrench from the middle of its grip to the middle of its drive',
  dimension: 'length',
} as const;
const ADAPTER = {
  name: 'adapter_length',
  title: 'Length of the adapter in line with the wrench, from drive to fastener',
  dimension: 'length',
} as const;
const TORQUE_SOURCE = 'Law of the lever: the force at the grip is the same; adapter in line with the wrench';

/** Pascal. */
const STANDARD_ATMOSPHERE = rational(101_325);
const AIR = {
  name: 'air', title: 'Absolute pressure of the air here, as a barometer shows it', dimension: 'absolute_pressure', otherwise: STANDARD_ATMOSPHERE,
} as const;
const AIR_RANGE = 'air of 50 kPa to 110 kPa, and no result below a full vacuum';
const AIR_SOURCE = 'By definition; the standard atmosphere is 101 325 Pa (ISO 2533)';

export const MECHANICAL_COMPUTATIONS: readonly Computation[] = [
  {
    name: 'adapter_setting',
    title: 'Setting of a torque wrench with an adapter that lengthens it',
    parameters: [{ name: 'torque', title: 'Torque wanted at the fastener', dimension: 'torque' }, WRENCH, ADAPTER],
    result: { dimension: 'torque', unit: 'N·m' },
    range: 'a wrench length above 0 and an adapter shorter than the wrench on either side; negative where it shortens the wrench',
    source: TORQUE_SOURCE,
    basis: 'common practice, no source',
    compute: ([torque = ZERO, wrench = ZERO, adapter = ZERO]) =>
      badLever(wrench, adapter) ?? { value: divideRational(multiplyRational(torque, wrench), addRational(wrench, adapter)) },
  },
  {
    name: 'adapter_torque',
    title: 'Torque at the fastener of a torque wrench with an adapter that lengthens it',
    parameters: [{ name: 'setting', title: 'Setting of the wrench', dimension: 'torque' }, WRENCH, ADAPTER],
    result: { dimension: 'torque', unit: 'N·m' },
    range: 'a wrench length above 0 and an adapter shorter than the wrench on either side; negative where it shortens the wrench',
    source: TORQUE_SOURCE,
    basis: 'common practice, no source',
    compute: ([setting = ZERO, wrench = ZERO, adapter = ZERO]) =>
      badLever(wrench, adapter) ?? { value: divideRational(multiplyRational(setting, addRational(wrench, adapter)), wrench) },
  },
  {
    name: 'shaft_power',
    title: 'Power of a shaft from torque and rotational speed',
    parameters: [
      { name: 'torque', title: 'Torque', dimension: 'torque' },
      { name: 'speed', title: 'Rotational speed', dimension: 'rotational_speed' },
    ],
    result: { dimension: 'power', unit: 'kW' },
    range: 'any torque and speed',
    source: 'P = 2π·n·M',
    basis: 'common practice, no source',
    compute: ([torque = ZERO, speed = ZERO]) => rounded(2 * Math.PI * rationalToNumber(torque) * rationalToNumber(speed)),
  },
  {
    name: 'absolute_of',
    title: 'Absolute pressure from a gauge reading and the pressure of the air',
    parameters: [{ name: 'gauge', title: 'Gauge reading; below zero under a vacuum', dimension: 'gauge_pressure' }, AIR],
    notNegative: true,
    result: { dimension: 'absolute_pressure', unit: 'bar abs' },
    range: AIR_RANGE,
    source: AIR_SOURCE,
    basis: 'from memory',
    compute: ([gauge = ZERO, air = STANDARD_ATMOSPHERE]) => outsideAir(air) ?? notBelowZero(addRational(gauge, air)),
  },
  {
    name: 'absolute_of_vacuum',
    title: 'Absolute pressure from a vacuum reading and the pressure of the air',
    parameters: [{ name: 'vacuum', title: 'Vacuum reading', dimension: 'vacuum' }, AIR],
    notNegative: true,
    result: { dimension: 'absolute_pressure', unit: 'kPa abs' },
    range: AIR_RANGE,
    source: AIR_SOURCE,
    basis: 'from memory',
    compute: ([vacuum = ZERO, air = STANDARD_ATMOSPHERE]) => outsideAir(air) ?? notBelowZero(subtractRational(air, vacuum)),
  },
  {
    name: 'gauge_of',
    title: 'Gauge pressure from an absolute pressure and the pressure of the air',
    parameters: [{ name: 'absolute', title: 'Absolute pressure', dimension: 'absolute_pressure' }, AIR],
    result: { dimension: 'gauge_pressure', unit: 'bar gauge' },
    range: AIR_RANGE,
    source: AIR_SOURCE,
    basis: 'from memory',
    compute: ([absolute = ZERO, air = STANDARD_ATMOSPHERE]) => outsideAir(air) ?? { value: subtractRational(absolute, air) },
  },
  {
    name: 'leak_rate',
    title: 'Loss of pressure over time',
    parameters: [
      { name: 'start', title: 'Pressure at the start', dimension: 'pressure' },
      { name: 'end', title: 'Pressure at the end', dimension: 'pressure' },
      { name: 'time', title: 'Time between', dimension: 'time' },
    ],
    result: { dimension: 'pressure_rate', unit: 'psi/min' },
    range: 'a time above 0',
    source: 'Difference over time',
    basis: 'common practice, no source',
    compute: ([start = ZERO, end = ZERO, time = ZERO]) =>
      time.numerator <= 0n
        ? { problem: 'The time must be above 0.' }
        : { value: divideRational(subtractRational(start, end), time) },
  },
  {
    name: 'build_up_time',
    title: 'Longest time for air pressure to build up from 85 to 100 psi',
    parameters: [
      { name: 'actual', title: 'Volume of all reservoirs', dimension: 'volume' },
      { name: 'required', title: 'Volume that the standard requires', dimension: 'volume' },
    ],
    notNegative: true,
    result: { dimension: 'time', unit: 's' },
    range: 'both volumes above 0',
    source: '49 CFR 571.121 (FMVSS 121) S5.1.1: actual × 25 / required, in seconds',
    basis: 'from memory',
    compute: ([actual = ZERO, required = ZERO]) =>
      actual.numerator <= 0n || required.numerator <= 0n
        ? { problem: 'The volumes must be above 0.' }
        : { value: divideRational(multiplyRational(actual, rational(25)), required) },
  },
  {
    name: 'cylinder_leakage',
    title: 'Share of the pressure that a cylinder loses in a leak-down test',
    parameters: [
      { name: 'supplied', title: 'Pressure supplied', dimension: 'pressure' },
      { name: 'held', title: 'Pressure held', dimension: 'pressure' },
    ],
    result: { dimension: 'ratio', unit: '%' },
    range: 'a supply above 0 and not below what is held',
    source: '(supplied - held) / supplied',
    basis: 'common practice, no source',
    compute: ([supplied = ZERO, held = ZERO]) =>
      supplied.numerator <= 0n || compareRational(held, supplied) > 0
        ? { problem: 'The pressure supplied must be above 0 and not below the pressure held.' }
        : { value: divideRational(subtractRational(supplied, held), supplied) },
  },
  {
    name: 'saturation_pressure',
    title: 'Absolute pressure at which water boils at a temperature',
    parameters: [{ name: 'temperature', title: 'Temperature of the water', dimension: 'temperature' }],
    notNegative: true,
    result: { dimension: 'absolute_pressure', unit: 'kPa abs' },
    range: '0 °C to 200 °C; pure water, not a coolant mixture',
    source: 'IAPWS-IF97, equation 30',
    basis: 'from memory',
    compute: ([temperature = ZERO]) =>
      outsideRange([[temperature, celsius(0), celsius(200), 'The temperature']]) ??
      rounded(boilingPressure(rationalToNumber(temperature))),
  },
  {
    name: 'saturation_temperature',
    title: 'Temperature at which water boils at an absolute pressure',
    parameters: [{ name: 'pressure', title: 'Absolute pressure', dimension: 'absolute_pressure' }],
    notNegative: true,
    result: { dimension: 'temperature', unit: '°C' },
    range: '0.62 kPa to 1550 kPa absolute; pure water, not a coolant mixture',
    source: 'IAPWS-IF97, equation 31',
    basis: 'from memory',
    compute: ([pressure = ZERO]) =>
      outsideRange([[pressure, rational(620), rational(1_550_000), 'The pressure']]) ??
      rounded(boilingTemperature(rationalToNumber(pressure))),
  },
];

function outsideAir(air: Rational): { readonly problem: string } | undefined {
  return outsideRange([[air, rational(50_000), rational(110_000), 'The pressure of the air']]);
}

function notBelowZero(value: Rational): ComputationOutcome {
  return value.numerator < 0n ? { problem: 'That would be below a full vacuum.' } : { value };
}

function badLever(wrench: Rational, adapter: Rational): { readonly problem: string } | undefined {
  const size = adapter.numerator < 0n ? { ...adapter, numerator: -adapter.numerator } : adapter;
  if (wrench.numerator > 0n && compareRational(size, wrench) < 0) return undefined;
  return { problem: 'The wrench must have a length, and the adapter must be shorter than it.' };
}

/** Coefficients of the saturation line, IAPWS-IF97 table 34. */
const N = [
  0, 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7, 0.1491510861353e2,
  -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
] as const;

/** Pascal from kelvin. */
export function boilingPressure(kelvin: number): number {
  const v = kelvin + N[9] / (kelvin - N[10]);
  const a = v * v + N[1] * v + N[2];
  const b = N[3] * v * v + N[4] * v + N[5];
  const c = N[6] * v * v + N[7] * v + N[8];
  return 1e6 * ((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c))) ** 4;
}

/** Kelvin from pascal. */
export function boilingTemperature(pascal: number): number {
  const beta = (pascal / 1e6) ** 0.25;
  const e = beta * beta + N[3] * beta + N[6];
  const f = N[1] * beta * beta + N[4] * beta + N[7];
  const g = N[2] * beta * beta + N[5] * beta + N[8];
  const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
  return (N[10] + d - Math.sqrt((N[10] + d) ** 2 - 4 * (N[9] + N[10] * d))) / 2;
}
