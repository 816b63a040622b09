import { circuitDead, statesDuring } from '../flow/meaning.ts';
import type { Check } from './check.ts';
import { words } from './edits.ts';
import { circuitStateText, NEEDS_DEAD } from './circuit-tests.ts';
import { begunSteps, nameOf, walkToNode } from './walk-of.ts';

export const liveResistanceTest: Check = {
  name: 'live-resistance-test',
  severity: 'error',
  group: 'safety',
  proves: 'Resistance, continuity, capacitance and insulation are read only while the circuit is dead.',
  why: 'On a live circuit the reading is false, the meter can be destroyed and the current can burn.',
  source: 'Common practice, no source: an ohmmeter only on a de-energised circuit',
  bad: `procedure: coil
title: Coil test
states:
  supply: {values: [on, off], at_start: on}
circuits:
  control: {nominal: 24 V, dead_when: {supply: off}}
steps:
  - step: coil
    measure: resistance
    circuit: control
    results:
      - when: between 18 ohm and 26 ohm
        passes: true
      - when: otherwise
        refer: Replace the coil.
`,
  good: `procedure: coil
title: Coil test
states:
  supply: {values: [on, off], at_start: on}
circuits:
  control: {nominal: 24 V, dead_when: {supply: off}}
steps:
  - step: switch_off
    do: [Switch the supply off.]
    sets: {supply: off}
  - step: coil
    measure: resistance
    circuit: control
    results:
      - when: between 18 ohm and 26 ohm
        passes: true
      - when: otherwise
        refer: Replace the coil.
`,
  *run(context) {
    const { program } = context;
    for (const { step, index, nodes } of begunSteps(context)) {
      const programStep = program.steps[index];
      const circuit = programStep?.circuit === undefined ? undefined : program.circuits[programStep.circuit];
      if (programStep === undefined || circuit === undefined || circuit.unclear || step.kind !== 'measure' || !NEEDS_DEAD.has(step.quantity?.value ?? '')) continue;
      const node = nodes.find((candidate) => circuitDead(circuit, statesDuring(programStep, candidate.begun)) !== 'yes');
      if (node === undefined) continue;
      const states = statesDuring(programStep, node.begun);
      const certain = circuitDead(circuit, states) === 'no';
      yield {
        span: step.quantity?.span ?? step.span,
        step: nameOf(step),
        subject: circuit.name,
        message: `'${nameOf(step)}' reads ${words(step.quantity?.value ?? '')} while the circuit ${words(circuit.name)} ${certain ? 'is not dead' : 'may be live'}.`,
        note: circuitStateText(context, circuit, states),
        help: circuit.deadWhen.length === 0
          ? `Say in the circuit's \`dead_when\` what makes it dead, and bring that about before this step.`
          : `Make it dead before this step: ${deadWhenText(program.states, circuit.deadWhen)}.`,
        ...walkToNode(context, node),
      };
    }
  },
};

function deadWhenText(
  states: readonly { readonly name: string; readonly values: readonly string[] }[],
  alternatives: readonly (readonly { readonly state: number; readonly values: readonly number[] }[])[],
): string {
  return alternatives
    .map((alternative) => alternative
      .map(({ state, values }) => `${words(states[state]?.name ?? '')} ${values.map((value) => words(states[state]?.values[value] ?? '')).join(' or ')}`)
      .join(' and '))
    .join(', or ');
}
