/**
 * What was read of the parts of a file, kept for the next reading: while a file is edited, most of its parts stay as they were, and at
 * most move. A part is known by its text; what is kept of it is what a fresh reading would give, moved to its place.
 */
import type { Fix, Problem } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import type { KnownItems } from './known-items.ts';
import type { PartRead } from './read-part.ts';
import type { ListNode, MapEntry, MapNode, ScalarNode, TreeNode } from './tree.ts';

interface Kept {
  /** As first read, with the part at `base`: moves always start from here. */
  readonly base: number;
  readonly read: PartRead;
  latestBase: number;
  latest: PartRead;
}

/** A part of a block as it was last read: where it stood, what came of it, and its items where it is a key with a list below. */
export interface KnownPart {
  readonly start: number;
  readonly end: number;
  readonly read: PartRead;
  readonly list?: { readonly header: PartRead; readonly column: number; readonly items: KnownItems };
}

/** A whole text as it was last read, kept where its next version can be read from the difference alone. */
export interface KnownText {
  readonly text: string;
  readonly parts: readonly KnownPart[];
}

/** Keeps the parts of one file. Parts that the latest reading did not meet are forgotten. */
export class TreeMemory {
  #current = new Map<string, Kept>();
  #previous = new Map<string, Kept>();
  /** The latest reading, where all of it was plain. */
  known: KnownText | undefined;

  /** To be called before each reading of a whole text. */
  begin(): void {
    this.#previous = this.#current;
    this.#current = new Map();
    this.known = undefined;
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

  /** Forgets a part that an edit has replaced. */
  drop(text: string): void {
    this.#current.delete(text);
    this.#previous.delete(text);
  }
}

/** A node as it was first read, and how far it has moved since. */
export function originalOf(node: TreeNode): { readonly node: TreeNode; readonly by: number } {
  return node instanceof MovedMap || node instanceof MovedList ? { node: node.original, by: node.by } : { node, by: 0 };
}

/** A map that has moved: what is in it is moved when someone looks. */
class MovedMap implements MapNode {
  readonly kind = 'map';
  readonly span: Span;
  #entries: readonly MapEntry[] | undefined;

  constructor(
    readonly original: MapNode,
    readonly by: number,
  ) {
    this.span = moveSpan(original.span, by);
  }

  get flow(): boolean {
    return this.original.flow;
  }

  get entries(): readonly MapEntry[] {
    this.#entries ??= this.original.entries.map((entry): MapEntry => ({
      key: moveScalar(entry.key, this.by), value: entry.value === undefined ? undefined : moveNode(entry.value, this.by), span: moveSpan(entry.span, this.by),
    }));
    return this.#entries;
  }
}

class MovedList implements ListNode {
  readonly kind = 'list';
  readonly span: Span;
  #items: readonly (TreeNode | undefined)[] | undefined;

  constructor(
    readonly original: ListNode,
    readonly by: number,
  ) {
    this.span = moveSpan(original.span, by);
  }

  get flow(): boolean {
    return this.original.flow;
  }

  get items(): readonly (TreeNode | undefined)[] {
    this.#items ??= this.original.items.map((item) => (item === undefined ? undefined : moveNode(item, this.by)));
    return this.#items;
  }
}

/** What was read of a part, at its place after a move. */
export function moveRead(read: PartRead, by: number): PartRead {
  if (by === 0) return read;
  const node = read.node === undefined ? undefined : moveNode(read.node, by);
  const problems = read.problems.length === 0 ? read.problems : read.problems.map((problem) => moveProblem(problem, by));
  return { node, problems, comments: () => read.comments().map((span) => moveSpan(span, by)), broken: read.broken };
}

function moveSpan(span: Span, by: number): Span {
  return { start: span.start + by, end: span.end + by };
}

/** Moves start from what was first read, so that a hundred edits do not leave a hundred layers. */
function moveNode(node: TreeNode, by: number): TreeNode {
  if (node.kind === 'scalar') return moveScalar(node, by);
  const original = originalOf(node);
  const sum = original.by + by;
  if (sum === 0) return original.node;
  return original.node.kind === 'list' ? new MovedList(original.node, sum) : new MovedMap(original.node as MapNode, sum);
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
