/** Where hazards arise: from what a step holds, sets, reads, uses and says, and from the states and circuits it meets. */
import type { Circuit, Hazard, HazardTriggers, Procedure, Prose, StateCondition, Step } from '../procedure/model.ts';
import type { Declared, Scope } from '../procedure/scope.ts';
import { compareRational } from '../quantity/rational.ts';
import type { Span } from '../text/span.ts';
import type { Exploration, FlowNode } from './explore.ts';
import { isAlternating, nodesUnproved } from './isolation.ts';
import { circuitDead, statesDuring } from './meaning.ts';
import type { ProgramStep } from './program.ts';
import { findPhrase, indexPhrases, listsPerhapsIn, placeAskedFor, type PhraseIndex } from './words.ts';

export interface HazardAt {
  readonly hazard: Hazard;
  readonly step: number;
  /** Why it arises: 'the step holds control at raise'. */
  readonly cause: string;
  /** The words, state or quantity that raise it. */
  readonly span: Span;
  /** The nodes of the step at which it arises; undefined: at all of them. */
  readonly nodes: readonly number[] | undefined;
}

/** Every hazard at every step, one entry each, in the order of the steps. A step that is never begun raises none. */
export function hazardsOf(procedure: Procedure, scope: Scope, exploration: Exploration): HazardAt[] {
  const found: HazardAt[] = [];
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const unproved = new Map<number, ReadonlySet<number>>();
  const unprovedNodes = (circuit: number): ReadonlySet<number> => {
    let nodes = unproved.get(circuit);
    if (nodes === undefined) {
      nodes = new Set(nodesUnproved(exploration, procedure, circuit, scope.circuits).keys());
      unproved.set(circuit, nodes);
    }
    return nodes;
  };
  steps.forEach((step, index) => {
    const begun = (exploration.nodesOfStep[index] ?? []).map((id) => exploration.nodes[id] as FlowNode).filter((node) => !node.passedOver);
    if (begun.length === 0) return;
    const said = hazardsPerhapsSaid(step, scope);
    let place = 0;
    for (const declared of scope.hazards.values()) {
      const at = hazardAt(declared, step, said.has(place++), index, begun, scope, exploration, unprovedNodes);
      if (at) found.push(at);
    }
  });
  return found;
}

const phrasesKnown = new WeakMap<Scope['hazards'], PhraseIndex>();

/** Places, in the order of the scope, of the hazards whose words the step may say; the words of most hazards are far from most steps. */
function hazardsPerhapsSaid(step: Step, scope: Scope): ReadonlySet<number> {
  let index = phrasesKnown.get(scope.hazards);
  if (index === undefined) {
    index = indexPhrases([...scope.hazards.values()].map(({ item }) => item.arisesFrom.words.map((phrase) => phrase.value)));
    phrasesKnown.set(scope.hazards, index);
  }
  return listsPerhapsIn(index, textsThatRaise(step).map((text) => text.value));
}

/** The texts whose words may raise a hazard, in the order in which they are looked at. */
function textsThatRaise(step: Step): Prose[] {
  return [...step.actions, step.question, step.text, step.title].filter((text) => text !== undefined);
}

function hazardAt(
  declared: Declared<Hazard>, step: Step, perhapsSaid: boolean, index: number, begun: readonly FlowNode[], scope: Scope, exploration: Exploration,
  unprovedNodes: (circuit: number) => ReadonlySet<number>,
): HazardAt | undefined {
  const hazard = declared.item;
  const at = (cause: string, span: Span, nodes?: readonly number[]): HazardAt => ({ hazard, step: index, cause, span, nodes });
  const named = step.hazards.find((name) => name.value === hazard.name.value);
  if (named) return at('the step names it', named.span);
  const { arisesFrom } = hazard;
  const ofStep = fromStepAlone(arisesFrom, step, perhapsSaid);
  if (ofStep) return at(ofStep.cause, ofStep.span);
  const programStep = exploration.program.steps[index] as ProgramStep;
  const byVoltage = fromVoltage(arisesFrom, step, programStep, begun, scope, exploration, unprovedNodes);
  if (byVoltage) return at(byVoltage.cause, byVoltage.span, byVoltage.nodes);
  for (const alternative of arisesFrom.states) {
    const nodes = begun.filter((node) => alternativeHolds(alternative, exploration, programStep, node)).map((node) => node.id);
    if (nodes.length > 0) {
      return at(`${conditionText(alternative)} at this step`, step.name?.span ?? step.span, nodes.length === begun.length ? undefined : nodes);
    }
  }
  return undefined;
}

/** The hazards that a step raises by itself, each with its cause and the number of the text that raises it: what an edit of texts may alter. */
export function hazardsOfStepAlone(step: Step, scope: Scope): readonly string[] {
  let known = aloneKnown.get(scope.hazards);
  if (known === undefined) aloneKnown.set(scope.hazards, (known = new WeakMap<Step, readonly string[]>()));
  let found = known.get(step);
  if (found === undefined) {
    const texts = textsThatRaise(step);
    const said = hazardsPerhapsSaid(step, scope);
    found = [...scope.hazards.values()].flatMap(({ item }, place) => {
      const raised = fromStepAlone(item.arisesFrom, step, said.has(place));
      return raised ? [`${item.name.value}|${raised.cause}|${texts.findIndex((text) => text.span === raised.span)}`] : [];
    });
    known.set(step, found);
  }
  return found;
}

const aloneKnown = new WeakMap<Scope['hazards'], WeakMap<Step, readonly string[]>>();

function fromStepAlone(triggers: HazardTriggers, step: Step, perhapsSaid: boolean): { cause: string; span: Span } | undefined {
  for (const alternative of triggers.during) {
    const met = alternative.length > 0 && alternative.every((wanted) => step.during.some((held) => overlaps(wanted, held)));
    if (met) return { cause: `the step holds ${conditionText(alternative, step.during)}`, span: step.during[0]?.span ?? step.span };
  }
  const brought = triggers.sets.length === 0 ? [] : [step.sets, ...step.results.map((result) => [...step.sets, ...result.sets])];
  for (const alternative of triggers.sets) {
    const by = alternative.length === 0 ? undefined : brought.find((sets) => alternative.every((wanted) => sets.some((set) => overlaps(wanted, set))));
    const culprit = by?.find((set) => overlaps(alternative[0] as StateCondition, set));
    if (culprit) return { cause: `the step brings ${conditionText(alternative, by)}`, span: culprit.span };
  }
  const { quantity } = step;
  if (step.kind === 'measure' && quantity && triggers.quantities.some((name) => name.value === quantity.value)) {
    return { cause: `the step reads ${words(quantity.value)}`, span: quantity.span };
  }
  for (const tool of triggers.tools) {
    if (step.instrument?.value === tool.value) return { cause: `the step uses ${words(tool.value)}`, span: step.instrument.span };
    const used = step.tools.find((text) => findPhrase(text.value, words(tool.value)) !== undefined || text.value === tool.value);
    if (used) return { cause: `the step uses ${words(tool.value)}`, span: used.span };
  }
  if (!perhapsSaid) return undefined;
  const texts = textsThatRaise(step);
  for (const phrase of triggers.words) {
    for (const text of texts) {
      const said = placeAskedFor(text.value, phrase.value);
      if (said) return { cause: `the step says '${text.value.slice(said.start, said.end).replace(/\s+/gu, ' ')}'`, span: text.span };
    }
  }
  return undefined;
}

/** A step on a circuit above the voltage, unless the circuit is dead there and every walk has proved it. */
function fromVoltage(
  triggers: HazardTriggers, step: Step, programStep: ProgramStep, begun: readonly FlowNode[], scope: Scope, exploration: Exploration,
  unprovedNodes: (circuit: number) => ReadonlySet<number>,
): { cause: string; span: Span; nodes: readonly number[] | undefined } | undefined {
  const index = programStep.circuit ?? programStep.provesDead;
  const name = step.circuit ?? step.provesDead;
  const program = index === undefined ? undefined : exploration.program.circuits[index];
  const circuit = name && scope.circuits.get(name.value)?.item;
  if (index === undefined || program === undefined || circuit === undefined || name === undefined || !isAbove(triggers, circuit)) return undefined;
  const unproved = unprovedNodes(index);
  const nodes = begun
    .filter((node) => circuitDead(program, statesDuring(programStep, node.begun)) !== 'yes' || unproved.has(node.id))
    .map((node) => node.id);
  if (nodes.length === 0) return undefined;
  const voltage = circuit.nominal?.value.text ?? '';
  return {
    cause: `the circuit ${words(name.value)} (${voltage}) is not proved dead here`,
    span: name.span,
    nodes: nodes.length === begun.length ? undefined : nodes,
  };
}

function isAbove(triggers: HazardTriggers, circuit: Circuit): boolean {
  const limit = isAlternating(circuit) ? triggers.acAbove : triggers.dcAbove;
  return limit !== undefined && circuit.nominal !== undefined && compareRational(circuit.nominal.value.base, limit.value.base) > 0;
}

function alternativeHolds(alternative: readonly StateCondition[], exploration: Exploration, step: ProgramStep, node: FlowNode): boolean {
  const { states } = exploration.program;
  const vector = statesDuring(step, node.begun);
  return (
    alternative.length > 0 &&
    alternative.every((wanted) => {
      const index = states.findIndex((state) => state.name === wanted.state.value);
      const state = states[index];
      return state !== undefined && wanted.values.some((value) => ((vector[index] ?? 0) >> state.values.indexOf(value.value)) & 1);
    })
  );
}

function overlaps(wanted: StateCondition, given: StateCondition): boolean {
  return wanted.state.value === given.state.value && given.values.some((value) => wanted.values.some((other) => other.value === value.value));
}

/** 'control at raise', with the value that the step gives where there are several. */
function conditionText(wanted: readonly StateCondition[], given: readonly StateCondition[] = []): string {
  return wanted
    .map((condition) => {
      const own = given.find((other) => overlaps(condition, other));
      const values = (own ?? condition).values.map((value) => words(value.value)).join(' or ');
      return own || given.length > 0 ? `${words(condition.state.value)} to ${values}` : `${words(condition.state.value)} is ${values}`;
    })
    .join(' and ');
}

function words(name: string): string {
  return name.replaceAll('_', ' ');
}
