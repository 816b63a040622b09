/**
 * Series of steps that can change places by moving whole steps: stretches of the list in which each unit is entered at its first step only and goes on
 * to the next unit, or ends. series-order.ts puts them into the order that takes the fewest minutes.
 */
import type { Program } from '../flow/program.ts';
import type { Procedure } from '../procedure/model.ts';

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

/**
 * The results of a step by which the search goes on, or concludes by elimination. Such a way can be given to another step; a text that refers belongs to
 * its own, as it may speak of what was done there.
 */
export function leadingResults(program: Program, step: number): number[] {
  return (program.steps[step]?.results ?? []).flatMap(({ way }, index) => (way.kind === 'step' || (way.kind === 'finds' && way.byElimination) ? [index] : []));
}

export function range(from: number, to: number): number[] {
  return Array.from({ length: Math.max(0, to - from + 1) }, (_, index) => from + index);
}
