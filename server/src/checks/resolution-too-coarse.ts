import type { Check } from './check.ts';
import { limitVerdicts } from './limit-verdicts.ts';

export const resolutionTooCoarse: Check = {
  name: 'resolution-too-coarse',
  severity: 'warning',
  group: 'quantities',
  proves: "Every limit is one that the display can show.",
  why: "On a gauge with steps of 5 bar, 182 bar is a guess.",
  source: 'JCGM 100:2008, F.2.2.1: resolution of an indication (from memory)',
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
      - when: at least 182 bar
        passes: true
      - when: below 182 bar
        refer: Test the relief valve.
`,
  good: `procedure: relief
title: Lift slow
steps:
  - step: pressure
    measure: pressure
    with: fine_gauge
    results:
      - when: at least 182 bar
        passes: true
      - when: below 182 bar
        refer: Test the relief valve.
`,
  *run(context) {
    for (const { check, index: _step, ...report } of context.once(limitVerdicts)) if (check === 'resolution-too-coarse') yield report;
  },
};
