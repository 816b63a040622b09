/** What running a procedure from another leads to: its endings with the states that each leaves. */
import { explore, statesByName, withStatesByName, type CalleeEnding, type CalleeRun, type Callees, type Exploration } from './explore.ts';
import { startStates, type StateVector } from './meaning.ts';
import type { Program } from './program.ts';
import { reachWithMemory } from './walks.ts';

/** Past this many different state vectors for one ending they are joined: the caller then sees the sets, not the vectors. */
const VECTORS_PER_ENDING = 16;

/**
 * Runs `program` from the states of its caller; a state that the caller does not know starts as the program says. It returns at the
 * first ending, before any remedy. In an inspection a walk that raised a fault ends as `raised FAULT`.
 */
export function runCalled(program: Program, states: ReadonlyMap<string, readonly string[]>, callees: Callees): CalleeRun {
  const exploration = explore(program, { callees, returnAtFinds: true, start: withStatesByName(program, startStates(program), states) });
  const endings = new Map<string, { kind: CalleeEnding['ending']; fault: string | undefined; vectors: StateVector[] }>();
  const add = (kind: CalleeEnding['ending'], fault: string | undefined, vector: StateVector): void => {
    const key = `${kind} ${fault ?? ''}`;
    const known = endings.get(key) ?? { kind, fault, vectors: [] };
    endings.set(key, known);
    if (known.vectors.length < VECTORS_PER_ENDING) known.vectors.push(vector);
    else known.vectors = [known.vectors.reduce((joined, one) => joined.map((set, i) => set | (one[i] ?? 0)), vector)];
  };
  for (const node of exploration.nodes) {
    const { ending } = node;
    if (ending?.kind === 'finds') add('finds', ending.fault === undefined ? undefined : program.faults[ending.fault], node.states);
    if (ending?.kind === 'refer') add('referred', undefined, node.states);
    if (ending?.kind === 'passes' && program.purpose !== 'inspection') add('passed', undefined, node.states);
  }
  if (program.purpose === 'inspection') addInspectionEndings(exploration, add);
  return {
    endings: [...endings.values()].flatMap(({ kind, fault, vectors }) =>
      vectors.map((vector) => ({
        ending: kind,
        ...(fault === undefined ? {} : { fault }),
        states: statesByName(program, vector),
      })),
    ),
    unmet: exploration.nodes.flatMap((node) =>
      node.unmet.map((condition) => ({
        step: program.steps[node.step ?? -1]?.name ?? '',
        state: program.states[condition.state]?.name ?? '',
        values: condition.values.map((value) => program.states[condition.state]?.values[value] ?? ''),
      })),
    ),
  };
}

function addInspectionEndings(
  exploration: Exploration,
  add: (kind: CalleeEnding['ending'], fault: string | undefined, vector: StateVector) => void,
): void {
  const { program } = exploration;
  const raisedBy = (fault: number | undefined) => (step: number, result: number | undefined): boolean => {
    const raised = result === undefined ? undefined : program.steps[step]?.results[result]?.raises;
    return fault === undefined ? raised !== undefined : raised === fault;
  };
  const none = raisedBy(undefined);
  for (const { node } of reachWithMemory(exploration, { start: 0, along: (m, edge) => (none(edge.step, edge.result) ? undefined : m) })) {
    if (node.ending?.kind === 'passes') add('passed', undefined, node.states);
  }
  program.faults.forEach((name, fault) => {
    const raises = raisedBy(fault);
    const search = { start: 0, along: (m: number, edge: { step: number; result: number | undefined }) => m || (raises(edge.step, edge.result) ? 1 : 0) };
    for (const { node, memory } of reachWithMemory(exploration, search)) {
      if (memory === 1 && node.ending?.kind === 'passes') add('raised', name, node.states);
    }
  });
}
