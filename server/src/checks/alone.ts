import type { ProgramStep } from '../flow/program.ts';
import type { Check } from './check.ts';
import { fixOf, insertKey, listed, words } from './edits.ts';
import { heldStates } from './held-too-long.ts';
import { begunSteps, nameOf, placeOf, walkToNode } from './walk-of.ts';

export const alone: Check = {
  name: 'alone',
  severity: 'error',
  group: 'safety',
  proves: 'No step asks one person to hold a control and to take a reading at the same time.',
  why: 'With one hand on the control and the other on a probe, nobody watches the machine.',
  source: 'Common practice, no source',
  bad: `procedure: starter
title: Starter turns slowly
states:
  start_switch: {values: [released, start], at_start: released, held: [start]}
steps:
  - step: drop
    measure: dc_voltage
    during: {start_switch: start}
    max_time: 15 s
    results:
      - when: at most 0.5 V
        passes: true
      - when: above 0.5 V
        refer: Clean the cable ends.
`,
  good: `procedure: starter
title: Starter turns slowly
states:
  start_switch: {values: [released, start], at_start: released, held: [start]}
steps:
  - step: drop
    measure: dc_voltage
    during: {start_switch: start}
    max_time: 15 s
    people: 2
    results:
      - when: at most 0.5 V
        passes: true
      - when: above 0.5 V
        refer: Clean the cable ends.
`,
  *run(context) {
    for (const { step, index, nodes } of begunSteps(context)) {
      if (step.kind !== 'measure' || (step.people?.value ?? 1) >= 2) continue;
      const programStep = context.program.steps[index] as ProgramStep;
      const node = nodes.find((candidate) => heldStates(context, programStep, candidate.begun).length > 0);
      if (node === undefined) continue;
      const held = heldStates(context, programStep, node.begun);
      const fixes = fixOf('Add `people: 2`', insertKey(context, step, 'people: 2'), true);
      yield {
        span: placeOf(step),
        step: nameOf(step),
        subject: held[0] ?? '',
        message: `'${nameOf(step)}' asks one person to hold ${listed(held.map(words))} and to take a reading.`,
        help: 'Say `people: 2`.',
        ...walkToNode(context, node),
        ...(fixes ? { fixes } : {}),
      };
    }
  },
};
