/** How walks come to a step: from which steps and results, and by which shortest walk. Words and places for hovers and lenses; no protocol. */
import type { Analysis } from '../analysis/analysis.ts';
import type { WitnessStep } from '../findings/finding.ts';
import { walkTo } from '../flow/explore.ts';
import type { Exploration, FlowEdge, FlowNode } from '../flow/explore.ts';
import { witnessOf } from '../flow/walks.ts';
import type { Step } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import { allSteps } from './symbols.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

/** One way of coming to a step. */
export interface Arrival {
  /** Index of the step before. */
  readonly from: number;
  /** What was met there, as the writer put it; absent where the step has no results. */
  readonly result?: string;
  readonly passedOver: boolean;
  /** The fault whose repair lies between. */
  readonly repairs?: string;
  /** Where the text says so: the way on, else the result, else the name of the step before. */
  readonly span: Span;
}

/** Every way in which some walk comes to a step and begins it, in the order of the text. */
export function arrivalsAt({ procedure, exploration }: Analysis, index: number): Arrival[] {
  if (!procedure || !exploration) return [];
  const steps = allSteps(procedure);
  const found = new Map<string, Arrival>();
  for (const node of begunNodes(exploration, index)) {
    for (const id of exploration.into[node.id] ?? []) {
      const edge = exploration.edges[id] as FlowEdge;
      const key = `${edge.step} ${edge.result ?? ''} ${edge.passedOver ? 'over' : ''} ${edge.repairs ?? ''}`;
      if (!found.has(key)) found.set(key, arrivalBy(exploration, steps[edge.step], edge));
    }
  }
  return [...found.values()].sort((a, b) => a.span.start - b.span.start);
}

/** The arrivals in a few words: `listen (motor runs)`, `oil_level, pressure and coil`, `the repair of low_oil`. Undefined where there are none. */
export function arrivalWords(analysis: Analysis, arrivals: readonly Arrival[], words: FeatureWords = ENGLISH): string | undefined {
  const { arrival: said } = words;
  const steps = analysis.procedure ? allSteps(analysis.procedure) : [];
  const nameOf = (from: number): string => steps[from]?.name?.value ?? said.unnamed(from + 1);
  const [first] = arrivals;
  if (!first) return undefined;
  const repairs = [...new Set(arrivals.flatMap((arrival) => arrival.repairs ?? []))];
  const plain = arrivals.filter((arrival) => arrival.repairs === undefined);
  const names = [...new Set(plain.map((arrival) => nameOf(arrival.from)))];
  const [only] = plain;
  const parts = [
    ...(names.length === 1 && plain.length === 1 && only
      ? [`${names[0] ?? ''}${only.passedOver ? ` (${said.passedOver})` : only.result === undefined ? '' : ` (${clipped(only.result)})`}`]
      : names.length > MOST_NAMES ? [said.steps(names.length)] : names),
    ...(repairs.length > 1 ? [said.repairs(repairs.length)] : repairs.map((fault) => said.repair(fault))),
  ];
  return joined(parts, words.and);
}

/** Whether some walk begins the step. */
export function isReached({ exploration }: Analysis, index: number): boolean {
  return exploration !== undefined && (exploration.nodesOfStep[index] ?? []).some((id) => exploration.nodes[id]?.passedOver === false);
}

/** The shortest walk to where a step is begun, that step last; undefined where no walk begins it. */
export function shortestWalkTo({ procedure, exploration }: Analysis, index: number): readonly WitnessStep[] | undefined {
  const node = procedure && exploration && begunNodes(exploration, index)[0];
  return node && witnessOf(procedure, walkTo(exploration, node.id), index);
}

/** Index of the step of this name that a text declares first. */
export function stepIndex({ procedure }: Analysis, name: string): number | undefined {
  const index = procedure ? allSteps(procedure).findIndex((step) => step.name?.value === name) : -1;
  return index < 0 ? undefined : index;
}

/** `a, b and c`. */
export function joined(words: readonly string[], last = 'and'): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1) ?? ''}`;
}

const MOST_NAMES = 3;
const LONGEST_RESULT = 40;

function clipped(result: string): string {
  return result.length > LONGEST_RESULT ? `${result.slice(0, LONGEST_RESULT - 1).trimEnd()}…` : result;
}

/** Nodes at which the step is begun, the nearest to the start first. */
function begunNodes({ nodes, nodesOfStep }: Exploration, index: number): FlowNode[] {
  return (nodesOfStep[index] ?? []).map((id) => nodes[id] as FlowNode).filter((node) => !node.passedOver);
}

function arrivalBy({ program }: Exploration, step: Step | undefined, edge: FlowEdge): Arrival {
  const result = edge.result === undefined || edge.passedOver ? undefined : step?.results[edge.result];
  const way = result?.way;
  return {
    from: edge.step,
    ...(result ? { result: result.when?.text ?? `result ${(edge.result ?? 0) + 1}` } : {}),
    passedOver: edge.passedOver,
    ...(edge.repairs === undefined ? {} : { repairs: program.faults[edge.repairs] ?? '' }),
    span:
      (way?.kind === 'go' ? way.step.span : way?.kind === 'finds' || way?.kind === 'by_elimination' ? way.fault.span : result?.when?.span)
      ?? (edge.passedOver ? undefined : step?.go?.span) ?? step?.name?.span ?? step?.span ?? { start: 0, end: 0 },
  };
}
