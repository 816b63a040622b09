/**
 * What was read of the parts of a file, kept for the next reading: while a file is edited, most of its parts stay as they were, and at
 * most move. A part is known by its text; what is kept of it is what a fresh reading would give, moved to its place.
 */
import type { Fix, Problem } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import type { PartRead } from './read-part.ts';
import type { MapEntry, ScalarNode, TreeNode } from './tree.ts';

interface Kept {
  /** As first read, with the part at `base`: moves always start from here. */
  readonly base: number;
  readonly read: PartRead;
  latestBase: number;
  latest: PartRead;
}

/** Keeps the parts of one file. Parts that the latest reading did not meet are forgotten. */
export class TreeMemory {
  #current = new Map<string, Kept>();
  #previous = new Map<string, Kept>();

  /** To be called before each reading. */
  begin(): void {
    this.#previous = this.#current;
    this.#current = new Map();
  }

  /** What is known of a part that now begins at `base`. */
  recall(text: string, base: number): PartRead | undefined {
    const kept = this.#current.get(text) ?? this.#previous.get(text);
    if (kept === undefined) return undefined;
    this.#current.set(text, kept);
    if (kept.latestBase !== base) {
      kept.latest = base === kept.base ? kept.read : moveRead(kept.read, base - kept.base);
      kept.latestBase = base;
    }
    return kept.latest;
  }

  keep(text: string, base: number, read: PartRead): void {
    this.#current.set(text, { base, read, latestBase: base, latest: read });
  }
}

function moveRead(read: PartRead, by: number): PartRead {
  return {
    node: read.node === undefined ? undefined : moveNode(read.node, by), problems: read.problems.map((problem) => moveProblem(problem, by)),
    comments: read.comments.map((span) => moveSpan(span, by)), broken: read.broken,
  };
}

function moveSpan(span: Span, by: number): Span {
  return { start: span.start + by, end: span.end + by };
}

function moveNode(node: TreeNode, by: number): TreeNode {
  if (node.kind === 'scalar') return moveScalar(node, by);
  const span = moveSpan(node.span, by);
  if (node.kind === 'list') return { kind: 'list', items: node.items.map((item) => (item === undefined ? undefined : moveNode(item, by))), span, flow: node.flow };
  const entries = node.entries.map((entry): MapEntry => ({
    key: moveScalar(entry.key, by), value: entry.value === undefined ? undefined : moveNode(entry.value, by), span: moveSpan(entry.span, by),
  }));
  return { kind: 'map', entries, span, flow: node.flow };
}

function moveScalar(node: ScalarNode, by: number): ScalarNode {
  return { kind: 'scalar', text: node.text, span: moveSpan(node.span, by), style: node.style, offsetAt: (index) => node.offsetAt(index) + by };
}

function moveProblem(problem: Problem, by: number): Problem {
  const moved: Problem = { ...problem, span: moveSpan(problem.span, by) };
  return {
    ...moved,
    ...(problem.related === undefined ? {} : { related: problem.related.map((place) => ({ ...place, span: moveSpan(place.span, by) })) }),
    ...(problem.fixes === undefined ? {} : { fixes: problem.fixes.map((fix) => moveFix(fix, by)) }),
  };
}

function moveFix(fix: Fix, by: number): Fix {
  return { ...fix, edits: fix.edits.map((edit) => ({ ...edit, span: moveSpan(edit.span, by) })) };
}
