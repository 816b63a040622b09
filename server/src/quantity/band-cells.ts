/**
 * The range of readings cut into cells at every bound, and cells said in words: `above 0.4 V and below 0.5 V`. Knows neither
 * bands nor what they select.
 */
import { ceilingRational, compareRational, floorRational, ONE, subtractRational } from './rational.ts';
import { constantDifference, isConstantForm } from './linear-form.ts';
import type { BoundOrder } from './bound-order.ts';
import type { LinearForm } from './linear-form.ts';

export interface Bound {
  /** As the writer put it; more than one where equal bounds are spelled in several ways. */
  readonly texts: readonly string[];
  readonly form: LinearForm;
}

/** The readings at one point (or the only reading). */
export interface Axis {
  readonly point: string | undefined;
  /** What a lamp shows; undefined where readings are numbers. */
  readonly words: readonly string[] | undefined;
  readonly bounds: readonly Bound[];
  /** The bounds that matter here, by their place in `bounds`. */
  readonly used: readonly number[];
  /** Whether overload can be read. */
  readonly open: boolean;
  /** The least and the greatest reading there is, by place in `bounds`. */
  readonly floor: number | undefined;
  readonly ceiling: number | undefined;
  /** Whether readings are whole numbers. */
  readonly whole: boolean;
}

export type Cell =
  | { readonly kind: 'word'; readonly word: string }
  | { readonly kind: 'open' }
  /** Odd positions are the bounds themselves (2 × rank + 1), even ones lie between. */
  | { readonly kind: 'number'; readonly position: number };

export interface Layout {
  readonly axis: Axis;
  readonly cells: readonly Cell[];
  /** Equal bounds together, from low to high. */
  readonly groups: readonly (readonly number[])[];
  readonly rankOf: ReadonlyMap<number, number>;
}

/** For each axis the cells taken: always a run of them, but for words. */
export type Box = readonly (readonly number[])[];

/** The cells of an axis, where its bounds stand in that order. */
export function layOut(axis: Axis, order: BoundOrder): Layout {
  if (axis.words) return { axis, cells: axis.words.map((word) => ({ kind: 'word', word })), groups: [], rankOf: new Map() };
  const groups = order.map((group) => group.filter((bound) => axis.used.includes(bound))).filter((group) => group.length > 0);
  const rankOf = new Map(groups.flatMap((group, rank) => group.map((bound) => [bound, rank] as const)));
  const first = axis.floor === undefined ? 0 : 2 * (rankOf.get(axis.floor) ?? 0) + 1;
  const last = axis.ceiling === undefined ? 2 * groups.length : 2 * (rankOf.get(axis.ceiling) ?? groups.length) + 1;
  const cells: Cell[] = [];
  for (let position = first; position <= last; position++) {
    if (!axis.whole || holdsWhole(position, groups, axis.bounds)) cells.push({ kind: 'number', position });
  }
  if (axis.open) cells.push({ kind: 'open' });
  return { axis, cells, groups, rankOf };
}

/** Whether the cell holds a whole number; names count as whole. */
function holdsWhole(position: number, groups: readonly (readonly number[])[], bounds: readonly Bound[]): boolean {
  const rank = position >> 1;
  if (position % 2 === 1) {
    const form = bounds[groups[rank]?.[0] ?? -1]?.form;
    return form === undefined || form.constant.denominator === 1n;
  }
  const low = bounds[groups[rank - 1]?.[0] ?? -1]?.form;
  const high = bounds[groups[rank]?.[0] ?? -1]?.form;
  if (!low || !high) return true;
  const width = constantDifference(high, low);
  if (!width) return true;
  // The first whole number above the low bound must lie below the high one.
  const step = subtractRational({ numerator: floorRational(low.constant) + 1n, denominator: 1n }, low.constant);
  return compareRational(step, width) < 0;
}

/**
 * Boxes that cover just these cells of the product of the layouts, at most `most`. A cell's number counts the last axis fastest.
 */
export function coverBoxes(cells: ReadonlySet<number>, layouts: readonly Layout[], most: number): Box[] {
  const left = new Set(cells);
  const boxes: Box[] = [];
  for (const start of cells) {
    if (!left.has(start)) continue;
    if (boxes.length >= most) break;
    const box = coordinates(start, layouts).map((place) => [place]);
    for (const axis of layouts.keys()) grow(box, axis, cells, layouts);
    boxes.push(box);
    for (const cell of cellsOf(box, layouts)) left.delete(cell);
  }
  return boxes;
}

function grow(box: number[][], axis: number, cells: ReadonlySet<number>, layouts: readonly Layout[]): void {
  const layout = layouts[axis];
  const own = box[axis];
  if (!layout || !own) return;
  const holds = (place: number): boolean => {
    const slice = box.map((places, index) => (index === axis ? [place] : places));
    return cellsOf(slice, layouts).every((cell) => cells.has(cell));
  };
  if (layout.axis.words) {
    for (const place of layout.cells.keys()) if (!own.includes(place) && holds(place)) own.push(place);
    own.sort((a, b) => a - b);
    return;
  }
  for (let place = (own[0] ?? 0) - 1; place >= 0 && holds(place); place--) own.unshift(place);
  for (let place = (own[own.length - 1] ?? 0) + 1; place < layout.cells.length && holds(place); place++) own.push(place);
}

function coordinates(cell: number, layouts: readonly Layout[]): number[] {
  const places: number[] = [];
  let rest = cell;
  for (let axis = layouts.length - 1; axis >= 0; axis--) {
    const size = layouts[axis]?.cells.length ?? 1;
    places.unshift(rest % size);
    rest = Math.floor(rest / size);
  }
  return places;
}

function cellsOf(box: readonly (readonly number[])[], layouts: readonly Layout[]): number[] {
  let numbers = [0];
  for (const [axis, layout] of layouts.entries()) {
    numbers = numbers.flatMap((number) => (box[axis] ?? []).map((place) => number * layout.cells.length + place));
  }
  return numbers;
}

/** The cell's place on one axis, from its number in the product. */
export function placeOnAxis(cell: number, axis: number, layouts: readonly Layout[]): number {
  let rest = cell;
  for (let later = layouts.length - 1; later > axis; later--) rest = Math.floor(rest / (layouts[later]?.cells.length ?? 1));
  return rest % (layouts[axis]?.cells.length ?? 1);
}

/**
 * The readings of a box in words, in every way that is true where bounds are equal in this order (the first is the one to show):
 * `above 0.4 V and below 0.5 V`, `lit at fuse_in and dark at fuse_out`, `any reading`.
 */
export function describeBox(box: Box, layouts: readonly Layout[]): readonly string[] {
  let texts: string[][] = [[]];
  for (const [axis, layout] of layouts.entries()) {
    const places = box[axis] ?? [];
    if (places.length === layout.cells.length) continue;
    const point = layout.axis.point === undefined ? '' : ` at ${layout.axis.point}`;
    const ways = describeRun(places, layout).map((parts) => parts.map((part) => part + point).join(' and '));
    texts = texts.flatMap((text) => ways.map((way) => [...text, way])).slice(0, MOST_WAYS);
  }
  return texts.map((text) => text.join(' and ') || 'any reading');
}

const MOST_WAYS = 16;
/** How an overload reading is named in messages. */
export const OPEN_TEXT = 'open (overload)';

/** The parts of one axis' description, in each way it can be put. */
function describeRun(places: readonly number[], layout: Layout): string[][] {
  const cells = places.flatMap((place) => layout.cells[place] ?? []);
  const words = cells.flatMap((cell) => (cell.kind === 'word' ? [cell.word] : []));
  if (words.length > 0) return [[words.join(' or ')]];
  const positions = cells.flatMap((cell) => (cell.kind === 'number' ? [cell.position] : []));
  const first = positions[0];
  const last = positions[positions.length - 1];
  if (first === undefined || last === undefined) return [[OPEN_TEXT]];
  const whole = layout.axis.whole ? wholeRun(first, last, layout) : undefined;
  if (whole) return [[whole]];
  if (first === last && first % 2 === 1) return textsAt(first >> 1, layout).map((text) => [`exactly ${text}`]);
  // Overload lies above every bound; where it is meant too, it is said, as it is what the meter will show.
  const open = cells.some((cell) => cell.kind === 'open') ? ` or ${OPEN_TEXT}` : '';
  const lows = lowEnd(first, layout);
  const highs = highEnd(last, layout);
  const closed = first % 2 === 1 && last % 2 === 1 && lows.length > 0 && highs.length > 0;
  const ways: string[][] = [];
  for (const low of lows.length > 0 ? lows : ['']) {
    for (const high of highs.length > 0 ? highs : ['']) {
      if (closed) ways.push([`between ${low} and ${high}`]);
      else
        ways.push(
          [
            low && `${first % 2 === 1 ? 'at least' : 'above'} ${low}`,
            high && `${last % 2 === 1 ? 'at most' : 'below'} ${high}`,
          ].filter(Boolean),
        );
    }
  }
  return ways.map((way) => (way.length === 0 ? ['any number'] : [...way.slice(0, -1), `${way[way.length - 1] ?? ''}${open}`]));
}

/** The texts of the bound below a cell; none where nothing can be read below it. */
function lowEnd(first: number, layout: Layout): readonly string[] {
  if (first === 0) return [];
  const rank = first % 2 === 1 ? first >> 1 : (first >> 1) - 1;
  const { floor } = layout.axis;
  if (first % 2 === 1 && floor !== undefined && layout.rankOf.get(floor) === rank) return [];
  return textsAt(rank, layout);
}

function highEnd(last: number, layout: Layout): readonly string[] {
  const rank = last >> 1;
  if (last % 2 === 0 && rank >= layout.groups.length) return [];
  const { ceiling } = layout.axis;
  if (last % 2 === 1 && ceiling !== undefined && layout.rankOf.get(ceiling) === rank) return [];
  return textsAt(rank, layout);
}

function textsAt(rank: number, layout: Layout): readonly string[] {
  const texts = (layout.groups[rank] ?? []).flatMap((bound) => layout.axis.bounds[bound]?.texts ?? []);
  return [...new Set(texts)];
}

/** `exactly 4`, `between 4 and 6`: whole numbers between two constant bounds. */
function wholeRun(first: number, last: number, layout: Layout): string | undefined {
  const low = layout.axis.bounds[layout.groups[(first - 1) >> 1]?.[0] ?? -1];
  const high = layout.axis.bounds[layout.groups[last >> 1]?.[0] ?? -1];
  if (!low || !high || !isConstantForm(low.form) || !isConstantForm(high.form)) return undefined;
  const from = first % 2 === 1 ? ceilingRational(low.form.constant) : floorRational(low.form.constant) + ONE.numerator;
  const to = last % 2 === 1 ? floorRational(high.form.constant) : ceilingRational(high.form.constant) - ONE.numerator;
  return from === to ? `exactly ${from}` : `between ${from} and ${to}`;
}
