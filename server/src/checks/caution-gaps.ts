/** Where a hazard arises and some walk has not shown a caution that covers it: the ground of missing-caution and late-caution. */
import type { FlowEdge } from '../flow/explore.ts';
import { hazardsOf, type HazardAt } from '../flow/hazards.ts';
import { reachWithMemory } from '../flow/walks.ts';
import type { Caution, CautionUse, Procedure, Step } from '../procedure/model.ts';
import { allSteps, type CheckContext } from './check.ts';

export interface CautionGap {
  readonly step: number;
  /** The hazards of the step that one caution would cover. */
  readonly hazards: readonly HazardAt[];
  /** The caution of the catalogue or the shop that covers most of them. */
  readonly suggestion: string | undefined;
  /** The walk to the step, without it. */
  readonly walk: readonly FlowEdge[];
  /** The step that gives the caution after the hazard, where that is what happened. */
  readonly late: number | undefined;
}

/** Computed once for each analysis. */
export function cautionGaps(context: CheckContext): CautionGap[] {
  const hazards = context.once(hazardsAtSteps);
  const byHazard = new Map<string, HazardAt[]>();
  for (const at of hazards) {
    const list = byHazard.get(at.hazard.name.value);
    if (list) list.push(at);
    else byHazard.set(at.hazard.name.value, [at]);
  }
  const open: { at: HazardAt; walk: FlowEdge[]; late: number | undefined }[] = [];
  for (const [name, places] of byHazard) {
    const shows = stepsThatShow(context, name);
    for (const gap of gapsOf(context, places, shows)) {
      open.push({ ...gap, late: lateStep(context, gap.at.step, shows) });
    }
  }
  return grouped(context, open);
}

/** The hazards of every step, computed once. */
export function hazardsAtSteps(context: CheckContext): HazardAt[] {
  return hazardsOf(context.procedure, context.scope, context.exploration);
}

/** Every use of a caution, by the steps and the remedies, with the name of what gives it. */
export function* cautionUsesOf(procedure: Procedure): Generator<{ readonly use: CautionUse; readonly owner: string; readonly step: string | undefined }> {
  for (const step of allSteps(procedure)) for (const use of step.cautions) yield { use, owner: step.name?.value ?? '', step: step.name?.value };
  for (const fault of procedure.faults) for (const use of fault.cautions ?? []) yield { use, owner: fault.name.value, step: undefined };
}

/** Every caution in force at a step. */
export function cautionsAt(context: CheckContext, step: Step): Caution[] {
  return step.cautions.flatMap((use) => {
    const caution = use.kind === 'written' ? use.caution : context.scope.cautions.get(use.name.value)?.item;
    return caution ? [caution] : [];
  });
}

/** For each step whether it gives a caution that covers the hazard. */
export function stepsThatShow(context: CheckContext, hazard: string): boolean[] {
  return allSteps(context.procedure).map((step) => showsCover(context, step, hazard));
}

function showsCover(context: CheckContext, step: Step, hazard: string): boolean {
  return cautionsAt(context, step).some((caution) => caution.covers.some((name) => name.value === hazard));
}

/**
 * Walks without the caution, up to the first step that needed it: past that the hazard has been reported, and the walk goes on as if
 * the caution had been shown.
 */
function* gapsOf(context: CheckContext, places: readonly HazardAt[], shows: readonly boolean[]): Generator<{ at: HazardAt; walk: FlowEdge[] }> {
  const { exploration } = context;
  const repeat = places[0]?.hazard.repeat;
  const placeOfStep = new Map(places.map((place) => [place.step, place]));
  const arisesAt = (step: number | undefined, node: number): HazardAt | undefined => {
    const place = step === undefined ? undefined : placeOfStep.get(step);
    return place && (place.nodes === undefined || place.nodes.includes(node)) ? place : undefined;
  };
  if (repeat === 'every_step') {
    for (const place of places) {
      if (shows[place.step]) continue;
      const node = place.nodes?.[0] ?? (exploration.nodesOfStep[place.step] ?? []).find((id) => !exploration.nodes[id]?.passedOver);
      if (node !== undefined) yield { at: place, walk: walkToId(context, node) };
    }
    return;
  }
  const reported = new Set<number>();
  const search = {
    start: 0,
    along: (memory: number, edge: FlowEdge): number | undefined =>
      memory === 1 || edge.passedOver ? memory : shows[edge.step] || arisesAt(edge.step, edge.from) ? undefined : 0,
  };
  for (const { node, walk } of reachWithMemory(exploration, search)) {
    const at = node.passedOver ? undefined : arisesAt(node.step, node.id);
    if (at === undefined || shows[at.step] || reported.has(at.step)) continue;
    reported.add(at.step);
    yield { at, walk: walk() };
  }
}

function walkToId(context: CheckContext, id: number): FlowEdge[] {
  const walk: FlowEdge[] = [];
  const { nodes, edges } = context.exploration;
  for (let via = nodes[id]?.via; via !== undefined; ) {
    const edge = edges[via] as FlowEdge;
    walk.push(edge);
    via = nodes[edge.from]?.via;
  }
  return walk.reverse();
}

/** The first step after the hazard that gives the caution, where none before it does: the warning was there, only too late. */
function lateStep(context: CheckContext, step: number, shows: readonly boolean[]): number | undefined {
  const { nodes, nodesOfStep, out, into, edges } = context.exploration;
  const here = nodesOfStep[step] ?? [];
  const ahead = reached(here, (id) => (out[id] ?? []).map((edge) => edges[edge]?.to ?? id));
  const behind = reached(here, (id) => (into[id] ?? []).map((edge) => edges[edge]?.from ?? id));
  // Loops lead back here: before is what a walk meets on its way from the start to its first arrival.
  const onTheWay = reached([0], (id) => (nodes[id]?.step === step ? [] : (out[id] ?? []).map((edge) => edges[edge]?.to ?? id)));
  const showing = (id: number): boolean => {
    const at = nodes[id]?.step;
    return at !== undefined && at !== step && (shows[at] ?? false);
  };
  if ([...behind].some((id) => onTheWay.has(id) && showing(id))) return undefined;
  const late = [...ahead].find(showing);
  return late === undefined ? undefined : nodes[late]?.step;
}

/** The nodes that can be reached from some, the nearest first. */
function reached(from: readonly number[], follow: (node: number) => readonly number[]): Set<number> {
  const seen = new Set(from);
  for (const id of seen) for (const other of follow(id)) seen.add(other);
  return seen;
}

/** Gaps of one step that one caution would close become one. */
function grouped(context: CheckContext, open: readonly { at: HazardAt; walk: FlowEdge[]; late: number | undefined }[]): CautionGap[] {
  const gaps: CautionGap[] = [];
  const left = [...open].sort((a, b) => a.at.step - b.at.step);
  while (left.length > 0) {
    const { step } = (left[0] as (typeof left)[number]).at;
    const here = left.filter((gap) => gap.at.step === step);
    const suggestion = bestCaution(context, here.map((gap) => gap.at.hazard.name.value));
    const first = here[0] as (typeof left)[number];
    const covered = suggestion ? here.filter((gap) => suggestion.covers.some((name) => name.value === gap.at.hazard.name.value)) : [first];
    gaps.push({
      step,
      hazards: covered.map((gap) => gap.at),
      suggestion: suggestion?.name.value,
      walk: covered[0]?.walk ?? first.walk,
      late: covered[0]?.late,
    });
    for (const gap of covered.length > 0 ? covered : [first]) left.splice(left.indexOf(gap), 1);
  }
  return gaps;
}

/** The caution in scope that covers most of the hazards; the shop's own before the built-in ones, the narrowest first. */
export function bestCaution(context: CheckContext, hazards: readonly string[]): Caution | undefined {
  let best: { caution: Caution; score: number } | undefined;
  for (const { item, origin } of context.scope.cautions.values()) {
    const covers = item.covers.filter((name) => hazards.includes(name.value)).length;
    if (covers === 0) continue;
    const score = covers * 100 + (origin === 'catalogue' ? 0 : 10) - item.covers.length;
    if (best === undefined || score > best.score) best = { caution: item, score };
  }
  return best?.caution;
}
