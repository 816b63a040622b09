/**
 * The order of a series that takes the fewest minutes: over all orders in which each unit comes up with the machine, the readings and the steps
 * behind it that it relies on as written (test-context.ts), and speaks of every fault that still comes to it. Exact as long as there are not too many
 * places; beyond, one unit after another is put where it spares most.
 */
import { valuesIn } from '../flow/meaning.ts';
import type { Exploration } from '../flow/explore.ts';
import type { Program } from '../flow/program.ts';
import { readingUses } from '../flow/readings.ts';
import type { Procedure } from '../procedure/model.ts';
import { doneState, readingState } from './problem.ts';
import { begunWith, statesChanged, type TestContext } from './test-context.ts';
import { leadingResults, range, type Series, type SeriesUnit } from './test-series.ts';
import { writtenCosts, type DiagnosisSheet } from './what-if.ts';
import { arrivals, throughUnit } from './written-order.ts';

export interface SeriesOrder {
  readonly series: Series;
  /** Indexes of the units in their new order. */
  readonly order: readonly number[];
  /** Expected minutes that the change spares, before anything else changes. */
  readonly gain: number;
}

export interface SeriesFrame {
  readonly procedure: Procedure;
  readonly exploration: Exploration;
  readonly sheet: DiagnosisSheet;
  readonly contexts: ReadonlyMap<number, TestContext>;
}

/** As many as fit the bits of a number. */
const MOST_UNITS = 30;
const MOST_PLACES = 40_000;
const LEAST_MASS = 1e-9;
const LEAST_GAIN = 0.01;

type States = Readonly<Record<string, string>>;

/** A series with all that its orders are judged by. */
interface Judged {
  readonly count: number;
  readonly start: States;
  /** The states in which the series is left as written; undefined where each unit ends it for itself. */
  readonly end: States | undefined;
  readonly mayCome: (unit: number, done: number, states: States) => boolean;
  readonly after: (unit: number, states: States) => States;
  readonly minutes: (unit: number, done: number) => number;
}

/** The order of a series with the fewest expected minutes; undefined where the written one is as good, or itself not understood. */
export function bestSeriesOrder(series: Series, frame: SeriesFrame): SeriesOrder | undefined {
  if (series.units.length > MOST_UNITS) return undefined;
  const judged = judgedSeries(series, frame);
  const asWritten = series.units.map((_, index) => index);
  const written = minutesOf(judged, asWritten);
  if (written === undefined) return undefined;
  const best = exactly(judged) ?? byMoving(judged, asWritten, written);
  return written - best.minutes < LEAST_GAIN ? undefined : { series, order: best.order, gain: written - best.minutes };
}

export interface UnitMove {
  /** Units that move together, as instructions and the test that needs them; mostly one. */
  readonly units: readonly number[];
  /** The unit that they then stand before; undefined: last. */
  readonly before: number | undefined;
  /** The unit that they then stand behind; undefined: first. */
  readonly behind: number | undefined;
  /** Minutes that it spares, made after the moves ahead of it; undefined where the order in between may not be. */
  readonly gain: number | undefined;
  /** The order then. */
  readonly order: readonly number[];
}

/** Minutes that an order spares against the written one; undefined where either may not be. */
export function gainOfOrder(series: Series, frame: SeriesFrame, order: readonly number[]): number | undefined {
  const judged = judgedSeries(series, frame);
  const written = minutesOf(judged, series.units.map((_, unit) => unit));
  const then = minutesOf(judged, order);
  return written === undefined || then === undefined ? undefined : written - then;
}

/** An order with some units moved. */
export function withMove(order: readonly number[], { units, before }: Pick<UnitMove, 'units' | 'before'>): number[] {
  const others = order.filter((other) => !units.includes(other));
  const at = before === undefined ? others.length : others.indexOf(before);
  return [...others.slice(0, at), ...units, ...others.slice(at)];
}

/**
 * The moves that lead from the written to another order: of what is not in the longest run that keeps its order. The one that spares most comes first;
 * units that only together may move do so.
 */
export function movesToOrder({ series, order }: Pick<SeriesOrder, 'series' | 'order'>, frame: SeriesFrame): UnitMove[] {
  const judged = judgedSeries(series, frame);
  const settled = longestRising(order);
  const waiting = new Set(order.filter((unit) => !settled.has(unit)));
  let now: readonly number[] = series.units.map((_, unit) => unit);
  const moves: UnitMove[] = [];
  while (waiting.size > 0) {
    const minutes = minutesOf(judged, now);
    const move = (units: readonly number[]): UnitMove => {
      const before = order.slice(order.indexOf(units[units.length - 1] as number) + 1).find((other) => settled.has(other));
      const behind = order.slice(0, order.indexOf(units[0] as number)).reverse().find((other) => settled.has(other));
      const moved = withMove(now, { units, before });
      const then = minutesOf(judged, moved);
      return { units, before, behind, order: moved, gain: minutes === undefined || then === undefined ? undefined : minutes - then };
    };
    const single = [...waiting].map((unit) => move([unit]));
    const candidates = single.some(({ gain }) => gain !== undefined) ? single : [...runsOf(order, waiting).map(move), ...single];
    // Of equal ones the first: it moves the fewest units.
    const best = candidates.reduce((first, other) => ((other.gain ?? -Infinity) > (first.gain ?? -Infinity) + 1e-9 ? other : first));
    moves.push(best);
    now = best.order;
    for (const unit of best.units) {
      waiting.delete(unit);
      settled.add(unit);
    }
  }
  return moves;
}

/** Runs of at least two waiting units that stand side by side in an order, the shortest first. */
function runsOf(order: readonly number[], waiting: ReadonlySet<number>): number[][] {
  const runs: number[][] = [];
  for (let length = 2; length <= waiting.size; length++) {
    for (let from = 0; from + length <= order.length; from++) {
      const run = order.slice(from, from + length);
      if (run.every((unit) => waiting.has(unit))) runs.push(run);
    }
  }
  return runs;
}

const judgedKnown = new WeakMap<Series, { readonly frame: SeriesFrame; readonly judged: Judged }>();

/** Worked out once for a series, however many orders of it are asked about. */
function judgedSeries(series: Series, frame: SeriesFrame): Judged {
  const before = judgedKnown.get(series);
  if (before?.frame === frame) return before.judged;
  const judged = judge(series, frame);
  judgedKnown.set(series, { frame, judged });
  return judged;
}

function judge({ units, closed }: Series, frame: SeriesFrame): Judged {
  const { procedure, exploration, sheet, contexts } = frame;
  const { flow } = sheet;
  const { program } = exploration;
  const first = units[0] as SeriesUnit;
  const last = units[units.length - 1] as SeriesUnit;
  const changed = statesChanged(exploration);
  const arriving = arrivals(flow, sheet.problem);
  const starts = flow.nodes.flatMap((node, index) => (node.step === first.from ? [index] : []));
  const weights = arriving.map((shares) => starts.reduce((sum, node) => sum + (shares[node] ?? 0), 0));
  const through = units.map((unit) => throughUnit(flow, writtenCosts(sheet), unit));
  const uses = readingUses(procedure);
  const mustPrecede = units.map((unit, index) => units.flatMap((other, at) => (at !== index && isNeededBefore(other, unit, uses, contexts) ? [at] : [])));
  const pinned = units.map((unit) => range(unit.from, unit.to).some((step) => procedure.steps[step]?.keepFirst !== undefined));
  const relied = units.map((unit) => ({ ...knownBefore(unit, uses, frame), ...reliedOn(unit, program, contexts) }));
  const left = units.map((unit) => leftBy(unit, exploration, changed));
  const known = units.map((unit) => knownAfter(unit, frame));
  const before = units.flatMap((unit) => Object.entries(knownBefore(unit, uses, frame)));
  const within = new Set(known.flatMap((states) => Object.keys(states)));
  const speaks = units.map((unit) => {
    // What comes later in a unit is reached by its own results.
    const test = range(unit.from, unit.to).find((step) => (program.steps[step]?.results.length ?? 0) > 0);
    return test === undefined ? undefined : contexts.get(test)?.speaksOf;
  });
  const reached = new Map<number, readonly number[]>();
  const reach = (done: number): readonly number[] => {
    let mass = reached.get(done);
    if (mass === undefined) {
      mass = weights.map((weight, fault) => units.reduce((sum, _, unit) => (((done >> unit) & 1) === 1 ? sum * (through[unit]?.goesOn[fault] ?? 1) : sum), weight));
      reached.set(done, mass);
    }
    return mass;
  };
  const all = 2 ** units.length - 1;
  return {
    count: units.length,
    // What is known or done before the series is there when it begins.
    start: { ...Object.fromEntries(before.filter(([state]) => !within.has(state))), ...statesAt(exploration, first.from, changed) },
    end: closed || procedure.steps[last.to + 1] === undefined ? undefined : statesAt(exploration, last.to + 1, changed),
    mayCome: (unit, done, states) => {
      if (mustPrecede[unit]?.some((other) => ((done >> other) & 1) === 0)) return false;
      if (!pinned[unit] && pinned.some((is, other) => is && ((done >> other) & 1) === 0)) return false;
      if (closed && (done | (1 << unit)) === all && !mayCloseSeries(units[unit] as SeriesUnit, last, program)) return false;
      if (Object.entries(relied[unit] ?? {}).some(([state, value]) => states[state] !== value)) return false;
      return speaks[unit]?.every((speaksOf, fault) => speaksOf || (reach(done)[fault] ?? 0) <= LEAST_MASS) ?? true;
    },
    after: (unit, states) => ({ ...withoutFaded(states, left[unit] ?? {}, sheet.problem.fades), ...left[unit], ...known[unit] }),
    minutes: (unit, done) => reach(done).reduce((sum, mass, fault) => sum + mass * (through[unit]?.minutes[fault] ?? 0), 0),
  };
}

/** Minutes of an order, or undefined where it may not be. */
function minutesOf(judged: Judged, order: readonly number[]): number | undefined {
  let done = 0;
  let minutes = 0;
  let states = judged.start;
  for (const unit of order) {
    if (!judged.mayCome(unit, done, states)) return undefined;
    minutes += judged.minutes(unit, done);
    states = judged.after(unit, states);
    done |= 1 << unit;
  }
  return endsWell(judged, states) ? minutes : undefined;
}

function endsWell({ end }: Judged, states: States): boolean {
  return end === undefined || Object.entries(end).every(([state, value]) => states[state] === value);
}

/** Dynamic programming over (units done, states); undefined where there are too many places. */
function exactly(judged: Judged): { readonly order: readonly number[]; readonly minutes: number } | undefined {
  const known = new Map<string, { readonly minutes: number; readonly unit: number }>();
  const all = 2 ** judged.count - 1;
  const visit = (done: number, states: States): number => {
    if (done === all) return endsWell(judged, states) ? 0 : Infinity;
    const key = placeKey(done, states);
    const before = known.get(key);
    if (before) return before.minutes;
    if (known.size > MOST_PLACES) throw new RangeError('Too many places.');
    // A place that is being worked out is never come to again: what is done only grows.
    let best = { minutes: Infinity, unit: -1 };
    for (let unit = 0; unit < judged.count; unit++) {
      if (((done >> unit) & 1) === 1 || !judged.mayCome(unit, done, states)) continue;
      const minutes = judged.minutes(unit, done) + visit(done | (1 << unit), judged.after(unit, states));
      // Of equal orders the one nearest to the written one.
      if (minutes < best.minutes - 1e-9) best = { minutes, unit };
    }
    known.set(key, best);
    return best.minutes;
  };
  try {
    const minutes = visit(0, judged.start);
    const order: number[] = [];
    for (let done = 0, { start: states } = judged; done !== all && minutes < Infinity; ) {
      const unit = known.get(placeKey(done, states))?.unit ?? -1;
      if (unit < 0) return undefined;
      order.push(unit);
      states = judged.after(unit, states);
      done |= 1 << unit;
    }
    return minutes === Infinity ? undefined : { order, minutes };
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

function placeKey(done: number, states: States): string {
  return `${done} ${Object.keys(states).sort().map((state) => states[state] ?? '').join('\u0000')}`;
}

function byMoving(judged: Judged, asWritten: readonly number[], written: number): { readonly order: readonly number[]; readonly minutes: number } {
  let best = { order: asWritten, minutes: written };
  for (let improved = true; improved; ) {
    improved = false;
    for (let from = 0; from < judged.count; from++) {
      for (let to = 0; to < judged.count; to++) {
        const order = best.order.filter((_, at) => at !== from);
        order.splice(to, 0, best.order[from] as number);
        const minutes = minutesOf(judged, order);
        if (minutes === undefined || minutes > best.minutes - 1e-9) continue;
        best = { order, minutes };
        improved = true;
      }
    }
  }
  return best;
}

/** The states that the search changes, as they are whenever a step is begun as written. */
function statesAt(exploration: Exploration, step: number, changed: ReadonlySet<number>): States {
  const begun = begunWith(exploration, step);
  return Object.fromEntries([...changed].flatMap((state) => {
    const values = valuesIn(begun[state] ?? 0);
    const info = exploration.program.states[state];
    return info && values.length === 1 ? [[info.name, info.values[values[0] as number] ?? '']] : [];
  }));
}

/** What a unit needs when it is begun: what its steps need and it does not itself set before them. */
function reliedOn(unit: SeriesUnit, program: Program, contexts: ReadonlyMap<number, TestContext>): States {
  const relied: Record<string, string> = {};
  const set = new Set<string>();
  for (const index of range(unit.from, unit.to)) {
    for (const [state, value] of Object.entries(contexts.get(index)?.states ?? {})) if (!set.has(state)) relied[state] = value;
    const step = program.steps[index];
    for (const { state } of [...(step?.sets ?? []), ...(step?.results ?? []).flatMap(({ sets }) => sets)]) set.add(program.states[state]?.name ?? '');
  }
  return relied;
}

/** The steps done and readings taken outside a unit on which it relies, as far as a change of the machine undoes them. */
function knownBefore(unit: SeriesUnit, uses: ReturnType<typeof readingUses>, { sheet, contexts }: SeriesFrame): States {
  const inside = (step: number): boolean => step >= unit.from && step <= unit.to;
  const name = (step: number): string => sheet.stepNames[step] ?? '';
  const done = range(unit.from, unit.to).flatMap((step) => contexts.get(step)?.gates ?? []).filter((gate) => !inside(gate)).map((gate) => [doneState(name(gate)), 'done'] as const);
  const taken = uses.filter(({ user, taker }) => inside(user) && !inside(taker)).map(({ taker }) => [readingState(name(taker)), 'taken'] as const);
  return Object.fromEntries([...done, ...taken].filter(([state]) => sheet.problem.fades?.[state] !== undefined));
}

/** The steps of a unit that are done and the readings that are taken behind it, as far as a change of the machine undoes them. */
function knownAfter(unit: SeriesUnit, { sheet, exploration }: SeriesFrame): States {
  let known: States = {};
  for (const index of range(unit.from, unit.to)) {
    const step = exploration.program.steps[index];
    const name = sheet.stepNames[index] ?? '';
    const sets = Object.fromEntries((step?.sets ?? []).map(({ state, value }) => [exploration.program.states[state]?.name ?? '', String(value)]));
    known = { ...withoutFaded(known, sets, sheet.problem.fades), [doneState(name)]: 'done', ...(step?.kind === 'measure' || step?.kind === 'run' ? { [readingState(name)]: 'taken' } : {}) };
  }
  return Object.fromEntries(Object.entries(known).filter(([state]) => sheet.problem.fades?.[state] !== undefined));
}

/** What a change undoes is gone. */
function withoutFaded(states: States, change: States, fades: DiagnosisSheet['problem']['fades'] = {}): States {
  const isUndone = (state: string): boolean => fades[state]?.some((other) => other in change && change[other] !== states[other]) ?? false;
  return Object.fromEntries(Object.entries(states).filter(([state]) => !isUndone(state)));
}

/** The states that a unit changes, with what they are behind it; '' where that depends on the walk. */
function leftBy(unit: SeriesUnit, exploration: Exploration, changed: ReadonlySet<number>): States {
  const { program, nodes, edges, out, nodesOfStep } = exploration;
  const left: Record<string, string> = {};
  const inside = (step: number | undefined): boolean => step !== undefined && step >= unit.from && step <= unit.to;
  const touched = new Set<number>();
  const behind = new Map<number, number>();
  for (const id of range(unit.from, unit.to).flatMap((step) => nodesOfStep[step] ?? [])) {
    const node = nodes[id];
    if (node === undefined || node.afterRepair) continue;
    for (const edge of (out[id] ?? []).flatMap((one) => edges[one] ?? [])) {
      const to = nodes[edge.to];
      if (to === undefined || edge.repairs !== undefined || to.ending !== undefined) continue;
      for (const state of changed) {
        if (!edge.passedOver && to.states[state] !== node.begun[state]) touched.add(state);
        if (!inside(to.step)) behind.set(state, (behind.get(state) ?? 0) | (to.states[state] ?? 0));
      }
    }
  }
  // The unit that closes a series leads nowhere: what its steps set stands for what is behind it.
  if (behind.size === 0) for (const { state, value } of range(unit.from, unit.to).flatMap((step) => program.steps[step]?.sets ?? [])) { touched.add(state); behind.set(state, 1 << value); }
  for (const state of touched) {
    const values = valuesIn(behind.get(state) ?? 0);
    const info = program.states[state];
    if (info) left[info.name] = values.length === 1 ? (info.values[values[0] as number] ?? '') : '';
  }
  return left;
}

/** A unit of one test with one result that leads on can take over the way of the one that closes the series, where that has but one as well. */
function mayCloseSeries(unit: SeriesUnit, last: SeriesUnit, program: Program): boolean {
  if (unit === last) return true;
  if (leadingResults(program, last.to).length !== 1) return false;
  const tests = range(unit.from, unit.to).flatMap((index) => ((program.steps[index]?.results.length ?? 0) > 0 ? [program.steps[index]] : []));
  return tests.length === 1 && leadingResults(program, unit.to).length === 1;
}

/** Whether a step of `unit` uses a reading or relies on a step of `other`, or must not come after one of its own. */
function isNeededBefore(other: SeriesUnit, unit: SeriesUnit, uses: ReturnType<typeof readingUses>, contexts: ReadonlyMap<number, TestContext>): boolean {
  const inOther = (step: number): boolean => step >= other.from && step <= other.to;
  const inUnit = (step: number): boolean => step >= unit.from && step <= unit.to;
  if (uses.some((use) => inUnit(use.user) && inOther(use.taker))) return true;
  if (range(unit.from, unit.to).some((step) => contexts.get(step)?.gates.some(inOther))) return true;
  return range(other.from, other.to).some((step) => contexts.get(step)?.notAfter.some(inUnit));
}

function longestRising(order: readonly number[]): Set<number> {
  const runs: number[][] = [];
  order.forEach((value, at) => {
    let best: number[] = [];
    for (let before = 0; before < at; before++) if ((order[before] as number) < value && (runs[before]?.length ?? 0) > best.length) best = runs[before] as number[];
    runs.push([...best, value]);
  });
  return new Set(runs.reduce((best, run) => (run.length > best.length ? run : best), []));
}
