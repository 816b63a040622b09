import type { FlowEdge } from '../flow/explore.ts';
import type { HazardAt } from '../flow/hazards.ts';
import type { Report } from '../findings/finding.ts';
import { bestCaution, cautionGaps, type CautionGap } from './caution-gaps.ts';
import { remedyGaps, type RemedyGap } from './remedy-hazards.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { addCaution, addToRemedy, fixOf, inSentence, listed, words } from './edits.ts';
import { asWitness, nameOf } from './walk-of.ts';

export const missingCaution: Check = {
  name: 'missing-caution',
  severity: 'error',
  group: 'safety',
  proves: 'Before every step in which a hazard arises, and with every remedy that has one, every walk has shown a caution that covers it.',
  why: 'A warning that was not given cannot keep anyone out of harm.',
  source: 'ANSI Z535.6; IEC/IEEE 82079-1:2019 (from memory): safety messages stand at the point of use, before the step',
  shop: `shop: Workshop
hazards:
  pinch:
    title: Fingers pinched between belt and pulley
    arises_from: {words: [turn the pulley]}
    repeat: every_step
cautions:
  fingers:
    signal: warning
    hazard: The belt can pull fingers into the pulley.
    consequence: Fingers can be crushed.
    avoid: Keep fingers away from the belt.
    covers: [pinch]
`,
  bad: `procedure: belt_noise
title: Belt squeals
steps:
  - step: turn_pulley
    do: [Turn the pulley by hand.]
  - step: listen
    ask: Does it squeal?
    results:
      - when: yes
        refer: Replace the bearing.
      - when: no
        passes: true
`,
  good: `procedure: belt_noise
title: Belt squeals
steps:
  - step: turn_pulley
    do: [Turn the pulley by hand.]
    cautions: [fingers]
  - step: listen
    ask: Does it squeal?
    results:
      - when: yes
        refer: Replace the bearing.
      - when: no
        passes: true
`,
  *run(context) {
    for (const gap of context.once(cautionGaps)) {
      if (gap.late !== undefined) continue;
      yield gapReport(context, gap);
    }
    yield* ofRemedies(context);
  },
};

function gapReport(context: CheckContext, gap: CautionGap) {
  const step = allSteps(context.procedure)[gap.step];
  const name = step ? nameOf(step) : '';
  const titles = gap.hazards.map((at: HazardAt) => inSentence(at.hazard.title?.value ?? words(at.hazard.name.value)));
  const everyStep = gap.hazards.some((at) => at.hazard.repeat === 'every_step');
  return {
    span: gap.hazards[0]?.span ?? { start: 0, end: 0 },
    step: name,
    subject: gap.hazards[0]?.hazard.name.value ?? '',
    message: `'${name}' has a hazard without a caution: ${listed(titles)}.`,
    note: `It arises because ${gap.hazards[0]?.cause ?? ''}${everyStep ? '; the caution must be given at every such step' : ''}.`,
    help: gap.suggestion
      ? `Add \`${gap.suggestion}\` to the step's \`cautions\`.`
      : `Write a caution that covers ${listed(gap.hazards.map((at) => `\`${at.hazard.name.value}\``))} and give it at this step.`,
    ...asWitness(context, gap.walk as FlowEdge[], gap.step),
    ...fixes(context, gap),
  };
}

/** One finding for each remedy and caution. */
function* ofRemedies(context: CheckContext): Generator<Report> {
  const left = [...context.once(remedyGaps)];
  while (left.length > 0) {
    const { fault, remedy, cause, walk } = left[0] as RemedyGap;
    const here = left.filter((gap) => gap.fault === fault);
    const suggestion = bestCaution(context, here.map((gap) => gap.hazard.name.value));
    const covered = suggestion ? here.filter((gap) => suggestion.covers.some((name) => name.value === gap.hazard.name.value)) : here.slice(0, 1);
    for (const gap of covered) left.splice(left.indexOf(gap), 1);
    const found = suggestion && fixOf(`Add the caution '${suggestion.name.value}' to the remedy of '${fault.name.value}'`, addToRemedy(context, fault, 'cautions', suggestion.name.value), true);
    yield {
      span: remedy.span,
      subject: fault.name.value,
      message: `The remedy of '${fault.name.value}' has a hazard without a caution: ${listed(covered.map(({ hazard }) => inSentence(hazard.title?.value ?? words(hazard.name.value))))}.`,
      note: `It arises because ${cause}.`,
      help: suggestion
        ? `Add \`${suggestion.name.value}\` to the \`cautions\` of the fault '${fault.name.value}'.`
        : `Write a caution that covers ${listed(covered.map(({ hazard }) => `\`${hazard.name.value}\``))} and give it in the \`cautions\` of the fault.`,
      ...asWitness(context, walk),
      ...(found ? { fixes: found } : {}),
    };
  }
}

function fixes(context: CheckContext, gap: CautionGap) {
  const step = allSteps(context.procedure)[gap.step];
  const { suggestion } = gap;
  if (step === undefined || suggestion === undefined) return {};
  const found = fixOf(`Add the caution '${suggestion}' to '${nameOf(step)}'`, addCaution(context, step, suggestion), true);
  return found ? { fixes: found } : {};
}
