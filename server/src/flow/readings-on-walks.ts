/**
 * Which readings some walk may lack, or have out of date, where a step uses them: one pass over all walks for many readings at once, so
 * that only those in doubt are looked for walk by walk.
 */
import type { Exploration, FlowEdge } from './explore.ts';
import type { StepIndex } from './program.ts';

/** For each reading the step that takes it, the steps that use it, and which edges change what it was read of. */
export interface ReadingOnWalks {
  readonly taker: StepIndex;
  readonly users: ReadonlySet<StepIndex>;
  readonly changes?: (edge: FlowEdge) => boolean;
}

/** A word of bits holds this many readings at once. */
const AT_ONCE = 31;

/** The takers whose reading is, at a use on some walk, not yet taken (`missing`) or taken before a change (`stale`). */
export function readingsInDoubt(exploration: Exploration, readings: readonly ReadingOnWalks[]): { readonly missing: ReadonlySet<StepIndex>; readonly stale: ReadonlySet<StepIndex> } {
  const missing = new Set<StepIndex>();
  const stale = new Set<StepIndex>();
  const changing = new Map<ReadingOnWalks['changes'], Uint8Array>();
  for (const { changes } of readings) {
    if (changes && !changing.has(changes)) changing.set(changes, Uint8Array.from(exploration.edges, (edge) => (changes(edge) ? 1 : 0)));
  }
  for (let from = 0; from < readings.length; from += AT_ONCE) lookAt(exploration, readings.slice(from, from + AT_ONCE), changing, missing, stale);
  return { missing, stale };
}

/** `changing` says of each edge whether it changes what a reading was read of. */
function lookAt(
  exploration: Exploration, readings: readonly ReadingOnWalks[], changing: ReadonlyMap<ReadingOnWalks['changes'], Uint8Array>, missing: Set<StepIndex>,
  stale: Set<StepIndex>,
): void {
  const { nodes, edges, out } = exploration;
  if (nodes.length === 0) return;
  const takenBy = new Map<StepIndex, number>();
  const usedBy = new Map<StepIndex, number>();
  readings.forEach(({ taker, users }, bit) => {
    takenBy.set(taker, (takenBy.get(taker) ?? 0) | (1 << bit));
    for (const user of users) usedBy.set(user, (usedBy.get(user) ?? 0) | (1 << bit));
  });
  const changers = new Map<Uint8Array, number>();
  readings.forEach(({ changes }, bit) => {
    const edgesThatChange = changing.get(changes);
    if (edgesThatChange) changers.set(edgesThatChange, (changers.get(edgesThatChange) ?? 0) | (1 << bit));
  });
  const changedBy = (edge: number): number => {
    let bits = 0;
    for (const [edgesThatChange, of] of changers) if (edgesThatChange[edge] === 1) bits |= of;
    return bits;
  };
  // For each node the readings that some walk brings there untaken, fresh and out of date.
  const untaken = new Int32Array(nodes.length);
  const fresh = new Int32Array(nodes.length);
  const old = new Int32Array(nodes.length);
  const waiting = [0];
  const isWaiting = new Uint8Array(nodes.length);
  untaken[0] = (1 << readings.length) - 1;
  isWaiting[0] = 1;
  for (let at = 0; at < waiting.length; at++) {
    const id = waiting[at] as number;
    isWaiting[id] = 0;
    for (const edgeId of out[id] ?? []) {
      const edge = edges[edgeId] as FlowEdge;
      let u = untaken[id] ?? 0;
      let f = fresh[id] ?? 0;
      let o = old[id] ?? 0;
      if (!edge.passedOver) {
        const changed = changedBy(edgeId);
        const taken = takenBy.get(edge.step) ?? 0;
        const here = (u | f | o) & taken;
        o = ((o | (f & changed)) & ~taken) | (here & changed);
        f = (f & ~changed & ~taken) | (here & ~changed);
        u &= ~taken;
      }
      const to = edge.to;
      if ((untaken[to]! | u) === untaken[to] && (fresh[to]! | f) === fresh[to] && (old[to]! | o) === old[to]) continue;
      untaken[to]! |= u;
      fresh[to]! |= f;
      old[to]! |= o;
      if (isWaiting[to] === 1) continue;
      isWaiting[to] = 1;
      waiting.push(to);
    }
  }
  for (const node of nodes) {
    if (node.step === undefined || node.passedOver) continue;
    const used = usedBy.get(node.step) ?? 0;
    if (used === 0) continue;
    readings.forEach(({ taker }, bit) => {
      if ((used & (1 << bit)) === 0) return;
      if ((untaken[node.id]! >> bit) & 1) missing.add(taker);
      if ((old[node.id]! >> bit) & 1) stale.add(taker);
    });
  }
}
