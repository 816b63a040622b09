/** Where hazards arise: from what a step holds, sets, reads, uses and says, and from the states and circuits it meets. */
import type { Circuit, Hazard, HazardTriggers, Procedure, Prose, StateCondition, Step } from '../procedure/model.ts';
import type { Declared, Scope } from '../procedure/scope.ts';
import { compareRational } from '../quantity/rational.ts';
import type { Span } from '../text/span.ts';
import type { Exploration, FlowNode } from './explore.ts';
import { isAlternating, nodesUnproved, voltageExpected } from './isolation.ts';
import { circuitDead, statesDuring, type StateVector } from './meaning.ts';
import type { Program, ProgramStep } from './program.ts';
import { findPhrase, indexPhrases, inSmallLetters, listsPerhapsIn, perhapsSays, placeAskedFor, type PhraseIndex } from './words.ts';

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
  const declared = [...scope.hazards.values()];
  const index = triggerIndexOf(scope.hazards);
  const broughtBy = declared.map(({ item }) => item.arisesFrom.states.flatMap((alternative) => inProgram(alternative, exploration.program.states) ?? []));
  steps.forEach((step, stepIndex) => {
    const begun = (exploration.nodesOfStep[stepIndex] ?? []).map((id) => exploration.nodes[id] as FlowNode).filter((node) => !node.passedOver);
    if (begun.length === 0) return;
    const said = listsPerhapsIn(index.phrases, textsThatRaise(step).map((text) => text.value));
    const places = placesPerhapsRaised(index, step, said);
    declared.forEach((hazard, place) => {
      const states = broughtBy[place] ?? [];
      if (states.length === 0 && !places.has(place)) return;
      const at = hazardAt(hazard, step, said.has(place), stepIndex, begun, states, scope, exploration, unprovedNodes);
      if (at) found.push(at);
    });
  });
  return found;
}

/** The hazards of a scope by what raises them; each is known by its place in the scope. */
interface TriggerIndex {
  readonly phrases: PhraseIndex;
  readonly byName: ReadonlyMap<string, number>;
  /** By a state that a step holds or sets, and by a quantity that it reads. */
  readonly byState: ReadonlyMap<string, readonly number[]>;
  readonly byQuantity: ReadonlyMap<string, readonly number[]>;
  /** Raised by tools, and by the voltage of a circuit. */
  readonly byTool: readonly number[];
  readonly byVoltage: readonly number[];
}

const triggersKnown = new WeakMap<Scope['hazards'], TriggerIndex>();

function triggerIndexOf(hazards: Scope['hazards']): TriggerIndex {
  let index = triggersKnown.get(hazards);
  if (index === undefined) triggersKnown.set(hazards, (index = indexTriggers([...hazards.values()].map(({ item }) => item))));
  return index;
}

function indexTriggers(hazards: readonly Hazard[]): TriggerIndex {
  const places = (raises: (triggers: HazardTriggers) => boolean): number[] => hazards.flatMap(({ arisesFrom }, place) => (raises(arisesFrom) ? [place] : []));
  const byWord = (words: (triggers: HazardTriggers) => readonly string[]): Map<string, number[]> => {
    const found = new Map<string, number[]>();
    hazards.forEach(({ arisesFrom }, place) => {
      for (const word of words(arisesFrom)) found.set(word, [...(found.get(word) ?? []), place]);
    });
    return found;
  };
  return {
    phrases: indexPhrases(hazards.map(({ arisesFrom }) => arisesFrom.words.map((phrase) => phrase.value))),
    byName: new Map(hazards.map(({ name }, place) => [name.value, place])),
    byState: byWord(({ during, sets, states }) => [...during, ...sets, ...states].flat().map(({ state }) => state.value)),
    byQuantity: byWord(({ quantities }) => quantities.map((name) => name.value)),
    byTool: places(({ tools }) => tools.length > 0),
    byVoltage: places(({ acAbove, dcAbove }) => acAbove !== undefined || dcAbove !== undefined),
  };
}

/** The hazards that a step may raise by what it names, holds, sets, reads, uses and says; of all others it surely raises none so. */
function placesPerhapsRaised(index: TriggerIndex, step: Step, said: ReadonlySet<number>): ReadonlySet<number> {
  const places = new Set(said);
  const add = (more: readonly number[] | undefined): void => more?.forEach((place) => places.add(place));
  for (const { value } of step.hazards) {
    const named = index.byName.get(value);
    if (named !== undefined) places.add(named);
  }
  for (const { state } of step.during) add(index.byState.get(state.value));
  for (const { state } of step.sets) add(index.byState.get(state.value));
  for (const { sets } of step.results) for (const { state } of sets) add(index.byState.get(state.value));
  if (step.quantity) add(index.byQuantity.get(step.quantity.value));
  if (step.instrument !== undefined || step.tools.length > 0) add(index.byTool);
  if (step.circuit !== undefined || step.provesDead !== undefined || step.quantity !== undefined) add(index.byVoltage);
  return places;
}

/** The texts whose words may raise a hazard, in the order in which they are looked at. Where a result refers on, what it says is work too. */
function textsThatRaise(step: Step): Prose[] {
  const refers = step.results.flatMap(({ way }) => (way.kind === 'refer' ? [way.text] : []));
  return [...step.actions, step.question, step.text, step.title, ...refers].filter((text) => text !== undefined);
}

/** The hazards that the words of one text raise, each with its cause: those of a remedy. */
export function hazardsOfText(text: Prose, scope: Scope): { readonly hazard: Hazard; readonly cause: string }[] {
  const index = triggerIndexOf(scope.hazards);
  const said = listsPerhapsIn(index.phrases, [text.value]);
  return [...scope.hazards.values()].flatMap(({ item: hazard }, place) => {
    const cause = said.has(place) ? saidIn([text], hazard.arisesFrom)?.cause : undefined;
    return cause === undefined ? [] : [{ hazard, cause: cause.replace(/^the step/u, 'it') }];
  });
}

function hazardAt(
  declared: Declared<Hazard>, step: Step, perhapsSaid: boolean, index: number, begun: readonly FlowNode[], states: readonly StatesWanted[], scope: Scope,
  exploration: Exploration, unprovedNodes: (circuit: number) => ReadonlySet<number>,
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
  for (const { alternative, wanted } of states) {
    const nodes = begun.filter((node) => allHold(wanted, statesDuring(programStep, node.begun))).map((node) => node.id);
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
    const index = triggerIndexOf(scope.hazards);
    const said = listsPerhapsIn(index.phrases, texts.map((text) => text.value));
    const places = placesPerhapsRaised(index, step, said);
    found = [...scope.hazards.values()].flatMap(({ item }, place) => {
      if (!places.has(place)) return [];
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
  // What a hazard arises from while it is held or lasts, it arises from in the step that brings it about.
  const alternatives = [...triggers.sets, ...triggers.during, ...triggers.states];
  const brought = alternatives.length === 0 ? [] : [step.sets, ...step.results.map((result) => [...step.sets, ...result.sets])];
  for (const alternative of alternatives) {
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
  return saidIn(textsThatRaise(step), triggers);
}

function saidIn(texts: readonly Prose[], triggers: HazardTriggers): { cause: string; span: Span } | undefined {
  const inSmall = texts.map((text) => inSmallLetters(text.value));
  for (const phrase of triggers.words) {
    for (const [index, text] of texts.entries()) {
      const said = perhapsSays(inSmall[index] ?? '', phrase.value) ? placeAskedFor(text.value, phrase.value) : undefined;
      if (said) return { cause: `the step says '${text.value.slice(said.start, said.end).replace(/\s+/gu, ' ')}'`, span: text.span };
    }
  }
  return undefined;
}

/**
 * A step on a circuit above the voltage, unless the circuit is dead there and every walk has proved it; or a reading on a circuit of which no voltage
 * is known, and which expects one above it.
 */
function fromVoltage(
  triggers: HazardTriggers, step: Step, programStep: ProgramStep, begun: readonly FlowNode[], scope: Scope, exploration: Exploration,
  unprovedNodes: (circuit: number) => ReadonlySet<number>,
): { cause: string; span: Span; nodes: readonly number[] | undefined } | undefined {
  const index = programStep.circuit ?? programStep.provesDead;
  const name = step.circuit ?? step.provesDead;
  const declared = name && scope.circuits.get(name.value)?.item;
  const expected = name === undefined || (declared && declared.nominal === undefined) ? voltageExpected(step) : undefined;
  const limit = expected && (expected.alternating ? triggers.acAbove : triggers.dcAbove);
  if (expected && limit && compareRational(expected.volts, limit.value.base) > 0) {
    return { cause: `the step expects ${expected.text}`, span: expected.span, nodes: undefined };
  }
  const program = index === undefined ? undefined : exploration.program.circuits[index];
  const circuit = declared;
  if (index === undefined || program === undefined || circuit === undefined || name === undefined || !isAbove(triggers, circuit)) return undefined;
  const unproved = unprovedNodes(index);
  const nodes = begun
    .filter((node) => (program.unclear === undefined && circuitDead(program, statesDuring(programStep, node.begun)) !== 'yes') || unproved.has(node.id))
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

/** States that a hazard arises from, as the program numbers them. */
interface StatesWanted {
  readonly alternative: readonly StateCondition[];
  readonly wanted: readonly { readonly state: number; readonly values: number }[];
}

/** Undefined where the program knows nothing of a state: then they never hold. */
function inProgram(alternative: readonly StateCondition[], states: Program['states']): StatesWanted | undefined {
  const wanted: { state: number; values: number }[] = [];
  for (const { state: name, values } of alternative) {
    const index = states.findIndex((state) => state.name === name.value);
    const known = states[index]?.values ?? [];
    const places = values.map((value) => known.indexOf(value.value)).filter((place) => place >= 0);
    if (places.length === 0) return undefined;
    wanted.push({ state: index, values: places.reduce((all, place) => all | (1 << place), 0) });
  }
  return wanted.length === 0 ? undefined : { alternative, wanted };
}

function allHold(wanted: StatesWanted['wanted'], states: StateVector): boolean {
  return wanted.every(({ state, values }) => ((states[state] ?? 0) & values) !== 0);
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
