import { faultsIn, walkToPlace } from '../flow/possible-faults.ts';
import { allSteps, type Check } from './check.ts';
import { listed } from './edits.ts';
import { faultsOf } from './finds-ruled-out.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

export const notIsolated: Check = {
  name: 'not-isolated',
  severity: 'error',
  group: 'diagnosis',
  proves: 'Where a fault is found by elimination, every walk has excluded all others.',
  why: 'Replacing a part because nothing else was thought of is guessing.',
  bad: `procedure: fan
title: Fan does not turn
faults:
  fuse: {title: Fuse open, remedy: Replace the fuse.}
  relay: {title: Relay stuck, remedy: Replace the relay.}
  motor: {title: Motor open, remedy: Replace the motor.}
steps:
  - step: fuse
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: no
        finds: fuse
      - when: yes
        rules_out: [fuse]
  - step: relay
    ask: Does the relay click?
    results:
      - when: no
        finds: relay
      - when: yes
        by_elimination: motor
`,
  good: `procedure: fan
title: Fan does not turn
faults:
  fuse: {title: Fuse open, remedy: Replace the fuse.}
  relay: {title: Relay stuck, remedy: Replace the relay.}
  motor: {title: Motor open, remedy: Replace the motor.}
steps:
  - step: fuse
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: no
        finds: fuse
      - when: yes
        rules_out: [fuse]
  - step: relay
    ask: Does the relay click?
    results:
      - when: no
        finds: relay
      - when: yes
        rules_out: [relay]
        by_elimination: motor
`,
  *run(context) {
    const { program } = context;
    if (program.purpose === 'inspection') return;
    const steps = allSteps(context.procedure);
    const faults = context.once(faultsOf);
    const reported = new Set<string>();
    for (const move of faults.moves) {
      const result = move.edge.result === undefined ? undefined : program.steps[move.edge.step]?.results[move.edge.result];
      if (result?.way.kind !== 'finds' || !result.way.byElimination) continue;
      const { fault } = result.way;
      const others = faultsIn(move.after).filter((other) => other !== fault);
      const key = `${move.edge.step} ${move.edge.result ?? ''}`;
      const step = steps[move.edge.step];
      if (others.length === 0 || step === undefined || reported.has(key)) continue;
      reported.add(key);
      const way = step.results[move.edge.result ?? -1]?.way;
      const names = others.map((other) => `'${program.faults[other] ?? ''}'`);
      yield {
        span: way?.kind === 'by_elimination' ? way.fault.span : placeOf(step),
        step: nameOf(step),
        subject: program.faults[fault] ?? '',
        message: `'${program.faults[fault] ?? ''}' is found by elimination while ${listed(names)} ${names.length === 1 ? 'is' : 'are'} still possible.`,
        help: `Exclude ${names.length === 1 ? 'it' : 'them'} with a test before '${nameOf(step)}', or find the fault by a result that shows it (\`finds\`).`,
        ...asWitness(context, [...walkToPlace(faults, move.from), move.edge]),
      };
    }
  },
};
