import { walkTo, type Exploration, type FlowEdge, type FlowNode } from '../flow/explore.ts';
import { reachWithMemory } from '../flow/walks.ts';
import { bits, valuesIn } from '../flow/meaning.ts';
import type { ProgramState } from '../flow/program.ts';
import type { Fix, Report, TextEdit } from '../findings/finding.ts';
import type { StateChange, Step } from '../procedure/model.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { freeStepName, linesOfChange, listed, quoteIfNeeded, words } from './edits.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

export const leftUnsafe: Check = {
  name: 'left-unsafe',
  severity: 'error',
  group: 'safety',
  proves: 'Every walk leaves each state at a value that its `at_end` allows, and none at a value that someone would have to go on holding.',
  why: 'A battery left disconnected, a guard left off or a load left raised harms the next person, who was told nothing.',
  source: '29 CFR 1910.147(e): before energy is restored, guards are put back and people are clear (from memory)',
  bad: `procedure: belt
title: Belt squeals
states:
  cover: {values: [closed, open], at_start: closed, at_end: closed}
steps:
  - step: uncover
    do: [Open the cover.]
    sets: {cover: open}
  - step: look
    ask: Is the belt cracked?
    results:
      - when: yes
        refer: Replace the belt.
      - when: no
        passes: true
`,
  good: `procedure: belt
title: Belt squeals
states:
  cover: {values: [closed, open], at_start: closed, at_end: closed}
steps:
  - step: uncover
    do: [Open the cover.]
    sets: {cover: open}
  - step: look
    ask: Is the belt cracked?
    results:
      - when: yes
        go: close_cracked
      - when: no
        go: close
  - step: close_cracked
    do: [Close the cover.]
    sets: {cover: closed}
  - step: closed_cracked
    ask: Is the cover closed?
    results:
      - when: yes
        refer: Replace the belt.
  - step: close
    do: [Close the cover.]
    sets: {cover: closed}
  - step: done
    ask: Does the belt run without noise?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Look at the pulleys.
`,
  *run(context) {
    const { exploration, program } = context;
    const endings = new Map<string, UnsafeEnding[]>();
    const real = new Map<number, ReturnType<typeof leavesReally>>();
    const isReal = (state: number, edge: FlowEdge, wrong: number): boolean => {
      let leaves = real.get(state);
      if (leaves === undefined) real.set(state, (leaves = leavesReally(exploration, state)));
      return leaves(edge, wrong);
    };
    for (const node of exploration.nodes) {
      if (node.ending === undefined || node.ending.kind === 'nowhere') continue;
      for (const [index, state] of program.states.entries()) {
        const allowed = allowedAtEnd(state);
        if (allowed === undefined) continue;
        const wrong = valuesIn((node.states[index] ?? 0) & ~bits(allowed));
        if (wrong.length === 0) continue;
        for (const id of exploration.into[node.id] ?? []) {
          const edge = exploration.edges[id] as FlowEdge;
          if (!isReal(index, edge, bits(wrong))) continue;
          const key = `${edge.step} ${state.name}`;
          const known = endings.get(key);
          if (known === undefined) endings.set(key, [{ edge, state: index, wrong }]);
          else if (!known.some((other) => other.edge.result === edge.result)) known.push({ edge, state: index, wrong });
        }
      }
    }
    for (const [first, ...others] of endings.values()) if (first) yield reportOf(context, first, others);
  },
};

/**
 * Which edges really leave a state at one of some values. After an unmet `needs` the walk goes on as if it had been met; what it leaves
 * then has a finding of its own, and is not blamed on the ending. The memory of the search is the set of values that the state really has.
 */
function leavesReally(exploration: Exploration, state: number): (edge: FlowEdge, wrong: number) => boolean {
  if (!exploration.nodes.some((node) => node.unmet.some((condition) => condition.state === state))) return () => true;
  const along = (real: number, edge: FlowEdge): number => {
    const from = exploration.nodes[edge.from] as FlowNode;
    const after = exploration.nodes[edge.to]?.states[state] ?? 0;
    const step = exploration.program.steps[edge.step];
    const result = edge.result === undefined ? undefined : step?.results[edge.result];
    const sets = !edge.passedOver && [...(step?.sets ?? []), ...(result?.sets ?? [])].some((set) => set.state === state);
    // A procedure that is run may set it too.
    if (sets || (after & ~(from.begun[state] ?? 0)) !== 0) return after;
    if (edge.passedOver) return real & (from.states[state] ?? 0) & after;
    // `only_if` comes before `needs`: what it turned away was never here to meet them.
    const letIn = (step?.onlyIf ?? []).reduce((set, guard) => (guard.kind === 'state' && guard.state === state ? set & bits(guard.values) : set), ~0);
    return real & letIn & (from.begun[state] ?? 0) & after;
  };
  const arrivals = new Map<number, number>();
  for (const { node, memory } of reachWithMemory(exploration, { start: exploration.nodes[0]?.states[state] ?? 0, along })) {
    arrivals.set(node.id, (arrivals.get(node.id) ?? 0) | memory);
  }
  return (edge, wrong) => (along(arrivals.get(edge.from) ?? 0, edge) & wrong) !== 0;
}

/** What `at_end` allows; without it, every value that nobody has to hold. Undefined where all are allowed. */
function allowedAtEnd(state: ProgramState): readonly number[] | undefined {
  if (state.atEnd !== undefined) return state.atEnd;
  if (state.held.length === 0 || state.atStart === undefined || state.held.includes(state.atStart)) return undefined;
  return state.values.map((_, value) => value).filter((value) => !state.held.includes(value));
}

interface UnsafeEnding {
  readonly edge: FlowEdge;
  readonly state: number;
  readonly wrong: readonly number[];
}

/** One finding for a step and a state, however many of its results end so. */
function reportOf(context: CheckContext, first: UnsafeEnding, others: readonly UnsafeEnding[]): Report {
  const { exploration, program } = context;
  const { edge, state: index, wrong } = first;
  const step = allSteps(context.procedure)[edge.step] as Step;
  const state = program.states[index] as ProgramState;
  const spanOf = ({ edge: { result } }: UnsafeEnding) => {
    const written = result === undefined ? undefined : step.results[result];
    return written && written.way.kind !== 'next' ? written.way.span : placeOf(step);
  };
  const walk = [...walkTo(exploration, edge.from), edge];
  const allowed = listed((allowedAtEnd(state) ?? []).map((value) => words(state.values[value] ?? '')), 'or');
  const culprit = lastSetter(context, walk, index);
  const related = [
    ...(culprit ? [{ file: context.file, span: placeOf(culprit), message: `'${nameOf(culprit)}' set it.` }] : []),
    ...others.map((other) => ({ file: context.file, span: spanOf(other), message: 'This ending leaves it so too.' })),
  ];
  return {
    span: spanOf(first),
    step: nameOf(step),
    subject: state.name,
    message: `This ending of '${nameOf(step)}' leaves ${words(state.name)} ${listed(wrong.map((value) => words(state.values[value] ?? '')), 'or')}.`,
    note: `${capital(words(state.name))} must be ${allowed} at every ending${others.length > 0 ? `; ${others.length} more of its results ${others.length === 1 ? 'ends' : 'end'} so` : ''}.`,
    help: `Bring ${words(state.name)} to ${allowed} before this ending, in a step of its own.`,
    ...(related.length > 0 ? { related } : {}),
    ...asWitness(context, walk),
    ...putBackFix(context, [first, ...others], state),
  };
}

function lastSetter(context: CheckContext, walk: readonly FlowEdge[], state: number) {
  const steps = allSteps(context.procedure);
  const edge = [...walk].reverse().find((candidate) => {
    const step = context.program.steps[candidate.step];
    const result = candidate.result === undefined ? undefined : step?.results[candidate.result];
    return !candidate.passedOver && [...(step?.sets ?? []), ...(result?.sets ?? [])].some((set) => set.state === state);
  });
  return edge && steps[edge.step];
}

/** Sends each of the results to a new step at the end of the list, which puts the state back and then ends as the result did. */
function putBackFix(context: CheckContext, endings: readonly UnsafeEnding[], programState: ProgramState): { fixes: Fix[] } | undefined {
  const state = programState.name;
  const { value, change } = bestWayBack(context, programState);
  const step = allSteps(context.procedure)[endings[0]?.edge.step ?? -1];
  const lastStep = step?.section === 'after_repair' ? context.procedure.afterRepair.at(-1) : context.procedure.steps.at(-1);
  if (value === undefined || step === undefined || lastStep === undefined) return undefined;
  const { text, file } = context;
  const dash = text.lastIndexOf('-', lastStep.name?.span.start ?? lastStep.span.start);
  const indent = text.slice(text.lastIndexOf('\n', dash) + 1, dash);
  const edits: TextEdit[] = [];
  const lines: string[] = [];
  for (const [count, ending] of endings.entries()) {
    const result = ending.edge.result === undefined ? undefined : step.results[ending.edge.result];
    if (result === undefined || result.way.kind === 'next') return undefined;
    const way = text.slice(result.way.span.start, result.way.span.end);
    if (way.includes('\n')) return undefined;
    const suffix = count === 0 ? '' : `_${count + 1}`;
    const name = freeStepName(context, `${state}_${value}${suffix}`);
    edits.push({ file, span: result.way.span, newText: `go: ${name}` });
    lines.push(
      `${indent}- step: ${name}`,
      ...linesOfChange(state, value, change).map((line) => `${indent}  ${line}`),
      `${indent}- step: ${freeStepName(context, `${name}_then_end`)}`,
      `${indent}  ask: Is ${words(state)} ${words(value)} again?`,
      `${indent}  results:`,
      `${indent}    - when: yes`,
      `${indent}      ${way}`,
      // An ending of its own: a question that only one answer leads on from leaves the technician standing.
      `${indent}    - when: no`,
      `${indent}      refer: ${quoteIfNeeded(`Stay with the machine. Report that ${words(state)} is not ${words(value)}.`)}`,
    );
  }
  const at = lastStep.span.end;
  const before = text.slice(0, at).endsWith('\n') ? '' : '\n';
  edits.push({ file, span: { start: at, end: at }, newText: `${before}\n${lines.join('\n')}\n` });
  return { fixes: [{ title: `Put ${words(state)} back to ${words(value)} before ${endings.length === 1 ? 'this ending' : 'these endings'}`, altersMeaning: true, edits }] };
}

/** The allowed value that the shop says how to bring about, else the first one. */
function bestWayBack(context: CheckContext, state: ProgramState): { value: string | undefined; change: StateChange | undefined } {
  const allowed = (allowedAtEnd(state) ?? []).flatMap((value) => state.values[value] ?? []);
  const changes = context.scope.states.get(state.name)?.item.changes ?? [];
  for (const value of allowed) {
    const change = changes.find((candidate) => candidate.to.value === value);
    if (change) return { value, change };
  }
  return { value: allowed[0], change: undefined };
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
