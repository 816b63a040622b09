import { bandExaminations } from './band-examinations.ts';
import { allSteps, type Check } from './check.ts';
import { nameOf, placeOf } from './walk-of.ts';

export const limitsUndecided: Check = {
  name: 'limits-undecided',
  severity: 'hint',
  group: 'flow',
  proves: 'Where it cannot be decided from the text whether every reading has one result, that is said.',
  why: 'A silent checker would be taken for a proof.',
  shop: `shop: Workshop
instruments:
  lamp: {title: Test lamp}
  good_lamp: {title: Test lamp, shows: {dc_voltage: [lit, dark]}}
`,
  bad: `procedure: fuse
title: Fuse
steps:
  - step: fuse
    measure: dc_voltage
    with: lamp
    results:
      - when: lit
        passes: true
      - when: dark
        refer: Replace the fuse.
`,
  good: `procedure: fuse
title: Fuse
steps:
  - step: fuse
    measure: dc_voltage
    with: good_lamp
    results:
      - when: lit
        passes: true
      - when: dark
        refer: Replace the fuse.
`,
  *run(context) {
    const steps = allSteps(context.procedure);
    for (const { step: index, examination } of context.once(bandExaminations)) {
      const step = steps[index];
      const first = examination.undecided[0];
      // An instrument that nobody declared has a finding of its own.
      const unknownInstrument = step?.instrument && !context.scope.instruments.has(step.instrument.value);
      if (step === undefined || first === undefined || unknownInstrument) continue;
      yield {
        span: step.resultsSpan ?? placeOf(step),
        step: nameOf(step),
        message: first.text,
        help: 'The runner will refuse a reading without one result. Use `between … and …` with `otherwise` where the order of the limits is sure.',
      };
    }
  },
};
