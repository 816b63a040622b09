import type { FlowEdge } from '../flow/explore.ts';
import { readingUses, usersByTaker } from '../flow/readings.ts';
import { readingsInDoubt } from '../flow/readings-on-walks.ts';
import { reachWithMemory } from '../flow/walks.ts';
import { allSteps, type Check } from './check.ts';
import { asWitness, nameOf } from './walk-of.ts';

export const readingMissing: Check = {
  name: 'reading-missing',
  severity: 'error',
  group: 'flow',
  proves: 'On every walk a reading is taken before an expression uses it.',
  why: 'A limit that needs a reading nobody took cannot be judged.',
  wholeOnly: true,
  bad: `procedure: coil_signal
title: Coil gets too little
steps:
  - step: listen
    ask: Does the relay click?
    results:
      - when: yes
        go: supply
      - when: no
        go: signal
  - step: supply
    measure: dc_voltage
  - step: signal
    measure: dc_voltage
    results:
      - when: at least supply - 1.5 V
        passes: true
      - when: below supply - 1.5 V
        refer: Trace the feed.
`,
  good: `procedure: coil_signal
title: Coil gets too little
steps:
  - step: supply
    measure: dc_voltage
  - step: signal
    measure: dc_voltage
    results:
      - when: at least supply - 1.5 V
        passes: true
      - when: below supply - 1.5 V
        refer: Trace the feed.
`,
  *run(context) {
    const steps = allSteps(context.procedure);
    const uses = readingUses(context.procedure);
    const reported = new Set<string>();
    const users = usersByTaker(uses);
    const inDoubt = readingsInDoubt(context.exploration, [...users].map(([taker, using]) => ({ taker, users: using })));
    for (const taker of users.keys()) {
      if (!inDoubt.missing.has(taker)) continue;
      const wanted = new Map(uses.filter((use) => use.taker === taker).map((use) => [use.user, use]));
      const search = {
        start: 0,
        along: (memory: number, edge: FlowEdge): number | undefined => (edge.step === taker && !edge.passedOver ? undefined : memory),
      };
      for (const { node, walk } of reachWithMemory(context.exploration, search)) {
        const use = node.step === undefined || node.passedOver || node.step === taker ? undefined : wanted.get(node.step);
        const step = use && steps[use.user];
        const source = steps[taker];
        if (use === undefined || step === undefined || source === undefined || reported.has(`${use.user} ${taker}`)) continue;
        reported.add(`${use.user} ${taker}`);
        yield {
          span: use.span,
          step: nameOf(step),
          subject: nameOf(source),
          message: `'${nameOf(step)}' uses the reading '${use.text}', which this walk has not taken.`,
          help: `Lead every walk through '${nameOf(source)}' before '${nameOf(step)}', or use a fixed limit.`,
          ...asWitness(context, walk(), node.step),
        };
      }
    }
  },
};
