/**
 * Random conversions against two general-purpose libraries, in every unit that both know, and a list of where they differ and
 * why. mathjs and ucum-lhc reckon in floating point, we in fractions: differences below 1e-9 are theirs.
 */
import { createRequire } from 'node:module';
import { unit as mathUnit } from 'mathjs';
import fc from 'fast-check';
import { allUnits, findUnit } from '../../../server/src/quantity/unit.ts';
import { checkSource } from './check-source.ts';
import { fromBase, toBase } from '../../../server/src/quantity/quantity.ts';
import { parseDecimal, rational, rationalToNumber } from '../../../server/src/quantity/rational.ts';
import type { Unit } from '../../../server/src/quantity/unit.ts';

/** Conversions with each library. */
const RUNS = 5000;

export interface KnownDifference {
  readonly library: 'ucum-library' | 'mathjs-library';
  readonly units: RegExp;
  /** In words, as the page of sources has it. */
  readonly which: string;
  readonly why: string;
  /** The greatest relative difference. */
  readonly upTo: number;
}

/** Where a library's table and ours are known to differ, by how much, and why ours is kept. */
export const KNOWN_DIFFERENCES: readonly KnownDifference[] = [
  {
    library: 'ucum-library', units: /Hg/, which: 'inHg, mmHg, cmHg', upTo: 3e-6,
    why: 'UCUM takes the metre of mercury at 133.322 kPa, rounded; SP 811 and we at 13 595.1 kg/m³ × 9.806 65 m/s²: 2.9 parts in a million.',
  },
  {
    library: 'mathjs-library', units: /mmHg/, which: 'mmHg', upTo: 3e-6,
    why: 'mathjs has 133.322 Pa, rounded; the conventional millimetre of mercury is 133.322 387 415 Pa.',
  },
  {
    library: 'mathjs-library', units: /Torr/, which: 'Torr', upTo: 3e-6,
    why: 'mathjs has 133.322 Pa, rounded; the torr is 101 325/760 Pa by definition.',
  },
];

type Answer = (from: Unit, value: number, to: Unit) => number | undefined;
interface Comparison { readonly unanswered: readonly string[]; readonly differing: ReadonlyMap<string, number> }

for (const [id, compare] of [['ucum-library', () => withUcum()], ['mathjs-library', () => withMathjs()]] as const) {
  const known = KNOWN_DIFFERENCES.filter((each) => each.library === id);
  checkSource(id, `${RUNS} random conversions in all units that both know; what differs is listed`, [
    { says: 'each was answered', values: 0, ours: () => compare().unanswered.join('; '), theirs: '' },
    {
      says: 'no difference but those listed', values: RUNS, theirs: '',
      ours: () => [...compare().differing].filter(([pair, off]) => !known.some((each) => each.units.test(pair) && off <= each.upTo))
        .map(([pair, off]) => `${pair}: ${off}`).join('; '),
    },
    {
      says: 'what is listed does differ', values: 0, theirs: '',
      ours: () => known.filter((each) => ![...compare().differing.keys()].some((pair) => each.units.test(pair))).map(({ which }) => which).join(),
    },
  ]);
}

const done = new Map<string, Comparison>();

function once(name: string, compare: () => Comparison): Comparison {
  const found = done.get(name) ?? compare();
  done.set(name, found);
  return found;
}

function withUcum(): Comparison {
  return once('ucum', () => {
    const { UcumLhcUtils } = createRequire(import.meta.url)('@lhncbc/ucum-lhc') as { UcumLhcUtils: { getInstance(): UcumUtils } };
    const ucum = UcumLhcUtils.getInstance();
    // Turns: UCUM has no revolution but an annotation, which counts as one. Its decibel is a logarithm of a bare number.
    const units = allUnits().filter((each) => each.ucum !== '' && each.ucum !== '1' && each.supply === undefined
      && !/\{(?:gauge|abs|diff|vac)\}/.test(each.ucum) && !['rotational_speed', 'sound_level'].includes(each.dimension));
    return crossCheck(pairsOf(units), (from, value, to) => {
      const answer = ucum.convertUnitTo(from.ucum, value, to.ucum);
      return answer.status === 'succeeded' && typeof answer.toVal === 'number' ? answer.toVal : undefined;
    });
  });
}

function withMathjs(): Comparison {
  return once('mathjs', () => {
    const known = mathUnits();
    return crossCheck(pairsOf([...known.keys()]), (from, value, to) => {
      const a = known.get(from);
      const b = known.get(to);
      return a && b ? mathUnit(value, a).toNumber(b) : undefined;
    });
  });
}

interface UcumUtils {
  convertUnitTo(from: string, value: number, to: string): { readonly status: string; readonly toVal?: number | null };
}

/** Compares `RUNS` conversions of numbers from a billionth to a billion, either sign; gathers what differs. */
function crossCheck(pairs: readonly (readonly [Unit, Unit])[], theirs: Answer): Comparison {
  const unanswered = new Set<string>();
  const differing = new Map<string, number>();
  const number = fc.tuple(fc.integer({ min: -999_999, max: 999_999 }), fc.integer({ min: -9, max: 3 })).map(([digits, power]) => Number(`${digits}e${power}`));
  fc.assert(fc.property(fc.constantFrom(...pairs), number, ([from, to], value) => {
    const pair = `${from.symbol} → ${to.symbol}`;
    const other = theirs(from, value, to);
    if (other === undefined) {
      // Below absolute zero a library may refuse, as we do.
      const base = toBase(parseDecimal(String(value)) ?? rational(value), from);
      if (from.offset === undefined || base.numerator >= 0n) unanswered.add(pair);
      return;
    }
    const exact = toBase(parseDecimal(String(value)) ?? rational(value), from);
    const ours = rationalToNumber(fromBase(exact, to));
    // Offsets cancel digits: compare against the size of what was added.
    const scale = Math.max(Math.abs(ours), from.offset || to.offset ? 500 : 0);
    const off = scale === 0 ? Math.abs(other) : Math.abs(other - ours) / scale;
    if (off > 1e-9) differing.set(pair, Math.max(off, differing.get(pair) ?? 0));
  }), { numRuns: RUNS, seed: 2026 });
  return { unanswered: [...unanswered], differing };
}

function pairsOf(units: readonly Unit[]): (readonly [Unit, Unit])[] {
  return units.flatMap((from) => units.filter((to) => to !== from && to.dimension === from.dimension).map((to) => [from, to] as const));
}

/** Our units and mathjs' names for them; read from the documentation of the library. */
function mathUnits(): ReadonlyMap<Unit, string> {
  const names: Readonly<Record<string, string>> = {
    V: 'V', mV: 'mV', kV: 'kV', A: 'A', mA: 'mA', Ω: 'ohm', kΩ: 'kohm', MΩ: 'Mohm', farad: 'F', µF: 'uF', H: 'H', coulomb: 'C',
      Hz: 'Hz', kHz: 'kHz', '°': 'deg', rad: 'rad', arcmin: 'arcmin',
    arcsec: 'arcsec', turn: 'cycle', '°C': 'degC', '°F': 'degF', Pa: 'Pa', kPa: 'kPa', MPa: 'MPa', bar: 'bar', mbar: 'mbar',
      psi: 'psi', mmHg: 'mmHg', mmH2O: 'mmH2O', cmH2O: 'cmH2O', Torr: 'torr',
    atm: 'atm', N: 'N', kN: 'kN', lbf: 'lbf', m: 'm', mm: 'mm', km: 'km', in: 'inch', ft: 'foot', yd: 'yard', mi: 'mile',
      thou: 'mil', 'm²': 'm^2', 'mm²': 'mm^2', 'in²': 'sqin', 'ft²': 'sqft', L: 'L',
    mL: 'mL', 'm³': 'm^3', 'cm³': 'cc', 'in³': 'cuin', 'ft³': 'cuft', 'US gal': 'gallon', 'US qt': 'quart', 'US pt': 'pint',
      'US fl oz': 'floz', g: 'g', kg: 'kg', t: 'tonne', lb: 'lbm', 'oz av': 'oz',
    'US ton': 'ton', st: 'stone', 'L/min': 'L/min', 'US gpm': 'gallon/min', 'm³/h': 'm^3/hour', cfm: 'cuft/min',
      'km/h': 'km/hour', 'm/s': 'm/s', mph: 'mile/hour', 'ft/s': 'foot/s', s: 's', ms: 'ms',
    min: 'min', h: 'hour', d: 'day', week: 'week', J: 'J', kJ: 'kJ', Wh: 'Wh', Btu: 'BTU', W: 'W', kW: 'kW', hp: 'hp',
    µV: 'uV', MV: 'MV', GΩ: 'Gohm', mΩ: 'mohm', nF: 'nF', pF: 'pF', mH: 'mH', S: 'S', MHz: 'MHz', GPa: 'GPa', hPa: 'hPa', µA: 'uA', kA: 'kA',
    kgf: 'kgf', 'kgf·m': 'kgf m', µm: 'um', cm: 'cm', nanometre: 'nm', 'cm²': 'cm^2', cL: 'cL', dL: 'dL', hL: 'hL', mg: 'mg', µg: 'ug',
    'N·m': 'N m', 'kN·m': 'kN m', 'lb·ft': 'lbf foot', 'lb·in': 'lbf inch', 'psi/min': 'psi/minute', 'bar/min': 'bar/minute', 'kPa/min': 'kPa/minute',
    'N/mm': 'N/mm', 'mL/min': 'mL/minute', 'L/s': 'L/s', 'L/h': 'L/hour', 'm³/min': 'm^3/minute', 'm³/s': 'm^3/s', 'US gph': 'gallon/hour',
    'kg/h': 'kg/hour', 'mm/s': 'mm/s', 'm/min': 'm/minute', 'ft/min': 'foot/minute', 'm/s²': 'm/s^2', month: 'month', year: 'year', kWh: 'kW hour',
    MJ: 'MJ', mW: 'mW', MW: 'MW', VA: 'VA', 'Btu/h': 'BTU/hour', 'kg/m³': 'kg/m^3', 'g/cm³': 'g/cm^3', Ah: 'A hour', mAh: 'mA hour',
    rpm: 'cycle/minute', 'rev/s': 'cycle/s', 'rad/s': 'rad/s', '°/s': 'deg/s', K: 'K', 'Δ°F': 'degR', 'Ω/m': 'ohm/m', 'Ω/km': 'ohm/km', mrad: 'mrad',
    µs: 'us', daN: 'daN',
  };
  return new Map(Object.entries(names).map(([ours, theirs]) => {
    const unit = findUnit(ours).unit;
    if (!unit) throw new Error(`${ours} is no unit`);
    return [unit, theirs];
  }));
}
