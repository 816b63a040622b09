import { allSteps, type Check } from './check.ts';
import { nameOf } from './walk-of.ts';

export const figureMissing: Check = {
  name: 'figure-missing',
  severity: 'error',
  group: 'document',
  proves: 'Every image that a step shows is there.',
  why: 'The checklist shows an empty frame where the technician was to see which terminal is meant.',
  source: 'Common practice, no source',
  files: { 'holder.svg': '<svg xmlns="http://www.w3.org/2000/svg"/>' },
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is the lamp lit?
    figure: holdre.svg
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
  good: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is the lamp lit?
    figure: holder.svg
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
  texts: 'whole',
  *run(context) {
    for (const step of allSteps(context.procedure)) {
      const { figure } = step;
      if (figure === undefined) continue;
      const path = figure.value.trim();
      const base = { span: figure.span, step: nameOf(step) };
      if (/^(?:[a-z][a-z0-9+.-]*:|[/\\]|[A-Za-z]:)/u.test(path)) {
        yield { ...base, message: `The figure '${path}' is not a file beside the procedure.`, help: 'Put the image beside the procedure and write its path from here.' };
      } else if (context.fileExists(path) === false) {
        yield { ...base, message: `The figure '${path}' does not exist.`, help: 'Correct the path, which starts from the folder of this file, or add the image.' };
      }
    }
  },
};
