/** Conversion factors against NIST SP 811 and the definitions they rest on. */
import { checkSource, printed } from './check-source.ts';
import { convert } from './values.ts';
import { findUnit } from '../../../server/src/quantity/unit.ts';
import { formatQuantity, formatQuantityPlain } from '../../../server/src/quantity/format-quantity.ts';
import { convertedTo } from '../../../server/src/quantity/other-units.ts';
import { parseQuantity } from '../../../server/src/quantity/parse-quantity.ts';
import { rational, rationalToDecimal } from '../../../server/src/quantity/rational.ts';

/** To convert from, to, multiply by: as appendix B.8 and B.9 print it (seven figures; exact ones in full). From memory. */
const FACTORS: readonly (readonly [from: string, to: string, factor: string])[] = [
  ['1 atm', 'Pa', '101325'], ['1 bar', 'kPa', '100'], ['1 Btu', 'J', '1055.056'], ['1 Btu/h', 'W', '0.2930711'],
  ['1 ft', 'm', '0.3048'], ['1 ft/min', 'm/s', '0.00508'],
  ['1 ft/s', 'm/s', '0.3048'], ['1 cfm', 'm³/s', '4.719474E-04'], ['1 ft³', 'm³', '2.831685E-02'],
  ['1 in³', 'm³', '1.638706E-05'],
  ['1 imp gal', 'L', '4.54609'], ['1 US gal', 'L', '3.785412'], ['1 US gpm', 'L/s', '6.309020E-02'], ['1 hp', 'W', '745.6999'],
  ['1 PS', 'W', '735.4988'],
  ['1 in', 'mm', '25.4'], ['1 inHg', 'kPa', '3.386389'], ['1 inH2O', 'Pa', '249.0889'], ['1 kgf', 'N', '9.80665'],
  ['1 kgf·m', 'N·m', '9.80665'],
  ['1 kgf/cm²', 'kPa', '98.0665'], ['1 kn', 'm/s', '0.5144444'], ['1 thou', 'mm', '0.0254'], ['1 mi', 'km', '1.609344'],
  ['1 mph', 'km/h', '1.609344'], ['1 mph', 'm/s', '0.44704'],
  ['1 mmHg', 'Pa', '133.3224'], ['1 mmH2O', 'Pa', '9.80665'], ['1 Torr', 'Pa', '133.3224'],
  ['1 oz av', 'g', '28.34952'], ['1 lb', 'kg', '0.45359237'], ['1 ozf', 'N', '0.2780139'], ['1 lbf', 'N', '4.448222'],
  ['1 oz·in', 'N·m', '7.061552E-03'],
  ['1 lb·ft', 'N·m', '1.355818'], ['1 lb·in', 'N·m', '0.1129848'], ['1 psi', 'kPa', '6.894757'], ['1 ksi', 'MPa', '6.894757'],
  ['1 US pt', 'L', '0.4731765'], ['1 US qt', 'L', '0.9463529'],
  ['1 US fl oz', 'mL', '29.57353'], ['1 imp fl oz', 'mL', '28.41306'], ['1 long ton', 'kg', '1016.047'],
  ['1 US ton', 'kg', '907.1847'], ['1 yd', 'm', '0.9144'],
  ['1 in²', 'mm²', '645.16'], ['1 ft²', 'm²', '0.09290304'], ['1 fc', 'lx', '10.76391'], ['1 Ah', 'coulomb', '3600'],
  ['1 kWh', 'MJ', '3.6'], ['1 cal th', 'J', '4.184'], ['1 cal IT', 'J', '4.1868'], ['1 kcal IT', 'kJ', '4.1868'], ['1 Btu', 'cal IT', '251.9958'],
  ['1 rpm', 'rad/s', '0.1047198'], ['1 rev/s', 'rad/s', '6.283185'], ['1 °', 'rad', '0.01745329'],
  ['1 psi abs', 'kPa abs', '6.894757'], ['1 psi gauge', 'bar gauge', '0.06894757'],
  // Of intervals: 1 °F is 5/9 K.
  ['1 Δ°F', 'K', '0.5555556'], ['9 Δ°F', 'Δ°C', '5'],
];

checkSource('nist-sp-811', 'appendix B.8, factors as printed, seven figures; from memory', FACTORS.map(([from, to, factor]) => ({
  says: `${from} = ${factor} ${to}`, ours: () => convert(from, to), ...printed(factor),
})));

checkSource('nist-sp-811', 'temperatures, t/°C = (t/°F - 32)/1.8; from memory', [
  ['32 °F', '°C', 0], ['212 °F', '°C', 100], ['-40 °F', '°C', -40], ['-40 °C', '°F', -40], ['80 °F', '°C', 26.6666666667],
  ['0 °F', '°C', -17.7777777778], ['98.6 °F', '°C', 37],
].map(([from, to, theirs]) => ({ says: `${from} is ${theirs} ${to}`, ours: () => convert(String(from), String(to)),
  theirs: Number(theirs), within: 1e-11 })));

/** Exact by definition: compared as fractions. */
const EXACT: readonly (readonly [unit: string, numerator: bigint, denominator: bigint])[] = [
  ['in', 254n, 10_000n], ['ft', 3048n, 10_000n], ['yd', 9144n, 10_000n], ['mi', 1_609_344n, 1000n],
  ['lb', 45_359_237n, 100_000_000n], ['US gal', 231n * 254n ** 3n, 10_000n ** 3n],
  ['imp gal', 454_609n, 100_000_000n], ['°F', 5n, 9n], ['lbf', 45_359_237n * 980_665n, 100_000_000n * 100_000n],
  ['Torr', 101_325n, 760n], ['rpm', 1n, 60n], ['°', 1n, 360n], ['km/h', 5n, 18n],
];
checkSource('exact-definitions', 'factors compared as exact fractions; from memory', EXACT.map(([unit, numerator,
  denominator]) => ({
  says: `${unit} is ${numerator}/${denominator} of its base unit`,
  ours: () => fraction(findUnit(unit).unit?.factor),
  theirs: fraction(rational(numerator, denominator)) ?? '',
})));

checkSource('si-writing', 'SP 811 6.1 and 7.2; from memory', [
  { says: 'a space, which does not break, before the unit', ours: () => written('12.6V'), theirs: '12.6\u202fV' },
  { says: 'no space before the degree of an angle', ours: () => written('45 °'), theirs: '45°' },
  { says: 'a space before °C', ours: () => written('20°C'), theirs: '20\u202f°C' },
  { says: 'a space before %', ours: () => written('3%'), theirs: '3\u202f%' },
  { says: 'V, not volts', ours: () => written('3 volts'), theirs: '3\u202fV' },
  { says: 'a true minus sign', ours: () => written('-5 °C'), theirs: '\u22125\u202f°C' },
  { says: 'milliohm is not megohm', ours: () => convert('1 Mohm', 'mΩ'), theirs: 1e9 },
  { says: 'millivolt is not megavolt', ours: () => convert('1 MV', 'mV'), theirs: 1e9 },
]);

/** B.7.1: the converted value keeps as many figures as lose nothing of what the written one said. */
checkSource('nist-sp-811', 'B.7.1, rounding converted values: the worked example, and the same rule; from memory, others computed', [
  ['36 ft', 'm', '11.0 m'], ['100 psi', 'kPa', '689 kPa'], ['35 N·m', 'lb·ft', '25.8 lb·ft'], ['180 bar', 'psi', '2610 psi'], ['60 mph', 'km/h', '97 km/h'],
].map(([from = '', to = '', theirs = '']) => ({ says: `${from} is ${theirs}`, theirs,
  ours: () => {
    const { quantity } = parseQuantity(from);
    const { unit } = findUnit(to);
    return quantity && unit && convertedTo(quantity, unit).text;
  } })));

checkSource('astm-e29', '6.4: half to even, to the last place kept; from memory', [
  ['12.65', 1, '12.6'], ['12.75', 1, '12.8'], ['0.25', 1, '0.2'], ['0.35', 1, '0.4'], ['-2.5', 0, '-2'], ['3.5', 0, '4'],
  ['2.5000001', 0, '3'], ['59.945', 2, '59.94'], ['0.05', 1, '0.0'],
].map(([text, decimals, theirs]) => ({ says: `${text} to ${decimals} places is ${theirs}`,
  ours: () => rationalToDecimal(parseQuantity(String(text)).quantity?.number ?? rational(0),
  { decimals: Number(decimals) }), theirs: String(theirs) })));

function written(text: string): string {
  const { quantity } = parseQuantity(text);
  return quantity ? formatQuantity(quantity) : formatQuantityPlain({ base: rational(0), unit: undefined });
}

function fraction(value: { readonly numerator: bigint; readonly denominator: bigint } | undefined): string | undefined {
  return value && `${value.numerator}/${value.denominator}`;
}
