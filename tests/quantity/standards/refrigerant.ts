/** The vapour pressure of R134a against printed tables, and against a library with the reference equation of state. */
import { checkSource, printed } from './check-source.ts';
import { value } from './values.ts';

/** Temperature in °C, saturation pressure in kPa as tables print it. From memory. */
const TABLE: readonly (readonly [celsius: number, kilopascal: string])[] = [
  [-40, '51.2'], [-30, '84.4'], [-20, '132.7'], [-10, '200.6'], [0, '292.8'], [10, '414.6'], [20, '571.7'], [30, '770.2'], [40, '1016.6'],
  [50, '1317.9'], [60, '1681.8'], [70, '2116.8'], [80, '2633.2'],
];
checkSource('iso-17584', 'saturation pressure of R134a, kPa; from memory, within 0.02 %', TABLE.map(([celsius, kilopascal]) => ({
  says: `${celsius} °C: ${kilopascal} kPa`, ours: () => value(`r134a_pressure(${celsius} °C)`, 'kPa abs'), theirs: Number(kilopascal),
  within: Math.max(0.0002, printed(kilopascal).within),
})));

/** Read by running it: PropsSI('P', 'T', t, 'Q', 0, 'R134a'), kPa. */
const LIBRARY: readonly (readonly [celsius: number, kilopascal: number])[] = [
  [-40, 51.21], [-30, 84.38], [-20, 132.73], [-10, 200.6], [0, 292.8], [10, 414.61], [20, 571.71], [30, 770.2], [40, 1016.59],
  [50, 1317.91], [60, 1681.78], [70, 2116.83], [80, 2633.2],
];
checkSource('coolprop', 'saturation pressure of R134a, kPa; read by running it, within 0.02 %', LIBRARY.map(([celsius, kilopascal]) => ({
  says: `${celsius} °C: ${kilopascal} kPa`, ours: () => value(`r134a_pressure(${celsius} °C)`, 'kPa abs'), theirs: kilopascal, within: 0.0002,
})));

/** The same library for water: PropsSI('P', 'T', t, 'Q', 0, 'Water'), kPa. Another formulation (IAPWS-95) than ours. */
checkSource('coolprop', 'saturation pressure of water, kPa; read by running it, within 0.02 %', ([[300, 3.536807]] as const).map(([kelvin, kilopascal]) => ({
  says: `${kelvin} K: ${kilopascal} kPa`, ours: () => value(`saturation_pressure(${(kelvin - 273.15).toFixed(2)} °C)`, 'kPa abs'), theirs: kilopascal, within: 0.0002,
})));

checkSource('iso-17584', 'back from pressure, and outside its range no number; computed', [
  { says: '571.7 kPa is 20 °C', ours: () => value('r134a_temperature(571.7 kPa abs)', '°C'), theirs: 20, within: 0.0002 },
  { says: 'a gauge reading of 70 psi is 20.7 °C', ours: () => value('r134a_temperature(absolute_of(70 psi))', '°C'), ...printed('20.7') },
  { says: '90 °C is outside', ours: () => value('r134a_pressure(90 °C)'), theirs: 'The temperature is outside the range of the computation.' },
  { says: '30 bar is outside', ours: () => value('r134a_temperature(30 bar abs)'), theirs: 'The pressure is outside the range of the computation.' },
]);
