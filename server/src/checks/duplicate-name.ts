import type { Check } from './check.ts';

/** Found while the file is read: procedure/ and syntax/ write its messages. */
export const duplicateName: Check = {
  name: 'duplicate-name',
  severity: 'error',
  group: 'structure',
  proves: 'No two things of one kind share a name.',
  why: 'A `go` to a name that two steps have leads to only one of them.',
  bad: `procedure: lamp
title: Lamp dark
facts:
  bulb: {quantity: power, from: Data plate}
  bulb: {quantity: power, from: Data sheet}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Fit a bulb of {bulb}.
`,
  good: `procedure: lamp
title: Lamp dark
facts:
  bulb: {quantity: power, from: Data plate}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Fit a bulb of {bulb}.
`,
};
