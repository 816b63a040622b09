/** The assets to which a procedure applies. */
import type { Asset } from '../procedure/model.ts';
import type { Declared } from '../procedure/scope.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import { equalRational } from '../quantity/rational.ts';
import type { CheckContext } from './check.ts';

/** Those that have every value of `applies_to`; none where the procedure does not say to what it applies. */
export function assetsOf({ procedure, scope }: CheckContext): Declared<Asset>[] {
  if (procedure.appliesTo.length === 0) return [];
  return scope.assets.filter(({ item }) =>
    procedure.appliesTo.every((applies) => {
      const value = item.facts.find((fact) => fact.name.value === applies.fact.value)?.value.value;
      return value !== undefined && applies.values.some((wanted) => sameValue(wanted.value, value));
    }),
  );
}

/** One word, or one quantity: 24 V and 24V are the same. */
export function sameValue(a: string, b: string): boolean {
  if (a.trim() === b.trim()) return true;
  const left = parseQuantity(a);
  const right = parseQuantity(b);
  if (!left.quantity || !right.quantity || left.problems.length > 0 || right.problems.length > 0) return false;
  return quantityDimension(left.quantity) === quantityDimension(right.quantity) && equalRational(left.quantity.base, right.quantity.base);
}
