import { allSteps, type Check, type CheckContext } from './check.ts';
import { words } from './edits.ts';
import { nameOf } from './walk-of.ts';

export const setWithoutNeed: Check = {
  name: 'set-without-need',
  severity: 'hint',
  group: 'safety',
  proves: 'Every state that a step brings about is one that something relies on: a `needs`, `only_if`, a circuit, or the end.',
  why: 'What no step asks for is not missed when the step that brings it about is dropped or moved.',
  bad: `procedure: charge
title: Battery does not charge
states:
  blower: {values: [off, on], at_start: off}
steps:
  - step: start
    do: [Switch the blower on.]
    sets: {blower: on}
  - step: flow
    ask: Does air come out?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Clean the filter.
`,
  good: `procedure: charge
title: Battery does not charge
states:
  blower: {values: [off, on], at_start: off}
steps:
  - step: start
    do: [Switch the blower on.]
    sets: {blower: on}
  - step: flow
    ask: Does air come out?
    needs: {blower: on}
    results:
      - when: yes
        passes: true
      - when: no
        refer: Clean the filter.
`,
  *run(context) {
    const relied = reliedOn(context);
    const reported = new Set<string>();
    for (const step of allSteps(context.procedure)) {
      for (const set of [...step.sets, ...step.results.flatMap((result) => result.sets)]) {
        const name = set.state.value;
        const state = context.scope.states.get(name)?.item;
        const bringsTo = set.values[0]?.value;
        // Putting a state back for the next person is reason enough.
        const putsBack = state?.atEnd?.some((allowed) => allowed.value === bringsTo) ?? state?.atStart?.value === bringsTo;
        if (relied.has(name) || reported.has(name) || state === undefined || putsBack) continue;
        reported.add(name);
        const value = words(bringsTo ?? '');
        yield {
          span: set.span,
          step: nameOf(step),
          subject: name,
          message: `'${nameOf(step)}' brings ${words(name)} to ${value}, and no step says that it needs it.`,
          help: `Say \`needs: {${name}: ${bringsTo ?? ''}}\` at the steps that rely on it, so that its absence is found.`,
        };
      }
    }
  },
};

/** The states that something in the procedure, or in one that it runs, depends on. */
function reliedOn(context: CheckContext): Set<string> {
  const { program } = context;
  const found = new Set<string>();
  for (const step of program.steps) {
    for (const need of step.needs) found.add(program.states[need.state]?.name ?? '');
    for (const guard of step.onlyIf) if (guard.kind === 'state') found.add(program.states[guard.state]?.name ?? '');
    const circuit = program.circuits[step.circuit ?? step.provesDead ?? -1];
    for (const alternative of [...(circuit?.deadWhen ?? []), ...(circuit?.liveWhen ?? [])]) {
      for (const condition of alternative) found.add(program.states[condition.state]?.name ?? '');
    }
    const called = step.run === undefined ? undefined : context.procedureNamed(step.run);
    for (const state of called?.program.states ?? []) found.add(state.name);
  }
  return found;
}
