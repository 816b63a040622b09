import { allSteps, type Check, type CheckContext } from './check.ts';
import { walkTo, type FlowEdge, type FlowNode } from '../flow/explore.ts';
import type { Condition } from '../flow/program.ts';
import { valuesIn } from '../flow/meaning.ts';
import type { Fix } from '../findings/finding.ts';
import type { Step } from '../procedure/model.ts';
import { freeStepName, insertStepBefore, linesOfChange, listed, words } from './edits.ts';
import { asWitness, begunSteps, nameOf, placeOf } from './walk-of.ts';

export const stateNotMet: Check = {
  name: 'state-not-met',
  severity: 'error',
  group: 'safety',
  proves: 'On every walk the states that a step needs hold when it begins.',
  why: 'The step assumes a machine that is not the one in front of the technician: switched off, lowered or secured.',
  bad: `procedure: belt_slips
title: Conveyor belt slips
states:
  conveyor: {values: [off, on], at_start: on}
steps:
  - step: press_belt
    ask: How far does the belt give?
    needs: {conveyor: off}
    results:
      - when: more than a thumb
        refer: Tighten the belt.
      - when: less
        refer: Look for oil on the belt.
`,
  good: `procedure: belt_slips
title: Conveyor belt slips
states:
  conveyor: {values: [off, on], at_start: on}
steps:
  - step: switch_off
    do: [Switch the conveyor off and take the key.]
    sets: {conveyor: off}
  - step: press_belt
    ask: How far does the belt give?
    needs: {conveyor: off}
    results:
      - when: more than a thumb
        refer: Tighten the belt.
      - when: less
        refer: Look for oil on the belt.
`,
  *run(context) {
    const { program, exploration } = context;
    for (const { step, index, nodes } of begunSteps(context)) {
      for (const need of program.steps[index]?.needs ?? []) {
        const node = nodes.find((candidate) => candidate.unmet.includes(need));
        if (node === undefined) continue;
        const state = program.states[need.state];
        const wanted = need.values.map((value) => words(state?.values[value] ?? '')).join(' or ');
        const found = valuesIn(node.states[need.state] ?? 0).map((value) => words(state?.values[value] ?? ''));
        const written = step.needs.find((condition) => condition.state.value === state?.name);
        yield {
          span: written?.span ?? placeOf(step),
          step: nameOf(step),
          subject: state?.name ?? '',
          message: `'${nameOf(step)}' needs ${words(state?.name ?? '')} to be ${wanted}, and on this walk it ${found.length > 1 ? `may be ${listed(found, 'or')}` : `is ${found[0] ?? 'not'}`}.`,
          ...(lastSetter(context, node, need) ?? {}),
          help: `Bring it to ${wanted} in a step before '${nameOf(step)}'.`,
          ...asWitness(context, walkTo(exploration, node.id), index),
          ...withFix(context, step, node, need),
        };
      }
    }
    yield* calleeNeeds(context);
  },
};

/** What a procedure that is run needs, and its caller does not give. */
function* calleeNeeds(context: CheckContext) {
  const { exploration } = context;
  const steps = allSteps(context.procedure);
  const seen = new Set<string>();
  for (const edge of exploration.edges) {
    for (const unmet of edge.calleeUnmet) {
      const step = steps[edge.step];
      const key = `${edge.step} ${unmet.state}`;
      if (step === undefined || seen.has(key) || alsoUnmetAlone(context, step, unmet)) continue;
      seen.add(key);
      const wanted = listed(unmet.values.map(words), 'or');
      yield {
        span: step.run?.span ?? placeOf(step),
        step: nameOf(step),
        subject: unmet.state,
        message: `'${step.run?.value ?? ''}' is run here, and its step '${unmet.step}' needs ${words(unmet.state)} to be ${wanted}.`,
        note: `On this walk it may not be.`,
        help: `Bring ${words(unmet.state)} to ${wanted} before '${nameOf(step)}'.`,
        ...asWitness(context, walkTo(exploration, edge.from), edge.step),
      };
    }
  }
}

/** Whether the called procedure has the same finding when it is run by itself: one place is enough. */
function alsoUnmetAlone(context: CheckContext, step: Step, unmet: { readonly step: string; readonly state: string }): boolean {
  const called = step.run && context.procedureNamed(step.run.value);
  if (!called) return false;
  return called.exploration.nodes.some((node) =>
    node.unmet.some((need) => called.program.states[need.state]?.name === unmet.state && called.program.steps[node.step ?? -1]?.name === unmet.step),
  );
}

function lastSetter(context: CheckContext, node: FlowNode, need: Condition): { related: { file: string; span: { start: number; end: number }; message: string }[] } | undefined {
  const { program, exploration, procedure } = context;
  const setter = walkTo(exploration, node.id).reverse().find((edge: FlowEdge) => {
    const step = program.steps[edge.step];
    const result = edge.result === undefined ? undefined : step?.results[edge.result];
    return !edge.passedOver && [...(step?.sets ?? []), ...(result?.sets ?? [])].some((set) => set.state === need.state);
  });
  const step = setter && allSteps(procedure)[setter.step];
  if (step === undefined) return undefined;
  return { related: [{ file: context.file, span: placeOf(step), message: `Last set here, by '${nameOf(step)}'.` }] };
}

/** Only where every walk comes from the step above: a step put between would be missed by a `go`. */
function withFix(context: CheckContext, step: Step, node: FlowNode, need: Condition): { fixes: Fix[] } | undefined {
  const { program, exploration, scope } = context;
  const state = program.states[need.state];
  const value = state?.values[need.values[0] ?? -1];
  if (state === undefined || value === undefined || step.name === undefined) return undefined;
  const index = node.step ?? 0;
  const arrivals = (exploration.nodesOfStep[index] ?? []).flatMap((id) => exploration.into[id] ?? []);
  if (arrivals.some((id) => exploration.edges[id]?.step !== index - 1)) return undefined;
  const change = scope.states.get(state.name)?.item.changes.find((candidate) => candidate.to.value === value);
  const name = freeStepName(context, `${state.name}_${value}`);
  return {
    fixes: [{
      title: `Insert a step that brings ${words(state.name)} to ${words(value)}`,
      edits: [insertStepBefore(context, step, name, linesOfChange(state.name, value, change))],
      altersMeaning: true,
    }],
  };
}
