/**
 * The words for what is measured, what kind each is of, and what a reading of it can be. Knows no procedure.
 */
import type { Unit } from './unit.ts';

export type QuantityWord =
  | 'dc_voltage'
  | 'ac_voltage'
  | 'dc_current'
  | 'ac_current'
  | 'resistance'
  | 'continuity'
  | 'insulation_resistance'
  | 'capacitance'
  | 'frequency'
  | 'duty_cycle'
  | 'temperature'
  | 'temperature_difference'
  | 'pressure'
  | 'vacuum'
  | 'torque'
  | 'force'
  | 'length'
  | 'depth'
  | 'mass'
  | 'volume'
  | 'flow_rate'
  | 'rotational_speed'
  | 'speed'
  | 'angle'
  | 'time'
  | 'charge'
  | 'power'
  | 'ratio'
  | 'relative_density'
  | 'illuminance'
  | 'sound_level'
  | 'count';

export interface QuantityWordInfo {
  readonly word: QuantityWord;
  readonly title: string;
  readonly dimension: string;
  /** Symbols, the most usual first; empty where a bare number is meant. */
  readonly usualUnits: readonly string[];
  /** 'not_negative': no reading is below zero; 'whole': nor between two whole numbers; 'share': 0 to 100 %. */
  readonly domain: 'any' | 'not_negative' | 'whole' | 'share';
  /** Whether a bare number will do for a unit. */
  readonly bareNumber: boolean;
  /** Whether an instrument shows overload for an open circuit. */
  readonly showsOpen: boolean;
}

const ROWS: readonly QuantityWordInfo[] = [
  row('dc_voltage', 'DC voltage', 'voltage', ['V', 'mV', 'kV'], 'any'),
  row('ac_voltage', 'AC voltage', 'voltage', ['V', 'mV', 'kV'], 'not_negative'),
  row('dc_current', 'DC current', 'current', ['A', 'mA', 'µA'], 'any'),
  row('ac_current', 'AC current', 'current', ['A', 'mA'], 'not_negative'),
  row('resistance', 'Resistance', 'resistance', ['Ω', 'kΩ', 'MΩ', 'mΩ'], 'not_negative', { showsOpen: true }),
  row('continuity', 'Continuity', 'resistance', ['Ω'], 'not_negative', { showsOpen: true }),
  row('insulation_resistance', 'Insulation resistance', 'resistance', ['MΩ', 'kΩ', 'GΩ'], 'not_negative', { showsOpen: true }),
  row('capacitance', 'Capacitance', 'capacitance', ['µF', 'nF', 'mF'], 'not_negative'),
  row('frequency', 'Frequency', 'frequency', ['Hz', 'kHz'], 'not_negative'),
  row('duty_cycle', 'Duty cycle', 'ratio', ['%'], 'share'),
  row('temperature', 'Temperature', 'temperature', ['°C', '°F'], 'not_negative'),
  row('temperature_difference', 'Temperature difference', 'temperature_difference', ['K', 'Δ°C', 'Δ°F'], 'any'),
  row('pressure', 'Pressure', 'pressure', ['bar', 'kPa', 'MPa', 'psi'], 'any'),
  row('vacuum', 'Vacuum', 'vacuum', ['kPa', 'mbar', 'inHg'], 'not_negative'),
  row('torque', 'Torque', 'torque', ['N·m', 'lb·ft', 'lb·in'], 'not_negative'),
  row('force', 'Force', 'force', ['N', 'kN', 'lbf'], 'any'),
  row('length', 'Length', 'length', ['mm', 'm', 'in'], 'not_negative'),
  row('depth', 'Depth', 'length', ['mm', 'in'], 'not_negative'),
  row('mass', 'Mass', 'mass', ['kg', 'g', 't', 'lb'], 'not_negative'),
  row('volume', 'Volume', 'volume', ['L', 'mL', 'US gal'], 'not_negative'),
  row('flow_rate', 'Flow rate', 'flow_rate', ['L/min', 'L/h', 'US gpm'], 'not_negative'),
  row('rotational_speed', 'Rotational speed', 'rotational_speed', ['rpm'], 'not_negative'),
  row('speed', 'Speed', 'speed', ['km/h', 'm/s', 'mph'], 'not_negative'),
  row('angle', 'Angle', 'angle', ['°'], 'any'),
  row('time', 'Time', 'time', ['s', 'min', 'h', 'ms'], 'not_negative'),
  row('charge', 'Charge', 'charge', ['Ah', 'mAh'], 'any'),
  row('power', 'Power', 'power', ['W', 'kW', 'hp'], 'any'),
  row('ratio', 'Ratio', 'ratio', ['%'], 'any', { bareNumber: true }),
  row('relative_density', 'Relative density', 'ratio', ['SG'], 'not_negative', { bareNumber: true }),
  row('illuminance', 'Illuminance', 'illuminance', ['lx'], 'not_negative'),
  row('sound_level', 'Sound level', 'sound_level', ['dB'], 'any'),
  row('count', 'Count', 'ratio', [], 'whole', { bareNumber: true }),
];

const BY_WORD: ReadonlyMap<string, QuantityWordInfo> = new Map(ROWS.map((each) => [each.word, each]));

/** All of them, in the order of the format reference. */
export const QUANTITY_WORDS: readonly QuantityWord[] = ROWS.map((each) => each.word);

/** The word, where the text is one. */
export function quantityWord(text: string): QuantityWord | undefined {
  return BY_WORD.get(text)?.word;
}

export function describeQuantityWord(word: QuantityWord): QuantityWordInfo {
  // Every word of the type has a row: a test holds the two together.
  return BY_WORD.get(word) ?? row(word, word, 'ratio', [], 'any');
}

/** Its name inside a sentence: `DC voltage`, `insulation resistance`. */
export function quantityPhrase(word: QuantityWord): string {
  return describeQuantityWord(word).title.replace(/^[A-Z](?=[a-z])/, (letter) => letter.toLowerCase());
}

/**
 * Whether a reading of that word may be written in the unit; undefined is a bare number. A kelvin fits a temperature and a
 * difference; a pressure may be plain, gauge, absolute or a difference; `V AC` does not fit `dc_voltage`.
 */
export function unitFits(unit: Unit | undefined, word: QuantityWord): boolean {
  const info = describeQuantityWord(word);
  if (unit === undefined) return info.bareNumber;
  if (unit.supply !== undefined && !word.startsWith(unit.supply)) return false;
  if (word === 'temperature' && unit.symbol === 'K') return true;
  if (word === 'pressure')
    return ['pressure', 'gauge_pressure', 'absolute_pressure', 'pressure_difference'].includes(unit.dimension);
  if (word === 'vacuum') return unit.dimension === 'pressure' || unit.dimension === 'vacuum';
  if (word === 'count') return false;
  if (word === 'duty_cycle') return unit.dimension === 'ratio' && unit.symbol !== 'SG';
  if (word === 'relative_density') return unit.symbol === 'SG';
  return unit.dimension === info.dimension;
}

function row(
  word: QuantityWord,
  title: string,
  dimension: string,
  usualUnits: readonly string[],
  domain: QuantityWordInfo['domain'],
  more: { readonly bareNumber?: boolean; readonly showsOpen?: boolean } = {},
): QuantityWordInfo {
  return { word, title, dimension, usualUnits, domain, bareNumber: more.bareNumber ?? false, showsOpen: more.showsOpen ?? false };
}
