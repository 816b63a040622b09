import { bandExaminations, ofReading } from './band-examinations.ts';
import { allSteps, type Check } from './check.ts';
import { nameOf } from './walk-of.ts';

export const readingOverlap: Check = {
  name: 'reading-overlap',
  severity: 'error',
  group: 'flow',
  proves: 'No reading meets two results of its step.',
  why: 'Two lines apply, they lead to different faults, and the technician picks one.',
  bad: `procedure: rest
title: Battery at rest
steps:
  - step: rest
    measure: dc_voltage
    results:
      - when: at least 12.4 V
        passes: true
      - when: at most 12.6 V
        refer: Fetch a charged battery.
`,
  good: `procedure: rest
title: Battery at rest
steps:
  - step: rest
    measure: dc_voltage
    results:
      - when: at least 12.4 V
        passes: true
      - when: below 12.4 V
        refer: Fetch a charged battery.
`,
  *run(context) {
    const steps = allSteps(context.procedure);
    for (const { step: index, examination } of context.once(bandExaminations)) {
      const step = steps[index];
      if (step === undefined) continue;
      for (const overlap of examination.overlaps) {
        const [first, second] = overlap.bands.map((band) => step.results[band]);
        if (first?.when === undefined || second?.when === undefined) continue;
        yield {
          span: second.when.span,
          step: nameOf(step),
          message: `A reading ${ofReading(overlap.text)} meets both '${first.when.text}' and '${second.when.text}' of '${nameOf(step)}'.`,
          help: 'Move one of the two limits, so that each reading has one result.',
          related: [{ file: context.file, span: first.when.span, message: 'The other result.' }],
        };
      }
    }
  },
};
