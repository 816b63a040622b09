/**
 * Which faults are still possible along each walk of the first search. A place here is (node, set of faults); where a set empties, the
 * diagnosis of that walk stops and the emptying is kept. Past the cap it gives up and says so.
 */
import { allFaults, faultsAfter } from './meaning.ts';
import type { Exploration, FlowEdge, FlowNode } from './explore.ts';

export interface FaultPlace {
  readonly node: FlowNode;
  readonly possible: bigint;
  /** Index of the place before, and the edge from it; undefined at the start. */
  readonly before: number | undefined;
  readonly edge: FlowEdge | undefined;
}

/** A result taken with faults still possible before it. */
export interface FaultMove {
  readonly from: number;
  readonly edge: FlowEdge;
  /** The set after the result's own `leaves` and `rules_out`. */
  readonly after: bigint;
}

export interface PossibleFaults {
  readonly places: readonly FaultPlace[];
  /** Every result taken at every place. */
  readonly moves: readonly FaultMove[];
  /** True where the cap cut it short: what it holds is real, but not all. */
  readonly incomplete: boolean;
}

const MAX_PLACES = 150_000;

export function possibleFaults(exploration: Exploration): PossibleFaults {
  const { program } = exploration;
  const places: FaultPlace[] = [];
  const moves: FaultMove[] = [];
  const seen = new Set<string>();
  const arrive = (place: FaultPlace): void => {
    const key = `${place.node.id}|${place.possible}`;
    if (seen.has(key)) return;
    seen.add(key);
    places.push(place);
  };
  const first = exploration.nodes[0];
  if (first) arrive({ node: first, possible: allFaults(program), before: undefined, edge: undefined });
  for (let at = 0; at < places.length; at++) {
    if (places.length > MAX_PLACES) return { places, moves, incomplete: true };
    const place = places[at] as FaultPlace;
    for (const id of exploration.out[place.node.id] ?? []) {
      const edge = exploration.edges[id] as FlowEdge;
      const result = edge.result === undefined ? undefined : program.steps[edge.step]?.results[edge.result];
      const after = result ? faultsAfter(place.possible, result) : place.possible;
      moves.push({ from: at, edge, after });
      const to = exploration.nodes[edge.to] as FlowNode;
      const emptied = after === 0n && place.possible !== 0n;
      if (edge.repairs !== undefined || to.afterRepair || to.ending !== undefined || emptied) continue;
      arrive({ node: to, possible: after, before: at, edge });
    }
  }
  return { places, moves, incomplete: false };
}

/** The edges from the start to a place. */
export function walkToPlace(faults: PossibleFaults, index: number): FlowEdge[] {
  const walk: FlowEdge[] = [];
  let place = faults.places[index];
  while (place?.edge !== undefined && place.before !== undefined) {
    walk.push(place.edge);
    place = faults.places[place.before];
  }
  return walk.reverse();
}

/** The indexes of the faults in a set. */
export function faultsIn(set: bigint): number[] {
  const found: number[] = [];
  for (let fault = 0; set >> BigInt(fault) !== 0n; fault++) if ((set >> BigInt(fault)) & 1n) found.push(fault);
  return found;
}
