/**
 * Gives every symbol of a flow drawing its place and every line its course: the column of steps straight down in the order of
 * writing, ways off to the right, ways back to the left. Rows are laid out in flow-rows.ts; how the lines run between rows is
 * found by a general layout library (ELK, layered) behind `LayoutEngine`, so that it can run elsewhere or be another. It is loaded
 * when a drawing is first asked for, and runs in a browser as in Node.
 */
import type { ElkExtendedEdge, ElkNode, ElkPort } from 'elkjs/lib/elk-api.js';
import type { DrawnEdge, FlowDrawing } from './flow-drawing.ts';
import { flowRows, straighten } from './flow-rows.ts';
import type { PlacedLabel, PlacedNode, Point, Row } from './flow-rows.ts';

/** Takes a graph in ELK's JSON form and returns it with places. */
export interface LayoutEngine {
  layout(graph: ElkNode): Promise<ElkNode>;
}

export interface FlowLayout {
  readonly drawing: FlowDrawing;
  /** In px. */
  readonly width: number;
  readonly height: number;
  /** In reading order: each step of the column, then its endings. */
  readonly nodes: readonly PlacedNode[];
  readonly edges: readonly PlacedEdge[];
}

export interface PlacedEdge {
  readonly edge: DrawnEdge;
  /** Corners of the line, from start to end. */
  readonly points: readonly Point[];
  readonly label?: PlacedLabel;
}

/** Places a drawing. Throws where the engine fails. */
export async function layoutFlow(drawing: FlowDrawing, engine?: LayoutEngine): Promise<FlowLayout> {
  const rows = flowRows(drawing);
  if (rows.length === 0) return { drawing, width: 0, height: 0, nodes: [], edges: [] };
  const placed = await (engine ?? (await bundledEngine())).layout(elkGraph(rows));
  return readPlaces(drawing, rows, placed);
}

let bundled: Promise<LayoutEngine> | undefined;

function bundledEngine(): Promise<LayoutEngine> {
  bundled ??= import('elkjs/lib/elk.bundled.js').then((library) => {
    // A CommonJS file seen from a bundle, from Node and from a test runner differs by one `default`.
    type Constructor = new () => LayoutEngine;
    const outer = library as unknown as { default: Constructor | { default: Constructor } };
    const Engine = typeof outer.default === 'function' ? outer.default : outer.default.default;
    return new Engine();
  });
  return bundled;
}

const LAYOUT_OPTIONS = {
  'elk.algorithm': 'layered',
  'elk.direction': 'DOWN',
  'elk.edgeRouting': 'ORTHOGONAL',
  'elk.randomSeed': '1',
  'elk.layered.cycleBreaking.strategy': 'MODEL_ORDER',
  'elk.layered.considerModelOrder.strategy': 'NODES_AND_EDGES',
  'elk.layered.nodePlacement.strategy': 'BRANDES_KOEPF',
  'elk.layered.feedbackEdges': 'true',
  'elk.spacing.edgeNode': '18',
  'elk.spacing.edgeEdge': '14',
  'elk.layered.spacing.nodeNodeBetweenLayers': '24',
  'elk.layered.spacing.edgeNodeBetweenLayers': '10',
  'elk.layered.spacing.edgeEdgeBetweenLayers': '10',
  'elk.padding': '[top=0,left=0,bottom=0,right=0]',
};

const STRAIGHT = { 'elk.layered.priority.straightness': '100', 'elk.layered.priority.direction': '10' };

type Side = 'NORTH' | 'EAST' | 'SOUTH' | 'WEST';

function elkGraph(rows: readonly Row[]): ElkNode {
  const edges: ElkExtendedEdge[] = [];
  rows.forEach((row, index) => {
    for (const { edge, leaves } of row.ways) {
      if (leaves === undefined) continue;
      edges.push({
        id: edge.id,
        sources: [`out:${edge.id}`],
        targets: [entryPort(edge.to, leaves === 'SOUTH' ? 'NORTH' : leaves)],
        ...(leaves === 'SOUTH' ? { layoutOptions: STRAIGHT } : {}),
      });
    }
    // Rows follow each other down the column even where no way leads from one to the next.
    const next = rows[index + 1];
    if (next && !row.ways.some(({ leaves }) => leaves === 'SOUTH')) {
      edges.push({
        id: `order:${row.id}`,
        sources: [entryPort(row.id, 'SOUTH')],
        targets: [entryPort(next.id, 'NORTH')],
        layoutOptions: STRAIGHT,
      });
    }
  });
  return { id: 'flow', layoutOptions: LAYOUT_OPTIONS, children: rows.map(elkRow), edges };
}

function elkRow(row: Row): ElkNode {
  const port = (id: string, side: Side, { x, y }: Point): ElkPort =>
    ({ id, width: 0, height: 0, x, y, layoutOptions: { 'elk.port.side': side } });
  const outs = row.ways.flatMap(({ edge, leaves, points }) => {
    const last = points.at(-1);
    return leaves && last ? [port(`out:${edge.id}`, leaves, last)] : [];
  });
  return {
    id: row.id,
    width: row.width,
    height: row.height,
    layoutOptions: { 'elk.portConstraints': 'FIXED_POS' },
    ports: [
      port(entryPort(row.id, 'NORTH'), 'NORTH', row.entry),
      port(entryPort(row.id, 'EAST'), 'EAST', { x: row.width, y: 0 }),
      port(entryPort(row.id, 'WEST'), 'WEST', { x: 0, y: 0 }),
      port(entryPort(row.id, 'SOUTH'), 'SOUTH', { x: row.entry.x, y: row.height }),
      ...outs,
    ],
  };
}

function entryPort(row: string, side: Side): string {
  return `in:${row}:${side}`;
}

/** Joins what runs inside rows with what the engine found between them. */
function readPlaces(drawing: FlowDrawing, rows: readonly Row[], placed: ElkNode): FlowLayout {
  const places = new Map((placed.children ?? []).map((child) => [child.id, { x: child.x ?? 0, y: child.y ?? 0 }]));
  const between = new Map((placed.edges ?? []).map((edge) => [edge.id, edge]));
  const rowOf = new Map(rows.map((row) => [row.id, row]));
  const nodes: PlacedNode[] = [];
  const edges: PlacedEdge[] = [];
  for (const row of rows) {
    const origin = places.get(row.id) ?? { x: 0, y: 0 };
    for (const node of row.nodes) nodes.push({ ...node, x: node.x + origin.x, y: node.y + origin.y });
    for (const { edge, points, label, leaves } of row.ways) {
      const line = points.map((point) => shift(point, origin));
      const target = rowOf.get(edge.to);
      if (leaves && target) {
        const at = places.get(edge.to) ?? { x: 0, y: 0 };
        for (const { startPoint, bendPoints = [], endPoint } of between.get(edge.id)?.sections ?? []) {
          line.push(startPoint, ...bendPoints, endPoint);
        }
        line.push(shift(target.entry, at), shift(target.entryEnd, at));
      }
      edges.push({ edge, points: straighten(line), ...(label ? { label: { ...label, ...shift(label, origin) } } : {}) });
    }
  }
  return crop({ drawing, width: placed.width ?? 0, height: placed.height ?? 0, nodes, edges });
}

/** Moves everything to the left upper corner of what is really drawn: rows keep room that not all of them use. */
function crop(layout: FlowLayout): FlowLayout {
  const xs = [
    ...layout.nodes.flatMap((node) => [node.x, node.x + node.width]),
    ...layout.edges.flatMap(({ points, label }) => [...points.map(({ x }) => x), ...(label ? [label.x, label.x + label.width] : [])]),
  ];
  const ys = [
    ...layout.nodes.flatMap((node) => [node.y, node.y + node.height]),
    ...layout.edges.flatMap(({ points, label }) => [...points.map(({ y }) => y), ...(label ? [label.y, label.y + label.height] : [])]),
  ];
  const by = { x: -Math.min(...xs), y: -Math.min(...ys) };
  return {
    ...layout,
    width: Math.max(...xs) + by.x,
    height: Math.max(...ys) + by.y,
    nodes: layout.nodes.map((node) => ({ ...node, ...shift(node, by) })),
    edges: layout.edges.map((edge) => ({
      ...edge,
      points: edge.points.map((point) => shift(point, by)),
      ...(edge.label ? { label: { ...edge.label, ...shift(edge.label, by) } } : {}),
    })),
  };
}

function shift(point: Point, by: Point): Point {
  return { x: point.x + by.x, y: point.y + by.y };
}
