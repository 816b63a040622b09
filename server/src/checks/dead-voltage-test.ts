import { circuitDead, circuitLive, statesDuring } from '../flow/meaning.ts';
import type { Check } from './check.ts';
import { words } from './edits.ts';
import { circuitStateText, NEEDS_LIVE } from './circuit-tests.ts';
import { begunSteps, nameOf, walkToNode } from './walk-of.ts';

export const deadVoltageTest: Check = {
  name: 'dead-voltage-test',
  severity: 'error',
  group: 'safety',
  proves: 'A voltage or a current is expected only from a circuit that is live there.',
  why: 'A meter on a dead circuit shows nothing, whatever the fault, and the technician blames a good part.',
  source: 'Common practice, no source: a voltage drop needs current flowing',
  bad: `procedure: supply
title: No supply at the pump
states:
  isolator: {values: [on, off], at_start: on}
circuits:
  power: {nominal: 24 V, dead_when: {isolator: off}}
steps:
  - step: switch_off
    do: [Turn the isolator off.]
    sets: {isolator: off}
  - step: supply
    measure: dc_voltage
    circuit: power
    results:
      - when: at least 23 V
        refer: Test the pump.
      - when: below 23 V
        refer: Test the cable.
`,
  good: `procedure: supply
title: No supply at the pump
states:
  isolator: {values: [on, off], at_start: on}
circuits:
  power: {nominal: 24 V, dead_when: {isolator: off}}
steps:
  - step: supply
    measure: dc_voltage
    circuit: power
    results:
      - when: at least 23 V
        refer: Test the pump.
      - when: below 23 V
        refer: Test the cable.
`,
  *run(context) {
    const { program } = context;
    for (const { step, index, nodes } of begunSteps(context)) {
      const programStep = program.steps[index];
      const circuit = programStep?.circuit === undefined ? undefined : program.circuits[programStep.circuit];
      if (programStep === undefined || circuit === undefined || circuit.unclear || step.kind !== 'measure' || step.provesDead) continue;
      if (!NEEDS_LIVE.has(step.quantity?.value ?? '')) continue;
      const node = nodes.find((candidate) => circuitLive(circuit, statesDuring(programStep, candidate.begun)) !== 'yes');
      if (node === undefined) continue;
      const states = statesDuring(programStep, node.begun);
      const dead = circuitDead(circuit, states);
      const state = dead === 'yes' ? 'is dead' : circuitLive(circuit, states) === 'no' ? 'is not live' : 'may not be live';
      yield {
        span: step.quantity?.span ?? step.span,
        step: nameOf(step),
        subject: circuit.name,
        message: `'${nameOf(step)}' expects a ${words(step.quantity?.value ?? '').replace(/^(dc|ac) /u, (kind) => kind.toUpperCase())} while the circuit ${words(circuit.name)} ${state}.`,
        note: circuitStateText(context, circuit, states),
        help: `Take the reading while the circuit is live, or say \`proves_dead: ${circuit.name}\` where it is to show that nothing is there.`,
        ...walkToNode(context, node),
      };
    }
  },
};
