import { walkToPlace } from '../flow/possible-faults.ts';
import { allSteps, type Check } from './check.ts';
import type { Exploration } from '../flow/explore.ts';
import { faultsOf } from './finds-ruled-out.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

export const nothingLeft: Check = {
  name: 'nothing-left',
  severity: 'error',
  group: 'diagnosis',
  proves: 'On no walk do the results together exclude every fault.',
  why: 'The machine has a fault, so at least one of these results says too much.',
  bad: `procedure: horn
title: Horn silent
faults:
  fuse: {title: Fuse open, remedy: Replace the fuse.}
  horn: {title: Horn failed, remedy: Replace the horn.}
steps:
  - step: fuse
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: no
        finds: fuse
      - when: yes
        rules_out: [fuse]
  - step: bridge
    ask: Does the horn sound when it is fed directly?
    results:
      - when: no
        finds: horn
      - when: yes
        rules_out: [horn]
        refer: Trace the wiring.
`,
  good: `procedure: horn
title: Horn silent
faults:
  fuse: {title: Fuse open, remedy: Replace the fuse.}
  horn: {title: Horn failed, remedy: Replace the horn.}
  wiring: {title: Wiring open between fuse and horn, remedy: Repair the wiring.}
steps:
  - step: fuse
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: no
        finds: fuse
      - when: yes
        rules_out: [fuse]
  - step: bridge
    ask: Does the horn sound when it is fed directly?
    results:
      - when: no
        finds: horn
      - when: yes
        rules_out: [horn]
        by_elimination: wiring
`,
  *run(context) {
    const { program } = context;
    if (program.purpose === 'inspection' || program.faults.length === 0) return;
    const steps = allSteps(context.procedure);
    const faults = context.once(faultsOf);
    const reported = new Set<string>();
    for (const move of faults.moves) {
      const before = faults.places[move.from]?.possible ?? 0n;
      if (move.after !== 0n || before === 0n) continue;
      const result = move.edge.result === undefined ? undefined : program.steps[move.edge.step]?.results[move.edge.result];
      const key = `${move.edge.step} ${move.edge.result ?? ''}`;
      const step = steps[move.edge.step];
      if (step === undefined || result === undefined || reported.has(key)) continue;
      // 'None of these faults' is an honest verdict where the walk can pass, and nothing that follows finds one of them.
      if (result.way.kind !== 'finds' && canPassClean(context.exploration, move.edge.to)) continue;
      reported.add(key);
      const written = step.results[move.edge.result ?? -1];
      yield {
        span: written?.rulesOut[0]?.span ?? written?.when?.span ?? placeOf(step),
        step: nameOf(step),
        message: `After the result '${written?.when?.text ?? ''}' of '${nameOf(step)}' no fault is left.`,
        note: 'The results of this walk together exclude every fault in `faults`, though something causes the complaint.',
        help: 'Take back what one of the results rules out, or add the fault that is still possible.',
        ...asWitness(context, [...walkToPlace(faults, move.from), move.edge]),
      };
    }
  },
};

/** Whether `passes` can follow a node, and no finding can. */
function canPassClean(exploration: Exploration, from: number): boolean {
  const seen = new Set([from]);
  let passes = false;
  for (const id of seen) {
    const { ending } = exploration.nodes[id] ?? {};
    if (ending?.kind === 'finds') return false;
    if (ending?.kind === 'passes') passes = true;
    for (const edge of exploration.out[id] ?? []) {
      if (exploration.edges[edge]?.repairs !== undefined) return false;
      seen.add(exploration.edges[edge]?.to ?? from);
    }
  }
  return passes;
}
