/** The values that the built-in catalogue ships, against the sources it names. */
import { checkSource } from './check-source.ts';
import { loadCatalogue } from '../../../server/src/catalogue/load-catalogue.ts';
import { fromBase } from '../../../server/src/quantity/quantity.ts';
import { findUnit } from '../../../server/src/quantity/unit.ts';
import { rationalToNumber } from '../../../server/src/quantity/rational.ts';

/** The value of the catalogue in a unit; a sentence where it has none. */
function shipped(name: string, symbol: string): number | string {
  const quantity = loadCatalogue().values.find((value) => value.name.value === name)?.is?.value;
  const { unit } = findUnit(symbol);
  if (!quantity?.unit || !unit) return `${name} is not in the catalogue`;
  return quantity.unit.dimension === unit.dimension ? rationalToNumber(fromBase(quantity.base, unit)) : `${name} is of another kind`;
}

const ship = (says: string, name: string, theirs: number, symbol: string) => ({ says, ours: () => shipped(name, symbol), theirs, within: 1e-12 });

checkSource('tm-5-3805', 'values of the catalogue; read', [
  ship('0 % is 11.7 V', 'battery_flat_rest', 11.7, 'V'), ship('50 % is 12.2 V', 'battery_half_rest', 12.2, 'V'),
  ship('75 % is 12.4 V', 'battery_usable_rest', 12.4, 'V'), ship('100 % is 12.6 V', 'battery_full_rest', 12.6, 'V'),
]);

checkSource('tm-9-2320', 'drops while cranking, 24 V truck, values of the catalogue; read', [
  ship('ground side cable: at most 0.1 V', 'cranking_ground_drop', 0.1, 'V'), ship('battery to solenoid: at most 0.2 V', 'cranking_cable_drop', 0.2, 'V'),
]);

checkSource('bci-load-test', 'values of the catalogue; from memory', [
  ship('9.6 V at 70 °F', 'battery_load_minimum_warm', 9.6, 'V'), ship('9.1 V at 30 °F', 'battery_load_minimum_freezing', 9.1, 'V'),
]);

checkSource('iso-6469-3', 'class B begins above, values of the catalogue; from memory', [
  ship('60 V DC', 'hazardous_voltage_dc', 60, 'V DC'), ship('30 V AC rms', 'hazardous_voltage_ac', 30, 'V AC'),
]);

checkSource('cdl-manuals', 'air brakes, values of the catalogue; read in pages that quote the manuals', [
  ship('85 to 100 psi within 45 s, dual system', 'air_build_up_limit', 45, 's'),
  ship('low-air warning before 60 psi', 'air_warning_minimum', 60, 'psi'),
  ship('single vehicle, released: 2 psi in a minute', 'air_leak_single', 2, 'psi'),
  ship('single vehicle, applied: 3 psi', 'air_leak_single_applied', 3, 'psi'),
  ship('combination of two, released: 3 psi', 'air_leak_combination', 3, 'psi'),
  ship('combination of two, applied: 4 psi', 'air_leak_combination_applied', 4, 'psi'),
]);
