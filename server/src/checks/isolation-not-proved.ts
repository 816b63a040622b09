import { isHazardous } from '../flow/isolation.ts';
import type { Check, CheckContext } from './check.ts';
import { words } from './edits.ts';
import { liveGoesOn, lockMissing, proofWithoutLimit, waitNotKept } from './isolation-proofs.ts';
import { electricalWorkIn, workUnproved } from './isolation-work.ts';

export const isolationNotProved: Check = {
  name: 'isolation-not-proved',
  severity: 'error',
  group: 'safety',
  proves: 'No walk works on a circuit of hazardous voltage before it was isolated and locked, and a reading of every point has proved it dead after the discharge wait.',
  why: 'A switch that reads off, a welded contact or a charged capacitor kills as surely as a live cable.',
  source: '29 CFR 1910.147(d)(4) (lock) and (d)(6) (from memory) and 1910.333(b)(2)(iv)(B) (from memory); class B voltage of ISO 6469-3 and UN R100 (from memory)',
  shop: `shop: Workshop
instruments:
  tester: {title: Voltage tester, category: CAT III 1000 V, measures: {ac_voltage: {up_to: 1000 V}}}
`,
  bad: `procedure: heater
title: Heater element
qualified: electrical
states:
  breaker: {values: [on, off], at_start: on}
circuits:
  heater: {nominal: 400 V AC, dead_when: {breaker: off}}
steps:
  - step: off
    do: [Switch the breaker off and lock it.]
    sets: {breaker: off}
  - step: element
    measure: resistance
    circuit: heater
    cautions: [mains_voltage]
    results:
      - when: between 20 ohm and 30 ohm
        passes: true
      - when: otherwise
        refer: Replace the element.
`,
  good: `procedure: heater
title: Heater element
qualified: electrical
states:
  breaker: {values: [on, off], at_start: on}
circuits:
  heater: {nominal: 400 V AC, dead_when: {breaker: off}}
steps:
  - step: off
    do: [Switch the breaker off and lock it.]
    sets: {breaker: off}
  - step: prove
    measure: ac_voltage
    circuit: heater
    with: tester
    proves_dead: heater
    cautions: [mains_voltage]
    results:
      - when: below 5 V
        says: Dead.
      - when: otherwise
        refer: The circuit is live. Find out why.
  - step: element
    measure: resistance
    circuit: heater
    cautions: [mains_voltage]
    results:
      - when: between 20 ohm and 30 ohm
        passes: true
      - when: otherwise
        refer: Replace the element.
`,
  texts: (context, { step }) => electricalWorkIn(context, step),
  *run(context) {
    const { program, scope } = context;
    for (const [index, circuit] of program.circuits.entries()) {
      const declared = scope.circuits.get(circuit.name)?.item;
      if (declared === undefined) continue;
      if (declared.nominal === undefined) yield* voltageUnknown(context, index);
      if (!isHazardous(declared)) continue;
      yield* proofWithoutLimit(context, index, declared);
      yield* liveGoesOn(context, index, declared);
      // What makes it dead is wrong itself: nothing is told of what follows from it.
      if (circuit.unclear) continue;
      yield* workUnproved(context, index, declared);
      yield* waitNotKept(context, index, declared);
      yield* lockMissing(context, index, declared);
    }
  },
};

/** A circuit that is treated as one of hazardous voltage, and does not say its voltage: all that is checked of such circuits passes it by. */
function* voltageUnknown({ program, procedure, scope }: CheckContext, index: number) {
  const name = program.circuits[index]?.name ?? '';
  const circuit = scope.circuits.get(name)?.item;
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const proof = steps.find((_, step) => program.steps[step]?.provesDead === index);
  const sign = circuit?.dischargeWait ? 'has a `discharge_wait`' : circuit?.category ? `is of ${circuit.category.value}` : proof ? `is proved dead by '${proof.name?.value ?? ''}'` : undefined;
  const isOwn = procedure.circuits.some((own) => own === circuit);
  const place = isOwn ? circuit?.name.span : steps.find((step) => step.circuit?.value === name)?.circuit?.span ?? proof?.provesDead?.span;
  if (circuit === undefined || sign === undefined || place === undefined) return;
  yield {
    span: place,
    subject: name,
    message: `The circuit ${words(name)} ${sign}, and nothing says its voltage.`,
    note: 'Without it no check takes the circuit for one of hazardous voltage.',
    help: 'Write its voltage, as `nominal: 400 V` or `nominal: 230 V AC`.',
  };
}
