/** Air brakes, boiling water and torque adapters against their sources. */
import { boilingPressure, boilingTemperature } from '../../../server/src/quantity/mechanical-computations.ts';
import { checkSource, printed } from './check-source.ts';
import { convert, value } from './values.ts';

checkSource('iapws-if97', 'tables 35 and 36, the check values of the formulation; from memory', [
  { says: 'ps(300 K) = 0.353658941E-2 MPa', ours: () => boilingPressure(300) / 1e6, ...printed('0.353658941E-2') },
  { says: 'ps(500 K) = 0.263889776E1 MPa', ours: () => boilingPressure(500) / 1e6, ...printed('0.263889776E1') },
  { says: 'ps(600 K) = 0.123443146E2 MPa', ours: () => boilingPressure(600) / 1e6, ...printed('0.123443146E2') },
  { says: 'Ts(0.1 MPa) = 372.755919 K', ours: () => boilingTemperature(1e5), ...printed('372.755919') },
  { says: 'Ts(1 MPa) = 453.035632 K', ours: () => boilingTemperature(1e6), ...printed('453.035632') },
  { says: 'Ts(10 MPa) = 584.149488 K', ours: () => boilingTemperature(1e7), ...printed('584.149488') },
  { says: 'water boils at 100 °C at about 101.4 kPa', ours: () => value('saturation_pressure(100 °C)', 'kPa abs'),
    ...printed('101.4') },
  { says: 'and back', ours: () => Number(value('saturation_temperature(saturation_pressure(120 °C))', '°C')), theirs: 120,
    within: 1e-6 },
  { says: '250 °C is outside the range', ours: () => value('saturation_pressure(250 °C)'),
    theirs: 'The temperature is outside the range of the computation.' },
]);

checkSource('standard-atmosphere', '101 325 Pa is added to a gauge reading; from memory', [
  { says: '0 bar gauge is 101.325 kPa', ours: () => value('absolute_of(0 bar)', 'kPa abs'), theirs: 101.325 },
  { says: '1 bar gauge is 2.013 25 bar', ours: () => value('absolute_of(1 bar gauge)', 'bar abs'), theirs: 2.01325 },
  { says: '14.7 psia is 0 psi gauge, nearly', ours: () => value('gauge_of(14.69595 psia)', 'psi gauge'), theirs: 0, within: 1e-5 },
  { says: '29.92 inHg of vacuum leave nothing, nearly', ours: () => value('absolute_of_vacuum(29.92 inHg vac)', 'inHg abs'), theirs: 0, within: 0.002 },
  { says: '20 inHg of vacuum leave 9.92', ours: () => value('absolute_of_vacuum(20 inHg vac)', 'inHg abs'), ...printed('9.92') },
  { says: 'with the air that a barometer shows', ours: () => value('absolute_of(2 bar, 950 hPa abs)', 'bar abs'), theirs: 2.95 },
  { says: 'below a full vacuum there is no number', ours: () => value('absolute_of(-1.1 bar)'), theirs: 'That would be below a full vacuum.' },
]);

checkSource('fmvss-121', 'S5.1.1: actual × 25 / required, in seconds; limits of driver manuals; from memory', [
  { says: 'reservoirs of just the required volume: 25 s', ours: () => value('build_up_time(40 L, 40 L)', 's'), theirs: 25 },
  { says: 'half as much again: 37.5 s', ours: () => value('build_up_time(60 L, 40 L)', 's'), theirs: 37.5 },
  { says: '100 to 98 psi in a minute is 2 psi/min', ours: () => value('leak_rate(100 psi, 98 psi, 1 min)', 'psi/min'),
    theirs: 2 },
  { says: 'the same by arithmetic', ours: () => value('(100 psi - 98 psi) / 1 min', 'psi/min'), theirs: 2 },
  { says: '2 psi/min is 13.8 kPa/min', ours: () => convert('2 psi/min', 'kPa/min'), ...printed('13.8') },
  { says: '60 psi is 4.14 bar', ours: () => convert('60 psi', 'bar'), ...printed('4.14') },
  { says: '85 to 100 psi is 586 to 689 kPa',
    ours: () => `${Math.round(convert('85 psi', 'kPa'))} to ${Math.round(convert('100 psi', 'kPa'))}`, theirs: '586 to 689' },
]);

checkSource('lever', 'setting = torque × L / (L + E); worked by hand', [
  { says: '110 N·m on a 500 mm wrench with a 50 mm adapter: set 100', ours: () => value('adapter_setting(110 N·m, 500 mm, 50 mm)',
    'N·m'), theirs: 100 },
  { says: '100 lb·ft on an 18 in wrench with a 2 in adapter: set 90', ours: () => value('adapter_setting(100 lb·ft, 18 in, 2 in)',
    'lb·ft'), theirs: 90 },
  { says: 'and the way back', ours: () => value('adapter_torque(90 lb·ft, 18 in, 2 in)', 'lb·ft'), theirs: 100 },
  { says: 'an adapter at a right angle adds nothing', ours: () => value('adapter_setting(80 N·m, 400 mm, 0 mm)', 'N·m'),
    theirs: 80 },
  { says: 'force times length is a torque', ours: () => value('100 N * 0.5 m', 'N·m'), theirs: 50 },
  { says: '100 N·m at 3000 rpm is 31.4 kW', ours: () => value('shaft_power(100 N·m, 3000 rpm)', 'kW'), ...printed('31.4') },
  { says: 'horsepower = lb·ft × rpm / 5252', ours: () => value('shaft_power(100 lb·ft, 5252 rpm)', 'hp'), ...printed('100.0') },
  { says: '100 psi in and 85 psi held is 15 %', ours: () => value('cylinder_leakage(100 psi, 85 psi)', '%'), theirs: 15 },
]);
