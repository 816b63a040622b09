/** Hazards of remedies: what puts a fault right is work, and its cautions are shown with it or have been shown on the way to the finding. */
import type { FlowEdge } from '../flow/explore.ts';
import { hazardsOfText } from '../flow/hazards.ts';
import { reachWithMemory } from '../flow/walks.ts';
import type { Caution, CautionUse, Fault, Hazard, Prose } from '../procedure/model.ts';
import { hazardsAtSteps, stepsThatShow } from './caution-gaps.ts';
import type { CheckContext } from './check.ts';

export interface RemedyHazard {
  readonly fault: Fault;
  readonly remedy: Prose;
  readonly hazard: Hazard;
  /** 'it says …'. */
  readonly cause: string;
}

/** Every hazard that the words of a remedy raise. */
export function hazardsOfRemedies({ procedure, scope }: CheckContext): RemedyHazard[] {
  return procedure.faults.flatMap((fault) => {
    const { remedy } = fault;
    return remedy === undefined ? [] : hazardsOfText(remedy, scope).map((raised) => ({ ...raised, fault, remedy }));
  });
}

export interface RemedyGap extends RemedyHazard {
  /** A walk to the finding on which no caution covered it. */
  readonly walk: readonly FlowEdge[];
}

/** Hazards of remedies that no caution of the fault covers, and that some walk to the finding has not been warned of. */
export function remedyGaps(context: CheckContext): RemedyGap[] {
  return context.once(hazardsOfRemedies).flatMap((raised) => {
    const { fault, hazard } = raised;
    const name = hazard.name.value;
    if ((fault.cautions ?? []).some((use) => cautionOf(context, use)?.covers.some((covered) => covered.value === name))) return [];
    const walk = walkUnwarned(context, fault, hazard);
    return walk === undefined ? [] : [{ ...raised, walk }];
  });
}

/** The shortest walk that comes to the fault without a caution that still counts; undefined where there is none. */
function walkUnwarned(context: CheckContext, fault: Fault, hazard: Hazard): FlowEdge[] | undefined {
  const { exploration, procedure, program } = context;
  const name = hazard.name.value;
  const shows = stepsThatShow(context, name);
  // Where it arose before, its caution was shown, or its absence has a finding of its own.
  const arose = new Set(context.once(hazardsAtSteps).filter((at) => at.hazard.name.value === name).map((at) => at.step));
  const warned = (step: number): boolean => (shows[step] ?? false) || arose.has(step);
  const counts = hazard.repeat === 'once_before';
  const index = procedure.faults.indexOf(fault);
  const along = (memory: number, edge: FlowEdge): number => (memory === 1 || edge.passedOver ? memory : counts && warned(edge.step) ? 1 : 0);
  for (const { node, memory, walk } of reachWithMemory(exploration, { start: 0, along })) {
    if (memory === 1) continue;
    for (const id of exploration.out[node.id] ?? []) {
      const edge = exploration.edges[id] as FlowEdge;
      const result = edge.result === undefined ? undefined : program.steps[edge.step]?.results[edge.result];
      const comes = result !== undefined && ((result.way.kind === 'finds' && result.way.fault === index) || result.raises === index);
      if (comes && !edge.passedOver && along(0, edge) === 0) return [...walk(), edge];
    }
  }
  return undefined;
}

function cautionOf(context: CheckContext, use: CautionUse): Caution | undefined {
  return use.kind === 'written' ? use.caution : context.scope.cautions.get(use.name.value)?.item;
}
