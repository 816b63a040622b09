import { allSteps, type Check, type CheckContext } from './check.ts';
import { nameOf } from './walk-of.ts';

export const runCircle: Check = {
  name: 'run-circle',
  severity: 'error',
  group: 'flow',
  proves: 'No procedure runs itself, directly or through others.',
  why: 'Whoever follows it is sent from sheet to sheet without end.',
  files: {
    'fuse.procedure.yaml': `procedure: fuse
title: Fuse
steps:
  - step: lamp
    run: lamp
    results:
      - when: otherwise
        refer: See the diagram.
`,
  },
  bad: `procedure: lamp
title: Lamp
steps:
  - step: fuse
    run: fuse
    results:
      - when: otherwise
        refer: See the diagram.
`,
  good: `procedure: lamp
title: Lamp
steps:
  - step: fuse
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: yes
        refer: See the diagram.
      - when: no
        refer: Find the overload.
`,
  *run(context) {
    for (const step of allSteps(context.procedure)) {
      if (step.kind !== 'run' || step.run === undefined) continue;
      const circle = circleFrom(context, step.run.value);
      if (circle === undefined) continue;
      yield {
        span: step.run.span,
        step: nameOf(step),
        message: `'${nameOf(step)}' runs '${step.run.value}', which leads back to this procedure.`,
        note: `The circle: ${[context.procedure.name?.value ?? 'this procedure', ...circle].join(' → ')}.`,
        help: 'Take one of them out of the circle: `refer` to it, or move what both need into a procedure of its own.',
      };
    }
  },
};

/** The names from `name` back to the procedure of the context, or undefined. */
function circleFrom(context: CheckContext, name: string): string[] | undefined {
  const own = context.file;
  const queue: string[][] = [[name]];
  const seen = new Set<string>();
  for (const path of queue) {
    const last = path[path.length - 1] ?? '';
    const other = context.procedureNamed(last);
    if (other === undefined) continue;
    if (other.file === own) return path;
    if (seen.has(other.file)) continue;
    seen.add(other.file);
    for (const step of [...other.procedure.steps, ...other.procedure.afterRepair]) {
      if (step.kind === 'run' && step.run) queue.push([...path, step.run.value]);
    }
  }
  return undefined;
}
