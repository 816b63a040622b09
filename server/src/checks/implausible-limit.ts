import type { Check } from './check.ts';
import { limitVerdicts } from './limit-verdicts.ts';

export const implausibleLimit: Check = {
  name: 'implausible-limit',
  severity: 'warning',
  group: 'quantities',
  proves: "No limit lies where the quantity or its circuit cannot be: below absolute zero, a negative resistance, 30 V on a 12 V circuit.",
  why: "A limit that no machine can reach passes the good and the bad alike.",
  source: 'Common practice, no source',
  bad: `procedure: charging
title: Battery not charged
circuits:
  charging_line: {nominal: 12 V}
steps:
  - step: charge
    measure: dc_voltage
    circuit: charging_line
    results:
      - when: at most 30 V
        passes: true
      - when: above 30 V
        refer: Replace the regulator.
`,
  good: `procedure: charging
title: Battery not charged
circuits:
  charging_line: {nominal: 12 V}
steps:
  - step: charge
    measure: dc_voltage
    circuit: charging_line
    results:
      - when: at most 14.7 V
        passes: true
      - when: above 14.7 V
        refer: Replace the regulator.
`,
  *run(context) {
    for (const { check, index: _step, ...report } of context.once(limitVerdicts)) if (check === 'implausible-limit') yield report;
  },
};
