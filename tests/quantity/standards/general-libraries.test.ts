/**
 * Random conversions against two general-purpose libraries, in every unit that both know, and a list of where they differ and
 * why. mathjs and ucum-lhc reckon in floating point, we in fractions: differences below 1e-9 are theirs.
 */
import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { unit as mathUnit } from 'mathjs';
import fc from 'fast-check';
import { allUnits, findUnit } from '../../../server/src/quantity/unit.ts';
import { checkSource } from './check-source.ts';
import { fromBase, toBase } from '../../../server/src/quantity/quantity.ts';
import { fromUcum, toUcum } from '../../../server/src/quantity/ucum.ts';
import { parseDecimal, rational, rationalToNumber } from '../../../server/src/quantity/rational.ts';
import type { Unit } from '../../../server/src/quantity/unit.ts';

interface UcumAnswer { readonly status: string; readonly toVal?: number | null; readonly msg?: readonly string[] }
interface UcumUtils {
  validateUnitString(code: string): UcumAnswer;
  convertUnitTo(from: string, value: number, to: string): UcumAnswer;
}
const ucumPackage = createRequire(import.meta.url)('@lhncbc/ucum-lhc') as { UcumLhcUtils: { getInstance(): UcumUtils } };
const ucum = ucumPackage.UcumLhcUtils.getInstance();

/** Where UCUM's table and ours are known to differ, and by how much. */
const UCUM_DIFFERS: readonly { readonly units: RegExp; readonly why: string; readonly upTo: number }[] = [
  { units: /Hg/,
    why: 'UCUM takes the metre of mercury at 133.322 kPa, rounded; SP 811 and we at 13 595.1 kg/m³ × 9.806 65 m/s²: 2.9 parts in a million.', upTo: 3e-6 },
];

/** Where mathjs and we are known to differ. */
const MATHJS_DIFFERS: readonly { readonly units: RegExp; readonly why: string }[] = [
  { units: /mmHg|Torr/,
    why: 'mathjs has 133.322 Pa for both, rounded; the torr is 101 325/760 Pa, the millimetre of mercury 133.322 387 415 Pa.' },
];

const plain = allUnits().filter((each) => each.ucum !== '' && each.supply === undefined && !/\{(?:gauge|abs|diff|vac)\}/.test(each.ucum));

checkSource('ucum', 'codes of common units, ucum-essence 2.2; read', ([
  ['V', 'V'], ['A', 'A'], ['ohm', 'Ohm'], ['°C', 'Cel'], ['°F', '[degF]'], ['psi', '[psi]'], ['bar', 'bar'], ['N·m', 'N.m'],
  ['lb·ft', '[ft_i].[lbf_av]'], ['inHg', "[in_i'Hg]"], ['rpm', '{rev}/min'],
  ['mi', '[mi_i]'], ['US gal', '[gal_us]'], ['hp', '[HP]'], ['in', '[in_i]'], ['imp gal', '[gal_br]'], ['L/min', 'L/min'],
  ['µF', 'uF'], ['kPa', 'kPa'], ['%', '%'], ['thou', '[mil_i]'], ['Ah', 'A.h'],
] as const).map(([unit, theirs]) => ({ says: `${unit} is ${theirs}`, ours: () => toUcum(findUnit(unit).unit), theirs })));

checkSource('ucum', 'traps: r/min is no code, [degF] takes no prefix, C is coulomb; read', [
  { says: 'C is coulomb', ours: () => fromUcum('C')?.dimension, theirs: 'charge' },
  { says: 'F is farad', ours: () => fromUcum('F')?.dimension, theirs: 'capacitance' },
  { says: 'r/min is not valid UCUM', ours: () => fromUcum('r/min')?.symbol ?? 'not a code', theirs: 'not a code' },
  { says: 'k[degF] is not valid', ours: () => fromUcum('k[degF]')?.symbol ?? 'not a code', theirs: 'not a code' },
  { says: 'm/ is not valid (functional test 1-102)', ours: () => fromUcum('m/')?.symbol ?? 'not a code', theirs: 'not a code' },
  { says: 'an annotation tells gauge', ours: () => fromUcum('bar{gauge}')?.dimension, theirs: 'gauge_pressure' },
]);

checkSource('ucum-library', 'every code of ours is a valid UCUM code to the library',
  allUnits().filter((each) => each.ucum !== '').map((each) => ({
  says: `${each.symbol}: ${each.ucum}`, ours: () => ucum.validateUnitString(each.ucum).status, theirs: 'valid',
})));

describe('ucum codes', () => {
  it('come back as the same unit', () => {
    for (const each of plain) {
      const back = fromUcum(each.ucum);
      expect(back?.dimension === each.dimension && back.factor.numerator === each.factor.numerator,
        `${each.symbol} ${each.ucum} → ${back?.symbol ?? 'nothing'}`).toBe(each.ucum !== '1');
    }
  });
});

const number = fc.integer({ min: -1_000_000, max: 1_000_000 }).map((thousandths) => thousandths / 1000);

/** Thousands of conversions; counts what was compared, and gathers what differs. */
function crossCheck(pairs: readonly (readonly [Unit, Unit])[], theirs: (from: Unit, value: number,
  to: Unit) => number | undefined, runs: number): { compared: number; differing: Map<string, number> } {
  let compared = 0;
  const differing = new Map<string, number>();
  fc.assert(fc.property(fc.constantFrom(...pairs), number, ([from, to], value) => {
    const other = theirs(from, value, to);
    if (other === undefined) return;
    compared += 1;
    const exact = toBase(parseDecimal(String(value)) ?? rational(value), from);
    const ours = rationalToNumber(fromBase(exact, to));
    // Offsets cancel digits: compare against the size of what was added.
    const scale = Math.max(Math.abs(ours), from.offset || to.offset ? 500 : 0);
    const off = scale === 0 ? Math.abs(other) : Math.abs(other - ours) / scale;
    if (off > 1e-9) differing.set([from.symbol, to.symbol].join(' → '), Math.max(off,
      differing.get(`${from.symbol} → ${to.symbol}`) ?? 0));
  }), { numRuns: runs, seed: 2026 });
  return { compared, differing };
}

function pairsOf(units: readonly Unit[]): (readonly [Unit, Unit])[] {
  return units.flatMap((from) => units.filter((to) => to !== from && to.dimension === from.dimension).map((to) => [from,
    to] as const));
}

describe('random conversions', () => {
  const ucumResult = crossCheck(
    // Turns: UCUM has no revolution but an annotation, which counts as one.
    pairsOf(plain.filter((each) => !['rotational_speed', 'sound_level'].includes(each.dimension) && each.ucum !== '1')),
    (from, value, to) => {
      const answer = ucum.convertUnitTo(from.ucum, value, to.ucum);
      return answer.status === 'succeeded' && typeof answer.toVal === 'number' ? answer.toVal : undefined;
    }, 5000);
  const unexplained = [...ucumResult.differing].filter(([pair,
    off]) => !UCUM_DIFFERS.some((known) => known.units.test(pair) && off <= known.upTo));
  checkSource('ucum-library',
    `${ucumResult.compared} random conversions; ${ucumResult.differing.size} pairs with mercury differ by 2.9e-6, as listed`, [
    { says: 'thousands were compared', values: 0,
      ours: () => (ucumResult.compared > 3000 ? 'thousands' : String(ucumResult.compared)),
      theirs: 'thousands' },
    { says: 'no difference but those listed', values: ucumResult.compared, ours: () => unexplained.map(([pair,
      off]) => `${pair}: ${off}`).join('; '),
      theirs: '' },
    { says: 'what is listed does differ',
      ours: () => UCUM_DIFFERS.every((known) => [...ucumResult.differing.keys()].some((pair) => known.units.test(pair))) ? 'yes' : 'no', theirs: 'yes' },
  ]);

  const known = mathUnits();
  const mathResult = crossCheck(pairsOf([...known.keys()]), (from, value, to) => {
    const a = known.get(from);
    const b = known.get(to);
    return a && b ? mathUnit(value, a).toNumber(b) : undefined;
  }, 5000);
  const odd = [...mathResult.differing].filter(([pair]) => !MATHJS_DIFFERS.some((each) => each.units.test(pair)));
  checkSource('mathjs-library', `${mathResult.compared} random conversions in ${known.size} units; what differs is listed`, [
    { says: 'thousands were compared', values: 0,
      ours: () => (mathResult.compared > 3000 ? 'thousands' : String(mathResult.compared)),
      theirs: 'thousands' },
    { says: 'no difference but those listed', values: mathResult.compared, ours: () => odd.map(([pair,
      off]) => `${pair}: ${off}`).join('; '), theirs: '' },
    { says: 'what is listed does differ',
      ours: () => MATHJS_DIFFERS.every((each) => [...mathResult.differing.keys()].some((pair) => each.units.test(pair))) ? 'yes' : 'no', theirs: 'yes' },
  ]);
});

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
  };
  return new Map(Object.entries(names).map(([ours, theirs]) => {
    const unit = findUnit(ours).unit;
    if (!unit) throw new Error(`${ours} is no unit`);
    return [unit, theirs];
  }));
}
