import { walkTo, type FlowNode } from '../flow/explore.ts';
import { endlessCircles, nodesWithoutEnding } from '../flow/loops.ts';
import { witnessOf } from '../flow/walks.ts';
import { allSteps, type Check } from './check.ts';
import { listed } from './edits.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

export const endlessLoop: Check = {
  name: 'endless-loop',
  severity: 'error',
  group: 'flow',
  proves: 'Every walk can reach an ending, and none can go round for ever with nothing changed.',
  why: 'A technician who follows it to the letter never finishes, and holds or heats a part again and again.',
  wholeOnly: true,
  bad: `procedure: bleed_brake
title: Bleed the brake
purpose: inspection
steps:
  - step: pump
    do: [Press the pedal slowly.]
  - step: look
    ask: Are there bubbles in the hose?
    results:
      - when: yes
        go: pump
      - when: no
        passes: true
`,
  good: `procedure: bleed_brake
title: Bleed the brake
purpose: inspection
steps:
  - step: pump
    do: [Press the pedal slowly.]
  - step: look
    ask: Are there bubbles in the hose?
    repeat_at_most: 10
    results:
      - when: yes
        go: pump
      - when: no
        passes: true
  - step: stop
    ask: Is the reservoir full?
    results:
      - when: yes
        refer: Find where air gets in.
      - when: no
        refer: Fill the reservoir and start again.
`,
  *run(context) {
    const { exploration } = context;
    const steps = allSteps(context.procedure);
    const trapped = nodesWithoutEnding(exploration);
    const reported = new Set<number>();
    if (trapped.size > 0) {
      const first = exploration.nodes.find((node) => trapped.has(node.id)) as FlowNode;
      const names = [...new Set([...trapped].map((id) => exploration.nodes[id]?.step))].filter((step) => step !== undefined);
      const step = steps[first.step ?? 0];
      if (step) {
        for (const index of names) reported.add(index);
        yield {
          span: placeOf(step),
          step: nameOf(step),
          message: `From '${nameOf(step)}' no walk reaches an ending.`,
          note: `The steps ${listed(names.map((index) => `'${nameOf(steps[index] ?? step)}'`))} only lead to one another.`,
          help: 'Give one of them a way out: `finds`, `refer` or `passes: true`.',
          ...asWitness(context, walkTo(exploration, first.id), first.step),
        };
      }
    }
    for (const circle of endlessCircles(exploration)) {
      const back = circle[circle.length - 1];
      const step = back && steps[back.step];
      if (back === undefined || step === undefined || circle.some((edge) => reported.has(edge.step))) continue;
      for (const edge of circle) reported.add(edge.step);
      const result = back.result === undefined ? undefined : step.results[back.result];
      yield {
        span: result?.way.kind === 'go' ? result.way.step.span : (step.go?.span ?? placeOf(step)),
        step: nameOf(step),
        message: `The loop from '${nameOf(steps[circle[0]?.step ?? 0] ?? step)}' back to itself has no bound.`,
        note: 'Each time round the states, the facts and the faults possible are the same, so it can go on for ever.',
        help: `Bound it: \`repeat_at_most\` at '${nameOf(step)}', and say in the next step what follows when that is used up.`,
        witness: witnessOf(context.procedure, [...walkTo(exploration, circle[0]?.from ?? 0), ...circle], circle[0]?.step),
        ...(exploration.approximate ? { approximate: true } : {}),
      };
    }
  },
};
