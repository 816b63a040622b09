/**
 * What `isolation-not-proved` takes for work on a circuit: readings that need it dead, and instructions and questions that put hands or tools to it.
 * Switching it off, locking it, putting on what protects, and looking from outside are none.
 */
import type { FlowEdge, FlowNode } from '../flow/explore.ts';
import { followProof, isHazardous, nodesUnproved } from '../flow/isolation.ts';
import { circuitDead, statesDuring } from '../flow/meaning.ts';
import type { CircuitIndex, ProgramCircuit, ProgramStep } from '../flow/program.ts';
import { reachWithMemory } from '../flow/walks.ts';
import { placeAskedFor } from '../flow/words.ts';
import type { Circuit, Prose, Step } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import { NEEDS_LIVE } from './circuit-tests.ts';
import { allSteps, type CheckContext } from './check.ts';
import { words } from './edits.ts';
import { asksForLock } from './isolation-proofs.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

/** Steps that work on the circuit and come, on some walk, before a reading has proved it dead. */
export function* workUnproved(context: CheckContext, index: CircuitIndex, circuit: Circuit) {
  const { exploration, program, scope, procedure } = context;
  const steps = allSteps(procedure);
  const known = program.circuits[index];
  if (known === undefined) return;
  const name = circuit.name.value;
  const reported = new Set<number>();
  const isDeadAt = (programStep: ProgramStep, node: FlowNode): boolean => circuitDead(known, statesDuring(programStep, node.begun)) === 'yes';
  const workAt = (node: FlowNode): { readonly span: Span } | undefined => {
    const step = node.step === undefined || node.passedOver ? undefined : steps[node.step];
    const programStep = node.step === undefined ? undefined : program.steps[node.step];
    if (step === undefined || programStep === undefined || programStep.provesDead === index) return undefined;
    if (step.kind === 'do' || step.kind === 'ask') return handsOn(context, step, programStep, index, node.id);
    return testOf(step, programStep, index, isDeadAt(programStep, node));
  };
  // A proof that proves nothing is a mistake of its own, told where it stands; and once work has been told of, the walk goes on as if it had been proved.
  const proof = followProof(exploration, procedure, index, scope.circuits, true);
  const along = (memory: number, edge: FlowEdge): number => {
    const node = exploration.nodes[edge.from] as FlowNode;
    const after = exploration.nodes[edge.to]?.states ?? node.states;
    return proof(memory, edge) === 1 || (memory === 0 && circuitDead(known, node.begun) === 'yes' && circuitDead(known, after) === 'yes' && workAt(node) !== undefined) ? 1 : 0;
  };
  for (const { node, memory, walk: walkHere } of reachWithMemory(exploration, { start: 0, along })) {
    const work = memory === 0 ? workAt(node) : undefined;
    const step = steps[node.step ?? -1];
    const programStep = program.steps[node.step ?? -1];
    if (work === undefined || step === undefined || programStep === undefined || reported.has(programStep.index)) continue;
    reported.add(programStep.index);
    const walk = walkHere();
    const isDead = isDeadAt(programStep, node);
    yield {
      span: work.span,
      step: nameOf(step),
      subject: name,
      message: `'${nameOf(step)}' works on ${words(name)} (${circuit.nominal?.value.text ?? ''}) before a reading has proved it dead.`,
      note: isDead ? 'It was isolated on this walk, and no reading since then shows that it is dead.' : 'It is not isolated on this walk.',
      help: isDead
        ? `Put a voltage reading with \`proves_dead: ${name}\` and a result at or below the limit between the isolation and this step.`
        : `Isolate it, lock it, and put a voltage reading with \`proves_dead: ${name}\` before this step.`,
      ...asWitness(context, walk, node.step),
    };
  }
}

/** A reading on the isolated circuit. One that needs it dead while it is live is told by `live-resistance-test`. */
function testOf(step: Step, programStep: ProgramStep, index: CircuitIndex, isDead: boolean): { readonly span: Span } | undefined {
  if (programStep.circuit !== index || NEEDS_LIVE.has(step.quantity?.value ?? '') || !isDead) return undefined;
  return { span: step.circuit?.span ?? placeOf(step) };
}

/** The words that put hands or tools to the circuit; undefined where the step does nothing of the kind. */
function handsOn(context: CheckContext, step: Step, programStep: ProgramStep, index: CircuitIndex, node: number): { readonly span: Span } | undefined {
  const known = context.program.circuits[index] as ProgramCircuit;
  if (programStep.circuit !== undefined && programStep.circuit !== index) return undefined;
  if (switches(programStep, known)) return undefined;
  const { onIt, onLiveParts } = workSaid(step);
  if (programStep.circuit === index) return onIt && { span: step.circuit?.span ?? onIt.span };
  return onLiveParts !== undefined && !provedElsewhere(context, index, node) ? { span: onLiveParts.span } : undefined;
}

interface WorkSaid {
  /** The first text that puts hands or tools to whatever the step is about. */
  readonly onIt: Prose | undefined;
  /** The first text that puts them to parts of a hazardous voltage. */
  readonly onLiveParts: Prose | undefined;
}

const workKnown = new WeakMap<Step, WorkSaid>();

function workSaid(step: Step): WorkSaid {
  let work = workKnown.get(step);
  if (work === undefined) {
    const texts = textsOf(step);
    work = {
      onIt: texts.find((text) => PUTS_HANDS_TO.some((phrase) => isWork(text, phrase))),
      onLiveParts: texts.find((text) => LIVE_PARTS.some((phrase) => isWork(text, phrase)) || (NAMES_LIVE_PART.test(text.value) && BY_HAND.some((phrase) => isWork(text, phrase)))),
    };
    workKnown.set(step, work);
  }
  return work;
}

function textsOf(step: Step): Prose[] {
  return [...step.actions, step.question, step.text, step.title].filter((text) => text !== undefined);
}

/** Which texts of a step are work, and whether it asks for a lock: what an edit of texts may alter. */
export function electricalWorkIn(context: CheckContext, step: Step): string {
  const isConcerned = context.program.circuits.some(({ name }) => {
    const circuit = context.scope.circuits.get(name)?.item;
    return circuit !== undefined && isHazardous(circuit);
  });
  if (!isConcerned) return '';
  const texts = textsOf(step);
  const place = (text: Prose | undefined): number => (text === undefined ? -1 : texts.indexOf(text));
  const { onIt, onLiveParts } = step.kind === 'do' || step.kind === 'ask' ? workSaid(step) : { onIt: undefined, onLiveParts: undefined };
  return `${place(onIt)} ${place(onLiveParts)} ${asksForLock(step) ? 'locks' : ''}`;
}

/** Whether a step switches what makes the circuit dead or live: it isolates it, or puts it back. */
function switches(step: ProgramStep, circuit: ProgramCircuit): boolean {
  const states = new Set(circuit.deadWhen.flat().map(({ state }) => state));
  return [...step.sets, ...step.results.flatMap(({ sets }) => sets)].some(({ state }) => states.has(state));
}

/** Where a step names no circuit, its words are taken to mean one of hazardous voltage that is proved dead, if any is. */
function provedElsewhere(context: CheckContext, index: CircuitIndex, node: number): boolean {
  return [...context.once(nodesUnprovedOf)].some(([circuit, nodes]) => circuit !== index && !nodes.has(node));
}

function nodesUnprovedOf({ exploration, procedure, program, scope }: CheckContext): Map<CircuitIndex, ReadonlySet<number>> {
  return new Map(program.circuits.flatMap((circuit, index) => {
    const declared = scope.circuits.get(circuit.name)?.item;
    return declared && isHazardous(declared) ? [[index, new Set(nodesUnproved(exploration, procedure, index, scope.circuits, true).keys())] as const] : [];
  }));
}

function isWork({ value }: Prose, phrase: string): boolean {
  const place = placeAskedFor(value, phrase);
  if (place === undefined) return false;
  const start = Math.max(...['.', '!', '?', ';', '\n'].map((mark) => value.lastIndexOf(mark, place.start))) + 1;
  const end = value.slice(place.end).search(/[.!?;\n]/u);
  return !OTHER_WORK.test(value.slice(start, end < 0 ? value.length : place.end + end));
}

/** Sentences about what isolates or protects, about the low-voltage battery, or about the instrument. */
const OTHER_WORK = new RegExp(
  `\\b(${[
    'locks?', 'padlocks?', 'tags?', 'gloves?', 'goggles', 'face shield', 'apron', 'mats?', 'barriers?', 'signs?', 'chocks?', 'keys?', 'helmet', 'blankets?', 'isolator', 'breaker', 'disconnect(?=\\s+(?:switch|socket|in|and|from)|\\s*$)',
    'service (?:disconnect|plug)', '(?:mains|charge|charging) (?:plug|cable|lead)', 'proving unit', '(?:voltage )?tester', 'meter', 'multimeter', 'probes?', 'shroud',
    '(?:12|24|48).?V', 'negative (?:lead|post|terminal|clamp)', 'battery (?:lead|post|terminal|clamp|negative|positive)s?', 'auxiliary battery',
  ].join('|')})\\b`, 'iu',
);

const UNDOES = 'loosen|slacken|tighten|retighten|re-tighten|torque|undo|unbolt|unscrew|unclamp|clean|wipe|brush|remove|take_off|lift_off|pull_off|pull_out|pull|unplug|disconnect|detach|separate|replace|change|swap|exchange|touch|wiggle|shake|bend|cut|strip|crimp|solder';
const JOINS = 'fit|refit|connect|reconnect|plug_in|plug|join|bolt|screw|clamp';

const BY_HAND = ['with the spanner|wrench|screwdriver|pliers|fingers', 'with your hand|fingers', 'by hand'];
const NAMES_LIVE_PART = /\b(bus-?\s?bars?|orange (?:connector|plug|cable|lead)s?|high-voltage (?:connector|plug|cable|lead|fuse)s?)\b/iu;

/** In a step that names the circuit. */
const PUTS_HANDS_TO = [
  UNDOES, JOINS, ...BY_HAND, 'work on|in|inside', 'reach in|into|inside', 'open the cover|lid|box|housing|inverter|battery',
];

/** In a step that names none: parts of which the words alone say that they carry a hazardous voltage. */
const LIVE_PARTS = [
  `${UNDOES}|${JOINS} … busbar|bus-bar|bus_bar`,
  `${UNDOES}|${JOINS} … orange connector|plug|cable|lead`, `${UNDOES}|${JOINS} … high-voltage|high_voltage connector|plug|cable|lead|fuse`,
  `${UNDOES} … cover|lid of the inverter|traction_battery|high-voltage_box|junction_box|terminal_box`, `${UNDOES} … inverter|traction_battery|terminal_box cover|lid`,
  `${UNDOES} … motor|contactor|inverter|heater|mains|supply|phase terminal|lug|conductor|cable`,
  `${UNDOES} … terminals|lugs|conductors of the motor|contactor|inverter|heater|mains|supply`, `${UNDOES} … cables|wires|links off|from the motor|contactor|inverter|heater`,
  `${UNDOES} … inside|in the cabinet|enclosure|switchboard|distribution_board|control_box|junction_box`, 'reach into|inside the cabinet|enclosure|switchboard|distribution_board|control_box|junction_box',
  'work inside|in the cabinet|enclosure|switchboard|distribution_board', 'replace|change|swap|exchange the contactor|inverter',
];
