import type { Report } from '../findings/finding.ts';
import { statesDuring, type StateVector } from '../flow/meaning.ts';
import type { ProgramStep } from '../flow/program.ts';
import { walkTo, type FlowEdge } from '../flow/explore.ts';
import type { Step } from '../procedure/model.ts';
import { compareRational } from '../quantity/rational.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { fixOf, insertKey, listed, words } from './edits.ts';
import { circleThrough } from '../flow/loops.ts';
import { asWitness, begunSteps, nameOf, placeOf } from './walk-of.ts';

export const heldTooLong: Check = {
  name: 'held-too-long',
  severity: 'error',
  group: 'safety',
  proves: 'Every step that holds a control says for how long at most, lets go of it at its end, waits no longer than that, and no loop holds it again without a rest.',
  why: 'A motor, solenoid or starter held on overheats, and the reading drifts while it does.',
  source: 'TM 10-3930-671-24: crank at most 30 s, then at least 2 min of cooling',
  bad: `procedure: starter
title: Starter turns slowly
states:
  start_switch: {values: [released, start], at_start: released, held: [start]}
steps:
  - step: crank
    ask: How does the engine turn?
    during: {start_switch: start}
    results:
      - when: slowly
        refer: Test the battery.
      - when: normally
        passes: true
`,
  good: `procedure: starter
title: Starter turns slowly
states:
  start_switch: {values: [released, start], at_start: released, held: [start]}
steps:
  - step: crank
    ask: How does the engine turn?
    during: {start_switch: start}
    max_time: 15 s
    results:
      - when: slowly
        refer: Test the battery.
      - when: normally
        passes: true
`,
  *run(context) {
    const { program, exploration } = context;
    const steps = allSteps(context.procedure);
    for (const { step, index, nodes } of begunSteps(context)) {
      const programStep = program.steps[index] as ProgramStep;
      yield* leftHeld(context, step, nodes[0]?.id ?? 0, index);
      const held = heldStates(context, programStep);
      if (step.during.length > 0 && step.wait && step.maxTime && compareRational(step.wait.value.base, step.maxTime.value.base) > 0) {
        yield {
          span: step.wait.span,
          step: nameOf(step),
          subject: programStep.during.map(({ state }) => program.states[state]?.name ?? '')[0] ?? '',
          message: `'${nameOf(step)}' may hold ${listed(step.during.map(({ state }) => words(state.value)))} for ${step.maxTime.value.text} at most, and waits ${step.wait.value.text} meanwhile.`,
          note: 'The pause of a step passes while its `during` holds.',
          help: 'Put the pause into a step of its own, after this one.',
          ...asWitness(context, walkTo(exploration, nodes[0]?.id ?? 0), index),
        };
      }
      if (held.length === 0) continue;
      const what = listed(held.map((name) => words(name)));
      if (step.maxTime === undefined) {
        const fixes = fixOf('Add `max_time: 5 s` and set the time that the maker allows', insertKey(context, step, 'max_time: 5 s'), true);
        yield {
          span: step.during[0]?.span ?? placeOf(step),
          step: nameOf(step),
          subject: held[0] ?? '',
          message: `'${nameOf(step)}' holds ${what} and does not say for how long.`,
          help: "Give it `max_time`, from the maker's data.",
          ...asWitness(context, walkTo(exploration, nodes[0]?.id ?? 0), index),
          ...(fixes ? { fixes } : {}),
        };
      }
      // A rest anywhere in the loop counts; a loop that goes around it does not have it.
      const rests = (edge: FlowEdge): boolean => !edge.passedOver && restsAt(steps[edge.step], edge.step === index);
      const circle = restsAt(step, true) ? undefined : nodes.map((node) => circleThrough(exploration, node.id, rests)).find((found) => found !== undefined);
      if (circle === undefined) continue;
      const fixes = fixOf('Add `rest: 2 min` and set the time that the maker asks for', insertKey(context, step, 'rest: 2 min'), true);
      yield {
        span: step.during[0]?.span ?? placeOf(step),
        step: nameOf(step),
        subject: held[0] ?? '',
        message: `A loop holds ${what} at '${nameOf(step)}' again and again without a rest.`,
        help: `Give '${nameOf(step)}' a \`rest\`, or put a \`wait\` into the loop.`,
        ...asWitness(context, [...walkTo(exploration, circle[0]?.from ?? 0), ...circle], index),
        ...(fixes ? { fixes } : {}),
      };
    }
  },
};

/** The states that a step holds at one of their `held` values, by its `during` or, where `before` is given, as an earlier step left them. */
export function heldStates(context: CheckContext, step: ProgramStep, before?: StateVector): string[] {
  const { program } = context;
  const vector = statesDuring(step, before ?? program.states.map(() => 0));
  return program.states.flatMap((state, index) => (state.held.some((value) => vector[index] === 1 << value) ? [state.name] : []));
}

/** A `rest` is one; a `wait` in the step that holds the control passes while it is held, and is none. */
function restsAt(step: Step | undefined, holds: boolean): boolean {
  return step?.rest !== undefined || (step?.wait !== undefined && !holds);
}

/** States that a step or a result of it leaves at a value that someone must hold: after it nobody is asked to let go. */
function* leftHeld(context: CheckContext, step: Step, node: number, index: number): Generator<Report> {
  const written = [...step.sets, ...step.results.flatMap((result) => result.sets)];
  const reported = new Set<string>();
  for (const { state, values, span } of written) {
    const name = state.value;
    const value = values[0]?.value;
    const declared = context.scope.states.get(name)?.item;
    if (value === undefined || reported.has(name) || !declared?.held.some((held) => held.value === value)) continue;
    reported.add(name);
    yield {
      span,
      step: nameOf(step),
      subject: name,
      message: `'${nameOf(step)}' leaves ${words(name)} at ${words(value)}, which someone must go on holding, and nothing says for how long.`,
      note: '`sets` is what stays when the step is over; what is held ends with it.',
      help: `Say \`during: {${name}: ${value}}\` and \`max_time\` at each step that holds it, in place of \`sets\`.`,
      ...asWitness(context, walkTo(context.exploration, node), index),
    };
  }
}
