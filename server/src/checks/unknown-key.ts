import type { Check } from './check.ts';

/** Found while the file is read: procedure/ and syntax/ write its messages. */
export const unknownKey: Check = {
  name: 'unknown-key',
  severity: 'error',
  group: 'structure',
  proves: 'Every key is one that the format knows.',
  why: 'A key that is spelt wrong is silently without effect: a caution that is never shown, a limit that is never judged.',
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    photos: the lamp
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
