import { quantityPhrase, quantityWord } from '../quantity/quantity-words.ts';
import type { Check } from './check.ts';
import { hazardousVoltageSaid, readingsWithoutCircuit } from './circuit-not-named.ts';
import { nameOf, placeOf } from './walk-of.ts';

export const circuitLeftOut: Check = {
  name: 'circuit-left-out',
  severity: 'hint',
  group: 'quantities',
  proves: 'Where a procedure declares circuits, every voltage and every current is read of one of them.',
  why: 'Only of a named circuit can it be told whether it is live at the step, and whether a limit fits its voltage.',
  source: 'Common practice, no source',
  bad: `procedure: pump
title: Pump stands still
circuits:
  feed: {nominal: 24 V, dead_when: {isolator: off}}
steps:
  - step: rest
    measure: dc_voltage
    results:
      - when: at least 24.8 V
      - when: below 24.8 V
        refer: Fetch a charged battery.
  - step: feed
    measure: dc_voltage
    circuit: feed
    results:
      - when: at least 22 V
        passes: true
      - when: below 22 V
        refer: Test the cable.
`,
  good: `procedure: pump
title: Pump stands still
circuits:
  battery: {nominal: 24 V}
  feed: {nominal: 24 V, dead_when: {isolator: off}}
steps:
  - step: rest
    measure: dc_voltage
    circuit: battery
    results:
      - when: at least 24.8 V
      - when: below 24.8 V
        refer: Fetch a charged battery.
  - step: feed
    measure: dc_voltage
    circuit: feed
    results:
      - when: at least 22 V
        passes: true
      - when: below 22 V
        refer: Test the cable.
`,
  texts: (_, { step }) => hazardousVoltageSaid(step) ?? '',
  *run(context) {
    if (context.procedure.circuits.length === 0) return;
    for (const { step, signs } of readingsWithoutCircuit(context)) {
      // Where it is dangerous, `circuit-not-named` says so.
      if (signs !== undefined) continue;
      const word = quantityWord(step.quantity?.value ?? '');
      yield {
        span: step.quantity?.span ?? placeOf(step),
        step: nameOf(step),
        message: `'${nameOf(step)}' reads ${word ? quantityPhrase(word) : 'a quantity'} and names no circuit.`,
        help: 'Name the circuit, as `circuit: NAME`; declare one where none fits.',
      };
    }
  },
};
