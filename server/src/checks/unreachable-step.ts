import { successors } from '../flow/explore.ts';
import type { Program } from '../flow/program.ts';
import { allSteps, type Check } from './check.ts';
import { hasBrokenWay, nameOf, placeOf } from './walk-of.ts';

export const unreachableStep: Check = {
  name: 'unreachable-step',
  severity: 'error',
  group: 'flow',
  proves: 'Every step is on a walk from the first step.',
  why: 'A step that nobody arrives at is never done, and what it was to find is never found.',
  wholeOnly: true,
  bad: `procedure: lamp_out
title: Lamp out
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: lit
        passes: true
      - when: dark
        refer: Replace the lamp.
  - step: clean
    do: [Clean the lens.]
    go: look
`,
  good: `procedure: lamp_out
title: Lamp out
steps:
  - step: clean
    do: [Clean the lens.]
  - step: look
    ask: Is the lamp lit?
    results:
      - when: lit
        passes: true
      - when: dark
        refer: Replace the lamp.
`,
  *run(context) {
    if (hasBrokenWay(context)) return;
    const { nodesOfStep } = context.exploration;
    const steps = allSteps(context.procedure);
    // A step that only an unreachable one leads to is reached as soon as that one is: the first of a group is enough.
    const reported = new Set<number>();
    for (const [index, step] of steps.entries()) {
      if ((nodesOfStep[index] ?? []).length > 0 || leadsFromReported(context.program, reported, index)) continue;
      reported.add(index);
      yield {
        span: placeOf(step),
        step: nameOf(step),
        message: `No walk arrives at '${nameOf(step)}'.`,
        note: step.section === 'after_repair'
          ? 'No repair leads to it, and no step goes there.'
          : 'The steps before it all lead elsewhere, and no result goes to it.',
        help: `Lead to it with \`go: ${nameOf(step)}\`, or take it out.`,
      };
    }
  },
};

/** Whether one of the reported steps leads, by any number of ways, to this one. */
function leadsFromReported(program: Program, reported: ReadonlySet<number>, to: number): boolean {
  const seen = new Set(reported);
  const queue = [...reported];
  while (queue.length > 0) {
    const step = program.steps[queue.pop() as number];
    for (const next of step ? successors(program, step) : []) {
      if (next === to) return true;
      if (seen.has(next)) continue;
      seen.add(next);
      queue.push(next);
    }
  }
  return false;
}
