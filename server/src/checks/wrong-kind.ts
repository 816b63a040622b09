import type { Check } from './check.ts';

/** Found while the file is read: procedure/ and syntax/ write its messages. */
export const wrongKind: Check = {
  name: 'wrong-kind',
  severity: 'error',
  group: 'structure',
  proves: 'Every value is of the kind that its key takes.',
  why: 'A list where a text belongs, or two kinds of step in one, means something other than the writer thought.',
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is the lamp lit?
    people: several
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
  good: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is the lamp lit?
    people: 2
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
};
