/** Every use of a name in a procedure, gathered once for an analysis. */
import { nameUses, type NameUse } from '../procedure/names.ts';
import type { CheckContext } from './check.ts';

export function namesUsed({ procedure }: CheckContext): readonly NameUse[] {
  return nameUses(procedure);
}
