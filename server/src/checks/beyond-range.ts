import type { Check } from './check.ts';
import { limitVerdicts } from './limit-verdicts.ts';

export const beyondRange: Check = {
  name: 'beyond-range',
  severity: 'error',
  group: 'quantities',
  proves: "Every limit can be read: it lies inside the range that the step sets and what the instrument reads, for every asset.",
  why: "The needle stands at its stop, and the reading is written down all the same.",
  source: 'Common practice, no source',
  shop: `shop: Workshop
instruments:
  gauge: {title: Hydraulic gauge, measures: {pressure: {up_to: 250 bar, resolution: 5 bar, accuracy: 1 %}}}
  fine_gauge: {title: Fine hydraulic gauge, measures: {pressure: {up_to: 400 bar, resolution: 0.5 bar, accuracy: 0.5 %}}}
`,
  bad: `procedure: relief
title: Lift slow
steps:
  - step: pressure
    measure: pressure
    with: gauge
    results:
      - when: at least 280 bar
        passes: true
      - when: below 280 bar
        refer: Test the relief valve.
`,
  good: `procedure: relief
title: Lift slow
steps:
  - step: pressure
    measure: pressure
    with: fine_gauge
    results:
      - when: at least 280 bar
        passes: true
      - when: below 280 bar
        refer: Test the relief valve.
`,
  *run(context) {
    for (const { check, index: _step, ...report } of context.once(limitVerdicts)) if (check === 'beyond-range') yield report;
  },
};
