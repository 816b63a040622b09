import type { RelatedPlace } from '../findings/finding.ts';
import { allSteps, type Check } from './check.ts';
import { listed } from './edits.ts';
import { nameOf } from './walk-of.ts';

/** Names inside a file: found while it is read; procedure/ and syntax/ write those messages. Names of procedures: here. */
export const duplicateName: Check = {
  name: 'duplicate-name',
  severity: 'error',
  group: 'structure',
  proves: 'No two things of one kind share a name, and no two procedures of one shop do.',
  why: 'A `go` to a name that two steps have leads to only one of them. Where a copy of a procedure lies about, `run` takes one of the two, and nobody can tell whether it is the one that was meant.',
  bad: `procedure: lamp
title: Lamp dark
facts:
  bulb: {quantity: power, from: Data plate}
  bulb: {quantity: power, from: Data sheet}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Fit a bulb of {bulb}.
`,
  good: `procedure: lamp
title: Lamp dark
facts:
  bulb: {quantity: power, from: Data plate}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Fit a bulb of {bulb}.
`,
  *run({ file, procedure, filesNamed }) {
    const own = procedure.name;
    const others = own ? filesNamed(own.value).filter((other) => other !== file) : [];
    if (own && others.length > 0) {
      yield {
        span: own.span,
        subject: own.value,
        message: `${others.length === 1 ? 'Another procedure is' : `${others.length} other procedures are`} named '${own.value}' too: ${pathsOf(file, others)}.`,
        note: 'Where one is run by this name, it is not clear which of them is meant.',
        help: 'Give each its own name, or take the copy out of the folders of this shop.',
        related: others.slice(0, MOST).map((other) => related(other, 'It is named so too.')),
      };
    }
    for (const step of allSteps(procedure)) {
      if (step.kind !== 'run' || step.run === undefined) continue;
      const meant = filesNamed(step.run.value);
      const [taken] = meant;
      if (taken === undefined || meant.length < 2) continue;
      yield {
        span: step.run.span,
        step: nameOf(step),
        subject: step.run.value,
        message: `'${nameOf(step)}' runs '${step.run.value}', and ${meant.length} procedures have that name: ${pathsOf(file, meant)}.`,
        note: `As it stands, ${relativePath(file, taken)} would be run.`,
        help: 'Give each its own name, and write here the one that is meant.',
        related: meant.slice(0, MOST).map((other) => related(other, 'It is named so.')),
      };
    }
  },
};

const MOST = 4;

function pathsOf(from: string, files: readonly string[]): string {
  const shown = files.slice(0, MOST).map((file) => relativePath(from, file));
  return listed(files.length > MOST ? [...shown, `${files.length - MOST} more`] : shown);
}

function related(file: string, message: string): RelatedPlace {
  return { file, span: { start: 0, end: 0 }, message };
}

/** A path as seen from the folder of another file. */
function relativePath(from: string, to: string): string {
  const [a, b] = [from.split('/').slice(0, -1), to.split('/')];
  let same = 0;
  while (same < a.length && same < b.length - 1 && a[same] === b[same]) same++;
  return [...a.slice(same).map(() => '..'), ...b.slice(same)].join('/');
}
