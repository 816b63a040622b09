import type { FlowEdge } from '../flow/explore.ts';
import { possibleFaults, walkToPlace, type PossibleFaults } from '../flow/possible-faults.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

/** The faults still possible along every walk, computed once. */
export function faultsOf(context: CheckContext): PossibleFaults {
  return possibleFaults(context.exploration);
}

export const findsRuledOut: Check = {
  name: 'finds-ruled-out',
  severity: 'error',
  group: 'diagnosis',
  proves: 'No walk finds a fault that an earlier result of the same walk excluded.',
  why: 'One of the two results is wrong, and the technician replaces a part that was proved good.',
  bad: `procedure: lamp
title: Work lamp stays dark
faults:
  bulb: {title: Bulb open, remedy: Replace the bulb.}
  switch: {title: Switch open, remedy: Replace the switch.}
steps:
  - step: swap
    ask: Does a good bulb light in its place?
    results:
      - when: yes
        finds: bulb
      - when: no
        rules_out: [bulb]
  - step: supply
    ask: Does a test lamp light at the holder?
    results:
      - when: yes
        finds: bulb
      - when: no
        finds: switch
`,
  good: `procedure: lamp
title: Work lamp stays dark
faults:
  bulb: {title: Bulb open, remedy: Replace the bulb.}
  switch: {title: Switch open, remedy: Replace the switch.}
steps:
  - step: swap
    ask: Does a good bulb light in its place?
    results:
      - when: yes
        finds: bulb
      - when: no
        rules_out: [bulb]
  - step: supply
    ask: Does a test lamp light at the holder?
    results:
      - when: yes
        refer: Clean the contacts of the holder.
      - when: no
        finds: switch
`,
  *run(context) {
    if (context.program.purpose === 'inspection') return;
    const { program } = context;
    const steps = allSteps(context.procedure);
    const faults = context.once(faultsOf);
    const reported = new Set<string>();
    for (const move of faults.moves) {
      const step = program.steps[move.edge.step];
      const result = move.edge.result === undefined ? undefined : step?.results[move.edge.result];
      const way = result?.way;
      const possible = faults.places[move.from]?.possible ?? 0n;
      if (way?.kind !== 'finds' || (possible >> BigInt(way.fault)) & 1n || possible === 0n) continue;
      const key = `${move.edge.step} ${move.edge.result ?? ''}`;
      const written = steps[move.edge.step];
      if (written === undefined || reported.has(key)) continue;
      reported.add(key);
      const walk = walkToPlace(faults, move.from);
      const excluder = excluderOf(context, walk, way.fault);
      const writtenWay = written.results[move.edge.result ?? -1]?.way;
      const fault = program.faults[way.fault] ?? '';
      yield {
        span: writtenWay?.kind === 'finds' || writtenWay?.kind === 'by_elimination' ? writtenWay.fault.span : placeOf(written),
        step: nameOf(written),
        subject: fault,
        message: `'${nameOf(written)}' finds '${fault}', which this walk has already excluded.`,
        ...(excluder ? { note: `'${excluder.name}' excluded it with the result '${excluder.result}'.` } : {}),
        help: `Correct what '${excluder?.name ?? 'the earlier step'}' rules out, or what this result finds.`,
        ...(excluder ? { related: [{ file: context.file, span: excluder.span, message: `'${fault}' is excluded here.` }] } : {}),
        ...asWitness(context, [...walk, move.edge]),
      };
    }
  },
};

function excluderOf(context: CheckContext, walk: readonly FlowEdge[], fault: number) {
  const steps = allSteps(context.procedure);
  const faultName = context.program.faults[fault] ?? '';
  for (const edge of walk) {
    const result = edge.result === undefined ? undefined : context.program.steps[edge.step]?.results[edge.result];
    if (result === undefined || !(result.rulesOut.includes(fault) || (result.leaves && !result.leaves.includes(fault)))) continue;
    const step = steps[edge.step];
    const written = step?.results[edge.result ?? -1];
    const name = written?.rulesOut.find((other) => other.value === faultName);
    return {
      name: step ? nameOf(step) : '',
      result: written?.when?.text ?? '',
      span: name?.span ?? written?.when?.span ?? written?.span ?? { start: 0, end: 0 },
    };
  }
  return undefined;
}
