/**
 * Pressure and temperature of refrigerant R134a at saturation, as standards print it in a table. It says how warm it is where liquid and
 * vapour stand together, not how much there is. Work on refrigerant circuits is for certified people.
 */
import { celsius, outsideRange, rounded } from './computation.ts';
import { rationalToNumber, ZERO } from './rational.ts';
import type { Computation } from './computation.ts';
import type { Rational } from './rational.ts';

const SOURCE = 'Tillner-Roth and Baehr, J. Phys. Chem. Ref. Data 23 (1994): equation of the vapour pressure; ISO 17584 prints the table';
const RANGE_WORDS = 'pure R134a with liquid and vapour together; absolute pressure, so add that of the air to a gauge reading';
const COLDEST = celsius(-40);
const WARMEST = celsius(80);

export const REFRIGERANT_COMPUTATIONS: readonly Computation[] = [
  {
    name: 'r134a_pressure',
    title: 'Absolute pressure of refrigerant R134a at saturation',
    parameters: [{ name: 'temperature', title: 'Temperature of the refrigerant', dimension: 'temperature' }],
    notNegative: true,
    result: { dimension: 'absolute_pressure', unit: 'bar abs' },
    range: `-40 °C to 80 °C; ${RANGE_WORDS}`,
    source: SOURCE,
    basis: 'from memory',
    compute: ([temperature = ZERO]) =>
      outsideRange([[temperature, COLDEST, WARMEST, 'The temperature']]) ?? rounded(vapourPressure(rationalToNumber(temperature))),
  },
  {
    name: 'r134a_temperature',
    title: 'Temperature of refrigerant R134a at saturation',
    parameters: [{ name: 'pressure', title: 'Absolute pressure', dimension: 'absolute_pressure' }],
    notNegative: true,
    result: { dimension: 'temperature', unit: '°C' },
    range: `0.513 bar to 26.33 bar absolute (-40 °C to 80 °C); ${RANGE_WORDS}`,
    source: SOURCE,
    basis: 'from memory',
    compute: ([pressure = ZERO]) => temperatureAt(pressure),
  },
];

const CRITICAL_KELVIN = 374.18;
const CRITICAL_PASCAL = 4.05629e6;

/** Pascal from kelvin. */
function vapourPressure(kelvin: number): number {
  const t = 1 - kelvin / CRITICAL_KELVIN;
  const sum = -7.686556 * t + 2.311791 * t ** 1.5 - 2.039554 * t ** 2 - 3.583758 * t ** 4;
  return CRITICAL_PASCAL * Math.exp((CRITICAL_KELVIN / kelvin) * sum);
}

/** By halving: the pressure rises with the temperature all the way. */
function temperatureAt(pressure: Rational): ReturnType<Computation['compute']> {
  const pascal = rationalToNumber(pressure);
  let low = rationalToNumber(COLDEST);
  let high = rationalToNumber(WARMEST);
  if (pascal < vapourPressure(low) || pascal > vapourPressure(high)) return { problem: 'The pressure is outside the range of the computation.' };
  for (let count = 0; count < 60; count++) {
    const middle = (low + high) / 2;
    if (vapourPressure(middle) < pascal) low = middle;
    else high = middle;
  }
  return rounded((low + high) / 2);
}
