/** Wire diameters, copper resistance and voltage drop against ASTM B258, NBS Handbook 100, IEC 60028 and ISO 6722-1. */
import { checkSource, printed } from './check-source.ts';
import { value } from './values.ts';

/** Nominal diameters in inches, as B258 prints them (four decimals). From memory. */
const DIAMETERS: readonly (readonly [gauge: number, inches: string])[] = [
  [-3, '0.4600'], [-2, '0.4096'], [-1, '0.3648'], [0, '0.3249'], [1, '0.2893'], [2, '0.2576'], [4, '0.2043'], [6, '0.1620'],
  [8, '0.1285'], [10, '0.1019'], [12, '0.0808'],
  [14, '0.0641'], [16, '0.0508'], [18, '0.0403'], [20, '0.0320'], [22, '0.0253'], [24, '0.0201'], [36, '0.0050'],
];
checkSource('astm-b258', 'nominal diameters in inches; from memory', DIAMETERS.map(([gauge, inches]) => ({
  says: `AWG ${gauge} is ${inches} in across`, ours: () => value(`wire_diameter(${gauge})`, 'in'), ...printed(inches),
})));

/** Ohm for 1000 ft at 20 °C, annealed copper, solid; from memory and the formula, 12 to 20 also on a wire-table page. */
const RESISTANCES: readonly (readonly [gauge: number, ohms: string])[] = [
  [-3, '0.04901'], [-1, '0.07793'], [0, '0.09827'], [1, '0.1239'], [2, '0.1563'], [4, '0.2485'], [6, '0.3951'], [8, '0.6282'],
  [10, '0.9989'], [12, '1.588'], [14, '2.525'],
  [16, '4.016'], [18, '6.385'], [20, '10.15'],
];
checkSource('nbs-handbook-100', 'ohm for 1000 ft at 20 °C; from memory, the tables use rounded diameters: within 0.15 %',
  RESISTANCES.map(([gauge, ohms]) => ({
  says: `1000 ft of AWG ${gauge} is ${ohms} Ω`, ours: () => value(`wire_resistance_awg(${gauge}, 1000 ft)`, 'Ω'),
    theirs: Number(ohms), within: 0.0015,
})));

checkSource('iec-60028', '1/58 Ω·mm²/m at 20 °C, coefficient 0.003 93 a kelvin; from memory', [
  { says: 'a metre of 1 mm² is 17.241 mΩ', ours: () => value('wire_resistance(1 mm2, 1 m)', 'mΩ'), ...printed('17.241') },
  { says: 'R60/R20 = 1.1572',
    ours: () => Number(value('wire_resistance(1 mm2, 1 m, 60 °C)')) / Number(value('wire_resistance(1 mm2, 1 m, 20 °C)')),
    ...printed('1.1572') },
  { says: 'resistance_at says the same', ours: () => value('resistance_at(100 ohm, 20 °C, 60 °C)', 'Ω'), ...printed('115.72') },
  { says: 'and goes back', ours: () => value('resistance_at(115.72 ohm, 60 °C, 20 °C)', 'Ω'), ...printed('100') },
  { says: '200 A through 1.5 m of AWG 2 drop 0.154 V (computed)', ours: () => value('voltage_drop_awg(200 A, 2, 1.5 m)', 'V'),
    ...printed('0.154') },
  { says: 'the same by cross-section', ours: () => Number(value('voltage_drop(200 A, wire_area(2), 1.5 m)', 'V')),
    ...printed('0.154') },
]);

/**
 * Greatest resistance at 20 °C, bare copper, mΩ/m: ISO 6722-1:2011 table; from memory. A cable has a little less copper than its
 * name.
 */
const CABLES: readonly (readonly [mm2: string, most: number])[] = [
  ['0.5', 37.1], ['0.75', 24.7], ['1', 18.5], ['1.5', 12.7], ['2.5', 7.6], ['4', 4.71], ['6', 3.14], ['10', 1.82], ['16', 1.16],
  ['25', 0.743], ['35', 0.527], ['50', 0.368],
];
checkSource('iso-6722', 'greatest resistance of cables, mΩ/m: ours is below and within 12 %; from memory', CABLES.map(([mm2,
  most]) => ({
  says: `1 m of ${mm2} mm² has at most ${most} mΩ`,
  ours: () => {
    const ours = Number(value(`wire_resistance(${mm2} mm2, 1 m)`, 'mΩ'));
    return ours <= most && ours > 0.88 * most ? 'fits' : `${ours}`;
  },
  theirs: 'fits',
})));

checkSource('ohm', 'series, parallel, power; worked by hand', [
  { says: '100 and 100 ohm in parallel are 50', ours: () => value('parallel(100 ohm, 100 ohm)', 'Ω'), theirs: 50 },
  { says: 'two 120 ohm terminators are 60', ours: () => value('parallel(120 ohm, 120 ohm)', 'Ω'), theirs: 60 },
  { says: '6, 3 and 2 ohm in parallel are 1', ours: () => value('parallel(6 ohm, 3 ohm, 2 ohm)', 'Ω'), theirs: 1 },
  { says: '4.7 k and 330 ohm in series are 5.03 k', ours: () => value('series(4.7 kohm, 330 ohm)', 'kΩ'), theirs: 5.03 },
  { says: 'a 90 ohm relay at 12 V draws 133 mA', ours: () => value('12 V / 90 ohm', 'mA'), ...printed('133') },
  { says: '55 W at 12 V are 4.58 A', ours: () => value('current_of(55 W, 12 V)', 'A'), ...printed('4.58') },
  { says: '24 V and 10 A are 240 W', ours: () => value('power_of(24 V, 10 A)', 'W'), theirs: 240 },
  { says: 'the product is a power too', ours: () => value('24 V * 10 A', 'W'), theirs: 240 },
  { says: '2.5 mΩ at 200 A is half a volt', ours: () => value('200 A * 2.5 mohm', 'V'), theirs: 0.5 },
  { says: '12.6 V to 10.6 V under 200 A is 10 mΩ', ours: () => value('battery_internal_resistance(12.6 V, 10.6 V, 200 A)', 'mΩ'),
    theirs: 10 },
]);
