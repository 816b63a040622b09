/** Lead-acid batteries against the printed tables. */
import { checkSource, printed } from './check-source.ts';
import { value } from './values.ts';

checkSource('tm-5-3805', 'open-circuit voltage and state of charge, p. 5-142; read', [
  ['11.5', 0], ['11.7', 0], ['12.0', 25], ['12.2', 50], ['12.4', 75], ['12.6', 100], ['12.8', 100],
].map(([volts, percent]) => ({ says: `${volts} V is ${percent} %`, ours: () => value(`state_of_charge(${volts} V)`, '%'),
  theirs: Number(percent) })));

checkSource('tm-5-3805', 'between and outside the printed points: straight lines, and no number outside; computed', [
  { says: '12.3 V is half way from 50 to 75 %', ours: () => value('state_of_charge(12.3 V)', '%'), theirs: 62.5 },
  { says: 'cold by 10 K, each cell reads 2 mV less', ours: () => value('state_of_charge(12.388 V, 15 °C)', '%'), theirs: 75 },
  { says: '9 V gives no number', ours: () => value('state_of_charge(9 V)'),
    theirs: 'The voltage is outside the range of the computation.' },
  { says: '14 V (a charger is on) gives no number', ours: () => value('state_of_charge(14 V)'),
    theirs: 'The voltage is outside the range of the computation.' },
]);

checkSource('bci-load-test', 'least voltage at the end of a load test; from memory', [
  [70, '9.6'], [60, '9.5'], [50, '9.4'], [40, '9.3'], [30, '9.1'], [20, '8.9'], [10, '8.7'], [0, '8.5'], [90, '9.6'],
].map(([degrees, volts]) => ({ says: `${degrees} °F: ${volts} V`, ours: () => value(`load_test_minimum(${degrees} °F)`, 'V'),
  theirs: Number(volts), within: 1e-12 })));

checkSource('bci-load-test', 'the same table in °C, rounded to a tenth of a degree, and its ends; from memory', [
  ...([['21.1', 9.6], ['15.6', 9.5], ['10', 9.4], ['4.4', 9.3], ['-1.1', 9.1], ['-6.7', 8.9],
    ['-12.2', 8.7]] as const).map(([degrees, volts]) => (
    { says: `${degrees} °C: ${volts} V`, ours: () => value(`load_test_minimum(${degrees} °C)`, 'V'), theirs: volts,
      within: 0.0005 })),
  { says: '-30 °C gives no number', ours: () => value('load_test_minimum(-30 °C)'),
    theirs: 'The temperature is outside the range of the computation.' },
  { says: 'half of 700 A', ours: () => value('load_test_current(700 CCA)', 'A'), theirs: 350 },
]);

checkSource('bci-load-test', 'voltage at rest by density, as printed; from memory', [
  ['1.265', 12.65], ['1.225', 12.45], ['1.190', 12.24], ['1.155', 12.06], ['1.120', 11.89],
].map(([density, volts]) => ({ says: `${density} goes with ${volts} V`, ours: () => value(`rest_voltage_of_density(${density})`,
  'V'), theirs: Number(volts), within: 1e-12 })));

checkSource('bci-load-test', 'the textbook rule, a cell has its density + 0.84 V, holds within 30 mV a cell; from memory',
  [1.265, 1.225, 1.19, 1.155, 1.12].map((density) => ({
  says: `at ${density} a cell has about ${(density + 0.84).toFixed(3)} V`,
    ours: () => Number(value(`rest_voltage_of_density(${density})`, 'V')) / 6, theirs: density + 0.84, within: 0.03 / 2,
})));

checkSource('bci-load-test', 'density corrected by 0.004 for 10 °F; from memory', [
  { says: '1.250 at 100 °F is 1.258 at 80 °F', ours: () => value('corrected_density(1.250, 100 °F)'), ...printed('1.258') },
  { says: '1.250 at 40 °F is 1.234 at 80 °F', ours: () => value('corrected_density(1.250, 40 °F)'), ...printed('1.234') },
]);
