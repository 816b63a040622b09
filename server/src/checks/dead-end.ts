import { walkTo, type FlowEdge } from '../flow/explore.ts';
import { allSteps, type Check } from './check.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

export const deadEnd: Check = {
  name: 'dead-end',
  severity: 'error',
  group: 'flow',
  proves: 'No walk falls off the end of its list of steps.',
  why: 'The technician stands there with a reading and no next step.',
  wholeOnly: true,
  bad: `procedure: pump_silent
title: Pump does not run
steps:
  - step: listen
    ask: Does the pump run?
    results:
      - when: it runs
        passes: true
      - when: it stays silent
        says: No sound.
`,
  good: `procedure: pump_silent
title: Pump does not run
steps:
  - step: listen
    ask: Does the pump run?
    results:
      - when: it runs
        passes: true
      - when: it stays silent
        says: No sound.
        refer: Test the motor with the maker's data.
`,
  *run(context) {
    const { exploration } = context;
    const steps = allSteps(context.procedure);
    const reported = new Set<string>();
    for (const node of exploration.nodes) {
      if (node.ending?.kind !== 'nowhere' || node.ending.broken) continue;
      for (const id of exploration.into[node.id] ?? []) {
        const edge = exploration.edges[id] as FlowEdge;
        const step = steps[edge.step];
        const key = `${edge.step} ${edge.result ?? ''} ${edge.passedOver}`;
        if (step === undefined || reported.has(key)) continue;
        reported.add(key);
        const result = edge.result === undefined ? undefined : step.results[edge.result];
        const list = step.section === 'steps' ? 'steps' : 'after_repair';
        yield {
          span: result?.when?.span ?? result?.span ?? placeOf(step),
          step: nameOf(step),
          message: edge.passedOver
            ? `When '${nameOf(step)}' is passed over, the walk leads nowhere.`
            : result
              ? `The result '${result.when?.text ?? ''}' of '${nameOf(step)}' leads nowhere.`
              : `After '${nameOf(step)}' the walk leads nowhere.`,
          note: `It is the last step of \`${list}\`, so there is no next one.`,
          help: 'Give it a way on: `go`, `finds`, `by_elimination`, `refer` or `passes: true`.',
          ...asWitness(context, [...walkTo(exploration, edge.from), edge]),
        };
      }
    }
  },
};
