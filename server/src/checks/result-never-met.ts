import { bandExaminations } from './band-examinations.ts';
import { allSteps, type Check } from './check.ts';
import { endingsFrom, endingText } from './ending-not-handled.ts';
import { listed, words } from './edits.ts';
import { begunSteps, nameOf } from './walk-of.ts';

export const resultNeverMet: Check = {
  name: 'result-never-met',
  severity: 'warning',
  group: 'flow',
  proves: 'Every result can be selected by some reading, answer, fact or ending.',
  why: 'A line that can never apply hides the mistake that made it so.',
  wholeOnly: true,
  bad: `procedure: supply
title: Supply low
steps:
  - step: supply
    measure: dc_voltage
    results:
      - when: at least 12 V
        passes: true
      - when: below 12 V
        refer: Fetch a charged battery.
      - when: otherwise
        refer: Replace the battery.
`,
  good: `procedure: supply
title: Supply low
steps:
  - step: supply
    measure: dc_voltage
    results:
      - when: at least 12 V
        passes: true
      - when: below 12 V
        refer: Fetch a charged battery.
`,
  *run(context) {
    const steps = allSteps(context.procedure);
    for (const examined of context.once(bandExaminations)) {
      const step = steps[examined.step];
      if (step === undefined) continue;
      for (const { band, reason } of examined.examination.neverMet) {
        const result = step.results[band];
        if (result === undefined) continue;
        yield {
          span: result.when?.span ?? result.span,
          step: nameOf(step),
          message: `No reading can select the result '${result.when?.text ?? ''}' of '${nameOf(step)}'.`,
          note: NEVER_MET[reason],
          help: reason === 'taken' ? 'Take it out, or correct a limit of the others.' : 'Correct its limit, or take it out.',
        };
      }
    }
    for (const { step, index, nodes } of begunSteps(context)) {
      const programStep = context.program.steps[index];
      if (programStep === undefined) continue;
      yield* repeatedAnswers(step);
      if (step.kind === 'run' && step.run && context.procedureNamed(step.run.value)) {
        const { run } = step;
        const endings = nodes.flatMap((node) => endingsFrom(context, run.value, node.begun)).map(endingText);
        if (endings.length === 0) continue;
        for (const result of step.results) {
          if (result.when?.kind !== 'ending' || endings.includes(endingText({ ending: result.when.ending, ...(result.when.fault ? { fault: result.when.fault.value } : {}) }))) continue;
          yield {
            span: result.when.span,
            step: nameOf(step),
            message: `'${run.value}' never ends with '${result.when.text}'.`,
            note: `From here it ends with ${listed([...new Set(endings)].map((text) => `'${text}'`), 'or')}.`,
            help: 'Name one of these endings, or take the result out.',
          };
        }
      }
      if (programStep.decidesFact !== undefined) {
        const possible = nodes.reduce((set, node) => set | (node.facts[programStep.decidesFact ?? 0] ?? 0), 0);
        const named = programStep.results.reduce((set, { when }) => (when.choice === undefined ? set : set | (1 << when.choice)), 0);
        for (const [at, result] of programStep.results.entries()) {
          if (result.when.kind === 'otherwise' && (possible & ~named) === 0 && possible !== 0) {
            yield {
              span: step.results[at]?.when?.span ?? step.span,
              step: nameOf(step),
              message: `No asset comes to '${result.when.text}' of '${nameOf(step)}': the results before it name every choice of ${words(context.program.facts[programStep.decidesFact]?.name ?? '')} that comes here.`,
              help: 'Take the result out, or one of the choices that it was meant for.',
            };
          }
          if (result.when.choice === undefined || (possible >> result.when.choice) & 1) continue;
          yield {
            span: step.results[at]?.when?.span ?? step.span,
            step: nameOf(step),
            message: `No asset comes here with '${result.when.text}'.`,
            note: '`applies_to`, or the results that lead here, exclude it.',
            help: 'Take the result out, or correct what leads here.',
          };
        }
      }
    }
  },
};

const NEVER_MET = {
  taken: 'The other results take every reading.',
  empty: 'Its own limits exclude each other.',
  outside: 'The quantity cannot have such a value.',
  not_shown: 'The instrument does not show that.',
} as const;

/** An answer that an earlier result of the step already takes. */
function* repeatedAnswers(step: ReturnType<typeof allSteps>[number]) {
  if (step.kind !== 'ask') return;
  const seen = new Set<string>();
  for (const result of step.results) {
    if (result.when?.kind !== 'answer') continue;
    const answer = result.when.text.trim().toLowerCase();
    if (seen.has(answer)) {
      yield {
        span: result.when.span,
        step: nameOf(step),
        message: `The answer '${result.when.text}' of '${nameOf(step)}' stands twice.`,
        help: 'Correct one of the two, or take one out.',
      };
    }
    seen.add(answer);
  }
}
