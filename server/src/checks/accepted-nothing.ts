import type { Check } from './check.ts';

/** Found where acceptances are matched with findings: analysis/ writes its message. */
export const acceptedNothing: Check = {
  name: 'accepted-nothing',
  severity: 'warning',
  group: 'document',
  proves: 'Every accepted deviation still meets a finding.',
  why: 'An old acceptance hides the next finding of the same kind from the reviewer.',
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
accept:
  - {check: vague-word, at: look, because: The term is the writer's own., by: Workshop standards group}
`,
  good: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
};
