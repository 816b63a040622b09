/**
 * Kinds of quantity and what may be done with them. A kind is more than its powers of base units: torque is not energy, a
 * temperature difference is not a temperature, gauge pressure is not absolute. Knows no units and no numbers.
 */

/** Powers of: kilogram, metre, second, ampere, kelvin, turn, lux, decibel, and a mark that tells torque from energy. */
type Powers = readonly [number, number, number, number, number, number, number, number, number];

const POWERS: Readonly<Record<string, Powers>> = {
  ratio: [0, 0, 0, 0, 0, 0, 0, 0, 0],
  mass: [1, 0, 0, 0, 0, 0, 0, 0, 0],
  length: [0, 1, 0, 0, 0, 0, 0, 0, 0],
  time: [0, 0, 1, 0, 0, 0, 0, 0, 0],
  current: [0, 0, 0, 1, 0, 0, 0, 0, 0],
  temperature_difference: [0, 0, 0, 0, 1, 0, 0, 0, 0],
  angle: [0, 0, 0, 0, 0, 1, 0, 0, 0],
  illuminance: [0, 0, 0, 0, 0, 0, 1, 0, 0],
  sound_level: [0, 0, 0, 0, 0, 0, 0, 1, 0],
  area: [0, 2, 0, 0, 0, 0, 0, 0, 0],
  volume: [0, 3, 0, 0, 0, 0, 0, 0, 0],
  density: [1, -3, 0, 0, 0, 0, 0, 0, 0],
  speed: [0, 1, -1, 0, 0, 0, 0, 0, 0],
  acceleration: [0, 1, -2, 0, 0, 0, 0, 0, 0],
  force: [1, 1, -2, 0, 0, 0, 0, 0, 0],
  pressure: [1, -1, -2, 0, 0, 0, 0, 0, 0],
  pressure_rate: [1, -1, -3, 0, 0, 0, 0, 0, 0],
  energy: [1, 2, -2, 0, 0, 0, 0, 0, 0],
  torque: [1, 2, -2, 0, 0, 0, 0, 0, 1],
  power: [1, 2, -3, 0, 0, 0, 0, 0, 0],
  flow_rate: [0, 3, -1, 0, 0, 0, 0, 0, 0],
  mass_flow: [1, 0, -1, 0, 0, 0, 0, 0, 0],
  frequency: [0, 0, -1, 0, 0, 0, 0, 0, 0],
  rotational_speed: [0, 0, -1, 0, 0, 1, 0, 0, 0],
  stiffness: [1, 0, -2, 0, 0, 0, 0, 0, 0],
  kinematic_viscosity: [0, 2, -1, 0, 0, 0, 0, 0, 0],
  voltage: [1, 2, -3, -1, 0, 0, 0, 0, 0],
  resistance: [1, 2, -3, -2, 0, 0, 0, 0, 0],
  conductance: [-1, -2, 3, 2, 0, 0, 0, 0, 0],
  capacitance: [-1, -2, 4, 2, 0, 0, 0, 0, 0],
  inductance: [1, 2, -2, -2, 0, 0, 0, 0, 0],
  charge: [0, 0, 1, 1, 0, 0, 0, 0, 0],
  resistance_per_length: [1, 1, -3, -2, 0, 0, 0, 0, 0],
  resistivity: [1, 3, -3, -2, 0, 0, 0, 0, 0],
  voltage_per_length: [1, 1, -3, -1, 0, 0, 0, 0, 0],
  resistance_per_voltage: [0, 0, 0, -1, 0, 0, 0, 0, 0],
};

/** Kinds that share the powers of another but may not be mixed with it freely. */
const SAME_POWERS: Readonly<Record<string, string>> = {
  temperature: 'temperature_difference',
  gauge_pressure: 'pressure',
  absolute_pressure: 'pressure',
  pressure_difference: 'pressure',
  vacuum: 'pressure',
};

const NAME_OF_POWERS = new Map(Object.entries(POWERS).map(([name, powers]) => [powers.join(), name]));

/** A dimension in words, for messages: `gauge pressure`, `a number without a unit`. */
export function dimensionTitle(dimension: string): string {
  if (dimension === 'ratio') return 'a plain number or ratio';
  if (dimension.includes(',')) return 'a quantity of no kind a shop measures';
  const words = dimension.replaceAll('_', ' ');
  return /^[aeiou]/.test(words) ? `an ${words}` : `a ${words}`;
}

/** The outcome of arithmetic on kinds: the kind of the result, or why it makes no sense. */
export type DimensionOutcome = { readonly dimension: string } | { readonly problem: string; readonly help?: string };

export function addDimensions(a: string, b: string): DimensionOutcome {
  if (a === 'temperature' && b === 'temperature') {
    return {
      problem: 'Two temperatures cannot be added.',
      help: 'Write the second one as a temperature difference: 5 K, or 5 Δ°C.',
    };
  }
  if (a === 'absolute_pressure' && b === 'absolute_pressure') {
    return {
      problem: 'Two absolute pressures cannot be added.',
      help: 'Write the second one as a difference: 5 psid, or 5 bar.',
    };
  }
  if (isTemperature(a) && isTemperature(b)) return { dimension: a === 'temperature' || b === 'temperature' ? 'temperature' : a };
  if (isPressure(a) && isPressure(b)) return addPressures(a, b);
  return a === b ? { dimension: a } : cannotMix('added', a, b);
}

export function subtractDimensions(a: string, b: string): DimensionOutcome {
  if (isTemperature(a) && isTemperature(b)) {
    if (a === b) return { dimension: 'temperature_difference' };
    return a === 'temperature'
      ? { dimension: 'temperature' }
      : {
          problem: 'A temperature cannot be taken from a temperature difference.',
          help: 'Put the temperature first: 20 °C - 5 K.',
        };
  }
  if (isPressure(a) && isPressure(b)) {
    if (a === b) return { dimension: a === 'pressure' ? 'pressure' : 'pressure_difference' };
    if (isDifference(a) && !isDifference(b)) {
      // A plain pressure is read off a gauge, so that a gauge pressure may be taken from it.
      if (a === 'pressure' && b === 'gauge_pressure') return { dimension: 'pressure' };
      const from = a === 'pressure' && b === 'absolute_pressure' ? 'a pressure that is not absolute' : dimensionTitle(a);
      return { problem: `${capital(dimensionTitle(b))} cannot be taken from ${from}.`, help: SAME_ZERO };
    }
    return addPressures(a, b);
  }
  return a === b ? { dimension: a } : cannotMix('subtracted', a, b);
}

export function multiplyDimensions(a: string, b: string): DimensionOutcome {
  if (a === 'ratio' && b === 'ratio') return { dimension: 'ratio' };
  if (a === 'temperature' || b === 'temperature') {
    return {
      problem: 'A temperature on a scale cannot be multiplied: twice 20 °C means nothing.',
      help: 'Write both limits out, or use a temperature difference in K.',
    };
  }
  if (a === 'ratio') return { dimension: b };
  if (b === 'ratio') return { dimension: a };
  if ((a === 'force' && b === 'length') || (a === 'length' && b === 'force')) return { dimension: 'torque' };
  return { dimension: nameOf(combine(powersOf(a), powersOf(b), 1)) };
}

export function divideDimensions(a: string, b: string): DimensionOutcome {
  if (a === 'temperature' || b === 'temperature') {
    return { problem: 'A temperature on a scale cannot be divided.', help: 'Use a temperature difference in K.' };
  }
  if (b === 'ratio') return { dimension: a };
  if (a === 'torque' && (b === 'length' || b === 'force')) return { dimension: b === 'length' ? 'force' : 'length' };
  return { dimension: nameOf(combine(powersOf(a), powersOf(b), -1)) };
}

/** The kind that a power of another has: area for length 2. */
export function raiseDimension(dimension: string, power: number): string {
  return nameOf(powersOf(dimension).map((each) => each * power));
}

/**
 * Whether a value of kind `b` may be a limit for one of kind `a`. Plain pressure is taken for gauge or for a difference, as
 * a gauge shows it, but never for absolute.
 */
export function dimensionsCompare(a: string, b: string): boolean {
  if (a === b) return true;
  if (!isPressure(a) || !isPressure(b)) return false;
  return (a === 'pressure' && b !== 'absolute_pressure') || (b === 'pressure' && a !== 'absolute_pressure');
}

/** The kind of a difference of two values: a spread of temperatures is a temperature difference. */
export function differenceOf(dimension: string): string {
  const outcome = subtractDimensions(dimension, dimension);
  return 'dimension' in outcome ? outcome.dimension : dimension;
}

function isTemperature(dimension: string): boolean {
  return dimension === 'temperature' || dimension === 'temperature_difference';
}

function isPressure(dimension: string): boolean {
  return dimension === 'pressure' || SAME_POWERS[dimension] === 'pressure';
}

function isDifference(dimension: string): boolean {
  return dimension === 'pressure' || dimension === 'pressure_difference';
}

function addPressures(a: string, b: string): DimensionOutcome {
  if (a === b) return { dimension: a };
  if (isDifference(b)) return { dimension: a === 'pressure' ? b : a };
  if (isDifference(a)) return { dimension: b };
  return {
    problem: `${capital(dimensionTitle(a))} and ${dimensionTitle(b)} have different zero points and cannot be mixed.`,
    help: SAME_ZERO,
  };
}

const SAME_ZERO = 'Write both as gauge or both as absolute; absolute_of(…) adds the pressure of the air to a gauge reading.';

function cannotMix(done: string, a: string, b: string): DimensionOutcome {
  const help = a !== 'ratio' && b === 'ratio' ? 'A share is written as a factor: * 0.9, or * 90 %.' : undefined;
  const problem = `${capital(dimensionTitle(a))} and ${dimensionTitle(b)} cannot be ${done}.`;
  return help === undefined ? { problem } : { problem, help };
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function powersOf(dimension: string): readonly number[] {
  return POWERS[SAME_POWERS[dimension] ?? dimension] ?? dimension.split(',').map(Number);
}

function combine(a: readonly number[], b: readonly number[], sign: number): number[] {
  return a.map((power, index) => power + sign * (b[index] ?? 0));
}

function nameOf(powers: readonly number[]): string {
  const key = powers.map((power) => (power === 0 ? 0 : power)).join();
  return NAME_OF_POWERS.get(key) ?? key;
}
