import { nearlyReached } from './nearly.ts';
import type { Check } from './check.ts';
import { hasBrokenWay } from './walk-of.ts';

export const faultNeverFound: Check = {
  name: 'fault-never-found',
  severity: 'error',
  group: 'diagnosis',
  proves: 'Every fault is found on some walk of a fault-finding procedure.',
  why: 'When that fault is the cause, no reading leads to it and the machine comes back.',
  wholeOnly: true,
  bad: `procedure: lamp
title: Work lamp stays dark
faults:
  bulb: {title: Bulb open, remedy: Replace the bulb.}
  fuse: {title: Fuse open, remedy: Find the overload and replace the fuse.}
steps:
  - step: swap
    ask: Does a good bulb light in its place?
    results:
      - when: yes
        finds: bulb
      - when: no
        refer: Trace the wiring.
`,
  good: `procedure: lamp
title: Work lamp stays dark
faults:
  bulb: {title: Bulb open, remedy: Replace the bulb.}
  fuse: {title: Fuse open, remedy: Find the overload and replace the fuse.}
steps:
  - step: swap
    ask: Does a good bulb light in its place?
    results:
      - when: yes
        finds: bulb
      - when: no
        rules_out: [bulb]
  - step: fuse
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: yes
        refer: Trace the wiring.
      - when: no
        finds: fuse
`,
  *run(context) {
    const { procedure, program, exploration } = context;
    if (procedure.purpose === 'inspection' || hasBrokenWay(context)) return;
    const found = new Set<number>();
    const written = new Set<number>();
    for (const edge of exploration.edges) {
      const way = edge.result === undefined ? undefined : program.steps[edge.step]?.results[edge.result]?.way;
      if (way?.kind === 'finds') found.add(way.fault);
    }
    for (const step of program.steps) for (const { way } of step.results) if (way.kind === 'finds') written.add(way.fault);
    for (const [index, fault] of procedure.faults.entries()) {
      if (found.has(index)) continue;
      yield {
        span: fault.name.span,
        subject: fault.name.value,
        message: `No walk finds the fault '${fault.name.value}'.`,
        note: written.has(index)
          ? 'A result finds it, but no walk arrives there.'
          : `${nearlyReached(procedure, fault.name.value)}`,
        help: `Add the test that shows it, with \`finds: ${fault.name.value}\`, or take the fault out.`,
      };
    }
  },
};
