/** Circles in the explored walks. */
import type { Exploration, FlowEdge } from './explore.ts';

/**
 * The circles that can be walked for ever: strongly connected groups of nodes over edges that pass no repair. A step with
 * `repeat_at_most` never closes one, as its count is part of the node (in an approximate exploration its edges are left out).
 * Each is given as the edges of one shortest circle in it.
 */
export function endlessCircles(exploration: Exploration): FlowEdge[][] {
  const follows = (node: number): FlowEdge[] =>
    (exploration.out[node] ?? [])
      .map((id) => exploration.edges[id] as FlowEdge)
      .filter((edge) => edge.repairs === undefined && !(exploration.approximate && isBounded(exploration, edge)));
  const circles: FlowEdge[][] = [];
  for (const group of strongGroups(exploration.nodes.length, (node) => follows(node).map((edge) => edge.to))) {
    const members = new Set(group);
    const first = Math.min(...group);
    const circle = shortestCircle(first, (node) => follows(node).filter((edge) => members.has(edge.to)));
    if (circle) circles.push(circle);
  }
  return circles;
}

/** Nodes from which no walk reaches an ending that is not a dead end. */
export function nodesWithoutEnding(exploration: Exploration): Set<number> {
  const leads = new Set<number>();
  const queue: number[] = [];
  for (const node of exploration.nodes) {
    // A dead end is an ending of a kind and has a finding of its own; so has a step with no way out at all.
    if (node.ending !== undefined || (exploration.out[node.id] ?? []).length === 0) {
      leads.add(node.id);
      queue.push(node.id);
    }
  }
  while (queue.length > 0) {
    for (const id of exploration.into[queue.pop() as number] ?? []) {
      const { from } = exploration.edges[id] as FlowEdge;
      if (leads.has(from)) continue;
      leads.add(from);
      queue.push(from);
    }
  }
  return new Set(exploration.nodes.map((node) => node.id).filter((id) => !leads.has(id)));
}

function isBounded(exploration: Exploration, edge: FlowEdge): boolean {
  return exploration.program.steps[edge.step]?.repeatAtMost !== undefined;
}

function shortestCircle(start: number, follows: (node: number) => readonly FlowEdge[]): FlowEdge[] | undefined {
  const via = new Map<number, FlowEdge>();
  const queue = [start];
  for (let at = 0; at < queue.length; at++) {
    const node = queue[at] as number;
    for (const edge of follows(node)) {
      if (edge.to === start) {
        const circle = [edge];
        for (let back = node; back !== start; ) {
          const before = via.get(back) as FlowEdge;
          circle.push(before);
          back = before.from;
        }
        return circle.reverse();
      }
      if (via.has(edge.to)) continue;
      via.set(edge.to, edge);
      queue.push(edge.to);
    }
  }
  return undefined;
}

/** Tarjan's strongly connected components, without recursion; only groups that hold a circle. */
function strongGroups(count: number, follows: (node: number) => readonly number[]): number[][] {
  const order = new Array<number>(count).fill(-1);
  const low = new Array<number>(count).fill(0);
  const onStack = new Array<boolean>(count).fill(false);
  const stack: number[] = [];
  const groups: number[][] = [];
  let next = 0;
  for (let root = 0; root < count; root++) {
    if (order[root] !== -1) continue;
    const work: { node: number; followers: readonly number[]; at: number }[] = [];
    const open = (node: number): void => {
      order[node] = low[node] = next++;
      stack.push(node);
      onStack[node] = true;
      work.push({ node, followers: follows(node), at: 0 });
    };
    open(root);
    while (work.length > 0) {
      const frame = work[work.length - 1] as (typeof work)[number];
      const { node } = frame;
      if (frame.at < frame.followers.length) {
        const follower = frame.followers[frame.at++] as number;
        if (order[follower] === -1) open(follower);
        else if (onStack[follower]) low[node] = Math.min(low[node] as number, order[follower] as number);
        continue;
      }
      work.pop();
      const parent = work[work.length - 1];
      if (parent) low[parent.node] = Math.min(low[parent.node] as number, low[node] as number);
      if (low[node] !== order[node]) continue;
      const group: number[] = [];
      for (let member = -1; member !== node; ) {
        member = stack.pop() as number;
        onStack[member] = false;
        group.push(member);
      }
      if (group.length > 1 || follows(node).includes(node)) groups.push(group);
    }
  }
  return groups;
}

/**
 * A shortest circle through a node that passes no repair and no step that `shuns` names, or undefined. A bounded loop counts too: the
 * step is done more than once.
 */
export function circleThrough(exploration: Exploration, node: number, shuns: (edge: FlowEdge) => boolean = () => false): FlowEdge[] | undefined {
  const start = exploration.nodes[node];
  if (start?.step === undefined) return undefined;
  const via = new Map<number, FlowEdge>();
  const queue = [node];
  for (let at = 0; at < queue.length; at++) {
    const from = queue[at] as number;
    for (const id of exploration.out[from] ?? []) {
      const edge = exploration.edges[id] as FlowEdge;
      if (edge.repairs !== undefined || via.has(edge.to) || shuns(edge)) continue;
      via.set(edge.to, edge);
      // Counts of repeats tell nodes apart, so the circle closes at the step, not at the node.
      if (exploration.nodes[edge.to]?.step === start.step && !exploration.nodes[edge.to]?.passedOver) {
        const circle = [edge];
        for (let back = from; back !== node; ) {
          const before = via.get(back) as FlowEdge;
          circle.push(before);
          back = before.from;
        }
        return circle.reverse();
      }
      queue.push(edge.to);
    }
  }
  return undefined;
}
