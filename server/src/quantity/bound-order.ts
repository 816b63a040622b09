/**
 * In which orders bounds can stand, where they hold names without a value: `coil_low` may lie below or above 20 ohm, but never
 * above `coil_low + 5 ohm`. Decided exactly, by eliminating names one by one (Fourier and Motzkin). Knows no bands.
 */
import { compareForms, constantForm, isConstantForm, negateForm, scaleForm, subtractForms, termsKey } from './linear-form.ts';
import { absRational, compareRational, divideRational, ONE, ZERO } from './rational.ts';
import type { LinearForm } from './linear-form.ts';

/** `form` is at least zero, or above it where `strict`. */
export interface Constraint {
  readonly form: LinearForm;
  readonly strict: boolean;
}

/** Groups of equal bounds from low to high; each bound is its place in the list given. */
export type BoundOrder = readonly (readonly number[])[];

export interface BoundOrders {
  readonly orders: readonly BoundOrder[];
  /** False where there were too many to list: nothing then is certain. */
  readonly complete: boolean;
}

const MOST_ORDERS = 300;
const MOST_CONSTRAINTS = 600;

/** Every order the bounds can stand in under the constraints. */
export function boundOrders(bounds: readonly LinearForm[], constraints: readonly Constraint[]): BoundOrders {
  const classes = new Set(bounds.map(termsKey));
  if (classes.size <= 1) return { orders: [sortedOrder(bounds)], complete: true };
  let orders: BoundOrder[] = [[]];
  for (const index of bounds.keys()) {
    const longer: BoundOrder[] = [];
    for (const order of orders) {
      for (let slot = 0; slot <= 2 * order.length; slot++) {
        const candidate = placed(order, index, slot);
        if (respectsConstants(candidate, bounds, index) && canHold([...orderConstraints(candidate, bounds), ...constraints]))
          longer.push(candidate);
        if (longer.length > MOST_ORDERS) return { orders: [], complete: false };
      }
    }
    orders = longer;
  }
  return { orders, complete: orders.length > 0 };
}

/** Whether some values of the names meet all the constraints. Where that takes too long, they are taken to. */
export function canHold(constraints: readonly Constraint[]): boolean {
  let left = [...constraints];
  for (;;) {
    const name = left.flatMap((constraint) => [...constraint.form.terms.keys()])[0];
    if (name === undefined) break;
    const without: Constraint[] = [];
    const atLeast: Constraint[] = [];
    const atMost: Constraint[] = [];
    for (const constraint of left) {
      const factor = constraint.form.terms.get(name);
      if (!factor) {
        without.push(constraint);
        continue;
      }
      const unitForm = scaleForm(constraint.form, divideRational(ONE, absRational(factor)));
      (factor.numerator > 0n ? atLeast : atMost).push({ form: unitForm, strict: constraint.strict });
    }
    if (without.length + atLeast.length * atMost.length > MOST_CONSTRAINTS) return true;
    for (const low of atLeast) {
      for (const high of atMost)
        without.push({ form: subtractForms(low.form, negateForm(high.form)), strict: low.strict || high.strict });
    }
    left = without.filter((constraint) => !isConstantForm(constraint.form) || !holdsConstant(constraint));
    if (left.some((constraint) => isConstantForm(constraint.form))) return false;
  }
  return left.every(holdsConstant);
}

/** `low` is at most (or, strictly, below) `high`. */
export function below(low: LinearForm, high: LinearForm, strict: boolean): Constraint {
  return { form: subtractForms(high, low), strict };
}

function holdsConstant(constraint: Constraint): boolean {
  const sign = compareRational(constraint.form.constant, ZERO);
  return constraint.strict ? sign > 0 : sign >= 0;
}

function sortedOrder(bounds: readonly LinearForm[]): BoundOrder {
  const sorted = [...bounds.keys()].sort((a, b) => compareForms(bounds[a] ?? ZERO_FORM, bounds[b] ?? ZERO_FORM) ?? 0);
  const groups: number[][] = [];
  for (const index of sorted) {
    const last = groups[groups.length - 1];
    const first = last?.[0];
    if (last && first !== undefined && compareForms(bounds[first] ?? ZERO_FORM, bounds[index] ?? ZERO_FORM) === 0)
      last.push(index);
    else groups.push([index]);
  }
  return groups;
}

const ZERO_FORM = constantForm(ZERO);

/** Even slots lie between groups, odd ones join a group. */
function placed(order: BoundOrder, index: number, slot: number): BoundOrder {
  const at = slot >> 1;
  if (slot % 2 === 0) return [...order.slice(0, at), [index], ...order.slice(at)];
  return order.map((group, place) => (place === at ? [...group, index] : group));
}

/** A quick look before the exact one: bounds that differ by a constant are in order already. */
function respectsConstants(order: BoundOrder, bounds: readonly LinearForm[], placedBound: number): boolean {
  const own = bounds[placedBound] ?? ZERO_FORM;
  const position = order.findIndex((group) => group.includes(placedBound));
  return order.every((group, place) =>
    group.every((other) => {
      if (other === placedBound) return true;
      const sign = compareForms(bounds[other] ?? ZERO_FORM, own);
      return sign === undefined || Math.sign(place - position) === Math.sign(sign);
    }),
  );
}

function orderConstraints(order: BoundOrder, bounds: readonly LinearForm[]): Constraint[] {
  const constraints: Constraint[] = [];
  for (const [place, group] of order.entries()) {
    const first = bounds[group[0] ?? 0] ?? ZERO_FORM;
    for (const other of group.slice(1)) {
      const form = bounds[other] ?? ZERO_FORM;
      constraints.push(below(first, form, false), below(form, first, false));
    }
    const next = order[place + 1]?.[0];
    if (next !== undefined) constraints.push(below(first, bounds[next] ?? ZERO_FORM, true));
  }
  return constraints;
}
