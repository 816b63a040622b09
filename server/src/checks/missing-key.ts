import type { Check } from './check.ts';

/** Found while the file is read: procedure/ and syntax/ write its messages. */
export const missingKey: Check = {
  name: 'missing-key',
  severity: 'error',
  group: 'structure',
  proves: 'Every object has the keys that it cannot do without.',
  why: 'Without a name nothing can lead there; without a title nobody knows what it is.',
  bad: `procedure: lamp
steps:
  - step: look
    ask: Is the lamp lit?
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
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
};
