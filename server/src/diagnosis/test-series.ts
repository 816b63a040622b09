/**
 * Series of tests that can change places by moving whole steps: stretches of the list in which each unit is entered at its first step only and goes on
 * to the next unit, or ends. And the order of such a series that takes the fewest minutes.
 */
import { readingUses } from '../flow/readings.ts';
import type { Program } from '../flow/program.ts';
import type { Procedure } from '../procedure/model.ts';
import type { ProcedureProblem } from './from-procedure.ts';
import type { TestContext } from './test-context.ts';
import { arrivals, throughUnit, type WrittenCosts, type WrittenFlow } from './written-order.ts';

/** Steps `from` to `to` of the list. */
export interface SeriesUnit {
  readonly from: number;
  readonly to: number;
}

export interface Series {
  readonly units: readonly SeriesUnit[];
  /** The last unit does not go on to the step after it: its result that finds nothing ends the search or goes elsewhere. */
  readonly closed: boolean;
}

export interface SeriesOrder {
  readonly series: Series;
  /** Indexes of the units in their new order. */
  readonly order: readonly number[];
  /** Expected minutes that the change spares, before anything else changes. */
  readonly gain: number;
}

/** As many as fit the bits of a number. */
const MOST_UNITS = 30;

/** All series of at least two units, in the order of the list. */
export function testSeries(procedure: Procedure, program: Program, opening: readonly number[]): Series[] {
  const count = procedure.steps.length;
  const ways = program.steps.slice(0, count).map((step) => {
    const on = step.results.length > 0 ? step.results.map(({ way }) => way) : [step.way];
    const all = step.onlyIf.length > 0 || step.repeatAtMost !== undefined ? [...on, step.passOver] : on;
    return [...new Set(all.flatMap((way) => (way.kind === 'step' ? [way.step] : [])))];
  });
  const entries: number[][] = Array.from({ length: count }, () => []);
  ways.forEach((targets, from) => { for (const to of targets) entries[to]?.push(from); });
  for (const step of program.steps.slice(count)) for (const { way } of step.results) if (way.kind === 'step') entries[way.step]?.push(step.index);

  const isTest = (index: number): boolean => (program.steps[index]?.results.length ?? 0) > 0;
  const unitAt = (from: number): (SeriesUnit & { readonly leaves: readonly number[] }) | undefined => {
    for (let to = from; to < count; to++) {
      const inside = (index: number): boolean => index >= from && index <= to;
      const enteredWithin = range(from + 1, to).some((index) => entries[index]?.some((other) => !inside(other)));
      if (enteredWithin) return undefined;
      // A way back inside the unit is a loop: left alone.
      if (range(from, to).some((index) => ways[index]?.some((target) => target <= index))) return undefined;
      const leaves = [...new Set(range(from, to).flatMap((index) => ways[index] ?? []).filter((target) => !inside(target)))];
      const tests = range(from, to).filter(isTest);
      // Instructions are units of their own, which other units may need before them.
      if (leaves.every((target) => target === to + 1) && (tests.length > 0 || leaves.length === 1)) return { from, to, leaves };
      if (leaves.length === 1 && tests.length === 1) return { from, to, leaves };
    }
    return undefined;
  };

  const found: Series[] = [];
  const startsOfUnits = new Set<number>();
  // A unit may itself hold series: each step that is not yet the start of a unit is tried.
  for (let at = opening.length; at < count; at++) {
    if (startsOfUnits.has(at)) continue;
    const units: SeriesUnit[] = [];
    let closed = false;
    let next = at;
    while (next < count) {
      const unit = unitAt(next);
      const before = units[units.length - 1];
      // Only the first may be come to from elsewhere.
      if (unit === undefined || (before && entries[next]?.some((other) => other < before.from || other > before.to))) break;
      units.push({ from: unit.from, to: unit.to });
      next = unit.to + 1;
      if (unit.leaves.length !== 1 || unit.leaves[0] !== next) {
        closed = true;
        break;
      }
    }
    if (units.length < 2) continue;
    found.push({ units, closed });
    for (const unit of units) {
      startsOfUnits.add(unit.from);
      if (range(unit.from, unit.to).filter(isTest).length === 1) for (const step of range(unit.from, unit.to)) startsOfUnits.add(step);
    }
  }
  return found;
}

/** The order of a series with the fewest expected minutes; undefined where the written one is as good. */
export function bestSeriesOrder(
  series: Series, procedure: Procedure, program: Program, flow: WrittenFlow, costs: WrittenCosts & ProcedureProblem, contexts: ReadonlyMap<number, TestContext>,
): SeriesOrder | undefined {
  const { units } = series;
  if (units.length > MOST_UNITS) return undefined;
  const { problem } = costs;
  const [first] = units as [SeriesUnit];
  const last = units[units.length - 1] as SeriesUnit;
  const arriving = arrivals(flow, problem);
  const start = flow.nodes.flatMap((node, index) => (node.step === first.from ? [index] : []));
  const weights = arriving.map((shares) => start.reduce((sum, node) => sum + (shares[node] ?? 0), 0));
  const through = units.map((unit) => throughUnit(flow, costs, unit));
  const mustPrecede = units.map((unit, index) => units.flatMap((other, at) => (at !== index && isNeededBefore(other, unit, procedure, program, contexts) ? [at] : [])));
  const pinned = units.map((unit) => range(unit.from, unit.to).some((step) => procedure.steps[step]?.keepFirst !== undefined));

  const mayFollow = (done: number, index: number, reach: readonly number[]): boolean => {
    const unit = units[index] as SeriesUnit;
    if (mustPrecede[index]?.some((other) => ((done >> other) & 1) === 0)) return false;
    if (!pinned[index] && pinned.some((is, other) => is && ((done >> other) & 1) === 0)) return false;
    const isLast = (done | (1 << index)) === 2 ** units.length - 1;
    if (series.closed && isLast && !mayCloseSeries(unit, last, program)) return false;
    // What comes later in a unit is reached by its own results.
    const test = range(unit.from, unit.to).find((step) => (program.steps[step]?.results.length ?? 0) > 0);
    const speaks = test === undefined ? undefined : contexts.get(test)?.speaksOf;
    return speaks === undefined || reach.every((mass, fault) => mass <= 1e-9 || speaks[fault] === true);
  };
  const reachAfter = (done: number): number[] => weights.map((weight, fault) =>
    units.reduce((mass, _, unit) => (((done >> unit) & 1) === 1 ? mass * (through[unit]?.goesOn[fault] ?? 1) : mass), weight));
  const costOf = (reach: readonly number[], unit: number): number => reach.reduce((sum, mass, fault) => sum + mass * (through[unit]?.minutes[fault] ?? 0), 0);

  const minutesOf = (order: readonly number[]): number | undefined => {
    let done = 0;
    let minutes = 0;
    for (const index of order) {
      const reach = reachAfter(done);
      if (!mayFollow(done, index, reach)) return undefined;
      minutes += costOf(reach, index);
      done |= 1 << index;
    }
    return minutes;
  };
  const asWritten = units.map((_, index) => index);
  const written = minutesOf(asWritten);
  if (written === undefined) return undefined;
  let best = { order: asWritten, minutes: written };
  // One unit after another is put where it spares most, until none does.
  for (let improved = true; improved; ) {
    improved = false;
    for (let from = 0; from < units.length; from++) {
      for (let to = 0; to < units.length; to++) {
        const order = best.order.filter((_, at) => at !== from);
        order.splice(to, 0, best.order[from] as number);
        const minutes = minutesOf(order);
        if (minutes === undefined || minutes > best.minutes - 1e-9) continue;
        best = { order, minutes };
        improved = true;
      }
    }
  }
  return written - best.minutes < 0.01 ? undefined : { series, order: best.order, gain: written - best.minutes };
}

/**
 * A unit of one test with one result that finds nothing can take over the way on of the one that closes the series. A text that refers belongs to its
 * step: it may speak of what was done there.
 */
function mayCloseSeries(unit: SeriesUnit, last: SeriesUnit, program: Program): boolean {
  if (unit === last) return true;
  const closing = passingResults(program, last.to).map((index) => program.steps[last.to]?.results[index]?.way.kind);
  if (closing.length !== 1 || closing[0] === 'refer' || closing[0] === 'passes' || closing[0] === 'nowhere') return false;
  const tests = range(unit.from, unit.to).flatMap((index) => ((program.steps[index]?.results.length ?? 0) > 0 ? [program.steps[index]] : []));
  return tests.length === 1 && passingResults(program, unit.to).length === 1;
}

/** The results of a step by which the search goes on where it shows no fault. */
export function passingResults(program: Program, step: number): number[] {
  return (program.steps[step]?.results ?? []).flatMap(({ way }, index) => (way.kind === 'finds' && !way.byElimination ? [] : [index]));
}

function isNeededBefore(other: SeriesUnit, unit: SeriesUnit, procedure: Procedure, program: Program, contexts: ReadonlyMap<number, TestContext>): boolean {
  const inOther = (step: number): boolean => step >= other.from && step <= other.to;
  const inUnit = (step: number): boolean => step >= unit.from && step <= unit.to;
  if (readingUses(procedure).some((use) => inUnit(use.user) && inOther(use.taker))) return true;
  if (range(unit.from, unit.to).some((step) => contexts.get(step)?.gates.some(inOther))) return true;
  // Nor may states change under a reading that was taken before they did.
  const left = new Map(range(unit.from, unit.to).flatMap((step) => (program.steps[step]?.sets ?? []).map(({ state, value }) => [program.states[state]?.name ?? '', program.states[state]?.values[value]] as const)));
  const relies = range(other.from, other.to).flatMap((step) => Object.entries(contexts.get(step)?.states ?? {}));
  if (other.from < unit.from && relies.some(([state, value]) => left.has(state) && left.get(state) !== value)) return true;
  // A unit that changes states stays ahead of those that come after it as written: they may rely on it.
  const changes = range(other.from, other.to).some((step) => (program.steps[step]?.sets.length ?? 0) > 0);
  return changes && other.from < unit.from;
}

function range(from: number, to: number): number[] {
  return Array.from({ length: Math.max(0, to - from + 1) }, (_, index) => from + index);
}
