/** The catalogue of computations: functions that expressions may call, each with its source and its range. */
import { BATTERY_COMPUTATIONS } from './battery-computations.ts';
import { MECHANICAL_COMPUTATIONS } from './mechanical-computations.ts';
import { REFRIGERANT_COMPUTATIONS } from './refrigerant-computations.ts';
import { SAFETY_COMPUTATIONS } from './safety-computations.ts';
import { WIRE_COMPUTATIONS } from './wire-computations.ts';
import type { Computation } from './computation.ts';

export type { Computation, ComputationOutcome, ComputationParameter } from './computation.ts';

export const COMPUTATIONS: readonly Computation[] = [
  ...BATTERY_COMPUTATIONS,
  ...WIRE_COMPUTATIONS,
  ...MECHANICAL_COMPUTATIONS,
  ...REFRIGERANT_COMPUTATIONS,
  ...SAFETY_COMPUTATIONS,
];

const BY_NAME: ReadonlyMap<string, Computation> = new Map(COMPUTATIONS.map((each) => [each.name, each]));

export function findComputation(name: string): Computation | undefined {
  return BY_NAME.get(name);
}

/** How it is called: `state_of_charge(voltage, [temperature])`. */
export function computationSignature(computation: Computation): string {
  const names = computation.parameters.map((parameter) =>
    parameter.otherwise === undefined ? parameter.name : `[${parameter.name}]`,
  );
  return `${computation.name}(${names.join(', ')}${computation.variadic ? ', …' : ''})`;
}
