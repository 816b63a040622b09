import type { Check } from './check.ts';
import { limitVerdicts } from './limit-verdicts.ts';

export const scaleSlip: Check = {
  name: 'scale-slip',
  severity: 'warning',
  group: 'quantities',
  proves: "No limit is off by three decades from the others of its step, or by far from its circuit or range, as a wrong prefix or a lost point makes it.",
  why: "500 V for 500 mV lets every bad connection pass.",
  source: 'Common practice, no source',
  bad: `procedure: drop
title: Poor ground
circuits:
  lift_power: {nominal: 24 V}
steps:
  - step: drop
    measure: dc_voltage
    circuit: lift_power
    results:
      - when: at most 400 V
        passes: true
      - when: above 400 V
        refer: Clean the ground points.
`,
  good: `procedure: drop
title: Poor ground
circuits:
  lift_power: {nominal: 24 V}
steps:
  - step: drop
    measure: dc_voltage
    circuit: lift_power
    results:
      - when: at most 400 mV
        passes: true
      - when: above 400 mV
        refer: Clean the ground points.
`,
  *run(context) {
    for (const { check, index: _step, ...report } of context.once(limitVerdicts)) if (check === 'scale-slip') yield report;
  },
};
