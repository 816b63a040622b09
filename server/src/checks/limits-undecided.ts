import { bandExaminations } from './band-examinations.ts';
import { allSteps, type Check } from './check.ts';
import { nameOf, placeOf } from './walk-of.ts';

export const limitsUndecided: Check = {
  name: 'limits-undecided',
  severity: 'hint',
  group: 'flow',
  proves: 'Where it cannot be decided from the text whether every reading has one result, that is said.',
  why: 'A silent checker would be taken for a proof.',
  bad: `procedure: coil
title: Coil
facts:
  low: {quantity: resistance, from: Data sheet}
  high: {quantity: resistance, from: Data sheet}
steps:
  - step: coil
    measure: resistance
    results:
      - when: below low
        refer: Replace the coil.
      - when: above high
        refer: Replace the coil.
      - when: at least low and at most high
        passes: true
`,
  good: `procedure: coil
title: Coil
facts:
  low: {quantity: resistance, from: Data sheet}
  high: {quantity: resistance, from: Data sheet}
steps:
  - step: coil
    measure: resistance
    results:
      - when: between low and high
        passes: true
      - when: otherwise
        refer: Replace the coil.
`,
  *run(context) {
    const steps = allSteps(context.procedure);
    for (const { step: index, examination } of context.once(bandExaminations)) {
      const step = steps[index];
      const first = examination.undecided[0];
      if (step === undefined || first === undefined) continue;
      yield {
        span: step.resultsSpan ?? placeOf(step),
        step: nameOf(step),
        message: first.text,
        help: 'The runner will refuse a reading without one result. Use `between … and …` with `otherwise` where the order of the limits is sure.',
      };
    }
  },
};
