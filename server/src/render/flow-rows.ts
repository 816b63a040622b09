/**
 * A row of the flow drawing: a step (or a start) in the column, its endings beside it to the right, and the words of its ways where
 * they leave it. Rows are laid out here, exactly; how rows are linked with each other is for flow-layout.ts.
 */
import type { DrawnEdge, FlowDrawing } from './flow-drawing.ts';
import { measureLabel, measureNode } from './flow-sizes.ts';
import type { SizedLabel, SizedNode } from './flow-sizes.ts';

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface PlacedNode extends SizedNode, Point {}
export interface PlacedLabel extends SizedLabel, Point {}

/** All coordinates count from the row's left upper corner. */
export interface Row {
  readonly id: string;
  readonly width: number;
  readonly height: number;
  /** Where the main line and other ways enter: down into the symbol from here. */
  readonly entry: Point;
  /** The top of the symbol, where the arrow ends. */
  readonly entryEnd: Point;
  readonly nodes: readonly PlacedNode[];
  readonly ways: readonly RowWay[];
}

/** A way that begins in this row. */
export interface RowWay {
  readonly edge: DrawnEdge;
  readonly points: readonly Point[];
  readonly label?: PlacedLabel;
  /** The side of the row on which it leaves, at its last point; undefined where it ends at an ending of the row. */
  readonly leaves: 'EAST' | 'SOUTH' | 'WEST' | undefined;
}

/** Height above a symbol on which ways from the sides come in. */
const ENTRY_HEIGHT = 14;
const TRUNK = 20;
const GAP = 16;
const LABEL_GAP = 10;

/** The rows of a drawing, from the top, all of one width and with their symbols on one axis. */
export function flowRows(drawing: FlowDrawing): Row[] {
  const column = drawing.nodes.filter((node) => node.inColumn).map(measureNode);
  const half = Math.max(...column.map(({ width }) => width)) / 2;
  const labels = new Map(drawing.edges.map((edge) => [edge.id, measureLabel(edge.labels)]));
  const widest = (course: DrawnEdge['course']): number =>
    Math.max(0, ...drawing.edges.filter((edge) => edge.course === course).map((edge) => labels.get(edge.id)?.width ?? 0));
  const left = widest('back') > 0 || drawing.edges.some(({ course }) => course === 'back') ? widest('back') + TRUNK + 2 * LABEL_GAP : 0;
  const right = widest('off') + 2 * LABEL_GAP + 14;
  const endings = new Map(drawing.nodes.filter((node) => !node.inColumn).map((node) => [node.id, measureNode(node)]));
  const endingWidth = Math.max(0, ...[...endings.values()].map(({ width }) => width));
  const off = drawing.edges.some(({ course }) => course === 'off') ? TRUNK + right + endingWidth : 0;
  const frame = { axis: left + half, half, endingLeft: left + 2 * half + TRUNK + right, width: left + 2 * half + off };
  return column.map((size) => {
    const own = drawing.edges.filter((edge) => edge.from === size.node.id);
    return layRow(size, own, labels, endings, frame);
  });
}

interface Frame {
  readonly axis: number;
  readonly half: number;
  readonly endingLeft: number;
  readonly width: number;
}

function layRow(
  size: SizedNode, own: readonly DrawnEdge[], labels: ReadonlyMap<string, SizedLabel | undefined>,
  endings: ReadonlyMap<string, SizedNode>, frame: Frame,
): Row {
  const offs = own.filter((edge) => edge.course === 'off');
  const backs = own.filter((edge) => edge.course === 'back');
  const heights = (edges: readonly DrawnEdge[]): number[] =>
    edges.map((edge) => Math.max(endings.get(edge.to)?.height ?? 0, labels.get(edge.id)?.height ?? 18));
  const stack = (edges: readonly DrawnEdge[]): number => heights(edges).reduce((sum, height) => sum + height + GAP, -GAP);
  const bodyTop = ENTRY_HEIGHT + size.top;
  const middle = ENTRY_HEIGHT + (size.top + size.height) / 2;
  const nodes: PlacedNode[] = [{ ...size, x: frame.axis - size.width / 2, y: ENTRY_HEIGHT }];
  const ways: RowWay[] = [];
  let bottom = ENTRY_HEIGHT + size.height;

  /** The middle of each of a stack of ways, from the top. */
  const places = (edges: readonly DrawnEdge[]): number[] => {
    let y = Math.max(ENTRY_HEIGHT + 10, middle - stack(edges) / 2);
    return heights(edges).map((height) => {
      const at = y + height / 2;
      y += height + GAP;
      bottom = Math.max(bottom, y - GAP);
      return at;
    });
  };

  const eastX = frame.axis + size.width / 2;
  const trunkX = frame.axis + frame.half + TRUNK;
  places(offs).forEach((y, index) => {
    const edge = offs[index] as DrawnEdge;
    const ending = endings.get(edge.to);
    if (ending) nodes.push({ ...ending, x: frame.endingLeft, y: y - ending.height / 2 });
    const end = { x: ending ? frame.endingLeft : frame.width, y };
    ways.push({
      edge,
      points: straighten([{ x: eastX, y: middle }, { x: trunkX, y: middle }, { x: trunkX, y }, end]),
      ...placeLabel(labels.get(edge.id), (label) => ({ x: trunkX + LABEL_GAP, y: y - label.height / 2 })),
      leaves: ending ? undefined : 'EAST',
    });
  });

  const westX = frame.axis - size.width / 2;
  const westTrunk = frame.axis - frame.half - TRUNK;
  places(backs).forEach((y, index) => {
    const edge = backs[index] as DrawnEdge;
    ways.push({
      edge,
      points: straighten([{ x: westX, y: middle }, { x: westTrunk, y: middle }, { x: westTrunk, y }, { x: 0, y }]),
      ...placeLabel(labels.get(edge.id), (label) => ({ x: westTrunk - LABEL_GAP - label.width, y: y - label.height / 2 })),
      leaves: 'WEST',
    });
  });

  const mains = own.filter((edge) => edge.course === 'main');
  for (const edge of mains) {
    const label = labels.get(edge.id);
    const start = ENTRY_HEIGHT + size.height;
    if (label) bottom = Math.max(bottom, start + LABEL_GAP + label.height + 4);
  }
  for (const edge of mains) {
    const start = ENTRY_HEIGHT + size.height;
    ways.push({
      edge,
      points: [{ x: frame.axis, y: start }, { x: frame.axis, y: bottom }],
      ...placeLabel(labels.get(edge.id), (label) => ({ x: frame.axis - label.width / 2, y: start + LABEL_GAP })),
      leaves: 'SOUTH',
    });
  }
  return {
    id: size.node.id, width: frame.width, height: bottom,
    entry: { x: frame.axis, y: 0 }, entryEnd: { x: frame.axis, y: bodyTop }, nodes, ways,
  };
}

function placeLabel(label: SizedLabel | undefined, place: (label: SizedLabel) => Point): { label?: PlacedLabel } {
  return label ? { label: { ...label, ...place(label) } } : {};
}

/** Leaves out points that do not turn the line. */
export function straighten(points: readonly Point[]): Point[] {
  const kept: Point[] = [];
  for (const point of points) {
    const last = kept.at(-1);
    if (last && near(last.x, point.x) && near(last.y, point.y)) continue;
    const before = kept.at(-2);
    if (last && before && ((near(before.x, last.x) && near(last.x, point.x)) || (near(before.y, last.y) && near(last.y, point.y)))) kept.pop();
    kept.push(point);
  }
  return kept;
}

function near(a: number, b: number): boolean {
  return Math.abs(a - b) < 0.01;
}
