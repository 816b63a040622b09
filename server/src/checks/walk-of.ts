/** What checks share when they report on a step: its place, name and the walk that leads there. */
import { walkTo, type FlowEdge, type FlowNode } from '../flow/explore.ts';
import { witnessOf } from '../flow/walks.ts';
import type { Report } from '../findings/finding.ts';
import type { Step } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import { allSteps, type CheckContext } from './check.ts';

/** The step's name as a span, or its whole item. */
export function placeOf(step: Step): Span {
  return step.name?.span ?? step.span;
}

export function nameOf(step: Step): string {
  return step.name?.value ?? 'this step';
}

/** The shortest walk to a node, the step of the node last. */
export function walkToNode(context: CheckContext, node: FlowNode): Pick<Report, 'witness' | 'approximate'> {
  return asWitness(context, walkTo(context.exploration, node.id), node.step);
}

/** A walk as a witness, with the mark of an exploration that was cut short. */
export function asWitness(context: CheckContext, walk: readonly FlowEdge[], last?: number): Pick<Report, 'witness' | 'approximate'> {
  return {
    witness: witnessOf(context.procedure, walk, last),
    ...(context.exploration.approximate ? { approximate: true } : {}),
  };
}

export interface BegunStep {
  readonly step: Step;
  readonly index: number;
  readonly nodes: readonly FlowNode[];
}

/** Steps with their nodes that are begun on some walk. */
export function begunSteps(context: CheckContext): readonly BegunStep[] {
  return context.once(gatherBegunSteps);
}

function gatherBegunSteps({ procedure, exploration: { nodes, nodesOfStep } }: CheckContext): BegunStep[] {
  const found: BegunStep[] = [];
  allSteps(procedure).forEach((step, index) => {
    const begun = (nodesOfStep[index] ?? []).map((id) => nodes[id] as FlowNode).filter((node) => !node.passedOver);
    if (begun.length > 0) found.push({ step, index, nodes: begun });
  });
  return found;
}

/** Whether the text names a step or fault that does not exist: walks are then cut where the writer meant them to go on. */
export function hasBrokenWay(context: CheckContext): boolean {
  return context.program.steps.some((step) =>
    [step.way, ...step.results.map((result) => result.way)].some((way) => way.kind === 'nowhere' && way.broken === true),
  );
}
