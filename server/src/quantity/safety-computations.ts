/**
 * Computations for work on hazardous voltage. They give what a published rule says; local codes and the maker's data come first.
 */
import { outsideRange } from './computation.ts';
import { absRational, compareRational, multiplyRational, rational, ZERO } from './rational.ts';
import type { Computation } from './computation.ts';
import type { Rational } from './rational.ts';

export type VoltageClass = 'A' | 'B' | 'above_B';

/** Upper limits of class A and class B, in volts: ISO 6469-3 and UN R100 (from memory). */
export const VOLTAGE_CLASS_LIMITS = {
  dc: { a: rational(60), b: rational(1500) },
  ac: { a: rational(30), b: rational(1000) },
} as const;

/** The voltage class of a vehicle circuit: A is at most 60 V DC or 30 V AC rms, B at most 1500 V DC or 1000 V AC rms. */
export function voltageClass(volts: Rational, supply: 'dc' | 'ac'): VoltageClass {
  const size = volts.numerator < 0n ? { ...volts, numerator: -volts.numerator } : volts;
  const limits = VOLTAGE_CLASS_LIMITS[supply];
  if (compareRational(size, limits.a) <= 0) return 'A';
  return compareRational(size, limits.b) <= 0 ? 'B' : 'above_B';
}

/** 29 CFR 1910.333(c)(3), table S-5: above 300 V AC, up to so many volts, a qualified person keeps so many metres away. */
const APPROACH_TABLE: readonly (readonly [upTo: Rational, metres: Rational])[] = (
  [
    [750, 12],
    [2000, 18],
    [15_000, 24],
    [37_000, 36],
    [87_500, 42],
    [121_000, 48],
    [140_000, 54],
  ] as const
).map(([volts, inches]) => [rational(volts), multiplyRational(rational(inches), rational(254, 10_000))]);

/** Metres for volts AC; undefined at 300 V and below, where the rule is to avoid contact, and above 140 kV. */
export function approachDistance(volts: Rational): Rational | undefined {
  const size = absRational(volts);
  return compareRational(size, rational(300)) <= 0 ? undefined : APPROACH_TABLE.find(([upTo]) => compareRational(size, upTo) <= 0)?.[1];
}

const WORKING = { name: 'voltage', title: 'Working voltage', dimension: 'voltage' } as const;
const WORKING_DC = { ...WORKING, supply: 'dc' } as const;
const WORKING_AC = { ...WORKING, title: 'Working voltage, rms', supply: 'ac' } as const;
const ISOLATION_SOURCE = 'ISO 6469-3, UN R100, FMVSS 305: at least 100 Ω for a volt of DC, 500 Ω for a volt of AC';

export const SAFETY_COMPUTATIONS: readonly Computation[] = [
  {
    name: 'isolation_minimum_dc',
    title: 'Least isolation resistance of a DC high-voltage system',
    parameters: [WORKING_DC],
    notNegative: true,
    result: { dimension: 'resistance', unit: 'kΩ' },
    range: 'above 0 V up to 1500 V DC',
    source: ISOLATION_SOURCE,
    basis: 'from memory',
    compute: ([voltage = ZERO]) =>
      voltage.numerator <= 0n
        ? { problem: 'The voltage must be above 0 V.' }
        : (outsideRange([[voltage, ZERO, rational(1500), 'The voltage']]) ?? { value: multiplyRational(voltage, rational(100)) }),
  },
  {
    name: 'isolation_minimum_ac',
    title: 'Least isolation resistance of an AC high-voltage system',
    parameters: [WORKING_AC],
    notNegative: true,
    result: { dimension: 'resistance', unit: 'kΩ' },
    range: 'above 0 V up to 1000 V AC rms',
    source: ISOLATION_SOURCE,
    basis: 'from memory',
    compute: ([voltage = ZERO]) =>
      voltage.numerator <= 0n
        ? { problem: 'The voltage must be above 0 V.' }
        : (outsideRange([[voltage, ZERO, rational(1000), 'The voltage']]) ?? { value: multiplyRational(voltage, rational(500)) }),
  },
  {
    name: 'approach_distance',
    title: 'Least distance that a qualified person keeps from exposed live parts, AC',
    parameters: [WORKING_AC],
    notNegative: true,
    result: { dimension: 'length', unit: 'm' },
    range: 'above 300 V up to 140 kV AC; at 300 V and below contact is to be avoided, and no distance is given',
    source: '29 CFR 1910.333(c)(3), table S-5',
    basis: 'from memory',
    compute: ([voltage = ZERO]) => {
      if (compareRational(voltage, rational(300)) <= 0)
        return { problem: 'At 300 V and below the rule is to avoid contact; it gives no distance.' };
      const metres = approachDistance(voltage);
      return metres ? { value: metres } : { problem: 'The voltage is outside the range of the computation.' };
    },
  },
];
