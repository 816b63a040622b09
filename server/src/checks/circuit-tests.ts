/** Which quantities want a dead circuit and which a live one (format.md, Meaning 10), and how a circuit's state is told. */
import { valuesIn, type StateVector } from '../flow/meaning.ts';
import type { ProgramCircuit } from '../flow/program.ts';
import type { CheckContext } from './check.ts';
import { listed, words } from './edits.ts';

export const NEEDS_DEAD: ReadonlySet<string> = new Set(['resistance', 'continuity', 'capacitance', 'insulation_resistance']);
export const NEEDS_LIVE: ReadonlySet<string> = new Set(['dc_voltage', 'ac_voltage', 'dc_current', 'ac_current']);

/** 'Here isolator is on and contactor lead may be connected or unplugged.' Only the states that decide about the circuit. */
export function circuitStateText(context: CheckContext, circuit: ProgramCircuit, states: StateVector): string {
  const involved = new Set([...circuit.deadWhen, ...(circuit.liveWhen ?? [])].flatMap((alternative) => alternative.map((condition) => condition.state)));
  const told = [...involved].map((index) => {
    const state = context.program.states[index];
    const values = valuesIn(states[index] ?? 0).map((value) => words(state?.values[value] ?? ''));
    return `${words(state?.name ?? '')} ${values.length > 1 ? 'may be' : 'is'} ${listed(values, 'or')}`;
  });
  return told.length === 0 ? 'The circuit has no `dead_when`, so nothing makes it dead.' : `Here ${listed(told)}.`;
}
