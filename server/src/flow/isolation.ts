/**
 * Proof that a circuit is dead: which results of which steps give it, how long it holds, and where a walk may arrive without it.
 * The limits of a hazardous voltage: ISO 6469-3 and UN R100, class B above 60 V DC or 30 V AC rms (from memory).
 */
import type { Circuit, Procedure, Step } from '../procedure/model.ts';
import type { Names } from '../procedure/scope.ts';
import type { Band, Expression } from '../quantity/expression.ts';
import { compareRational, rational, type Rational } from '../quantity/rational.ts';
import type { Exploration, FlowEdge } from './explore.ts';
import { circuitDead, statesDuring, type StateVector } from './meaning.ts';
import type { CircuitIndex } from './program.ts';
import { reachWithMemory } from './walks.ts';

export const HAZARDOUS_DC_VOLTS = 60;
export const HAZARDOUS_AC_VOLTS = 30;

/** Whether the circuit's nominal voltage is that of alternating current, as `400 V AC` says. */
export function isAlternating(circuit: Circuit): boolean {
  return circuit.nominal !== undefined && /\bAC\b|~|\bVAC\b/i.test(circuit.nominal.value.text);
}

/** The limit above which the circuit's kind of voltage is hazardous, in volts. */
export function hazardousLimit(circuit: Circuit): Rational {
  return rational(isAlternating(circuit) ? HAZARDOUS_AC_VOLTS : HAZARDOUS_DC_VOLTS);
}

/** Whether the circuit's nominal voltage is above the limit. A circuit without a nominal voltage is not known to be. */
export function isHazardous(circuit: Circuit): boolean {
  const { nominal } = circuit;
  return nominal?.value.unit?.dimension === 'voltage' && compareRational(nominal.value.base, hazardousLimit(circuit)) > 0;
}

/** Whether a result of a `proves_dead` step shows absence of voltage: its band stays at or below the hazardous limit. */
export function provesDead(step: Step, result: number | undefined, circuit: Circuit | undefined): boolean {
  if (result === undefined) return false;
  const when = step.results[result]?.when;
  if (when?.kind !== 'band' || when.band === undefined) return false;
  return staysWithin(when.band, circuit ? hazardousLimit(circuit) : rational(HAZARDOUS_DC_VOLTS));
}

/** Whether every condition of the band keeps its reading at or below `limit` volts; a bound that is not a plain quantity does not. */
function staysWithin(band: Band, limit: Rational): boolean {
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

/** The nodes at which some walk arrives with the circuit not proved dead since it last became so. */
export function nodesUnproved(
  exploration: Exploration, procedure: Procedure, circuit: CircuitIndex, circuits: Names<Circuit>,
): Map<number, FlowEdge[]> {
  const found = new Map<number, FlowEdge[]>();
  const search = { start: 0, along: followProof(exploration, procedure, circuit, circuits) };
  for (const { node, memory, walk } of reachWithMemory(exploration, search)) {
    if (memory === 0 && !found.has(node.id)) found.set(node.id, walk());
  }
  return found;
}

/** A memory of 1 while the circuit is proved dead: set by a proving result, lost as soon as the circuit may be other than dead. */
export function followProof(
  exploration: Exploration, procedure: Procedure, circuit: CircuitIndex, circuits: Names<Circuit>,
): (memory: number, edge: FlowEdge) => number {
  const { program } = exploration;
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const declared = circuits.get(program.circuits[circuit]?.name ?? '')?.item;
  const dead = (states: StateVector): boolean => {
    const known = program.circuits[circuit];
    return known !== undefined && circuitDead(known, states) === 'yes';
  };
  return (memory, edge) => {
    const node = exploration.nodes[edge.from];
    const programStep = program.steps[edge.step];
    const step = steps[edge.step];
    if (node === undefined || programStep === undefined || step === undefined) return memory;
    const after = exploration.nodes[edge.to]?.states ?? node.states;
    if (edge.passedOver) return dead(after) ? memory : 0;
    if (!dead(statesDuring(programStep, node.begun)) || !dead(after)) return 0;
    if (programStep.provesDead === circuit && provesDead(step, edge.result, declared)) return 1;
    return memory;
  };
}
