/** Puts together what was read of the parts of a block. An editor does it at every key, with steps in the thousands. */
import type { Problem } from '../findings/finding.ts';
import { coverSpans, type Span } from '../text/span.ts';
import type { Block } from './blocks.ts';
import type { PartRead } from './read-part.ts';
import type { MapEntry, TreeNode } from './tree.ts';

/** A key and the list below it, from what was read of each. */
export function joinKey(head: PartRead, inside: PartRead): PartRead {
  const problems = [...head.problems, ...inside.problems];
  const comments = (): readonly Span[] => [...head.comments(), ...inside.comments()];
  const broken = head.broken + inside.broken;
  const entry = head.node?.kind === 'map' ? head.node.entries[0] : undefined;
  if (entry === undefined) return { node: inside.node, problems, comments, broken };
  const span = inside.node === undefined ? entry.key.span : coverSpans(entry.key.span, inside.node.span);
  const whole: MapEntry = { key: entry.key, value: inside.node, span };
  return { node: { kind: 'map', entries: [whole], span, flow: false }, problems, comments, broken };
}

/** Puts what was read of each part of a block together. */
export function assemble(kind: Block['kind'], reads: readonly PartRead[]): PartRead {
  const problems: Problem[] = [];
  const items: (TreeNode | undefined)[] = [];
  const entries: MapEntry[] = [];
  let broken = 0;
  let start = Infinity;
  let end = -Infinity;
  for (const read of reads) {
    for (const problem of read.problems) problems.push(problem);
    broken += read.broken;
    const { node } = read;
    if (node === undefined) continue;
    start = Math.min(start, node.span.start);
    end = Math.max(end, node.span.end);
    if (kind === 'list') for (const item of itemsOf(read)) items.push(item);
    else if (node.kind === 'map') for (const entry of node.entries) entries.push(entry);
  }
  const comments = (): Span[] => reads.flatMap((read) => read.comments());
  if (start === Infinity) return { node: undefined, problems, comments, broken };
  const span = { start, end };
  return { node: kind === 'list' ? { kind: 'list', items, span, flow: false } : { kind: 'map', entries, span, flow: false }, problems, comments, broken };
}

/** What was read of an item as nodes of its list: one, but for an item that is odd. */
export function itemsOf({ node }: PartRead): readonly (TreeNode | undefined)[] {
  if (node === undefined) return [];
  return node.kind === 'list' && !node.flow ? node.items : [node];
}
