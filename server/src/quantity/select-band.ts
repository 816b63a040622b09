/** Which result a reading meets. The runner asks this; the meaning is band-meaning.ts's, as it is for the checker. */
import { bandTakesOpen, comparisonEnds, endsHold, sameWord, someSaysOpen, takesOpen } from './band-meaning.ts';
import { compareRational } from './rational.ts';
import { dimensionsCompare, dimensionTitle } from './dimension.ts';
import { evaluate } from './evaluate.ts';
import { isPointLiteral } from './point-literal.ts';
import type { Band, BandCondition, Expression } from './expression.ts';
import type { Environment } from './evaluate.ts';
import type { Reading, Readings } from './reading.ts';

export { judgeReadings } from './reading.ts';
export type { JudgeWord, Reading, Readings } from './reading.ts';

export type Selection =
  | {
      readonly index: number;
      readonly none?: undefined;
      readonly several?: undefined;
      readonly unknown?: undefined;
      readonly problem?: undefined;
    }
  /** No result takes the reading. */
  | {
      readonly none: true;
      readonly index?: undefined;
      readonly several?: undefined;
      readonly unknown?: undefined;
      readonly problem?: undefined;
    }
  /** More than one does: their places. */
  | {
      readonly several: readonly number[];
      readonly index?: undefined;
      readonly none?: undefined;
      readonly unknown?: undefined;
      readonly problem?: undefined;
    }
  /** A limit uses names that have no value yet. */
  | {
      readonly unknown: readonly string[];
      readonly index?: undefined;
      readonly none?: undefined;
      readonly several?: undefined;
      readonly problem?: undefined;
    }
  /** The reading and a limit cannot be compared. */
  | {
      readonly problem: string;
      readonly index?: undefined;
      readonly none?: undefined;
      readonly several?: undefined;
      readonly unknown?: undefined;
    };

/**
 * The result that the reading meets, by its place in `bands`; an undefined band meets nothing. `otherwise` takes what no other
 * band takes. `readings` is one reading, or one for each point where conditions name their points.
 */
export function selectResult(bands: readonly (Band | undefined)[], readings: Readings, environment: Environment): Selection {
  const openIsNamed = someSaysOpen(bands);
  const met: number[] = [];
  const unknown = new Set<string>();
  for (const [index, band] of bands.entries()) {
    if (!band || band.kind === 'otherwise') continue;
    const holds = bandHolds(band, readings, environment, openIsNamed);
    if (holds.kind === 'problem') return { problem: holds.problem };
    if (holds.kind === 'unknown') for (const name of holds.names) unknown.add(name);
    else if (holds.holds) met.push(index);
  }
  if (unknown.size > 0) return { unknown: [...unknown] };
  const first = met[0];
  if (met.length > 1) return { several: met };
  if (first !== undefined) return { index: first };
  const otherwise = bands.findIndex((band) => band?.kind === 'otherwise');
  return otherwise < 0 ? { none: true } : { index: otherwise };
}

/** Whether a reading meets a band on its own (`seek`); `otherwise` is met by anything. */
export function meetsBand(band: Band, reading: Reading, environment: Environment): Selection {
  return selectResult([band], reading, environment);
}

type Holds =
  | { readonly kind: 'decided'; readonly holds: boolean }
  | { readonly kind: 'unknown'; readonly names: readonly string[] }
  | { readonly kind: 'problem'; readonly problem: string };

function bandHolds(band: Band, readings: Readings, environment: Environment, openIsNamed: boolean): Holds {
  if (band.kind !== 'conditions') {
    const one = isOne(readings) ? readings : undefined;
    const open = one
      ? one.kind === 'open'
      : [...(readings as ReadonlyMap<string, Reading>).values()].some((each) => each.kind === 'open');
    return { kind: 'decided', holds: band.kind === 'open' && open };
  }
  if (isOne(readings) && readings.kind === 'open') return { kind: 'decided', holds: bandTakesOpen(band, openIsNamed) };
  let undecided: Holds | undefined;
  for (const condition of band.conditions) {
    const reading = readingFor(condition, readings);
    if (!reading) return { kind: 'problem', problem: missingReading(condition) };
    const holds =
      reading.kind === 'open' && openIsNamed
        ? { kind: 'decided' as const, holds: false }
        : conditionHolds(condition, reading, environment);
    if (holds.kind === 'problem') return holds;
    if (holds.kind === 'unknown')
      undecided = undecided?.kind === 'unknown' ? { kind: 'unknown', names: [...undecided.names, ...holds.names] } : holds;
    else if (!holds.holds) return holds;
  }
  return undecided ?? { kind: 'decided', holds: true };
}

function conditionHolds(condition: BandCondition, reading: Reading, environment: Environment): Holds {
  const { comparison } = condition;
  if (comparison.kind === 'shows')
    return { kind: 'decided', holds: reading.kind === 'word' && sameWord(reading.word, comparison.word) };
  if (reading.kind === 'word') return { kind: 'decided', holds: false };
  if (reading.kind === 'open') return { kind: 'decided', holds: takesOpen(condition) };
  const ends = comparisonEnds(comparison);
  const toLow = ends.low ? compareWith(reading, ends.low.bound, environment) : { kind: 'order' as const, order: 1 };
  const toHigh = ends.high ? compareWith(reading, ends.high.bound, environment) : { kind: 'order' as const, order: -1 };
  if (toLow.kind === 'problem') return toLow;
  if (toHigh.kind === 'problem') return toHigh;
  if (toLow.kind === 'unknown' || toHigh.kind === 'unknown') {
    return {
      kind: 'unknown',
      names: [...(toLow.kind === 'unknown' ? toLow.names : []), ...(toHigh.kind === 'unknown' ? toHigh.names : [])],
    };
  }
  return { kind: 'decided', holds: endsHold(ends, toLow.order, toHigh.order) };
}

type Compared =
  | { readonly kind: 'order'; readonly order: number }
  | { readonly kind: 'unknown'; readonly names: readonly string[] }
  | { readonly kind: 'problem'; readonly problem: string };

function compareWith(reading: Extract<Reading, { kind: 'number' }>, bound: Expression, environment: Environment): Compared {
  const value = evaluate(bound, environment);
  if (value.unknown) return { kind: 'unknown', names: value.unknown };
  if (value.problem !== undefined) return { kind: 'problem', problem: value.problem };
  const dimension = isPointLiteral(bound, reading.dimension) ? reading.dimension : value.value.dimension;
  if (!dimensionsCompare(reading.dimension, dimension)) {
    return {
      kind: 'problem',
      problem: `The limit is ${dimensionTitle(dimension)}, the reading ${dimensionTitle(reading.dimension)}.`,
    };
  }
  return { kind: 'order', order: compareRational(reading.base, value.value.base) };
}

function readingFor(condition: BandCondition, readings: Readings): Reading | undefined {
  if (isOne(readings)) return readings;
  return condition.point ? readings.get(condition.point.name) : undefined;
}

function missingReading(condition: BandCondition): string {
  return condition.point ? `There is no reading at ${condition.point.name}.` : 'The condition does not say at which point.';
}

function isOne(readings: Readings): readings is Reading {
  return 'kind' in readings;
}
