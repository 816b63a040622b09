/**
 * Proof that a circuit is dead: which results of which steps give it, how long it holds, and where a walk may arrive without it.
 * The limits of a hazardous voltage: ISO 6469-3 and UN R100, class B above 60 V DC or 30 V AC rms (from memory).
 */
import type { Circuit, Judge, Procedure, Step } from '../procedure/model.ts';
import type { Names } from '../procedure/scope.ts';
import { expressionsOf, type Band, type Expression } from '../quantity/expression.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { absRational, compareRational, rational, type Rational } from '../quantity/rational.ts';
import type { Span } from '../text/span.ts';
import type { Exploration, FlowEdge } from './explore.ts';
import { circuitDead, statesDuring, type StateVector } from './meaning.ts';
import type { CircuitIndex } from './program.ts';
import { reachWithMemory } from './walks.ts';

export const HAZARDOUS_DC_VOLTS = 60;
export const HAZARDOUS_AC_VOLTS = 30;

/** Whether the circuit's nominal voltage is that of alternating current, as `400 V AC` says. */
export function isAlternating(circuit: Circuit): boolean {
  return circuit.nominal !== undefined && saysAlternating(circuit.nominal.value.text);
}

/** Whether a voltage as written is one of alternating current. */
export function saysAlternating(voltage: string): boolean {
  return /\bAC\b|~|\bVAC\b/i.test(voltage);
}

/** The limit above which a kind of voltage is hazardous, in volts. */
export function hazardousVolts(alternating: boolean): Rational {
  return rational(alternating ? HAZARDOUS_AC_VOLTS : HAZARDOUS_DC_VOLTS);
}

/** The limit above which the circuit's kind of voltage is hazardous, in volts. */
export function hazardousLimit(circuit: Circuit): Rational {
  return hazardousVolts(isAlternating(circuit));
}

/** Whether the circuit's nominal voltage is above the limit. A circuit without a nominal voltage is not known to be. */
export function isHazardous(circuit: Circuit): boolean {
  const { nominal } = circuit;
  return nominal?.value.unit?.dimension === 'voltage' && compareRational(nominal.value.base, hazardousLimit(circuit)) > 0;
}

/** A voltage that a step without a circuit of known voltage expects or sets its instrument to: where it stands, and how the writer put it. */
export interface VoltageExpected {
  readonly volts: Rational;
  readonly alternating: boolean;
  readonly text: string;
  readonly span: Span;
}

/** The highest limit of a step that reads a voltage, or its range where no limit is hazardous; undefined where it reads none, or names none. */
export function voltageExpected(step: Step): VoltageExpected | undefined {
  const word = step.quantity?.value;
  if (step.kind !== 'measure' || (word !== 'dc_voltage' && word !== 'ac_voltage')) return undefined;
  const alternating = word === 'ac_voltage';
  const found: VoltageExpected[] = [];
  const add = (quantity: Quantity, span: Span): void => {
    if (quantity.unit?.dimension === 'voltage') found.push({ volts: absRational(quantity.base), alternating, text: quantity.text, span });
  };
  for (const { when } of step.results) if (when?.kind === 'band') for (const quantity of literalsOf(when.band)) add(quantity, when.span);
  if (step.seek) for (const quantity of literalsOf(step.seek.band)) add(quantity, step.seek.span);
  const highest = (): VoltageExpected | undefined => found.reduce<VoltageExpected | undefined>((most, one) => (most && compareRational(most.volts, one.volts) >= 0 ? most : one), undefined);
  const limit = highest();
  if (limit && compareRational(limit.volts, hazardousVolts(alternating)) > 0) return limit;
  if (step.range) add(step.range.value, step.range.span);
  return highest();
}

function literalsOf(band: Band | undefined): Quantity[] {
  const found: Quantity[] = [];
  const visit = (expression: Expression): void => {
    if (expression.kind === 'quantity') found.push(expression.quantity);
    else if (expression.kind === 'negative') visit(expression.of);
  };
  for (const expression of band ? expressionsOf(band) : []) visit(expression);
  return found;
}

/** What of a `proves_dead` step decides whether it can prove anything, as a step of a procedure or of a checklist says it. */
export interface ProofStep {
  readonly quantity: string | undefined;
  readonly points: readonly string[];
  readonly judge: Judge | undefined;
  readonly seeks: boolean;
}

/** Why no result of a step can prove its circuit dead. */
export type ProofFlaw =
  /** One point that meets the band ends the search. */
  | 'seeks'
  /** It reads no voltage. */
  | 'no voltage'
  /** It reads AC on a DC circuit, or DC on an AC one. */
  | 'other current'
  /** The lowest, the mean or the spread of several points says nothing of the highest. */
  | 'judge';

export function proofStepOf(step: Step): ProofStep {
  return { quantity: step.quantity?.value, points: step.atEach.map((point) => point.name.value), judge: step.judge?.value, seeks: step.seek !== undefined };
}

/** `alternating`: of the circuit, where its nominal voltage says so. */
export function flawOfProof({ quantity, points, judge, seeks }: ProofStep, alternating: boolean | undefined): ProofFlaw | undefined {
  if (quantity !== 'dc_voltage' && quantity !== 'ac_voltage') return 'no voltage';
  if (alternating !== undefined && alternating !== (quantity === 'ac_voltage')) return 'other current';
  if (seeks) return 'seeks';
  return points.length > 0 && (judge === 'lowest' || judge === 'mean' || judge === 'spread') ? 'judge' : undefined;
}

/** How a run judges the points of a proof, whatever its writer says: by the highest, so that no live point is passed over. */
export function judgeOfProof(judge: Judge | undefined): Judge | undefined {
  return judge === undefined ? undefined : 'highest';
}

/** The points of a proof on which a band sets no bound; none where one value stands for them all. */
export function pointsLeftOpen({ points, judge }: ProofStep, band: Band): string[] {
  if (judge !== undefined || band.kind !== 'conditions' || band.conditions.some(({ point }) => point === undefined)) return [];
  const named = new Set(band.conditions.map(({ point }) => point?.name));
  return points.filter((point) => !named.has(point));
}

/** Whether a result of a `proves_dead` step shows absence of voltage: it keeps every reading at or below the hazardous limit. */
export function provesDead(step: Step, result: number | undefined, circuit: Circuit | undefined): boolean {
  if (result === undefined) return false;
  const when = step.results[result]?.when;
  if (when?.kind !== 'band' || when.band === undefined) return false;
  const proof = proofStepOf(step);
  if (flawOfProof(proof, alternatingOf(circuit)) !== undefined || pointsLeftOpen(proof, when.band).length > 0) return false;
  return bandStaysWithin(when.band, limitOfProof(proof, circuit));
}

/** Whether a circuit is one of AC; undefined where it does not say its voltage. */
export function alternatingOf(circuit: Circuit | undefined): boolean | undefined {
  return circuit?.nominal === undefined ? undefined : isAlternating(circuit);
}

/** The limit that a proof has to stay within, in volts: that of the circuit, or where it does not say its voltage of what is read. */
export function limitOfProof({ quantity }: ProofStep, circuit: Circuit | undefined): Rational {
  return hazardousVolts(alternatingOf(circuit) ?? quantity === 'ac_voltage');
}

/** Whether every condition of the band keeps its reading at or below `limit` volts; a bound that is not a plain quantity does not. */
export function bandStaysWithin(band: Band, limit: Rational): boolean {
  return (
    band.kind === 'conditions' &&
    band.conditions.every(({ comparison }) => {
      switch (comparison.kind) {
        case 'at_most':
        case 'below':
        case 'equal':
          return isWithin(comparison.bound, limit);
        case 'between':
          return isWithin(comparison.high, limit);
        case 'at_least':
        case 'above':
        case 'shows':
          return false;
      }
    })
  );
}

function isWithin(bound: Expression, limit: Rational): boolean {
  return bound.kind === 'quantity' && bound.quantity.unit?.dimension === 'voltage' && compareRational(bound.quantity.base, limit) <= 0;
}

/** Whether some result of a step can prove the circuit dead. */
function canProve(step: Step, circuit: Circuit | undefined): boolean {
  return step.results.some((_, result) => provesDead(step, result, circuit));
}

/** The nodes at which some walk arrives with the circuit not proved dead since it last became so. */
export function nodesUnproved(
  exploration: Exploration, procedure: Procedure, circuit: CircuitIndex, circuits: Names<Circuit>, takenAsMeant = false,
): Map<number, FlowEdge[]> {
  const found = new Map<number, FlowEdge[]>();
  const search = { start: 0, along: followProof(exploration, procedure, circuit, circuits, takenAsMeant) };
  for (const { node, memory, walk } of reachWithMemory(exploration, search)) {
    if (memory === 0 && !found.has(node.id)) found.set(node.id, walk());
  }
  return found;
}

/**
 * A memory of 1 while the circuit is proved dead: set by a proving result, lost as soon as the circuit may be other than dead. `takenAsMeant`: a step
 * that is to prove it and cannot is taken for a proof, so that what follows is not said again of every step behind it.
 */
export function followProof(
  exploration: Exploration, procedure: Procedure, circuit: CircuitIndex, circuits: Names<Circuit>, takenAsMeant = false,
): (memory: number, edge: FlowEdge) => number {
  const { program } = exploration;
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const declared = circuits.get(program.circuits[circuit]?.name ?? '')?.item;
  const dead = (states: StateVector): boolean => {
    const known = program.circuits[circuit];
    return known !== undefined && (known.unclear !== undefined || circuitDead(known, states) === 'yes');
  };
  return (memory, edge) => {
    const node = exploration.nodes[edge.from];
    const programStep = program.steps[edge.step];
    const step = steps[edge.step];
    if (node === undefined || programStep === undefined || step === undefined) return memory;
    const after = exploration.nodes[edge.to]?.states ?? node.states;
    if (edge.passedOver) return dead(after) ? memory : 0;
    if (!dead(statesDuring(programStep, node.begun)) || !dead(after)) return 0;
    if (programStep.provesDead === circuit && (provesDead(step, edge.result, declared) || (takenAsMeant && !canProve(step, declared)))) return 1;
    return memory;
  };
}
