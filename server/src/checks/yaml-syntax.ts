import type { Check } from './check.ts';

/** Found while the file is read: procedure/ and syntax/ write its messages. */
export const yamlSyntax: Check = {
  name: 'yaml-syntax',
  severity: 'error',
  group: 'structure',
  proves: 'The file is well-formed YAML.',
  why: 'What cannot be read cannot be checked, and a misplaced blank can hide a whole step.',
  source: 'YAML 1.2.2',
  bad: `procedure: lamp
title: 'Lamp dark
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
