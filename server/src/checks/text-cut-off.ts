import type { Check } from './check.ts';

/** Found while the file is read: procedure/ and syntax/ write its messages. */
export const textCutOff: Check = {
  name: 'text-cut-off',
  severity: 'warning',
  group: 'structure',
  proves: 'No text ends early at a # that YAML takes for a comment.',
  why: 'The technician reads half a sentence, and nothing shows that the other half was lost.',
  source: 'YAML 1.2.2, 6.6 Comments',
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is lamp #12 lit?
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
    ask: "Is lamp #12 lit?"
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
};
