/** High-voltage limits against ISO 6469-3, UN R100 and 29 CFR 1910.333. */
import { checkSource, printed } from './check-source.ts';
import { rational } from '../../../server/src/quantity/rational.ts';
import { value } from './values.ts';
import { voltageClass } from '../../../server/src/quantity/safety-computations.ts';

checkSource('iso-6469-3', 'voltage classes A and B; from memory', ([
  [60, 'dc', 'A'], [61, 'dc', 'B'], [1500, 'dc', 'B'], [1501, 'dc', 'above_B'], [30, 'ac', 'A'], [31, 'ac', 'B'],
  [1000, 'ac', 'B'], [1001, 'ac', 'above_B'], [-400, 'dc', 'B'],
] as const).map(([volts, supply, theirs]) => ({ says: `${volts} V ${supply} is class ${theirs}`,
  ours: () => voltageClass(rational(volts), supply), theirs })));

checkSource('iso-6469-3', 'isolation resistance: 100 Ω/V DC, 500 Ω/V AC; from memory', [
  { says: '400 V DC: 40 kΩ', ours: () => value('isolation_minimum_dc(400 V)', 'kΩ'), theirs: 40 },
  { says: '400 V AC: 200 kΩ', ours: () => value('isolation_minimum_ac(400 V)', 'kΩ'), theirs: 200 },
  { says: '48 V DC: 4.8 kΩ', ours: () => value('isolation_minimum_dc(48 V)', 'kΩ'), theirs: 4.8 },
  { says: '1600 V DC is outside', ours: () => value('isolation_minimum_dc(1600 V)'),
    theirs: 'The voltage is outside the range of the computation.' },
  { says: '100 Ω/V times 400 V is a resistance', ours: () => value('100 ohm/V * 400 V', 'kΩ'), theirs: 40 },
]);

checkSource('cfr-1910-333', 'table S-5, printed in feet and centimetres; from memory', ([
  ['480', '30'], ['750', '30'], ['1000', '46'], ['13800', '61'], ['25000', '91'], ['69000', '107'], ['115000', '122'],
  ['138000', '137'],
] as const).map(([volts, centimetres]) => ({ says: `${volts} V: ${centimetres} cm`,
  ours: () => value(`approach_distance(${volts} V)`, 'cm'), theirs: Number(centimetres), within: 0.02 })));

checkSource('cfr-1910-333', 'the first row says to avoid contact; from memory', [
  { says: '230 V has no distance', ours: () => value('approach_distance(230 V)'),
    theirs: 'At 300 V and below the rule is to avoid contact; it gives no distance.' },
  { says: '1 ft 6 in for 1 kV', ours: () => value('approach_distance(1000 V)', 'in'), ...printed('18') },
]);
