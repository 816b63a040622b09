/**
 * How long a technician has worked on arrival at each step: the shortest and the longest walk of the first search, in minutes. It counts
 * what steps take as written; how that is shown is for others.
 */
import type { Analysis } from '../analysis/analysis.ts';
import { minutesOfStep } from '../diagnosis/from-procedure.ts';
import type { Exploration, FlowEdge } from '../flow/explore.ts';
import { originalStep } from '../procedure/moved-step.ts';
import type { Step } from '../procedure/model.ts';
import { allSteps } from './symbols.ts';

export interface MinutesSoFar {
  readonly shortest: number;
  /** Undefined where a loop without a bound lies on the way: no walk is the longest. */
  readonly longest: number | undefined;
}

interface Known {
  readonly times: readonly number[];
  readonly minutes: ReadonlyMap<number, MinutesSoFar>;
}

const known = new WeakMap<Exploration, Known>();
const timeOf = new WeakMap<Step, number>();

/** Step → minutes on arrival, for each step of `steps` that some walk of the first search begins. */
export function minutesSoFar({ procedure, exploration }: Analysis): ReadonlyMap<number, MinutesSoFar> {
  if (!procedure || !exploration) return new Map();
  const times = allSteps(procedure).map(minutesOf);
  const before = known.get(exploration);
  // A changed time leaves every walk as it was.
  if (before && before.times.length === times.length && times.every((time, index) => time === before.times[index])) return before.minutes;
  const minutes = minutesAt(exploration, times);
  known.set(exploration, { times, minutes });
  return minutes;
}

function minutesOf(moved: Step): number {
  const step = originalStep(moved);
  let minutes = timeOf.get(step);
  if (minutes === undefined) timeOf.set(step, (minutes = minutesOfStep(step)));
  return minutes;
}

function minutesAt(exploration: Exploration, times: readonly number[]): Map<number, MinutesSoFar> {
  const out = exploration.nodes.map((node) =>
    (exploration.out[node.id] ?? [])
      .map((id) => exploration.edges[id] as FlowEdge)
      .filter((edge) => !node.afterRepair && edge.repairs === undefined && exploration.nodes[edge.to]?.step !== undefined));
  const lasts = (edge: FlowEdge): number => (edge.passedOver ? 0 : (times[edge.step] ?? 0));
  const shortest = shortestFrom(out, lasts);
  const longest = longestFrom(out, lasts);
  const minutes = new Map<number, MinutesSoFar>();
  for (const node of exploration.nodes) {
    const short = shortest[node.id];
    if (node.step === undefined || node.passedOver || short === undefined || exploration.program.steps[node.step]?.section !== 'steps') continue;
    const long = longest[node.id];
    const before = minutes.get(node.step);
    minutes.set(node.step, before === undefined
      ? { shortest: short, longest: long }
      : { shortest: Math.min(before.shortest, short), longest: before.longest === undefined || long === undefined ? undefined : Math.max(before.longest, long) });
  }
  return minutes;
}

type Edges = readonly (readonly FlowEdge[])[];
type Length = (edge: FlowEdge) => number;

/**
 * The least sum of lengths from node 0 to each node; undefined where none leads. Nodes are numbered breadth first, so that a round in their
 * order settles nearly all of them.
 */
function shortestFrom(out: Edges, lengthOf: Length): (number | undefined)[] {
  const least: (number | undefined)[] = out.map(() => undefined);
  if (least.length > 0) least[0] = 0;
  for (let changed = true; changed; ) {
    changed = false;
    out.forEach((edges, node) => {
      const here = least[node];
      if (here === undefined) return;
      for (const edge of edges) {
        const length = here + lengthOf(edge);
        if (length >= (least[edge.to] ?? Infinity)) continue;
        least[edge.to] = length;
        changed = changed || edge.to <= node;
      }
    });
  }
  return least;
}

/** The greatest sum of lengths from node 0 to each node; undefined where none leads, and in and behind a circle. */
function longestFrom(out: Edges, lengthOf: Length): (number | undefined)[] {
  const reached = reachedFrom(out);
  const waitsFor = out.map(() => 0);
  for (const node of reached) for (const edge of out[node] ?? []) waitsFor[edge.to] = (waitsFor[edge.to] ?? 0) + 1;
  const greatest: number[] = out.map(() => 0);
  const found: (number | undefined)[] = out.map(() => undefined);
  const ready = out.length > 0 && waitsFor[0] === 0 ? [0] : [];
  for (let node = ready.pop(); node !== undefined; node = ready.pop()) {
    found[node] = greatest[node];
    for (const edge of out[node] ?? []) {
      greatest[edge.to] = Math.max(greatest[edge.to] ?? 0, (greatest[node] ?? 0) + lengthOf(edge));
      const left = (waitsFor[edge.to] ?? 0) - 1;
      waitsFor[edge.to] = left;
      if (left === 0) ready.push(edge.to);
    }
  }
  return found;
}

function reachedFrom(out: Edges): Set<number> {
  const reached = new Set<number>(out.length > 0 ? [0] : []);
  for (const node of reached) for (const edge of out[node] ?? []) reached.add(edge.to);
  return reached;
}
