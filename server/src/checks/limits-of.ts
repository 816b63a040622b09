/**
 * The limits of the steps: every bound of a band with its place, its kind and, where it is known, its value. The ground of the checks
 * on quantities; it judges nothing.
 */
import type { Instrument, InstrumentFunction, Step } from '../procedure/model.ts';
import { comparedDimension } from '../quantity/band-kinds.ts';
import { comparisonEnds } from '../quantity/band-meaning.ts';
import { dimensionsCompare } from '../quantity/dimension.ts';
import { dimensionOf, evaluate, knownQuantity, type Known } from '../quantity/evaluate.ts';
import { namesIn, type Band, type Comparison, type Expression } from '../quantity/expression.ts';
import { formatExpression } from '../quantity/format-band.ts';
import { isPointLiteral } from '../quantity/point-literal.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { quantityWord, type QuantityWord } from '../quantity/quantity-words.ts';
import type { ScalarNode } from '../syntax/tree.ts';
import type { Span } from '../text/span.ts';
import { assetsOf } from './assets-of.ts';
import { symbolsOf } from './band-examinations.ts';
import { allSteps, stepsLookedAt, type CheckContext } from './check.ts';

/** A value that a limit has: for all assets, or for one. */
export interface LimitValue extends Known {
  readonly asset?: string;
}

export interface Limit {
  /** As the writer put it, in canonical form. */
  readonly text: string;
  /** In the file. */
  readonly span: Span;
  /** The result it belongs to; undefined for a limit of `seek`. */
  readonly result: number | undefined;
  readonly bound: Expression;
  /** Where the bound is one quantity and nothing else. */
  readonly literal: Quantity | undefined;
  /** Empty where it is not known before the run. */
  readonly values: readonly LimitValue[];
  /** The end of its comparison that it is. */
  readonly side: 'low' | 'high' | 'both';
  /** The comparison that it stands in. */
  readonly comparison: Comparison['kind'];
  /** The other end of the same `between`. */
  readonly partner?: Expression;
}

export interface LimitsOfStep {
  readonly index: number;
  readonly step: Step;
  readonly limits: readonly Limit[];
  /** Where every bound of the step has a known value. */
  readonly allKnown: boolean;
  /** The step whose reading is judged: the step itself, or the one that a `decide` names. */
  readonly reading: Step | undefined;
  readonly word: QuantityWord | undefined;
  readonly instrument: Instrument | undefined;
  readonly function: InstrumentFunction | undefined;
}

/** A band of a step with its place. */
export interface BandOfStep {
  readonly band: Band;
  readonly result: number | undefined;
  readonly span: Span;
  readonly node: ScalarNode | undefined;
}

/** Steps whose bands have limits, with those that are of the kind of their reading. */
export function limitsOfSteps(context: CheckContext): LimitsOfStep[] {
  const environments = context.once(environmentsOf);
  return stepsLookedAt(context).flatMap(([index, step]): LimitsOfStep[] => {
    const bands = bandsOf(step);
    const dimension = readingDimension(context, step);
    if (bands.length === 0 || dimension === undefined) return [];
    const all = bands.flatMap((at) => limitsOf(at, environments));
    const limits = all.filter((limit) => limit.values.every((value) => dimensionsCompare(dimension, value.dimension) || isPointLiteral(limit.bound, dimension)));
    const reading = readStep(context, step);
    const word = quantityWord(reading?.quantity?.value ?? '');
    const instrument = reading?.instrument && context.scope.instruments.get(reading.instrument.value)?.item;
    return [{
      index, step, limits, allKnown: all.every((limit) => limit.values.length > 0), reading, word, instrument,
      function: instrument && word && functionFor(instrument, word),
    }];
  });
}

/** Every band of a step: of its results and of `seek`. */
export function bandsOf(step: Step): BandOfStep[] {
  const seek = step.seek?.band ? [{ band: step.seek.band, result: undefined, span: step.seek.span, node: step.seek.node }] : [];
  const results = step.results.flatMap(({ when }, result): BandOfStep[] =>
    when?.kind === 'band' && when.band ? [{ band: when.band, result, span: when.span, node: when.node }] : []);
  return [...seek, ...results];
}

/** The kind of the value that the bands of a step compare; undefined where it is not known. */
export function readingDimension(context: CheckContext, step: Step): string | undefined {
  if (step.kind === 'measure') return comparedDimension(quantityWord(step.quantity?.value ?? ''), undefined, step.judge?.value);
  if (step.kind !== 'decide' || step.decide?.expression === undefined) return undefined;
  const environment = context.once(symbolsOf);
  return dimensionOf(step.decide.expression, (name) => environment(name)?.dimension).dimension;
}

/** The step whose reading is judged. */
function readStep({ procedure }: CheckContext, step: Step): Step | undefined {
  if (step.kind === 'measure') return step;
  const expression = step.decide?.expression;
  if (expression?.kind !== 'name') return undefined;
  const name = expression.name.split('.')[0];
  return allSteps(procedure).find((other) => other.kind === 'measure' && other.name?.value === name);
}

/** Other functions of an instrument that read a quantity as well. */
const READ_BY: Readonly<Partial<Record<QuantityWord, readonly QuantityWord[]>>> = {
  continuity: ['resistance'], temperature_difference: ['temperature'], depth: ['length'], length: ['depth'],
};

/** The function with which an instrument reads a quantity. */
export function functionFor(instrument: Instrument, word: QuantityWord): InstrumentFunction | undefined {
  const names = [word, ...(READ_BY[word] ?? [])];
  for (const name of names) {
    const found = instrument.measures.find((measure) => measure.quantity.value === name);
    if (found) return found;
  }
  return undefined;
}

/** A place inside a band or expression, in the file. */
export function placeInBand({ node, span }: Pick<BandOfStep, 'node' | 'span'>, inside: Span): Span {
  if (node === undefined) return span;
  return { start: node.offsetAt(inside.start), end: inside.end > inside.start ? node.offsetAt(inside.end - 1) + 1 : node.offsetAt(inside.end) };
}

export interface NamedEnvironment {
  readonly asset: string | undefined;
  readonly known: (name: string) => Known | undefined;
}

/** What names stand for: the values of the shop for all, and the facts of each asset to which the procedure applies. */
export function environmentsOf(context: CheckContext): NamedEnvironment[] {
  const shop = new Map<string, Known>();
  for (const [name, { item }] of context.scope.values) if (item.is) shop.set(name, knownQuantity(item.is.value));
  const declared = new Set(context.procedure.facts.map((fact) => fact.name.value));
  const assets = context.once(assetsOf).map(({ item }): NamedEnvironment => {
    const facts = new Map<string, Known>();
    for (const { name, value } of item.facts) {
      const quantity = declared.has(name.value) ? parseQuantity(value.value) : undefined;
      if (quantity?.quantity && quantity.problems.length === 0) facts.set(name.value, knownQuantity(quantity.quantity));
    }
    return { asset: item.id.value, known: (name) => facts.get(name) ?? (declared.has(name) ? undefined : shop.get(name)) };
  });
  return [{ asset: undefined, known: (name) => (declared.has(name) ? undefined : shop.get(name)) }, ...assets];
}

function limitsOf(at: BandOfStep, environments: readonly NamedEnvironment[]): Limit[] {
  const { band } = at;
  if (band.kind !== 'conditions') return [];
  return band.conditions.flatMap(({ comparison }): Limit[] => {
    if (comparison.kind === 'shows') return [];
    const { low, high } = comparisonEnds(comparison);
    const ends = comparison.kind === 'equal' ? [{ bound: comparison.bound, side: 'both' as const }] : [
      ...(low ? [{ bound: low.bound, side: 'low' as const, ...(high ? { partner: high.bound } : {}) }] : []),
      ...(high ? [{ bound: high.bound, side: 'high' as const, ...(low ? { partner: low.bound } : {}) }] : []),
    ];
    return ends.map((end) => ({
      ...end,
      comparison: comparison.kind,
      text: formatExpression(end.bound),
      span: placeInBand(at, end.bound.span),
      result: at.result,
      literal: end.bound.kind === 'quantity' ? end.bound.quantity : undefined,
      values: valuesOf(end.bound, environments),
    }));
  });
}

/** The values of a bound: one where no fact is in it, else one for each asset that has its facts. */
function valuesOf(bound: Expression, environments: readonly NamedEnvironment[]): LimitValue[] {
  const [shop, ...assets] = environments;
  const plain = shop && evaluate(bound, shop.known);
  if (plain?.value) return [plain.value];
  if (namesIn(bound).length === 0) return [];
  const found: LimitValue[] = [];
  for (const { asset, known } of assets) {
    const { value } = evaluate(bound, known);
    if (value && !found.some((other) => other.base.numerator === value.base.numerator && other.base.denominator === value.base.denominator)) {
      found.push({ ...value, ...(asset === undefined ? {} : { asset }) });
    }
  }
  return found;
}
