import { bandExaminations } from './band-examinations.ts';
import { allSteps, type Check } from './check.ts';
import { bandsOf, placeInBand } from './limits-of.ts';
import { nameOf } from './walk-of.ts';

export const bandUnclear: Check = {
  name: 'band-unclear',
  severity: 'error',
  group: 'quantities',
  proves: 'Every condition of a band says which reading it judges where there are several, and its limit has a value.',
  why: 'Two readings and one limit: whoever runs the step must guess which of the two it is for.',
  source: 'The format itself',
  bad: `procedure: fuse
title: Fuse
steps:
  - step: fuse
    measure: dc_voltage
    at_each: [fuse_in, fuse_out]
    results:
      - when: at least 20 V
        passes: true
      - when: otherwise
        refer: Trace the feed.
`,
  good: `procedure: fuse
title: Fuse
steps:
  - step: fuse
    measure: dc_voltage
    at_each: [fuse_in, fuse_out]
    judge: lowest
    results:
      - when: at least 20 V
        passes: true
      - when: otherwise
        refer: Trace the feed.
`,
  *run(context) {
    const steps = allSteps(context.procedure);
    for (const { step: index, examination } of context.once(bandExaminations)) {
      const step = steps[index];
      if (step === undefined) continue;
      for (const problem of examination.problems) {
        // What is unknown has been said as a name, and a wrong kind as a unit.
        if (problem.kind !== 'point-missing' && problem.kind !== 'point-unused' && problem.kind !== 'no-value') continue;
        const at = bandsOf(step).find((band) => band.result === problem.band);
        if (at === undefined) continue;
        yield {
          span: placeInBand(at, problem.span),
          step: nameOf(step),
          message: problem.kind === 'point-missing' ? `This condition of '${nameOf(step)}' does not say which of its points it judges.` : problem.message,
          help: problem.help ?? 'Correct the limit.',
        };
        // The other bands of the step have the same want: one finding is enough.
        if (problem.kind !== 'no-value') break;
      }
    }
  },
};
