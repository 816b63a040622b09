/**
 * The value of an expression where the names are known, and its kind where they are not. Both know that torque is not energy and
 * a temperature difference no temperature. Pure arithmetic on exact fractions; no clock, no names of its own.
 */
import {
  addDimensions,
  dimensionsCompare,
  dimensionTitle,
  divideDimensions,
  multiplyDimensions,
  subtractDimensions,
} from './dimension.ts';
import { findComputation } from './computations.ts';
import { fromBase, impossibleValue, quantityDimension } from './quantity.ts';
import { describeQuantityWord, QUANTITY_WORDS } from './quantity-words.ts';
import { lookUpUnit, unitOfDifference, unitsOf } from './unit.ts';
import {
  absRational,
  addRational,
  divideRational,
  isZeroRational,
  maxRational,
  minRational,
  multiplyRational,
  negateRational,
  orderOfMagnitude,
  subtractRational,
} from './rational.ts';
import type { DimensionOutcome } from './dimension.ts';
import type { Expression } from './expression.ts';
import type { Quantity } from './quantity.ts';
import type { Rational } from './rational.ts';
import type { Span } from '../text/span.ts';
import type { Unit } from './unit.ts';

/** A value that a name or an expression has. */
export interface Known {
  /** In base units. */
  readonly base: Rational;
  readonly dimension: string;
  /** The unit to show it in. */
  readonly unit?: Unit | undefined;
  /** A reading that showed overload: it has no number, and `base` counts for nothing. */
  readonly open?: true;
}

/** What a name means; undefined where nobody knows yet. */
export type Environment = (name: string) => Known | undefined;

export interface EvaluationProblem {
  readonly problem: string;
  readonly help?: string;
  /** Within the expression's own text. */
  readonly span: Span;
}

export type Evaluation =
  | { readonly value: Known; readonly unknown?: undefined; readonly problem?: undefined }
  | { readonly unknown: readonly string[]; readonly value?: undefined; readonly problem?: undefined }
  | (EvaluationProblem & { readonly value?: undefined; readonly unknown?: undefined });

export type DimensionOf =
  | { readonly dimension: string; readonly unknown?: undefined; readonly problem?: undefined }
  | { readonly unknown: readonly string[]; readonly dimension?: undefined; readonly problem?: undefined }
  | (EvaluationProblem & { readonly dimension?: undefined; readonly unknown?: undefined });

/** A quantity as a known value. */
export function knownQuantity(quantity: Quantity): Known {
  return { base: quantity.base, dimension: quantityDimension(quantity), unit: quantity.unit };
}

/** The value, or the names that are missing for it, or why it has none. Never throws. */
export function evaluate(expression: Expression, environment: Environment): Evaluation {
  switch (expression.kind) {
    case 'quantity':
      return { value: knownQuantity(expression.quantity) };
    case 'name':
      return nameValue(expression.name, expression.span, environment);
    case 'negative': {
      const of = evaluate(expression.of, environment);
      if (!of.value) return of;
      if (of.value.dimension === 'temperature')
        return {
          problem: 'A temperature on a scale cannot be negated.',
          help: 'Write the minus before the number: -20 °C.',
          span: expression.span,
        };
      return { value: { ...of.value, base: negateRational(of.value.base) } };
    }
    case 'call':
      return callValue(expression, environment);
    default: {
      const left = evaluate(expression.left, environment);
      const right = evaluate(expression.right, environment);
      if (left.problem !== undefined) return left;
      if (right.problem !== undefined) return right;
      if (left.unknown || right.unknown) return { unknown: union(left.unknown ?? [], right.unknown ?? []) };
      const outcome = dimensionOfPair(expression.kind, left.value.dimension, right.value.dimension);
      if ('problem' in outcome) return withSpan(outcome, expression.span);
      if (expression.kind === 'quotient' && isZeroRational(right.value.base))
        return { problem: 'The expression divides by zero.', span: expression.right.span };
      const base = arithmetic(expression.kind, left.value.base, right.value.base);
      const impossible = impossibleValue(base, outcome.dimension);
      if (impossible !== undefined) return { problem: impossible, span: expression.span };
      return { value: { base, dimension: outcome.dimension, unit: unitOfResult(base, outcome.dimension, left.value, right.value) } };
    }
  }
}

/** The kind of an expression's value, from the kinds of its names: checks units where no value is known. */
export function dimensionOf(expression: Expression, nameDimension: (name: string) => string | undefined): DimensionOf {
  switch (expression.kind) {
    case 'quantity':
      return { dimension: quantityDimension(expression.quantity) };
    case 'name': {
      const dimension = nameDimension(expression.name);
      return dimension === undefined ? { unknown: [expression.name] } : { dimension };
    }
    case 'negative': {
      const of = dimensionOf(expression.of, nameDimension);
      if (of.dimension === 'temperature')
        return {
          problem: 'A temperature on a scale cannot be negated.',
          help: 'Write the minus before the number: -20 °C.',
          span: expression.span,
        };
      return of;
    }
    case 'call':
      return callDimension(expression, nameDimension);
    default: {
      const left = dimensionOf(expression.left, nameDimension);
      const right = dimensionOf(expression.right, nameDimension);
      if (left.problem !== undefined) return left;
      if (right.problem !== undefined) return right;
      if (left.unknown || right.unknown) return { unknown: union(left.unknown ?? [], right.unknown ?? []) };
      const outcome = dimensionOfPair(expression.kind, left.dimension, right.dimension);
      return 'problem' in outcome ? withSpan(outcome, expression.span) : outcome;
    }
  }
}

type Call = Extract<Expression, { readonly kind: 'call' }>;
type Pair = 'sum' | 'difference' | 'product' | 'quotient';

function nameValue(name: string, span: Span, environment: Environment): Evaluation {
  const known = environment(name);
  if (!known) return { unknown: [name] };
  if (known.open)
    return { problem: `'${name}' reads open (overload) and has no number.`, help: 'Give the step before a result `open`.', span };
  return { value: known };
}

function dimensionOfPair(kind: Pair, left: string, right: string): DimensionOutcome {
  switch (kind) {
    case 'sum':
      return addDimensions(left, right);
    case 'difference':
      return subtractDimensions(left, right);
    case 'product':
      return multiplyDimensions(left, right);
    case 'quotient':
      return divideDimensions(left, right);
  }
}

function arithmetic(kind: Pair, left: Rational, right: Rational): Rational {
  switch (kind) {
    case 'sum':
      return addRational(left, right);
    case 'difference':
      return subtractRational(left, right);
    case 'product':
      return multiplyRational(left, right);
    case 'quotient':
      return divideRational(left, right);
  }
}

function withSpan(outcome: { readonly problem: string; readonly help?: string }, span: Span): EvaluationProblem {
  return outcome.help === undefined ? { problem: outcome.problem, span } : { problem: outcome.problem, help: outcome.help, span };
}

/** The unit of an operand, where it is of the result's kind; else that of its difference (°F: Δ°F); else a usual one. */
function unitOfResult(base: Rational, dimension: string, left: Known, right: Known): Unit | undefined {
  const units = [left.unit, right.unit].filter((unit) => unit !== undefined);
  const kept = units.find((unit) => unit.dimension === dimension);
  if (kept || dimension === 'ratio') return kept;
  return units.map(unitOfDifference).find((unit) => unit.dimension === dimension) ?? usualUnit(base, dimension);
}

/** What a shop reads for a value of a kind: the first of its usual units that needs no long row of digits; undefined where it has none. */
function usualUnit(base: Rational, dimension: string): Unit | undefined {
  const symbols = QUANTITY_WORDS.map(describeQuantityWord).find((word) => word.dimension === dimension)?.usualUnits ?? [];
  const units = symbols.length === 0 ? unitsOf(dimension) : symbols.flatMap((symbol) => lookUpUnit(symbol)?.unit ?? []);
  const order = (unit: Unit): number => orderOfMagnitude(fromBase(base, unit));
  const least = Math.min(...units.map((unit) => Math.abs(order(unit))));
  return units.find((unit) => order(unit) >= 0 && order(unit) <= 3) ?? units.find((unit) => Math.abs(order(unit)) === least);
}

function union(a: readonly string[], b: readonly string[]): readonly string[] {
  return [...new Set([...a, ...b])];
}

function callDimension(call: Call, nameDimension: (name: string) => string | undefined): DimensionOf {
  const given = call.arguments.map((argument) => dimensionOf(argument, nameDimension));
  const bad = given.find((each) => each.problem !== undefined);
  if (bad) return bad;
  const problem = callProblem(
    call,
    given.map((each) => each.dimension),
  );
  if (problem) return problem;
  const unknown = given.reduce<readonly string[]>((names, each) => union(names, each.unknown ?? []), []);
  const computation = findComputation(call.function);
  if (computation) return { dimension: computation.result.dimension };
  const known = given.find((each) => each.dimension !== undefined);
  return known ?? { unknown };
}

/** What is wrong with the number or the kinds of a function's arguments; undefined kinds are not yet known. */
function callProblem(call: Call, dimensions: readonly (string | undefined)[]): EvaluationProblem | undefined {
  const count = call.arguments.length;
  const computation = findComputation(call.function);
  if (!computation) {
    if (call.function === 'abs' ? count !== 1 : count < 1) {
      return {
        problem: `${call.function} takes ${call.function === 'abs' ? 'one argument' : 'at least one argument'}.`,
        span: call.span,
      };
    }
    if (call.function === 'abs' && dimensions[0] === 'temperature')
      return { problem: 'abs of a temperature on a scale means nothing.', span: call.span };
    const first = dimensions.find((each) => each !== undefined);
    const odd = dimensions.findIndex((each) => each !== undefined && first !== undefined && !dimensionsCompare(first, each));
    if (odd < 0 || first === undefined) return undefined;
    const other = dimensions[odd] ?? first;
    return {
      problem: `${call.function} compares ${dimensionTitle(first)} with ${dimensionTitle(other)}.`,
      help: 'Give it quantities of one kind.',
      span: call.arguments[odd]?.span ?? call.span,
    };
  }
  const { parameters } = computation;
  const needed = parameters.filter((parameter) => parameter.otherwise === undefined).length;
  const most = computation.variadic ? Infinity : parameters.length;
  if (count < needed || count > most) {
    const names = parameters
      .map((parameter) => (parameter.otherwise === undefined ? parameter.name : `[${parameter.name}]`))
      .join(', ');
    return {
      problem: `${call.function} takes ${names}${computation.variadic ? ', …' : ''}.`,
      help: `Write ${call.function}(${names}).`,
      span: call.span,
    };
  }
  for (const [index, dimension] of dimensions.entries()) {
    const parameter = parameters[Math.min(index, parameters.length - 1)];
    if (!parameter || dimension === undefined || dimensionsCompare(parameter.dimension, dimension)) continue;
    return {
      problem: `${call.function} needs ${dimensionTitle(parameter.dimension)} for ${parameter.name}, not ${dimensionTitle(dimension)}.`,
      help:
        parameter.dimension === 'absolute_pressure' && /pressure/.test(dimension)
          ? 'Write it as an absolute pressure (1.01 bar abs), or put absolute_of(…) around a gauge reading.'
          : `${computation.title}.`,
      span: call.arguments[index]?.span ?? call.span,
    };
  }
  return undefined;
}

function callValue(call: Call, environment: Environment): Evaluation {
  const given = call.arguments.map((argument) => evaluate(argument, environment));
  const bad = given.find((each) => each.problem !== undefined);
  if (bad) return bad;
  const problem = callProblem(
    call,
    given.map((each) => each.value?.dimension),
  );
  if (problem) return problem;
  const unknown = given.reduce<readonly string[]>((names, each) => union(names, each.unknown ?? []), []);
  if (unknown.length > 0) return { unknown };
  const values = given.flatMap((each) => (each.value ? [each.value] : []));
  const [first, ...rest] = values;
  const computation = findComputation(call.function);
  if (computation) {
    const { parameters } = computation;
    const otherSupply = values.findIndex(({ unit }, index) => {
      const wanted = parameters[Math.min(index, parameters.length - 1)]?.supply;
      return wanted !== undefined && unit?.supply !== undefined && unit.supply !== wanted;
    });
    const wrong = values[otherSupply]?.unit;
    if (wrong)
      return {
        problem: `${call.function} is for ${wrong.supply === 'ac' ? 'DC' : 'AC'}, and ${wrong.symbol} is not.`,
        help: `${computation.title}.`,
        span: call.arguments[otherSupply]?.span ?? call.span,
      };
    const numbers = values.map((value) => value.base);
    for (const parameter of computation.parameters.slice(numbers.length))
      if (parameter.otherwise) numbers.push(parameter.otherwise);
    const outcome = computation.compute(numbers);
    if (outcome.problem !== undefined)
      return { problem: outcome.problem, help: `${computation.title}: ${computation.range}.`, span: call.span };
    return { value: { base: outcome.value, dimension: computation.result.dimension, unit: lookUpUnit(computation.result.unit)?.unit } };
  }
  if (!first) return { problem: `${call.function} takes at least one argument.`, span: call.span };
  if (call.function === 'abs') return { value: { ...first, base: absRational(first.base) } };
  const pick = call.function === 'min' ? minRational : maxRational;
  return { value: rest.reduce((best, each) => (pick(best.base, each.base) === best.base ? best : each), first) };
}
