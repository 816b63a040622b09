/**
 * What a person who follows the procedure now meets otherwise: states, dead circuits, proofs, hazards, findings and endings over all walks of
 * both texts. A sentence says what the walks show, never what a line of text does.
 */
import { walkTo, type Exploration, type FlowNode } from '../flow/explore.ts';
import { hazardsOf } from '../flow/hazards.ts';
import { isHazardous, nodesUnproved } from '../flow/isolation.ts';
import { circuitDead, statesDuring, valuesIn } from '../flow/meaning.ts';
import type { ProgramStep } from '../flow/program.ts';
import { witnessOf } from '../flow/walks.ts';
import type { Procedure } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import type { Effect } from './change.ts';
import { listed, spoken } from './loss.ts';

/** One of the two texts, with all its walks. */
export interface Walked {
  readonly procedure: Procedure;
  readonly scope: Scope;
  readonly exploration: Exploration;
}

/** `nameBefore` gives for the name of a step the one it had; undefined for a step that is new. */
export function compareWalks(before: Walked, after: Walked, nameBefore: (name: string) => string | undefined): Effect[] {
  const pairs = stepPairs(before, after, nameBefore);
  return [
    ...deadCircuits(before, after, pairs), ...proofs(before, after, pairs), ...hazards(before, after, pairs), ...statesAtSteps(before, after, pairs),
    ...statesAtEndings(before, after), ...reach(before, after, pairs), ...faultsFound(before, after),
  ];
}

interface StepPair {
  readonly was: ProgramStep;
  readonly is: ProgramStep;
}

function stepPairs(before: Walked, after: Walked, nameBefore: (name: string) => string | undefined): StepPair[] {
  const byName = new Map(before.exploration.program.steps.map((step) => [step.name, step]));
  return after.exploration.program.steps.flatMap((is) => {
    const was = byName.get(nameBefore(is.name) ?? '');
    return was === undefined ? [] : [{ was, is }];
  });
}

/** The nodes at which a step is begun. */
function begun({ exploration }: Walked, step: ProgramStep): FlowNode[] {
  return (exploration.nodesOfStep[step.index] ?? []).map((id) => exploration.nodes[id] as FlowNode).filter((node) => !node.passedOver);
}

function witness({ procedure, exploration }: Walked, node: FlowNode): Pick<Effect, 'witness'> {
  return { witness: witnessOf(procedure, walkTo(exploration, node.id), node.step) };
}

/** Where a step of the later text is named. */
function place({ procedure }: Walked, step: ProgramStep): Pick<Effect, 'span'> {
  const written = [...procedure.steps, ...procedure.afterRepair][step.index];
  return written === undefined ? {} : { span: written.name?.span ?? written.span };
}

function deadCircuits(before: Walked, after: Walked, pairs: readonly StepPair[]): Effect[] {
  const notDead = (walked: Walked, step: ProgramStep): FlowNode | undefined => {
    const circuit = step.circuit === undefined ? undefined : walked.exploration.program.circuits[step.circuit];
    return circuit && begun(walked, step).find((node) => circuitDead(circuit, statesDuring(step, node.begun)) !== 'yes');
  };
  return pairs.flatMap(({ was, is }): Effect[] => {
    const circuit = circuitName(after, is);
    if (circuit === undefined || circuit !== circuitName(before, was) || begun(before, was).length === 0 || begun(after, is).length === 0) return [];
    const [a, b] = [notDead(before, was), notDead(after, is)];
    if (a === undefined && b !== undefined) return [{ kind: 'risk', message: `The circuit ${spoken(circuit)} was dead on every walk to '${is.name}'. Now it is not.`, ...witness(after, b), ...place(after, is) }];
    if (a !== undefined && b === undefined) return [{ kind: 'gain', message: `The circuit ${spoken(circuit)} is now dead on every walk to '${is.name}'.`, ...place(after, is) }];
    return [];
  });
}

function proofs(before: Walked, after: Walked, pairs: readonly StepPair[]): Effect[] {
  const unproved = (walked: Walked): ((step: ProgramStep) => FlowNode | undefined) => {
    const known = new Map<number, ReadonlySet<number>>();
    return (step) => {
      const declared = walked.scope.circuits.get(circuitName(walked, step) ?? '')?.item;
      if (step.circuit === undefined || declared === undefined || !isHazardous(declared) || step.provesDead !== undefined) return undefined;
      let nodes = known.get(step.circuit);
      if (nodes === undefined) known.set(step.circuit, (nodes = new Set(nodesUnproved(walked.exploration, walked.procedure, step.circuit, walked.scope.circuits).keys())));
      const open = nodes;
      return begun(walked, step).find((node) => open.has(node.id));
    };
  };
  const [wasUnproved, isUnproved] = [unproved(before), unproved(after)];
  return pairs.flatMap(({ was, is }): Effect[] => {
    const circuit = circuitName(after, is);
    if (circuit === undefined || circuit !== circuitName(before, was) || was.provesDead !== undefined || is.provesDead !== undefined) return [];
    const [a, b] = [wasUnproved(was), isUnproved(is)];
    if (a === undefined && b !== undefined && begun(before, was).length > 0) return [{ kind: 'risk', message: `'${is.name}' can now be reached without proof that ${spoken(circuit)} is dead.`, ...witness(after, b), ...place(after, is) }];
    if (a !== undefined && b === undefined && begun(after, is).length > 0) return [{ kind: 'gain', message: `Every walk to '${is.name}' now proves that ${spoken(circuit)} is dead.`, ...place(after, is) }];
    return [];
  });
}

function hazards(before: Walked, after: Walked, pairs: readonly StepPair[]): Effect[] {
  const byStep = ({ procedure, scope, exploration }: Walked): Map<number, Map<string, { readonly title: string; readonly cause: string }>> => {
    const found = new Map<number, Map<string, { title: string; cause: string }>>();
    for (const { hazard, step, cause } of hazardsOf(procedure, scope, exploration)) {
      let here = found.get(step);
      if (here === undefined) found.set(step, (here = new Map<string, { title: string; cause: string }>()));
      here.set(hazard.name.value, { title: inSentence(hazard.title?.value ?? spoken(hazard.name.value)), cause });
    }
    return found;
  };
  const [was, is] = [byStep(before), byStep(after)];
  return pairs.flatMap((pair): Effect[] => {
    const [a, b] = [was.get(pair.was.index), is.get(pair.is.index)];
    const arisen = [...(b ?? [])].filter(([name]) => a?.has(name) !== true);
    const gone = [...(a ?? [])].filter(([name]) => b?.has(name) !== true);
    return [
      ...arisen.map(([, { title, cause }]): Effect => ({ kind: 'other', message: `A hazard arises at '${pair.is.name}' that did not before: ${title}. The reason: ${cause}.`, ...place(after, pair.is) })),
      ...gone.map(([, { title, cause }]): Effect => ({ kind: 'other', message: `A hazard is no longer seen at '${pair.is.name}': ${title}. It arose because ${cause}. If only the words have changed, name it under \`hazards\`.`, ...place(after, pair.is) })),
    ];
  });
}

/** Values of states in which a step can now be done and could not before, and the reverse; steps that differ alike are named together. */
function statesAtSteps(before: Walked, after: Walked, pairs: readonly StepPair[]): Effect[] {
  const groups = new Map<string, { readonly state: string; readonly value: string; readonly now: boolean; readonly steps: string[]; readonly effect: Pick<Effect, 'witness' | 'witnessIsBefore' | 'span'> }>();
  for (const { was, is } of pairs) {
    const [a, b] = [valuesAt(before, begun(before, was)), valuesAt(after, begun(after, is))];
    for (const [state, values] of b) {
      const earlier = a.get(state);
      if (earlier === undefined) continue;
      const note = (value: string, node: FlowNode, now: boolean): void => {
        const key = `${state}\0${value}\0${now}`;
        const group = groups.get(key);
        if (group) group.steps.push(is.name);
        else groups.set(key, { state, value, now, steps: [is.name], effect: { ...place(after, is), ...(now ? witness(after, node) : { ...witness(before, node), witnessIsBefore: true }) } });
      };
      for (const [value, node] of values) if (!earlier.has(value)) note(value, node, true);
      for (const [value, node] of earlier) if (!values.has(value)) note(value, node, false);
    }
  }
  return [...groups.values()].map(({ state, value, now, steps, effect }) => ({
    kind: 'other', message: `${listed(steps)} ${steps.length === 1 ? 'is' : 'are'} ${now ? 'now also' : 'no longer'} done with ${spoken(state)} ${spoken(value)}.`, ...effect,
  }));
}

/** State → value → a node at which it may have it. */
function valuesAt({ exploration }: Walked, nodes: readonly FlowNode[]): Map<string, Map<string, FlowNode>> {
  const found = new Map<string, Map<string, FlowNode>>();
  exploration.program.states.forEach((state, index) => {
    const values = new Map<string, FlowNode>();
    for (const node of nodes) {
      for (const value of valuesIn(node.begun[index] ?? 0)) {
        const name = state.values[value];
        if (name !== undefined && !values.has(name)) values.set(name, node);
      }
    }
    if (values.size > 0) found.set(state.name, values);
  });
  return found;
}

function statesAtEndings(before: Walked, after: Walked): Effect[] {
  const endings = (walked: Walked): FlowNode[] => walked.exploration.nodes.filter((node) => node.ending !== undefined && node.ending.kind !== 'nowhere');
  const [was, is] = [valuesAt(before, endings(before)), valuesAt(after, endings(after))];
  return [...is].flatMap(([state, values]) => [...values].flatMap(([value, node]): Effect[] => {
    const earlier = was.get(state);
    return earlier === undefined || earlier.has(value) ? [] : [{ kind: 'other', message: `The procedure can now end with ${spoken(state)} ${spoken(value)}.`, ...witness(after, node) }];
  }));
}

function reach(before: Walked, after: Walked, pairs: readonly StepPair[]): Effect[] {
  return pairs.flatMap(({ was, is }): Effect[] => {
    const [a, b] = [begun(before, was)[0], begun(after, is)[0]];
    if (a !== undefined && b === undefined) return [{ kind: 'other', message: `No walk does '${is.name}' any longer.`, ...witness(before, a), witnessIsBefore: true, ...place(after, is) }];
    if (a === undefined && b !== undefined) return [{ kind: 'other', message: `'${is.name}' is now done; no walk did it before.`, ...witness(after, b), ...place(after, is) }];
    return [];
  });
}

function faultsFound(before: Walked, after: Walked): Effect[] {
  const [was, is] = [findings(before), findings(after)];
  return [
    ...[...was].filter(([fault]) => !is.has(fault)).map(([fault, node]): Effect => ({ kind: 'other', message: `No walk finds ${spoken(fault)} any longer.`, ...witness(before, node), witnessIsBefore: true })),
    ...[...is].filter(([fault]) => !was.has(fault)).map(([fault, node]): Effect => ({ kind: 'other', message: `A walk now finds ${spoken(fault)}; none did before.`, ...witness(after, node) })),
  ];
}

/** Fault → the node from which a shortest walk finds it. */
function findings({ exploration }: Walked): Map<string, FlowNode> {
  const found = new Map<string, FlowNode>();
  const note = (fault: number | undefined, node: FlowNode): void => {
    const name = fault === undefined ? undefined : exploration.program.faults[fault];
    if (name !== undefined && !found.has(name)) found.set(name, node);
  };
  for (const node of exploration.nodes) if (node.ending?.kind === 'finds') note(node.ending.fault, node);
  for (const edge of exploration.edges) {
    note(edge.repairs, exploration.nodes[edge.from] as FlowNode);
    const result = edge.result === undefined ? undefined : exploration.program.steps[edge.step]?.results[edge.result];
    note(result?.raises, exploration.nodes[edge.from] as FlowNode);
  }
  return found;
}

function circuitName({ exploration }: Walked, step: ProgramStep): string | undefined {
  return step.circuit === undefined ? undefined : exploration.program.circuits[step.circuit]?.name;
}

function inSentence(title: string): string {
  return /^\p{Lu}(?!\p{Lu})/u.test(title) ? title.charAt(0).toLowerCase() + title.slice(1) : title;
}
