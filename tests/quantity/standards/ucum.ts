/** UCUM codes: those of common units, its traps, and its functional tests, which a registry package carries. */
import { createRequire } from 'node:module';
import { checkSource, printed } from './check-source.ts';
import { allUnits, findUnit } from '../../../server/src/quantity/unit.ts';
import { fromBase, toBase } from '../../../server/src/quantity/quantity.ts';
import { fromUcum, toUcum } from '../../../server/src/quantity/ucum.ts';
import { parseDecimal, rationalToNumber } from '../../../server/src/quantity/rational.ts';
import functionalTests from 'ucum/generated/tests.json';

checkSource('ucum', 'codes of common units, ucum-essence 2.2; read', ([
  ['V', 'V'], ['A', 'A'], ['ohm', 'Ohm'], ['°C', 'Cel'], ['°F', '[degF]'], ['psi', '[psi]'], ['bar', 'bar'], ['N·m', 'N.m'],
  ['lb·ft', '[ft_i].[lbf_av]'], ['inHg', "[in_i'Hg]"], ['rpm', '{rev}/min'],
  ['mi', '[mi_i]'], ['US gal', '[gal_us]'], ['hp', '[HP]'], ['in', '[in_i]'], ['imp gal', '[gal_br]'], ['L/min', 'L/min'],
  ['µF', 'uF'], ['kPa', 'kPa'], ['%', '%'], ['thou', '[mil_i]'], ['Ah', 'A.h'], ['cal th', 'cal_th'], ['cal IT', 'cal_IT'],
] as const).map(([unit, theirs]) => ({ says: `${unit} is ${theirs}`, ours: () => toUcum(findUnit(unit).unit), theirs })));

checkSource('ucum', 'traps: r/min is no code, [degF] takes no prefix, C is coulomb; read', [
  { says: 'C is coulomb', ours: () => fromUcum('C')?.dimension, theirs: 'charge' },
  { says: 'F is farad', ours: () => fromUcum('F')?.dimension, theirs: 'capacitance' },
  { says: 'r/min is not valid UCUM', ours: () => fromUcum('r/min')?.symbol ?? 'not a code', theirs: 'not a code' },
  { says: 'k[degF] is not valid', ours: () => fromUcum('k[degF]')?.symbol ?? 'not a code', theirs: 'not a code' },
  { says: 'an annotation tells gauge', ours: () => fromUcum('bar{gauge}')?.dimension, theirs: 'gauge_pressure' },
  { says: 'an annotation that says nothing to us is no more than a note', ours: () => fromUcum('kg{body_wt}')?.symbol, theirs: 'kg' },
]);

const { validation, conversion } = functionalTests;
const invalid = validation.filter((each) => each.valid === 'false');
const readable = validation.filter((each) => each.valid === 'true' && fromUcum(each.unit));

checkSource('ucum-functional-tests', 'validation: what is no code is refused; read', invalid.map(({ id, unit, reason }) => ({
  says: `${id}: '${unit}' (${reason ?? 'no reason given'})`, ours: () => fromUcum(unit)?.symbol ?? 'refused', theirs: 'refused',
})));

/** Half of the valid codes are those of a laboratory: mol, [iU], the century. Ours must not grow fewer. */
checkSource('ucum-functional-tests', 'validation: codes of units that a shop writes are read, and come back as the same unit; read', [
  { says: 'at least 226 of the 486 valid codes', values: readable.length, ours: () => (readable.length >= 226 ? 'read' : `${readable.length}`), theirs: 'read' },
  { says: 'what we write for each comes back as the same', values: 0, theirs: '',
    ours: () => readable.filter(({ unit }) => !sameUnit(unit)).map(({ unit }) => unit).join(' ') },
]);

checkSource('ucum-functional-tests', 'conversions in units that a shop writes; read', conversion.flatMap(({ id, value, srcUnit, dstUnit, outcome }) => {
  const from = fromUcum(srcUnit);
  const to = fromUcum(dstUnit);
  return from && to ? [{
    says: `${id}: ${value} ${srcUnit} is ${outcome} ${dstUnit}`,
    ours: () => from.dimension === to.dimension ? rationalToNumber(fromBase(toBase(parseDecimal(value) ?? { numerator: 0n, denominator: 1n }, from), to)) : 'another kind',
    ...printed(outcome),
  }] : [];
}));

interface UcumUtils { validateUnitString(code: string): { readonly status: string } }
const withCode = allUnits().filter((each) => each.ucum !== '');
checkSource('ucum-library', 'every code of ours is valid to the library; read', withCode.map((each) => ({
  says: `${each.symbol}: ${each.ucum}`, ours: () => library().validateUnitString(each.ucum).status, theirs: 'valid',
})));

let ucum: UcumUtils | undefined;
function library(): UcumUtils {
  ucum ??= (createRequire(import.meta.url)('@lhncbc/ucum-lhc') as { UcumLhcUtils: { getInstance(): UcumUtils } }).UcumLhcUtils.getInstance();
  return ucum;
}

function sameUnit(code: string): boolean {
  const unit = fromUcum(code);
  const again = fromUcum(toUcum(unit) ?? '');
  return unit === undefined || code === '%' || (again?.dimension === unit.dimension && again.factor.numerator === unit.factor.numerator);
}
