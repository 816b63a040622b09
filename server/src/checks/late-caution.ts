import { cautionGaps } from './caution-gaps.ts';
import { missingCaution } from './missing-caution.ts';
import { allSteps, type Check } from './check.ts';
import { addCaution, fixOf, inSentence, words } from './edits.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

export const lateCaution: Check = {
  name: 'late-caution',
  severity: 'error',
  group: 'safety',
  proves: 'No caution comes only after the step in which its hazard arises.',
  why: 'By the time it is read, the hand has been where it should not be.',
  source: 'MIL-STD-2106A(SH) appendix B: a warning stands before the step it applies to',
  shop: missingCaution.shop as string,
  bad: `procedure: belt_noise
title: Belt squeals
steps:
  - step: turn_pulley
    do: [Turn the pulley by hand.]
  - step: listen
    ask: Does it squeal?
    cautions: [fingers]
    results:
      - when: yes
        refer: Replace the bearing.
      - when: no
        passes: true
`,
  good: missingCaution.good,
  *run(context) {
    const steps = allSteps(context.procedure);
    for (const gap of context.once(cautionGaps)) {
      const step = steps[gap.step];
      const late = gap.late === undefined ? undefined : steps[gap.late];
      const hazard = gap.hazards[0];
      if (step === undefined || late === undefined || hazard === undefined) continue;
      const title = inSentence(hazard.hazard.title?.value ?? words(hazard.hazard.name.value));
      const fixes = gap.suggestion && fixOf(`Give '${gap.suggestion}' at '${nameOf(step)}'`, addCaution(context, step, gap.suggestion), true);
      yield {
        span: hazard.span,
        step: nameOf(step),
        subject: hazard.hazard.name.value,
        message: `The caution against ${title} comes at '${nameOf(late)}', after '${nameOf(step)}' where the hazard arises.`,
        note: `It arises because ${hazard.cause}.`,
        help: `Give the caution at '${nameOf(step)}'.`,
        related: [{ file: context.file, span: late.cautionsSpan ?? placeOf(late), message: 'The caution is given here.' }],
        ...(fixes ? { fixes } : {}),
        ...asWitness(context, gap.walk, gap.step),
      };
    }
  },
};
