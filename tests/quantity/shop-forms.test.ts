/**
 * Forms that a shop writes. Started from the trial that judged unit libraries (fifty-seven forms; none of the libraries read N·m,
 * Nm, ft-lb, gpm, °C, thou or VDC; two took torque for energy, one mph for a light, one megohm for a molar ohm) and goes past it.
 * The expected values are definitions or worked by hand.
 */
import { describe, expect, it } from 'vitest';
import { findUnit } from '../../server/src/quantity/unit.ts';
import { formatQuantityPlain } from '../../server/src/quantity/format-quantity.ts';
import { parseQuantity } from '../../server/src/quantity/parse-quantity.ts';

/** As written, how it is shown, and its kind. */
const FORMS: readonly (readonly [written: string, shown: string, dimension: string])[] = [
  // Voltage
  ['12.6 V', '12.6 V', 'voltage'], ['12.6V', '12.6 V', 'voltage'], ['12,6 V', '12.6 V', 'voltage'],
  ['450 mV', '450 mV', 'voltage'], ['1.2 kV', '1.2 kV', 'voltage'], ['24 VDC', '24 V DC', 'voltage'],
  ['24 V DC', '24 V DC', 'voltage'], ['24 Vdc', '24 V DC', 'voltage'], ['24 volts DC', '24 V DC', 'voltage'],
  ['230 V AC', '230 V AC', 'voltage'], ['230 VAC', '230 V AC', 'voltage'], ['5 volts', '5 V', 'voltage'],
  ['100 µV', '100 µV', 'voltage'], ['100 μV', '100 µV', 'voltage'], ['100 uV', '100 µV', 'voltage'], ['12 v', '12 V', 'voltage'],
  ['0.5 V d.c.', '0.5 V DC', 'voltage'],
  // Current, charge, power
  ['50 mA', '50 mA', 'current'], ['200 amps', '200 A', 'current'], ['1 amp', '1 A', 'current'], ['700 CCA', '700 A', 'current'],
  ['80 Ah', '80 Ah', 'charge'], ['2000 mAh', '2000 mAh', 'charge'], ['60 A·h', '60 Ah', 'charge'],
  ['80 amp-hours', '80 Ah', 'charge'], ['55 W', '55 W', 'power'], ['7.5 kW', '7.5 kW', 'power'], ['100 hp', '100 hp', 'power'],
  ['100 PS', '100 PS', 'power'],
  // Resistance, capacitance, frequency
  ['90 ohm', '90 Ω', 'resistance'], ['90 ohms', '90 Ω', 'resistance'], ['90 Ω', '90 Ω', 'resistance'],
  ['90 \u2126', '90 Ω', 'resistance'], ['4.7 kohm', '4.7 kΩ', 'resistance'], ['4.7 kΩ', '4.7 kΩ', 'resistance'],
  ['4.7 k ohm', '4.7 kΩ', 'resistance'],
  ['1 MΩ', '1 MΩ', 'resistance'], ['1 Mohm', '1 MΩ', 'resistance'], ['1 megohm', '1 MΩ', 'resistance'],
  ['2 mohm', '2 mΩ', 'resistance'], ['500 ohms/volt', '500 Ω/V', 'resistance_per_voltage'], ['10 µF', '10 µF', 'capacitance'],
  ['10 uF', '10 µF', 'capacitance'], ['470 mfd', '470 µF', 'capacitance'], ['50 Hz', '50 Hz', 'frequency'],
  ['10 kHz', '10 kHz', 'frequency'], ['10 khz', '10 kHz', 'frequency'],
  // Temperature
  ['20 °C', '20 °C', 'temperature'], ['20°C', '20 °C', 'temperature'], ['20 degC', '20 °C', 'temperature'],
  ['20 deg C', '20 °C', 'temperature'], ['20 ℃', '20 °C', 'temperature'], ['20 degrees Celsius', '20 °C', 'temperature'],
  ['68 °F', '68 °F', 'temperature'], ['68 degF', '68 °F', 'temperature'], ['-20 °C', '-20 °C', 'temperature'],
  ['\u221220 °C', '-20 °C', 'temperature'], ['5 K', '5 K', 'temperature_difference'],
  ['5 Δ°C', '5 Δ°C', 'temperature_difference'],
  ['9 °F difference', '9 Δ°F', 'temperature_difference'],
  // Pressure and vacuum
  ['100 psi', '100 psi', 'pressure'], ['100 PSI', '100 psi', 'pressure'], ['100 lb/in²', '100 psi', 'pressure'],
  ['30 psig', '30 psi gauge', 'gauge_pressure'], ['45 psia', '45 psi abs', 'absolute_pressure'],
  ['5 psid', '5 psi diff', 'pressure_difference'],
  ['180 bar', '180 bar', 'pressure'], ['2 bar(g)', '2 bar gauge', 'gauge_pressure'], ['2 barg', '2 bar gauge', 'gauge_pressure'],
  ['1 bar abs', '1 bar abs', 'absolute_pressure'], ['950 mbar', '950 mbar', 'pressure'], ['700 kPa', '700 kPa', 'pressure'],
  ['18 MPa', '18 MPa', 'pressure'], ['1013 hPa', '1013 hPa', 'pressure'], ['20 inHg', '20 inHg', 'pressure'],
  ['20 in Hg', '20 inHg', 'pressure'], ['20 "Hg', '20 inHg', 'pressure'], ['20 inHg vac', '20 inHg vac', 'vacuum'],
  ['60 kPa vacuum', '60 kPa vac', 'vacuum'],
  ['10 in. w.c.', '10 inH2O', 'pressure'], ['14 kg/cm²', '14 kgf/cm²', 'pressure'], ['2 psi/min', '2 psi/min', 'pressure_rate'],
  // Torque and force
  ['35 N·m', '35 N·m', 'torque'], ['35 Nm', '35 N·m', 'torque'], ['35 N m', '35 N·m', 'torque'], ['35 N.m', '35 N·m', 'torque'],
  ['35 N-m', '35 N·m', 'torque'], ['85 lb·ft', '85 lb·ft', 'torque'], ['85 lb-ft', '85 lb·ft', 'torque'],
  ['85 ft-lb', '85 lb·ft', 'torque'], ['85 ft lb', '85 lb·ft', 'torque'], ['85 ft-lbs', '85 lb·ft', 'torque'],
  ['85 ft.lbf', '85 lb·ft', 'torque'], ['85 lbf-ft', '85 lb·ft', 'torque'], ['85 foot-pounds', '85 lb·ft', 'torque'],
  ['120 lb·in', '120 lb·in', 'torque'], ['120 in-lb', '120 lb·in', 'torque'], ['40 oz-in', '40 oz·in', 'torque'],
  ['5 kgf·m', '5 kgf·m', 'torque'], ['5 kg-m', '5 kgf·m', 'torque'], ['250 N', '250 N', 'force'], ['2.5 kN', '2.5 kN', 'force'],
  ['50 lbf', '50 lbf', 'force'],
  // Length, thread, tyre
  ['1.6 mm', '1.6 mm', 'length'], ['7/16 in', '0.4375 in', 'length'], ['1 7/16 in', '1.4375 in', 'length'],
  ['1-1/2"', '1.5 in', 'length'], ['½ in', '0.5 in', 'length'], ['3¼"', '3.25 in', 'length'], ['5 thou', '5 thou', 'length'],
  ['0.005"', '0.005 in', 'length'],
  ['5\' 6"', '66 in', 'length'], ['5 ft 6 in', '66 in', 'length'], ['10 km', '10 km', 'length'],
  ['100 miles', '100 mi', 'length'], ['25 µm', '25 µm', 'length'], ['2.5 mm²', '2.5 mm²', 'area'], ['2.5 mm2', '2.5 mm²', 'area'],
  // Volume, flow, mass
  ['5 L', '5 L', 'volume'], ['5 l', '5 L', 'volume'], ['5 litres', '5 L', 'volume'], ['500 ml', '500 mL', 'volume'],
  ['50 cc', '50 cm³', 'volume'], ['3 US gal', '3 US gal', 'volume'], ['3 imp gal', '3 imp gal', 'volume'],
  ['3 UK gallons', '3 imp gal', 'volume'],
  ['8 L/min', '8 L/min', 'flow_rate'], ['8 lpm', '8 L/min', 'flow_rate'], ['8 l/min', '8 L/min', 'flow_rate'],
  ['12 gpm', '12 US gpm', 'flow_rate'], ['12 imp gpm', '12 imp gpm', 'flow_rate'], ['20 cfm', '20 cfm', 'flow_rate'],
  ['850 kg', '850 kg', 'mass'], ['7.5 t', '7.5 t', 'mass'],
  ['25 lb', '25 lb', 'mass'], ['25 lbs', '25 lb', 'mass'],
  // Turning, speed, time, angle
  ['1800 rpm', '1800 rpm', 'rotational_speed'], ['1 800 rpm', '1800 rpm', 'rotational_speed'],
  ['1\u202f800 r/min', '1800 rpm', 'rotational_speed'], ['1800 min⁻¹', '1800 rpm', 'rotational_speed'],
  ['60 mph', '60 mph', 'speed'], ['80 km/h', '80 km/h', 'speed'], ['80 kph', '80 km/h', 'speed'],
  ['1 min 30 s', '90 s', 'time'], ['2 h 15 min', '135 min', 'time'], ['2h15min', '135 min', 'time'], ['30 sec', '30 s', 'time'],
  ['10 minutes', '10 min', 'time'], ['250 h', '250 h', 'time'], ['6 months', '6 month', 'time'], ['200 ms', '200 ms', 'time'],
  ['45°', '45°', 'angle'], ['1.5 turns', '1.5 turn', 'angle'],
  // Shares, light, sound, density
  ['3 %', '3 %', 'ratio'], ['50 % duty', '50 %', 'ratio'], ['0.5 ‰', '0.5 ‰', 'ratio'], ['200 ppm', '200 ppm', 'ratio'],
  ['1.265 SG', '1.265 SG', 'ratio'], ['85 dB(A)', '85 dB', 'sound_level'], ['300 lux', '300 lx', 'illuminance'],
  ['1.2 g/cm³', '1.2 g/cm³', 'density'],
  // Numbers
  ['1.5e3 ohm', '1500 Ω', 'resistance'], ['1.5×10³ ohm', '1500 Ω', 'resistance'], ['12 345,6 kg', '12345.6 kg', 'mass'],
  ['12,345.6 kg', '12345.6 kg', 'mass'], ['12.345,6 kg', '12345.6 kg', 'mass'], ['.5 mm', '0.5 mm', 'length'],
  ['0,125 in', '0.125 in', 'length'], ['+12 V', '12 V', 'voltage'],
  // UCUM codes
  ['20 Cel', '20 °C', 'temperature'], ['68 [degF]', '68 °F', 'temperature'], ['85 [ft_i].[lbf_av]', '85 lb·ft', 'torque'],
  ['1800 {rev}/min', '1800 rpm', 'rotational_speed'], ['100 [psi]', '100 psi', 'pressure'], ['3 [gal_us]', '3 US gal', 'volume'],
  // Built from parts
  ['5 V/m', '5 V/m', 'voltage_per_length'], ['2 kg/s', '2 kg/s', 'mass_flow'], ['9.81 m/s²', '9.81 m/s²', 'acceleration'],
  ['3 N/mm²', '3 N/mm²', 'pressure'],
];

/** What must be refused, and why. */
const REFUSED: readonly (readonly [written: string, kind: string, choices?: readonly string[]])[] = [
  ['5 gal', 'unit-ambiguous', ['US gal', 'imp gal']], ['5 gallons', 'unit-ambiguous', ['US gal', 'imp gal']],
  ['2 tons', 'unit-ambiguous', ['t', 'US ton', 'long ton']], ['5 oz', 'unit-ambiguous',
  ['oz av', 'US fl oz', 'imp fl oz', 'ozf']],
  ['20 C', 'unit-ambiguous', ['°C', 'coulomb']], ['68 F', 'unit-ambiguous', ['°F', 'farad']], ['20 deg', 'unit-ambiguous',
    ['°', '°C', '°F']], ['5 mil', 'unit-ambiguous', ['thou', 'mm']], ['35 nm', 'unit-ambiguous', ['N·m', 'nanometre']],
    ['2 qt', 'unit-ambiguous', ['US qt', 'imp qt']],
  ['5 gal/min', 'unit-ambiguous', ['US gpm', 'imp gpm']], ["5'", 'unit-ambiguous', ['ft', 'arcmin', 'min']],
  ['5 mpa', 'unit-unknown'], ['5 volt_s', 'unit-unknown'], ['5 furlongs', 'unit-unknown'], ['1,200 rpm', 'not-a-number'],
  ['1/0 in', 'not-a-number'], ['OL', 'not-a-number'], ['', 'not-a-number'], ['V', 'not-a-number'], ['12 V 6', 'trailing-text'],
];

describe('forms that a shop writes', () => {
  it('are more than the fifty-seven of the trial', () => expect(FORMS.length).toBeGreaterThan(150));

  it.each(FORMS)('%s is %s', (written, shown, dimension) => {
    const { quantity, problems } = parseQuantity(written);
    expect(problems).toEqual([]);
    expect(quantity && formatQuantityPlain(quantity)).toBe(shown);
    expect(quantity?.unit?.dimension).toBe(dimension);
    // What we print, we read.
    const again = parseQuantity(shown).quantity;
    expect(again?.base).toEqual(quantity?.base);
    expect(again?.unit?.dimension).toBe(dimension);
  });

  it.each(REFUSED.map((each) => [each[0], each[1], each] as const))('%j is refused: %s', (written, kind, [, , choices]) => {
    const { quantity, problems } = parseQuantity(written);
    expect(problems.map((problem) => problem.kind)).toEqual([kind]);
    if (kind !== 'trailing-text') expect(quantity).toBeUndefined();
    expect(problems[0]?.choices).toEqual(choices);
    for (const choice of choices ?? []) expect(findUnit(choice).unit?.symbol).toBe(choice);
  });
});
