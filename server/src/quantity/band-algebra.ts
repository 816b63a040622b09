/**
 * Whether the bands of a step give every reading exactly one result: gaps, overlaps, results never met, and what depends on
 * values that nobody knows yet. Exact, with open and closed ends: the range of readings is cut into cells at every bound, and
 * each cell is judged with the meaning the runner uses (band-meaning.ts). Knows no steps and no findings.
 */
import { boundOrders, canHold } from './bound-order.ts';
import { comparisonEnds, endsHold, sameWord, someSaysOpen, takesOpen } from './band-meaning.ts';
import { coverBoxes, describeBox, layOut, placeOnAxis } from './band-cells.ts';
import { expressionsOf, namesIn } from './expression.ts';
import { listOf } from './scan-quantity.ts';
import { setUpBands } from './band-setup.ts';
import { termsKey } from './linear-form.ts';
import type { Band, BandCondition } from './expression.ts';
import type { BandKindProblem } from './band-kinds.ts';
import type { BandSetup } from './band-setup.ts';
import type { BoundOrder } from './bound-order.ts';
import type { Cell, Layout } from './band-cells.ts';
import type { JudgeWord } from './reading.ts';
import type { QuantityWord } from './quantity-words.ts';
import type { SymbolEnvironment } from './linear-form.ts';

export type { BandKindProblem } from './band-kinds.ts';

export interface BandOptions {
  /** What is measured; undefined where an expression is decided. */
  readonly word?: QuantityWord | undefined;
  /** The kind of what is decided, where `word` is undefined; undefined: not known, and kinds are not compared. */
  readonly dimension?: string | undefined;
  readonly judge?: JudgeWord | undefined;
  /** The points of `at_each`, in order. */
  readonly points?: readonly string[] | undefined;
  /** What the instrument shows instead of a number: lit, dark. */
  readonly words?: readonly string[] | undefined;
  /** Values that are the same for every asset are known; readings and facts are symbols (linear-form.ts). */
  readonly environment: SymbolEnvironment;
}

export interface BandGap {
  /** The readings without a result, in the writer's own units: `above 0.4 V and below 0.5 V`. */
  readonly text: string;
}

export interface BandOverlap {
  /** The places of the two bands, the smaller first. */
  readonly bands: readonly [number, number];
  /** The readings that meet both. */
  readonly text: string;
}

export interface BandNeverMet {
  readonly band: number;
  /**
   * `empty`: its limits shut out every reading; `taken`: an `otherwise` for which nothing is left; `outside`: no reading of the
   * quantity lies there; `not_shown`: the instrument never shows that word, or shows no numbers.
   */
  readonly reason: 'empty' | 'taken' | 'outside' | 'not_shown';
}

export interface BandUndecided {
  /** What hangs on values that are not known, in a sentence. */
  readonly text: string;
  readonly bands: readonly number[];
}

export interface BandExamination {
  readonly gaps: readonly BandGap[];
  readonly overlaps: readonly BandOverlap[];
  readonly neverMet: readonly BandNeverMet[];
  readonly undecided: readonly BandUndecided[];
  /** What was taken for granted: `coil_low is at most coil_high`, where a band says `between coil_low and coil_high`. */
  readonly assumed: readonly string[];
  /** Limits of the wrong kind, without a unit, or at no point of the step. */
  readonly problems: readonly BandKindProblem[];
}

const MOST_CELLS = 20_000;
const MOST_BOXES = 8;

/**
 * Examines the bands of one step, in the order of its results. An undefined band (one that could not be read) and one with a
 * problem that excludes it might take anything: no gap is then reported.
 */
export function examineBands(bands: readonly (Band | undefined)[], options: BandOptions): BandExamination {
  const cases = setUpCases(bands, options);
  const [first] = cases ?? [setUpBands(bands, options, new Map())];
  if (!first) return { gaps: [], overlaps: [], neverMet: [], undecided: [], assumed: [], problems: [] };
  const { assumed, problems } = first;
  const nothing: BandExamination = { gaps: [], overlaps: [], neverMet: [], undecided: [], assumed, problems };
  const cannot = (text: string): BandExamination => ({ ...nothing, undecided: [{ text, bands: [] }] });
  if (first.usable.size === 0 || first.axes.length === 0) return nothing;
  const outcomes: OrderOutcome[] = [];
  for (const setup of cases ?? []) {
    if (!canHold(setup.constraints)) continue;
    const { orders, complete } = boundOrders(
      setup.bounds.map((bound) => bound.form),
      setup.constraints,
    );
    if (!complete || outcomes.length > MOST_OUTCOMES) return cannot(TOO_MANY_VALUES);
    for (const order of orders) {
      const outcome = examineOrder(order, setup);
      if (!outcome)
        return cannot('The points have too many combinations to go through. Use `judge`, or fewer points in one step.');
      outcomes.push(outcome);
    }
  }
  if (!cases) return cannot(TOO_MANY_VALUES);
  if (outcomes.length === 0) return cannot('The limits contradict each other: no values of their names fit them all.');
  return combine(outcomes, first, first.usable.size === bands.length);
}

const TOO_MANY_VALUES = 'Whether every reading has one result depends on too many values that are not known here.';
const MOST_OUTCOMES = 1000;
const MOST_CASES = 32;

/** One set-up for each case of the bands' min, max and abs; undefined where there are too many. */
function setUpCases(bands: readonly (Band | undefined)[], options: BandOptions): readonly BandSetup[] | undefined {
  const done: BandSetup[] = [];
  const left: Map<string, number>[] = [new Map()];
  for (let cases = left.pop(); cases; cases = left.pop()) {
    const setup = setUpBands(bands, options, cases);
    const open = setup.openCase;
    if (!open) done.push(setup);
    for (let index = (open?.count ?? 0) - 1; open && index >= 0; index--) left.push(new Map(cases).set(open.key, index));
    if (done.length + left.length > MOST_CASES) return undefined;
  }
  return done;
}

/** A region in words, each way it can be put where bounds are equal. */
type Ways = readonly string[];

interface OrderOutcome {
  /** False where this order makes bounds equal that need not be. */
  readonly strict: boolean;
  readonly gaps: readonly Ways[];
  readonly overlaps: readonly { readonly bands: readonly [number, number]; readonly ways: Ways }[];
  readonly met: ReadonlySet<number>;
}

/** A condition on one axis: which of its cells it takes. */
interface AxisTest {
  readonly axis: number;
  readonly takes: readonly boolean[];
}

/** Judges every cell for one order of the bounds; undefined where there are too many cells. */
function examineOrder(order: BoundOrder, setup: BandSetup): OrderOutcome | undefined {
  const layouts = setup.axes.map((axis) => layOut(axis, order));
  const size = layouts.reduce((product, layout) => product * layout.cells.length, 1);
  if (size > MOST_CELLS) return undefined;
  const openIsNamed = someSaysOpen([...setup.usable.values()]);
  const tests = new Map<number, readonly AxisTest[] | 'open'>();
  let otherwise: number | undefined;
  for (const [index, band] of setup.usable) {
    if (band.kind === 'otherwise') otherwise ??= index;
    else
      tests.set(
        index,
        band.kind === 'open' ? 'open' : band.conditions.map((condition) => axisTest(condition, layouts, setup, openIsNamed)),
      );
  }
  const met = new Set<number>();
  const uncovered = new Set<number>();
  const doubled = new Map<string, { readonly bands: readonly [number, number]; readonly cells: Set<number> }>();
  for (let cell = 0; cell < size; cell++) {
    const places = layouts.map((_, axis) => placeOnAxis(cell, axis, layouts));
    const hits: number[] = [];
    for (const [index, test] of tests) {
      const taken =
        test === 'open'
          ? places.some((place, axis) => layouts[axis]?.cells[place]?.kind === 'open')
          : test.every(({ axis, takes }) => takes[places[axis] ?? -1] === true);
      if (taken) hits.push(index);
    }
    for (const hit of hits) met.add(hit);
    if (hits.length === 0 && otherwise !== undefined) met.add(otherwise);
    if (hits.length === 0 && otherwise === undefined) uncovered.add(cell);
    for (const [place, a] of hits.entries()) {
      for (const b of hits.slice(place + 1)) {
        const entry = doubled.get(`${a},${b}`) ?? { bands: [a, b] as const, cells: new Set<number>() };
        entry.cells.add(cell);
        doubled.set(`${a},${b}`, entry);
      }
    }
  }
  const describe = (cells: ReadonlySet<number>): Ways[] =>
    coverBoxes(cells, layouts, MOST_BOXES).map((box) => describeBox(box, layouts));
  return {
    strict: order.every((group) => new Set(group.map((bound) => termsKey(setup.bounds[bound]?.form ?? NO_FORM))).size <= 1),
    gaps: describe(uncovered),
    overlaps: [...doubled.values()].flatMap(({ bands, cells }) => describe(cells).map((ways) => ({ bands, ways }))),
    met,
  };
}

const NO_FORM = { constant: { numerator: 0n, denominator: 1n }, terms: new Map() } as const;

function axisTest(condition: BandCondition, layouts: readonly Layout[], setup: BandSetup, openIsNamed: boolean): AxisTest {
  const axis = setup.byPoint ? layouts.findIndex((layout) => layout.axis.point === condition.point?.name) : 0;
  const layout = layouts[axis];
  return { axis, takes: layout ? layout.cells.map((cell) => conditionTakes(condition, cell, layout, setup, openIsNamed)) : [] };
}

function conditionTakes(condition: BandCondition, cell: Cell, layout: Layout, setup: BandSetup, openIsNamed: boolean): boolean {
  const { comparison } = condition;
  if (cell.kind === 'word') return comparison.kind === 'shows' && sameWord(comparison.word, cell.word);
  if (comparison.kind === 'shows') return false;
  if (cell.kind === 'open') return !openIsNamed && takesOpen(condition);
  const ends = comparisonEnds(comparison);
  const compare = (end: typeof ends.low): number => {
    const bound = end && setup.boundOf.get(end.bound);
    return bound === undefined ? 0 : cell.position - (2 * (layout.rankOf.get(bound) ?? 0) + 1);
  };
  return endsHold(ends, compare(ends.low), compare(ends.high));
}

/** What holds in every order is certain; what holds in some is undecided. Equal bounds are a border case that decides nothing. */
function combine(outcomes: readonly OrderOutcome[], setup: BandSetup, whole: boolean): BandExamination {
  const { usable, assumed, problems } = setup;
  const names = [
    ...new Set(
      [...usable.values()].flatMap((band) => expressionsOf(band).flatMap((bound) => namesIn(bound).map(({ name }) => name))),
    ),
  ];
  const depending = names.length > 0 ? `Depending on ${listOf(names.slice(0, 4), 'and')}, ` : '';
  const undecided: BandUndecided[] = [];

  const gapsPossible = whole && setup.wordsKnown;
  const gaps = gapsPossible ? sift(outcomes, (outcome) => outcome.gaps) : { certain: [], possible: [] };
  for (const text of gaps.possible) undecided.push({ text: `${depending}a reading ${text} may have no result.`, bands: [] });
  if (whole && !setup.wordsKnown && ![...usable.values()].some((band) => band.kind === 'otherwise')) {
    undecided.push({
      text: 'What the instrument can show is not stated, so it is not known whether every reading has a result.',
      bands: [],
    });
  }

  const overlaps: BandOverlap[] = [];
  for (const [a] of usable) {
    for (const [b] of usable) {
      if (a >= b) continue;
      const found = sift(outcomes, (outcome) =>
        outcome.overlaps.filter(({ bands }) => bands[0] === a && bands[1] === b).map(({ ways }) => ways),
      );
      for (const text of found.certain) overlaps.push({ bands: [a, b], text });
      for (const text of found.possible)
        undecided.push({ text: `${depending}a reading ${text} may have two results.`, bands: [a, b] });
    }
  }
  const neverMet = [...usable]
    .filter(([index]) => outcomes.every((outcome) => !outcome.met.has(index)))
    .map(([band, written]): BandNeverMet => ({ band, reason: whyNeverMet(written, setup) }));
  return { gaps: gaps.certain.map((text) => ({ text })), overlaps, neverMet, undecided, assumed, problems };
}

function sift(
  outcomes: readonly OrderOutcome[],
  regions: (outcome: OrderOutcome) => readonly Ways[],
): { readonly certain: readonly string[]; readonly possible: readonly string[] } {
  const strict = outcomes.filter((outcome) => outcome.strict);
  const judged = (strict.length > 0 ? strict : outcomes).map(regions);
  const isIn = (text: string, all: readonly Ways[]): boolean => all.some((ways) => ways.includes(text));
  const texts = [...new Set(judged.flatMap((each) => each.flatMap((ways) => ways[0] ?? [])))];
  const certain = texts.filter((text) => judged.every((each) => isIn(text, each)));
  const possible = texts.filter((text) => !certain.includes(text));
  if (certain.length === 0 && possible.length > 0 && judged.every((each) => each.length > 0)) {
    // There is a region in every order, only its limits vary.
    return { certain: [possible.slice(0, 3).join(', or ')], possible: [] };
  }
  for (const outcome of outcomes) {
    if (outcome.strict || strict.length === 0) continue;
    for (const ways of regions(outcome)) {
      const [text] = ways;
      if (text !== undefined && !ways.some((way) => texts.includes(way)) && !possible.includes(text)) possible.push(text);
    }
  }
  return { certain, possible };
}

function whyNeverMet(band: Band, setup: BandSetup): BandNeverMet['reason'] {
  if (band.kind === 'otherwise') return 'taken';
  if (band.kind === 'open') return 'not_shown';
  for (const condition of band.conditions) {
    const axis = setup.axes.find((each) => !setup.byPoint || each.point === condition.point?.name);
    if ((axis?.words !== undefined) !== (condition.comparison.kind === 'shows')) return 'not_shown';
    if (axis?.words && condition.comparison.kind === 'shows') {
      const { word } = condition.comparison;
      if (!axis.words.some((each) => sameWord(each, word))) return 'not_shown';
    }
  }
  // Taken on its own, with no quantity to bound the readings, does it take anything?
  const alone = examineAlone(band, setup);
  return alone ? 'outside' : 'empty';
}

function examineAlone(band: Band, setup: BandSetup): boolean {
  const axes = setup.axes.map((axis) => ({ ...axis, floor: undefined, ceiling: undefined, open: false }));
  const { orders } = boundOrders(
    setup.bounds.map((bound) => bound.form),
    setup.constraints,
  );
  return orders.some((order) => examineOrder(order, { ...setup, axes, usable: new Map([[0, band]]) })?.met.has(0) ?? true);
}
