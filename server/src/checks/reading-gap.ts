import { bandExaminations, ofReading } from './band-examinations.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { listed } from './edits.ts';
import type { Fix } from '../findings/finding.ts';
import type { Step } from '../procedure/model.ts';
import { nameOf, placeOf } from './walk-of.ts';

export const readingGap: Check = {
  name: 'reading-gap',
  severity: 'error',
  group: 'flow',
  proves: 'Every reading, answer or choice that can come about has a result.',
  why: 'The meter shows 12.2 V, and the sheet knows only what follows from less than 12 and from more than 12.4.',
  bad: `procedure: rest
title: Battery at rest
steps:
  - step: rest
    measure: dc_voltage
    results:
      - when: at least 12.4 V
        passes: true
      - when: below 12 V
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
      if (step === undefined || examination.gaps.length === 0) continue;
      const gaps = examination.gaps.map((gap) => ofReading(gap.text));
      yield {
        span: step.resultsSpan ?? placeOf(step),
        step: nameOf(step),
        message: `'${nameOf(step)}' has no result for a reading ${listed(gaps.slice(0, 3), 'or')}.`,
        ...(gaps.length > 3 ? { note: `And ${gaps.length - 3} more such gaps.` } : {}),
        help: 'Move a limit so that the results meet, or add a last result `when: otherwise`.',
        ...otherwiseFix(context, step),
      };
    }
    for (const programStep of context.program.steps) {
      const step = steps[programStep.index];
      if (step === undefined) continue;
      if (step.seek && step.results.length > 0) yield* seekGap(step);
      if (programStep.decidesFact === undefined) continue;
      const fact = context.program.facts[programStep.decidesFact];
      const whens = programStep.results.map((result) => result.when);
      if (fact === undefined || whens.some((when) => when.kind === 'otherwise')) continue;
      const missing = fact.choices.filter((_, choice) => (fact.only?.includes(choice) ?? true) && !whens.some((when) => when.choice === choice));
      if (missing.length === 0) continue;
      yield {
        span: step.resultsSpan ?? placeOf(step),
        step: nameOf(step),
        subject: fact.name,
        message: `'${nameOf(step)}' has no result for an asset whose ${fact.name} is ${listed(missing, 'or')}.`,
        help: 'Add a result for each, or a last result `when: otherwise`.',
      };
    }
  },
};

function* seekGap(step: Step) {
  const kinds = new Set(step.results.map((result) => result.when?.kind));
  if (kinds.has('otherwise')) return;
  for (const kind of ['found', 'not_found'] as const) {
    if (kinds.has(kind)) continue;
    yield {
      span: step.resultsSpan ?? placeOf(step),
      step: nameOf(step),
      message: `'${nameOf(step)}' has no result for ${kind === 'found' ? 'a point that meets the band' : 'the case that no point meets the band'}.`,
      help: `Add a result \`when: ${kind}\`.`,
    };
  }
}

/** A last result that takes the rest: the writer fills in what it means. */
function otherwiseFix(context: CheckContext, step: Step): { fixes: Fix[] } | undefined {
  const last = step.results[step.results.length - 1];
  if (last === undefined) return undefined;
  const { text, file } = context;
  const dash = text.lastIndexOf('-', last.span.start);
  const indent = text.slice(text.lastIndexOf('\n', dash) + 1, dash);
  if (indent.trim() !== '' || last.span.end <= last.span.start) return undefined;
  const end = last.span.start + text.slice(last.span.start, last.span.end).trimEnd().length;
  return {
    fixes: [{
      title: 'Add a last result for every other reading',
      altersMeaning: true,
      edits: [{ file, span: { start: end, end }, newText: `\n${indent}- when: otherwise\n${indent}  refer: Say here who decides, or what to look at.` }],
    }],
  };
}
