/** Words that cannot be names, since a reader of a band would take them for something else. */
import { FUNCTION_NAMES } from './function-names.ts';
import { isUnitSpelling } from './unit.ts';

/** Words of the band language. */
export const KEYWORDS: ReadonlySet<string> = new Set([
  'and',
  'or',
  'not',
  'at',
  'least',
  'most',
  'above',
  'below',
  'equal',
  'to',
  'between',
  'otherwise',
  'open',
  'found',
  'not_found',
]);

/** Why a name is not free: it is a unit's, a function's or a keyword. Undefined where it is free. */
export function reservedName(name: string): 'unit' | 'function' | 'keyword' | undefined {
  if (KEYWORDS.has(name)) return 'keyword';
  if (FUNCTION_NAMES.has(name)) return 'function';
  return isUnitSpelling(name) ? 'unit' : undefined;
}
