/**
 * UCUM codes (the Unified Code for Units of Measure, 2.2) in and out, for exchange with other programs. What UCUM cannot say is
 * said in an annotation (`bar{gauge}`, `V{DC}`) or not at all.
 */
import { allUnits, lookUpUnit, normalSpelling } from './unit.ts';
import { compoundUnit } from './compound-unit.ts';
import type { Unit } from './unit.ts';

const LONGEST_CODE = 48;

/** The UCUM code of a unit, or undefined where it has none (Torr, metric horsepower). A bare number is `1`. */
export function toUcum(unit: Unit | undefined): string | undefined {
  if (unit === undefined) return '1';
  return unit.ucum === '' ? undefined : unit.ucum;
}

/**
 * The unit of a UCUM code, strictly as UCUM means it: `C` is coulomb, `F` farad, `Cel` degree Celsius. Undefined for what is not
 * known.
 */
export function fromUcum(code: string): Unit | undefined {
  if (code.length === 0 || code.length > LONGEST_CODE) return undefined;
  const codes = byCode();
  const known = codes.get(code);
  if (known) return known;
  const annotation = /^(.+)\{([^{}]*)\}$/.exec(code);
  if (annotation) {
    const base = codes.get(annotation[1] ?? '');
    const spelled = base && lookUpUnit(`${base.symbol} ${annotation[2] ?? ''}`)?.unit;
    return spelled ?? base;
  }
  return compoundUnit(code, (part) => codes.get(part) ?? codes.get(normalSpelling(part)));
}

let codesBuilt: ReadonlyMap<string, Unit> | undefined;

function byCode(): ReadonlyMap<string, Unit> {
  if (codesBuilt) return codesBuilt;
  const codes = new Map<string, Unit>();
  for (const unit of allUnits()) if (unit.ucum !== '' && unit.ucum !== '1' && !codes.has(unit.ucum)) codes.set(unit.ucum, unit);
  codesBuilt = codes;
  return codes;
}
