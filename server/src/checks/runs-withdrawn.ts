import type { Name } from '../procedure/model.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { nameOf } from './walk-of.ts';

const CALLED = `title: Fuse of the lamp
revision: 2
steps:
  - step: light
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Find the overload.
`;

const CALLER = `procedure: lamp
title: Lamp stays dark
revision: 3
status: released
approved: {by: Workshop standards group, on: 2026-09-14}
steps:
  - step: fuse
    run: fuse
    results:
      - when: passed
        refer: Replace the lamp.
      - when: otherwise
        refer: Repair the feed first.
`;

export const runsWithdrawn: Check = {
  name: 'runs-withdrawn',
  severity: 'error',
  group: 'document',
  proves: 'No procedure leads into one that is withdrawn.',
  why: 'A procedure is withdrawn because it is wrong or outdated. Whoever is sent into it does what was forbidden.',
  source: 'ISO 9001:2015, 7.5.3: obsolete documents are kept from use (from memory)',
  files: {
    'fuse.procedure.yaml': `procedure: fuse\nstatus: withdrawn\n${CALLED}`,
    'fuse_two.procedure.yaml': `procedure: fuse_two\nstatus: released\napproved: {by: Workshop standards group, on: 2026-09-14}\n${CALLED}`,
  },
  bad: CALLER,
  good: CALLER.replace('run: fuse', 'run: fuse_two'),
  *run(context) {
    if (context.procedure.status?.value === 'withdrawn') return;
    for (const { name, step, from } of ledInto(context)) {
      const other = context.procedureNamed(name.value);
      if (other?.procedure.status?.value !== 'withdrawn') continue;
      yield {
        span: name.span,
        ...(step === undefined ? {} : { step }),
        subject: name.value,
        message: `${from} leads into '${name.value}', which is withdrawn.`,
        help: 'Name the procedure that took its place, or take this way out.',
        related: [{ file: other.file, span: other.procedure.status.span, message: 'It is withdrawn here.' }],
      };
    }
  },
};

/** The other document check that looks at the same ways, from a released procedure. */
export const runsUnreleased: Check = {
  name: 'runs-unreleased',
  severity: 'warning',
  group: 'document',
  proves: 'No released procedure leads into one that is not released.',
  why: 'Released means that the technician may rely on every line, and the lines of what it runs are among them.',
  source: 'ISO 9001:2015, 7.5.2: review and approval for suitability (from memory)',
  files: {
    'fuse.procedure.yaml': `procedure: fuse\nstatus: in_review\n${CALLED}`,
    'fuse_two.procedure.yaml': `procedure: fuse_two\nstatus: released\napproved: {by: Workshop standards group, on: 2026-09-14}\n${CALLED}`,
  },
  bad: CALLER,
  good: CALLER.replace('run: fuse', 'run: fuse_two'),
  *run(context) {
    if (context.procedure.status?.value !== 'released') return;
    for (const { name, step, from } of ledInto(context)) {
      const other = context.procedureNamed(name.value);
      const status = other?.procedure.status?.value;
      if (other === undefined || status === 'released' || status === 'withdrawn') continue;
      const { status: written } = other.procedure;
      yield {
        span: name.span,
        ...(step === undefined ? {} : { step }),
        subject: name.value,
        message: `${from} leads into '${name.value}', which is not released, and this procedure is.`,
        note: written === undefined ? 'It has no `status`, so it is a draft.' : `Its status is ${written.value}.`,
        help: `Release '${name.value}' first, or write \`status: in_review\` here.`,
        related: [{ file: other.file, span: (written ?? other.procedure.name)?.span ?? other.procedure.span, message: 'This is the procedure that is not released.' }],
      };
    }
  },
};

/** The procedures that steps run and that faults go on with, each place once. */
function* ledInto({ procedure }: CheckContext): Generator<{ name: Name; step: string | undefined; from: string }> {
  for (const step of allSteps(procedure)) {
    if (step.kind === 'run' && step.run) yield { name: step.run, step: nameOf(step), from: `'${nameOf(step)}'` };
  }
  for (const fault of procedure.faults) if (fault.procedure) yield { name: fault.procedure, step: undefined, from: `The fault '${fault.name.value}'` };
}
