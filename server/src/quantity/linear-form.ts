/**
 * An expression as a sum of names with exact factors and a constant: `supply - 1.5 V` and `-1500 mV + supply` are one form, so
 * that bounds can be compared where no value is known. What is not linear (`max(a, b)`, `a * b`) counts as a name of its own, by
 * its form.
 */
import {
  addRational,
  compareRational,
  divideRational,
  isZeroRational,
  multiplyRational,
  negateRational,
  ONE,
  rational,
  ZERO,
} from './rational.ts';
import { evaluate } from './evaluate.ts';
import { findComputation } from './computations.ts';
import type { Environment, Known } from './evaluate.ts';
import type { Expression } from './expression.ts';
import type { Rational } from './rational.ts';

export interface LinearForm {
  /** In base units. */
  readonly constant: Rational;
  /** Name, or the form of what is not linear → its factor, never zero. */
  readonly terms: ReadonlyMap<string, Rational>;
}

/** A name that has no value yet, but of which something is known. */
export interface Symbolic {
  readonly symbolic: true;
  readonly dimension: string | undefined;
  readonly notNegative?: boolean;
  readonly whole?: boolean;
}

export type SymbolEnvironment = (name: string) => Known | Symbolic | undefined;

/** A form that is known to be at least zero (or above it, where `strict`), whatever its names stand for. */
export interface KnownSign {
  readonly form: LinearForm;
  readonly strict: boolean;
}

/** Which argument max(a, b) is taken to be, or whether what abs turns round is negative: an answer for each, by its key. */
export type Cases = ReadonlyMap<string, number>;

export interface FormReading {
  readonly form: LinearForm;
  /** What holds of the names in it, in this case: a resistance is not negative, max(a, b) is a where a is at least b. */
  readonly signs: readonly KnownSign[];
  /** A case not yet chosen (its first was taken), and how many there are. */
  readonly open: { readonly key: string; readonly count: number } | undefined;
}

/**
 * The form of an expression whose kinds were found right (see `dimensionOf`), in one case of its min, max and abs. A name of no
 * meaning is a symbol.
 */
export function linearForm(
  expression: Expression,
  environment: SymbolEnvironment,
  cases: Cases = new Map(),
): FormReading | { readonly problem: string } {
  const context: Context = { environment, cases, signs: [], open: undefined };
  const form = build(expression, context);
  return 'problem' in form ? form : { form, signs: context.signs, open: context.open };
}

interface Context {
  readonly environment: SymbolEnvironment;
  readonly cases: Cases;
  readonly signs: KnownSign[];
  open: FormReading['open'];
}

export function constantForm(value: Rational): LinearForm {
  return { constant: value, terms: new Map() };
}

export function isConstantForm(form: LinearForm): boolean {
  return form.terms.size === 0;
}

export function subtractForms(a: LinearForm, b: LinearForm): LinearForm {
  return addForms(a, scaleForm(b, rational(-1)));
}

/** Below 0, 0 or above 0 as a - b is; undefined where that depends on names. */
export function compareForms(a: LinearForm, b: LinearForm): number | undefined {
  const difference = subtractForms(a, b);
  return isConstantForm(difference) ? compareRational(difference.constant, ZERO) : undefined;
}

/** Two forms have one key just when they are equal. */
export function formKey(form: LinearForm): string {
  return `${termsKey(form)}${fraction(form.constant)}`;
}

/** Two forms have one key just when they differ by a constant. */
export function termsKey(form: LinearForm): string {
  return [...form.terms]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, factor]) => `${fraction(factor)}*${name}+`)
    .join('');
}

function build(expression: Expression, context: Context): LinearForm | { readonly problem: string } {
  switch (expression.kind) {
    case 'quantity':
      return constantForm(expression.quantity.base);
    case 'name': {
      const known = context.environment(expression.name);
      if (known && !('symbolic' in known)) {
        return known.open
          ? { problem: `'${expression.name}' reads open (overload) and has no number.` }
          : constantForm(known.base);
      }
      const form = atom(expression.name);
      // A value of exactly zero would only make bands smaller: it is left out, as it would hide every gap below the name.
      if (known?.notNegative) context.signs.push({ form, strict: true });
      return form;
    }
    case 'negative': {
      const of = build(expression.of, context);
      return 'problem' in of ? of : scaleForm(of, rational(-1));
    }
    case 'call':
      return buildCall(expression, context);
    default: {
      const left = build(expression.left, context);
      if ('problem' in left) return left;
      const right = build(expression.right, context);
      if ('problem' in right) return right;
      if (expression.kind === 'sum') return addForms(left, right);
      if (expression.kind === 'difference') return subtractForms(left, right);
      return expression.kind === 'product' ? multiply(left, right) : divide(left, right);
    }
  }
}

function buildCall(
  call: Extract<Expression, { readonly kind: 'call' }>,
  context: Context,
): LinearForm | { readonly problem: string } {
  const given: LinearForm[] = [];
  for (const argument of call.arguments) {
    const form = build(argument, context);
    if ('problem' in form) return form;
    given.push(form);
  }
  if (given.every(isConstantForm)) return constantCall(call, context.environment);
  if (call.function === 'min' || call.function === 'max') return extreme(call.function, given, context);
  const [only] = given;
  if (call.function === 'abs' && only) return extreme('max', [only, negateForm(only)], context);
  const form = atom(`${call.function}(${given.map(formKey).join(',')})`);
  if (findComputation(call.function)?.notNegative) context.signs.push({ form, strict: false });
  return form;
}

function constantCall(call: Expression, environment: SymbolEnvironment): LinearForm | { readonly problem: string } {
  const known: Environment = (name) => {
    const found = environment(name);
    return found && !('symbolic' in found) ? found : undefined;
  };
  const value = evaluate(call, known);
  if (value.value) return constantForm(value.value.base);
  return { problem: value.problem ?? 'The value is not known.' };
}

/** The least or greatest of forms: those that differ by a constant collapse into one; of the rest, that of the case. */
function extreme(which: 'min' | 'max', given: readonly LinearForm[], context: Context): LinearForm {
  const left: LinearForm[] = [];
  for (const form of given) {
    const same = left.findIndex((other) => termsKey(other) === termsKey(form));
    const other = left[same];
    if (!other) left.push(form);
    else if ((compareForms(form, other) ?? 0) * (which === 'max' ? 1 : -1) > 0) left[same] = form;
  }
  left.sort((a, b) => (formKey(a) < formKey(b) ? -1 : 1));
  const key = `${which}(${left.map(formKey).join(',')})`;
  const chosen = left.length === 1 ? 0 : context.cases.get(key);
  if (chosen === undefined) context.open ??= { key, count: left.length };
  const form = left[chosen ?? 0] ?? constantForm(ZERO);
  for (const other of left) {
    if (other !== form)
      context.signs.push({ form: which === 'max' ? subtractForms(form, other) : subtractForms(other, form), strict: false });
  }
  return form;
}

function multiply(a: LinearForm, b: LinearForm): LinearForm {
  if (isConstantForm(a)) return scaleForm(b, a.constant);
  if (isConstantForm(b)) return scaleForm(a, b.constant);
  return atom(`(${[formKey(a), formKey(b)].sort().join(')*(')})`);
}

function divide(a: LinearForm, b: LinearForm): LinearForm | { readonly problem: string } {
  if (isConstantForm(b)) {
    if (isZeroRational(b.constant)) return { problem: 'The expression divides by zero.' };
    return scaleForm(a, divideRational(ONE, b.constant));
  }
  return atom(`(${formKey(a)})/(${formKey(b)})`);
}

function addForms(a: LinearForm, b: LinearForm): LinearForm {
  const terms = new Map(a.terms);
  for (const [name, factor] of b.terms) {
    const sum = addRational(terms.get(name) ?? ZERO, factor);
    if (isZeroRational(sum)) terms.delete(name);
    else terms.set(name, sum);
  }
  return { constant: addRational(a.constant, b.constant), terms };
}

/** The form times a number. */
export function scaleForm(form: LinearForm, by: Rational): LinearForm {
  if (isZeroRational(by)) return constantForm(ZERO);
  return {
    constant: multiplyRational(form.constant, by),
    terms: new Map([...form.terms].map(([name, factor]) => [name, multiplyRational(factor, by)])),
  };
}

/** The difference of two forms that differ by a constant. */
export function constantDifference(a: LinearForm, b: LinearForm): Rational | undefined {
  const difference = subtractForms(a, b);
  return isConstantForm(difference) ? difference.constant : undefined;
}

/** -form. */
export function negateForm(form: LinearForm): LinearForm {
  return scaleForm(form, negateRational(ONE));
}

function atom(name: string): LinearForm {
  return { constant: ZERO, terms: new Map([[name, ONE]]) };
}

function fraction(value: Rational): string {
  return `${value.numerator}/${value.denominator}`;
}
