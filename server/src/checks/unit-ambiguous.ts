import type { Check } from './check.ts';

/** Found while the file is read: procedure/ and syntax/ write its messages. */
export const unitAmbiguous: Check = {
  name: 'unit-ambiguous',
  severity: 'error',
  group: 'quantities',
  proves: 'No unit can be read in two ways.',
  why: 'A US gallon and an imperial gallon differ by a fifth.',
  bad: `procedure: supply
title: Supply low
steps:
  - step: supply
    measure: volume
    results:
      - when: at least 2 gal
        passes: true
      - when: below 2 gal
        refer: Fetch a charged battery.
`,
  good: `procedure: supply
title: Supply low
steps:
  - step: supply
    measure: volume
    results:
      - when: at least 2 US gal
        passes: true
      - when: below 2 US gal
        refer: Fetch a charged battery.
`,
};
