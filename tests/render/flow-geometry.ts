/** What must hold of every drawing, as sentences about the one that breaks it. */
import type { FlowLayout, PlacedEdge } from '../../server/src/render/flow-layout.ts';
import type { PlacedNode, Point } from '../../server/src/render/flow-rows.ts';

interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Everything that is wrong with a layout; empty where nothing is. */
export function geometryFaults(layout: FlowLayout): string[] {
  return [...overlaps(layout), ...linesThroughSymbols(layout), ...crookedLines(layout), ...sharedLines(layout), ...column(layout), ...outside(layout)];
}

function overlaps(layout: FlowLayout): string[] {
  const things = [
    ...layout.nodes.map((node) => ({ name: node.node.id, box: whole(node) })),
    ...layout.edges.flatMap(({ edge, label }) => (label ? [{ name: `the words of ${edge.id} (${edge.labels.join('/')})`, box: boxAt(label) }] : [])),
  ];
  const found: string[] = [];
  things.forEach((one, index) => {
    for (const other of things.slice(index + 1)) if (meet(one.box, other.box)) found.push(`${one.name} lies over ${other.name}.`);
  });
  return found;
}

/** A line may touch only the symbols that it links. */
function linesThroughSymbols(layout: FlowLayout): string[] {
  const found: string[] = [];
  for (const { edge, points } of layout.edges) {
    for (const [from, to] of segments(points)) {
      for (const node of layout.nodes) {
        const box = inset(shape(node), node.node.id === edge.from || node.node.id === edge.to ? 2 : -1);
        if (meet(box, lineBox(from, to))) found.push(`The line ${edge.from} → ${edge.to} runs through ${node.node.id}.`);
      }
      for (const { edge: other, label } of layout.edges) {
        if (label && other.id !== edge.id && meet(inset(boxAt(label), 1), lineBox(from, to))) {
          found.push(`The line ${edge.from} → ${edge.to} runs through the words '${other.labels.join('/')}' of ${other.from}.`);
        }
      }
    }
  }
  return found;
}

function crookedLines(layout: FlowLayout): string[] {
  return layout.edges.flatMap(({ edge, points }) =>
    points.length < 2 ? [`The line ${edge.id} is missing.`]
      : segments(points).some(([from, to]) => Math.abs(from.x - to.x) > 0.01 && Math.abs(from.y - to.y) > 0.01) ? [`The line ${edge.id} is not straight.`] : []);
}

/** Lines may run together only where they leave one step or arrive at one. */
function sharedLines(layout: FlowLayout): string[] {
  const found: string[] = [];
  layout.edges.forEach((one, index) => {
    for (const other of layout.edges.slice(index + 1)) {
      if (one.edge.from === other.edge.from || one.edge.to === other.edge.to) continue;
      if (runTogether(one, other)) found.push(`${one.edge.from} → ${one.edge.to} runs on top of ${other.edge.from} → ${other.edge.to}.`);
    }
  });
  return found;
}

function runTogether(one: PlacedEdge, other: PlacedEdge): boolean {
  return segments(one.points).some(([a, b]) => segments(other.points).some(([c, d]) => {
    const upright = Math.abs(a.x - b.x) < 0.01 && Math.abs(c.x - d.x) < 0.01 && Math.abs(a.x - c.x) < 3;
    const level = Math.abs(a.y - b.y) < 0.01 && Math.abs(c.y - d.y) < 0.01 && Math.abs(a.y - c.y) < 3;
    const shared = (p: number, q: number, r: number, s: number): number => Math.min(Math.max(p, q), Math.max(r, s)) - Math.max(Math.min(p, q), Math.min(r, s));
    return (upright && shared(a.y, b.y, c.y, d.y) > 1) || (level && shared(a.x, b.x, c.x, d.x) > 1);
  }));
}

/** The steps stand below each other in the order of writing, ways off leave to the right, ways back to the left. */
function column(layout: FlowLayout): string[] {
  const found: string[] = [];
  const steps = layout.nodes.filter(({ node }) => node.inColumn);
  const axis = (node: PlacedNode): number => node.x + node.width / 2;
  steps.forEach((step, index) => {
    const before = steps[index - 1];
    if (!before) return;
    if (Math.abs(axis(step) - axis(before)) > 0.01) found.push(`${step.node.id} is not straight below ${before.node.id}.`);
    if (step.y < before.y + before.height) found.push(`${step.node.id} is not below ${before.node.id}.`);
  });
  const left = Math.min(...steps.map(({ x }) => x));
  const right = Math.max(...steps.map(({ x, width }) => x + width));
  for (const { node, x } of layout.nodes) if (!node.inColumn && x <= right) found.push(`The ending ${node.id} is not to the right.`);
  for (const { edge, points } of layout.edges) {
    const xs = points.map(({ x }) => x);
    if (edge.course === 'back' && !(Math.min(...xs) < left && Math.max(...xs) <= right)) found.push(`The way back ${edge.from} → ${edge.to} does not run on the left.`);
    if (edge.course === 'off' && !(Math.max(...xs) > right && Math.min(...xs) >= left)) found.push(`The way off ${edge.from} → ${edge.to} does not run on the right.`);
    if (edge.course === 'main' && new Set(xs).size > 1) found.push(`The main line ${edge.from} → ${edge.to} bends.`);
  }
  return found;
}

function outside(layout: FlowLayout): string[] {
  const page: Box = { left: -0.01, top: -0.01, right: layout.width + 0.01, bottom: layout.height + 0.01 };
  const within = (box: Box): boolean => box.left >= page.left && box.top >= page.top && box.right <= page.right && box.bottom <= page.bottom;
  return [
    ...layout.nodes.filter((node) => !within(whole(node))).map(({ node }) => `${node.id} is cut off.`),
    ...layout.edges.filter(({ points }) => points.some((point) => !within({ left: point.x, right: point.x, top: point.y, bottom: point.y }))).map(({ edge }) => `The line ${edge.id} is cut off.`),
  ];
}

function segments(points: readonly Point[]): (readonly [Point, Point])[] {
  return points.slice(1).map((point, index) => [points[index] as Point, point] as const);
}

function whole(node: PlacedNode): Box {
  return boxAt(node);
}

/** Without the head above it. */
function shape(node: PlacedNode): Box {
  return { ...boxAt(node), top: node.y + node.top };
}

function boxAt({ x, y, width, height }: { x: number; y: number; width: number; height: number }): Box {
  return { left: x, top: y, right: x + width, bottom: y + height };
}

function lineBox(from: Point, to: Point): Box {
  return { left: Math.min(from.x, to.x), right: Math.max(from.x, to.x), top: Math.min(from.y, to.y), bottom: Math.max(from.y, to.y) };
}

function inset(box: Box, by: number): Box {
  return { left: box.left + by, top: box.top + by, right: box.right - by, bottom: box.bottom - by };
}

function meet(a: Box, b: Box): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
