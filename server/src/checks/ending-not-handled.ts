import { resultMatchesEnding, statesByName, type CalleeEnding } from '../flow/explore.ts';
import { runCalled } from '../flow/run-called.ts';
import type { Check, CheckContext } from './check.ts';
import { begunSteps, nameOf, walkToNode } from './walk-of.ts';

export const endingNotHandled: Check = {
  name: 'ending-not-handled',
  severity: 'error',
  group: 'flow',
  proves: 'A `run` step says what follows every ending that the procedure run can have from there.',
  why: 'The technician comes back from the other sheet with a verdict for which this one has no line.',
  files: {
    'battery.procedure.yaml': `procedure: battery
title: Battery condition
faults:
  flat: {title: Battery discharged, remedy: Charge the battery., cautions: [battery_gas]}
steps:
  - step: rest
    measure: dc_voltage
    results:
      - when: at least 12.4 V
        passes: true
      - when: below 12.4 V
        finds: flat
`,
  },
  bad: `procedure: crank
title: Engine does not crank
steps:
  - step: battery
    run: battery
    results:
      - when: passed
        refer: Test the starter.
`,
  good: `procedure: crank
title: Engine does not crank
steps:
  - step: battery
    run: battery
    results:
      - when: passed
        refer: Test the starter.
      - when: finds flat
        refer: Fetch a charged battery, then start again.
`,
  *run(context) {
    for (const { step, index, nodes } of begunSteps(context)) {
      const programStep = context.program.steps[index];
      if (step.kind !== 'run' || step.run === undefined || programStep === undefined) continue;
      const missing = new Map<string, { ending: CalleeEnding; node: (typeof nodes)[number] }>();
      for (const node of nodes) {
        for (const ending of endingsFrom(context, step.run.value, node.begun)) {
          const handled = programStep.results.length === 0 ? ending.ending === 'passed' : programStep.results.some((result) => resultMatchesEnding(result, ending));
          const text = endingText(ending);
          if (!handled && !missing.has(text)) missing.set(text, { ending, node });
        }
      }
      for (const [text, { node }] of missing) {
        yield {
          span: step.run.span,
          step: nameOf(step),
          message: `'${nameOf(step)}' does not say what follows when '${step.run.value}' ends with '${text}'.`,
          help: `Add a result \`when: ${text}\`, or \`when: otherwise\` as the last one.`,
          ...walkToNode(context, node),
        };
      }
    }
  },
};

/** The endings of a procedure run from these states; none where it is not known. */
export function endingsFrom(context: CheckContext, name: string, states: readonly number[]): readonly CalleeEnding[] {
  const other = context.procedureNamed(name);
  if (other === undefined || other.procedure === context.procedure) return [];
  // Procedures that it runs in turn end as they may, from any states: enough to know which endings there are.
  return runCalled(other.program, statesByName(context.program, states), () => undefined).endings;
}

export function endingText(ending: { readonly ending: string; readonly fault?: string }): string {
  return ending.fault === undefined ? ending.ending : `${ending.ending} ${ending.fault}`;
}
