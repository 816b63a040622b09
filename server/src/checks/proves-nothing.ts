import type { Program, Way } from '../flow/program.ts';
import { allSteps, type Check } from './check.ts';
import { nameOf, placeOf } from './walk-of.ts';

export const provesNothing: Check = {
  name: 'proves-nothing',
  severity: 'warning',
  group: 'diagnosis',
  proves: 'The results of every test lead to something different: another way on, other faults, other states.',
  why: 'A test that changes nothing costs minutes and, on a machine that can hurt, risk.',
  bad: `procedure: wiper
title: Wiper does not move
faults:
  motor: {title: Motor failed, remedy: Replace the motor.}
steps:
  - step: look
    ask: Is the blade worn?
    results:
      - when: yes
        says: Worn.
      - when: no
        says: Not worn.
  - step: feed
    ask: Does a test lamp light at the motor?
    results:
      - when: yes
        finds: motor
      - when: no
        refer: Trace the feed.
`,
  good: `procedure: wiper
title: Wiper does not move
faults:
  motor: {title: Motor failed, remedy: Replace the motor.}
steps:
  - step: feed
    ask: Does a test lamp light at the motor?
    results:
      - when: yes
        finds: motor
      - when: no
        refer: Trace the feed.
`,
  texts: (context, { lines }) => stepNamesIn(context.program, lines),
  *run(context) {
    const steps = allSteps(context.procedure);
    for (const step of context.program.steps) {
      const written = steps[step.index];
      const [first, ...rest] = step.results;
      if (written === undefined || first === undefined || rest.length === 0 || step.kind === 'decide' || step.kind === 'run') continue;
      if (written.atEach.length > 0 || written.photo) continue;
      const effect = (result: typeof first): string =>
        JSON.stringify([wayText(result.way), [...result.rulesOut].sort(), result.leaves, result.sets, result.raises]);
      if (rest.some((result) => effect(result) !== effect(first))) continue;
      // Two ways to refer differ in what they tell the technician.
      if (new Set(written.results.map((result) => (result.way.kind === 'refer' ? result.way.text.value : ''))).size > 1) continue;
      if (readingUsed(context.text, written.name?.value)) continue;
      yield {
        span: placeOf(written),
        step: nameOf(written),
        message: `All results of '${nameOf(written)}' lead to the same.`,
        note: 'They exclude the same faults, set the same states and go on the same way.',
        help: 'Say what each result proves (`rules_out`, `leaves`, `finds`), or take the step out.',
      };
    }
  },
};

function wayText(way: Way): string {
  return JSON.stringify(way);
}

/** Whether a later expression or text may use the reading. */
/** The names of steps among the words of a text. */
function stepNamesIn(program: Program, text: string): string {
  let names = namesOfSteps.get(program);
  if (names === undefined) {
    const all = program.steps.map((step) => step.name);
    // A name that is no word may begin or end anywhere.
    namesOfSteps.set(program, (names = all.every((name) => /^\w+$/u.test(name)) ? new Set(all) : 'not all are words'));
  }
  if (names === 'not all are words') return text;
  const known = names;
  return (text.match(/\w+/gu) ?? []).filter((word) => known.has(word)).sort().join(' ');
}

const namesOfSteps = new WeakMap<Program, ReadonlySet<string> | 'not all are words'>();

function readingUsed(text: string, name: string | undefined): boolean {
  return name !== undefined && (text.match(new RegExp(`\\b${name}\\b`, 'gu')) ?? []).length > 1;
}
