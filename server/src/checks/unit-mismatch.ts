import type { Check } from './check.ts';
import { kindReports } from './quantity-kinds.ts';

/** What stands under a key of one kind (`nominal`, `time`) is found while the file is read; what must fit a reading, here. */
export const unitMismatch: Check = {
  name: 'unit-mismatch',
  severity: 'error',
  group: 'quantities',
  proves: 'Every limit, range, expression and instrument has the kind of quantity that is read: no volts for ohms, no temperature for a difference, no gauge pressure for absolute.',
  why: 'A limit of another kind judges nothing, and the reader will guess which of the two was meant.',
  source: 'ISO 80000-1: quantities of the same kind can be compared (from memory)',
  bad: `procedure: coil
title: Coil
steps:
  - step: coil
    measure: resistance
    results:
      - when: at least 18 V
        passes: true
      - when: otherwise
        refer: Replace the coil.
`,
  good: `procedure: coil
title: Coil
steps:
  - step: coil
    measure: resistance
    results:
      - when: at least 18 ohm
        passes: true
      - when: otherwise
        refer: Replace the coil.
`,
  *run(context) {
    for (const { check, ...report } of context.once(kindReports)) if (check === 'unit-mismatch') yield report;
  },
};
