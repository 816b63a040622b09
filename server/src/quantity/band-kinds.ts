/**
 * Whether a band speaks of the same kind of thing as the reading: limits of its kind, with units, at points that exist. Judges no
 * values.
 */
import { boundsOf, expressionsOf } from './expression.ts';
import { describeQuantityWord, quantityPhrase } from './quantity-words.ts';
import { differenceOf, dimensionsCompare, dimensionTitle } from './dimension.ts';
import { dimensionOf } from './evaluate.ts';
import { formatExpression } from './format-band.ts';
import { isPointLiteral } from './point-literal.ts';
import { listOf } from './scan-quantity.ts';
import type { Band, BandCondition, Expression } from './expression.ts';
import type { JudgeWord } from './reading.ts';
import type { QuantityWord } from './quantity-words.ts';
import type { Span } from '../text/span.ts';
import type { SymbolEnvironment } from './linear-form.ts';

export interface BandKindProblem {
  readonly kind:
    'unit-missing' | 'unit-mismatch' | 'expression' | 'point-missing' | 'point-unknown' | 'point-unused' | 'no-value';
  /** The band's place. */
  readonly band: number;
  readonly message: string;
  readonly help?: string;
  /** Within the band's own text. */
  readonly span: Span;
  /** Whether the band takes no part in gaps and overlaps because of it. */
  readonly excludes: boolean;
}

export interface BandKindContext {
  readonly word?: QuantityWord | undefined;
  /** The kind of the value compared; undefined: not known, and not compared. */
  readonly dimension: string | undefined;
  /** The points that conditions must name; undefined where they name none. */
  readonly points: readonly string[] | undefined;
  readonly environment: SymbolEnvironment;
}

/** The kind of the value that the bands compare: that of the quantity, or of a difference of two where the spread is judged. */
export function comparedDimension(
  word: QuantityWord | undefined,
  dimension: string | undefined,
  judge: JudgeWord | undefined,
): string | undefined {
  const kind = word === undefined ? dimension : describeQuantityWord(word).dimension;
  return kind !== undefined && judge === 'spread' ? differenceOf(kind) : kind;
}

export function checkBand(band: Band, index: number, context: BandKindContext): readonly BandKindProblem[] {
  if (band.kind !== 'conditions') return [];
  return band.conditions.flatMap((condition) => [
    ...checkPoint(condition, index, context),
    ...boundsOf(condition.comparison).flatMap((bound) => checkBound(bound, index, context)),
  ]);
}

/** Limits of one step that mix absolute pressure with another: those that differ from the first. */
export function mixedPressures(
  bands: readonly (Band | undefined)[],
  dimension: string | undefined,
  environment: SymbolEnvironment,
): readonly BandKindProblem[] {
  if (dimension !== 'pressure') return [];
  const limits = bands.flatMap((band, index) => (band ? expressionsOf(band).map((bound) => ({ band: index, bound })) : []));
  const kinds = limits.map(({ bound }) => dimensionOf(bound, (name) => environment(name)?.dimension).dimension);
  const first = kinds.find((kind) => kind !== undefined);
  if (first === undefined) return [];
  return limits.flatMap(({ band, bound }, index): BandKindProblem[] => {
    const kind = kinds[index];
    if (kind === undefined || !kind.includes('pressure') || (kind === 'absolute_pressure') === (first === 'absolute_pressure'))
      return [];
    const other = formatExpression(limits[kinds.indexOf(first)]?.bound ?? bound);
    return [
      {
        kind: 'unit-mismatch',
        band,
        message: `The limit ${formatExpression(bound)} is ${dimensionTitle(kind)}, but ${other} is ${dimensionTitle(first)}.`,
        help: 'Write both as gauge or both as absolute.',
        span: bound.span,
        excludes: true,
      },
    ];
  });
}

function checkPoint(condition: BandCondition, band: number, { points }: BandKindContext): BandKindProblem[] {
  const { point } = condition;
  if (points === undefined) {
    if (!point) return [];
    return [
      {
        kind: 'point-unused',
        band,
        message: `The band names the point ${point.name}, but one value is judged.`,
        help: 'Leave out `at` and the point, or leave out `judge`.',
        span: point.span,
        excludes: false,
      },
    ];
  }
  if (!point) {
    return [
      {
        kind: 'point-missing',
        band,
        message: 'The condition does not say at which point.',
        help: `Add \`at ${listOf(points.slice(0, 4), 'or')}\`, or give the step a \`judge\`.`,
        span: condition.span,
        excludes: true,
      },
    ];
  }
  if (points.includes(point.name)) return [];
  return [
    {
      kind: 'point-unknown',
      band,
      message: `'${point.name}' is not a point of this step.`,
      help: `Its points are ${listOf(points, 'and')}.`,
      span: point.span,
      excludes: true,
    },
  ];
}

function checkBound(bound: Expression, band: number, context: BandKindContext): BandKindProblem[] {
  const found = dimensionOf(bound, (name) => {
    const known = context.environment(name);
    return known?.dimension;
  });
  if (found.problem !== undefined) {
    return [
      {
        kind: 'expression',
        band,
        message: found.problem,
        ...(found.help === undefined ? {} : { help: found.help }),
        span: found.span,
        excludes: true,
      },
    ];
  }
  const { word, dimension } = context;
  if (found.unknown || dimension === undefined) return [];
  if (
    bound.kind === 'quantity' &&
    bound.quantity.unit?.supply !== undefined &&
    word !== undefined &&
    /^[da]c_/.test(word) &&
    !word.startsWith(bound.quantity.unit.supply)
  ) {
    return [
      {
        kind: 'unit-mismatch',
        band,
        message: `The limit ${formatExpression(bound)} does not fit ${quantityPhrase(word)}.`,
        help: 'Change the unit, or what is measured.',
        span: bound.span,
        excludes: true,
      },
    ];
  }
  const compared = found.dimension;
  if (
    dimensionsCompare(dimension, compared) ||
    isPointLiteral(bound, dimension) ||
    (word === 'vacuum' && compared === 'pressure') ||
    (word === 'pressure' && compared === 'absolute_pressure')
  ) {
    return bareShare(bound, band, word);
  }
  const thing = word === undefined ? dimensionTitle(dimension) : quantityPhrase(word);
  if (compared === 'ratio' && isBare(bound)) {
    const units = word === undefined ? [] : describeQuantityWord(word).usualUnits.slice(0, 3);
    return [
      {
        kind: 'unit-missing',
        band,
        message: `The limit ${formatExpression(bound)} has no unit.`,
        help: units.length > 0 ? `Write the unit after the number: ${listOf(units, 'or')}.` : 'Write the unit after the number.',
        span: bound.span,
        excludes: true,
      },
    ];
  }
  return [
    {
      kind: 'unit-mismatch',
      band,
      message: `The limit ${formatExpression(bound)} is ${dimensionTitle(compared)}, but ${thing} is judged.`,
      help: helpFor(dimension, compared),
      span: bound.span,
      excludes: true,
    },
  ];
}

/** A duty cycle of 50 is neither 50 % nor 0.5 for sure. */
function bareShare(bound: Expression, band: number, word: QuantityWord | undefined): BandKindProblem[] {
  if (word !== 'duty_cycle' || !isBare(bound)) return [];
  return [
    {
      kind: 'unit-missing',
      band,
      message: `The limit ${formatExpression(bound)} has no unit.`,
      help: 'Write %: 50 %.',
      span: bound.span,
      excludes: true,
    },
  ];
}

function isBare(bound: Expression): boolean {
  return bound.kind === 'quantity' && bound.quantity.unit === undefined;
}

function helpFor(dimension: string, compared: string): string {
  if (dimension === 'temperature_difference' && compared === 'temperature') return 'Write a difference: 5 K, or 5 Δ°C.';
  if (dimension === 'temperature' && compared === 'temperature_difference')
    return 'Write a temperature: 20 °C. A difference needs one to start from: 20 °C + 5 K.';
  if (dimension.endsWith('pressure') && compared.endsWith('pressure')) return 'Write both as gauge or both as absolute.';
  if (dimension === 'torque' && compared === 'energy') return 'Torque is in N·m or lb·ft, energy in J.';
  return 'Change the unit, or what is measured.';
}
