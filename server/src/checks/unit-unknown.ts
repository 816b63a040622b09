import type { Check } from './check.ts';

/** Found while the file is read: procedure/ and syntax/ write its messages. */
export const unitUnknown: Check = {
  name: 'unit-unknown',
  severity: 'error',
  group: 'quantities',
  proves: 'Every unit is one that is known.',
  why: 'A limit in a unit that nobody can read cannot be judged.',
  bad: `procedure: supply
title: Supply low
steps:
  - step: supply
    measure: dc_voltage
    results:
      - when: at least 12.4 Vlt
        passes: true
      - when: below 12.4 Vlt
        refer: Fetch a charged battery.
`,
  good: `procedure: supply
title: Supply low
steps:
  - step: supply
    measure: dc_voltage
    results:
      - when: at least 12.4 V
        passes: true
      - when: below 12.4 V
        refer: Fetch a charged battery.
`,
};
