import type { Check } from './check.ts';
import { kindReports } from './quantity-kinds.ts';

/** Quantities that stand alone are found while the file is read; limits of a reading that has a unit, here. */
export const unitMissing: Check = {
  name: 'unit-missing',
  severity: 'error',
  group: 'quantities',
  proves: 'Every quantity has its unit.',
  why: '12 means nothing until it says volts, and the reader will supply the unit that suits him.',
  source: 'NIST SP 811, 7.2 (from memory)',
  bad: `procedure: supply
title: Supply low
circuits:
  supply: {nominal: 12 V}
steps:
  - step: supply
    measure: dc_voltage
    circuit: supply
    results:
      - when: at least 12.4
        passes: true
      - when: below 12.4
        refer: Fetch a charged battery.
`,
  good: `procedure: supply
title: Supply low
circuits:
  supply: {nominal: 12 V}
steps:
  - step: supply
    measure: dc_voltage
    circuit: supply
    results:
      - when: at least 12.4 V
        passes: true
      - when: below 12.4 V
        refer: Fetch a charged battery.
`,
  *run(context) {
    for (const { check, ...report } of context.once(kindReports)) if (check === 'unit-missing') yield report;
  },
};
