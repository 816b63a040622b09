/**
 * Searches over explored walks. A check that asks 'is there a walk on which …' gives a small memory that follows the walk; the search is
 * exact over (node, memory) and breadth first, so that the walk it returns is a shortest one.
 */
import type { WitnessStep } from '../findings/finding.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import type { Exploration, FlowEdge, FlowNode } from './explore.ts';

/** What a walk remembers: a small number or text. */
export type Memory = number | string;

export interface WalkSearch<M extends Memory> {
  readonly start: M;
  /** The memory after an edge; undefined leaves such walks aside. */
  readonly along: (memory: M, edge: FlowEdge, from: FlowNode) => M | undefined;
}

export interface Reached<M extends Memory> {
  readonly node: FlowNode;
  readonly memory: M;
  /** The edges from the start to here. */
  readonly walk: () => FlowEdge[];
}

/** Every (node, memory) that some walk reaches, nearest first. */
export function* reachWithMemory<M extends Memory>(exploration: Exploration, search: WalkSearch<M>): Generator<Reached<M>> {
  const first = exploration.nodes[0];
  if (first === undefined) return;
  // For each memory the nodes reached with it.
  const seen = new Map<M, Set<number>>([[search.start, new Set([first.id])]]);
  const places: { node: FlowNode; memory: M; before: number; edge: FlowEdge | undefined }[] = [
    { node: first, memory: search.start, before: -1, edge: undefined },
  ];
  for (let at = 0; at < places.length; at++) {
    const place = places[at] as (typeof places)[number];
    yield {
      node: place.node,
      memory: place.memory,
      walk: () => {
        const edges: FlowEdge[] = [];
        for (let back = place; back.edge !== undefined; back = places[back.before] as typeof place) edges.push(back.edge);
        return edges.reverse();
      },
    };
    for (const id of exploration.out[place.node.id] ?? []) {
      const edge = exploration.edges[id] as FlowEdge;
      const memory = search.along(place.memory, edge, place.node);
      if (memory === undefined) continue;
      let reached = seen.get(memory);
      if (reached === undefined) seen.set(memory, (reached = new Set()));
      if (reached.has(edge.to)) continue;
      reached.add(edge.to);
      places.push({ node: exploration.nodes[edge.to] as FlowNode, memory, before: at, edge });
    }
  }
}

/** A walk as its steps and the results taken, for people; `last` names the step where it arrives. */
export function witnessOf(procedure: Procedure, walk: readonly FlowEdge[], last?: number): WitnessStep[] {
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const witness = walk.map((edge) => {
    const step = steps[edge.step];
    const result = edge.passedOver ? 'passed over' : edge.result === undefined ? undefined : resultText(step, edge.result);
    return witnessStep(procedure.file, step, edge.step, result);
  });
  if (last !== undefined) witness.push(witnessStep(procedure.file, steps[last], last, undefined));
  return witness;
}

function resultText(step: Step | undefined, index: number): string {
  return step?.results[index]?.when?.text ?? `result ${index + 1}`;
}

function witnessStep(file: string, step: Step | undefined, index: number, result: string | undefined): WitnessStep {
  return {
    step: step?.name?.value ?? `step ${index + 1}`,
    ...(result === undefined ? {} : { result }),
    ...(step?.name ? { place: { file, span: step.name.span } } : {}),
  };
}
