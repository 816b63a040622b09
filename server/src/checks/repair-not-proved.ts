import type { Check } from './check.ts';
import { listed } from './edits.ts';

export const repairNotProved: Check = {
  name: 'repair-not-proved',
  severity: 'warning',
  group: 'diagnosis',
  proves: 'Where faults are found and remedied, some step afterwards proves the repair.',
  why: 'A repair that nobody tested comes back with the next shift.',
  source: 'Common practice, no source: test again after the repair',
  bad: `procedure: lamp
title: Work lamp stays dark
status: released
revision: 1
approved: {by: Workshop standards group, on: 2026-10-01}
faults:
  bulb: {title: Bulb open, remedy: Replace the bulb.}
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
status: released
revision: 1
approved: {by: Workshop standards group, on: 2026-10-01}
faults:
  bulb: {title: Bulb open, remedy: Replace the bulb.}
steps:
  - step: swap
    ask: Does a good bulb light in its place?
    results:
      - when: yes
        finds: bulb
      - when: no
        refer: Trace the wiring.
after_repair:
  - step: prove
    ask: Is the work lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        go: swap
`,
  *run({ procedure, program }) {
    if (procedure.purpose === 'inspection') return;
    const status = procedure.status?.value;
    const finds = program.steps.some((step) => step.results.some((result) => result.way.kind === 'finds'));
    if (finds && (status === 'released' || status === 'in_review') && procedure.afterRepair.length === 0) {
      const remedied = procedure.faults.filter((fault) => fault.remedy && !fault.procedure);
      if (remedied.length === 0) return;
      yield {
        span: procedure.stepsSpan ?? procedure.name?.span ?? procedure.span,
        message: 'Nothing proves the repair.',
        note: `${listed(remedied.map((fault) => `'${fault.name.value}'`))} ${remedied.length === 1 ? 'is' : 'are'} remedied, and the procedure ends there.`,
        help: 'Add `after_repair` with the test that shows the complaint is gone.',
      };
      return;
    }
    if (procedure.afterRepair.length === 0) return;
    const passes = program.steps.some(
      (step) => step.section === 'after_repair' && step.results.some((result) => result.way.kind === 'passes'),
    );
    if (passes) return;
    const first = procedure.afterRepair[0];
    yield {
      span: first?.name?.span ?? first?.span ?? procedure.span,
      step: first?.name?.value ?? '',
      message: 'No result in `after_repair` says that the repair is proved.',
      note: 'None of its results has `passes: true`.',
      help: 'End the test that shows the complaint is gone with `passes: true`.',
    };
  },
};
