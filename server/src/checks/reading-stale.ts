import type { FlowEdge } from '../flow/explore.ts';
import { readingUses, usersByTaker } from '../flow/readings.ts';
import { readingsInDoubt } from '../flow/readings-on-walks.ts';
import { reachWithMemory } from '../flow/walks.ts';
import { allSteps, type Check } from './check.ts';
import { words } from './edits.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

export const readingStale: Check = {
  name: 'reading-stale',
  severity: 'warning',
  group: 'flow',
  proves: 'No reading is used after a step changed a state of the circuit it was taken on.',
  why: 'A supply read before the isolator was turned says nothing about the supply after it.',
  wholeOnly: true,
  bad: `procedure: feed
title: Feed too low
states:
  isolator: {values: [on, off], at_start: on}
  heater: {values: [off, on], at_start: off}
circuits:
  feed: {nominal: 24 V, dead_when: {isolator: off}, live_when: [{heater: off}, {heater: on}]}
steps:
  - step: supply
    measure: dc_voltage
    circuit: feed
  - step: heat
    do: [Switch the heater on.]
    sets: {heater: on}
  - step: load
    measure: dc_voltage
    circuit: feed
    results:
      - when: at least supply - 1 V
        passes: true
      - when: below supply - 1 V
        refer: Trace the feed.
`,
  good: `procedure: feed
title: Feed too low
states:
  isolator: {values: [on, off], at_start: on}
  heater: {values: [off, on], at_start: off}
circuits:
  feed: {nominal: 24 V, dead_when: {isolator: off}, live_when: [{heater: off}, {heater: on}]}
steps:
  - step: heat
    do: [Switch the heater on.]
    sets: {heater: on}
  - step: supply
    measure: dc_voltage
    circuit: feed
  - step: load
    measure: dc_voltage
    circuit: feed
    results:
      - when: at least supply - 1 V
        passes: true
      - when: below supply - 1 V
        refer: Trace the feed.
`,
  *run(context) {
    const { program, exploration } = context;
    const steps = allSteps(context.procedure);
    const uses = readingUses(context.procedure);
    const reported = new Set<string>();
    // Whether a walk along an edge changes a state of a circuit.
    const changers = new Map(program.circuits.map((circuit) => {
      const involved = [...new Set([...circuit.deadWhen, ...(circuit.liveWhen ?? [])].flatMap((alternative) => alternative.map(({ state }) => state)))];
      const changes = ({ from, to }: FlowEdge): boolean => {
        const before = exploration.nodes[from]?.begun ?? [];
        const after = exploration.nodes[to]?.states ?? [];
        return involved.some((state) => before[state] !== after[state]);
      };
      return [circuit, changes];
    }));
    const circuitOf = (taker: number) => program.circuits[program.steps[taker]?.circuit ?? -1];
    const users = usersByTaker(uses);
    const inDoubt = readingsInDoubt(exploration, [...users].flatMap(([taker, using]) => {
      const circuit = circuitOf(taker);
      const changes = circuit && changers.get(circuit);
      return changes ? [{ taker, users: using, changes }] : [];
    }));
    for (const taker of users.keys()) {
      const circuit = circuitOf(taker);
      const changes = circuit && changers.get(circuit);
      if (circuit === undefined || changes === undefined || !inDoubt.stale.has(taker)) continue;
      const wanted = new Map(uses.filter((use) => use.taker === taker).map((use) => [use.user, use]));
      // Memory: 0 not taken, 1 fresh, or the index + 2 of the step that changed a state since.
      const along = (memory: number, edge: FlowEdge): number => {
        if (edge.passedOver) return memory;
        const changed = changes(edge);
        if (edge.step === taker) return changed ? edge.step + 2 : 1;
        return memory === 1 && changed ? edge.step + 2 : memory;
      };
      for (const { node, memory, walk } of reachWithMemory(exploration, { start: 0, along })) {
        const use = node.step === undefined || node.passedOver ? undefined : wanted.get(node.step);
        const step = use && steps[use.user];
        const source = steps[taker];
        if (use === undefined || step === undefined || source === undefined || memory < 2 || reported.has(`${use.user} ${taker}`)) continue;
        reported.add(`${use.user} ${taker}`);
        const changer = steps[memory - 2];
        yield {
          span: use.span,
          step: nameOf(step),
          subject: nameOf(source),
          message: `'${nameOf(step)}' uses the reading '${use.text}', taken before ${words(circuit.name)} was changed.`,
          ...(changer ? { note: `'${nameOf(changer)}' changed a state of the circuit after the reading.` } : {}),
          help: `Take '${nameOf(source)}' again after the change, or use a fixed limit.`,
          ...(changer ? { related: [{ file: context.file, span: placeOf(changer), message: 'The state is changed here.' }] } : {}),
          ...asWitness(context, walk(), node.step),
        };
      }
    }
  },
};
