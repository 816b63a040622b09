/** Where an offset lies in the tree of a text: the keys and items that lead there. */
import type { ScalarNode, TreeNode } from '../syntax/tree.ts';
import { spanHolds } from '../text/span.ts';
import type { Span } from '../text/span.ts';

export interface TreePath {
  /** Keys from the root, `-` for an item of a list. */
  readonly path: readonly string[];
  /** The offset stands on the last key of `path`; else on its value. */
  readonly onKey: boolean;
  /** The key or scalar at the offset. */
  readonly scalar: ScalarNode;
}

/** Undefined between things. */
export function treePathAt(tree: TreeNode | undefined, offset: number): TreePath | undefined {
  const path: string[] = [];
  let node = tree;
  while (node) {
    if (node.kind === 'scalar') return spanHolds(node.span, offset) ? { path, onKey: false, scalar: node } : undefined;
    if (node.kind === 'map') {
      const entry = node.entries.find(
        ({ key, span, value }) =>
          spanHolds(key.span, offset) || spanHolds(span, offset) || (value && spanHolds(value.span, offset)),
      );
      if (!entry) return undefined;
      path.push(entry.key.text);
      if (spanHolds(entry.key.span, offset)) return { path, onKey: true, scalar: entry.key };
      node = entry.value;
    } else {
      const item: TreeNode | undefined = node.items.find((one) => one !== undefined && spanHolds(one.span, offset));
      if (!item) return undefined;
      path.push('-');
      node = item;
    }
  }
  return undefined;
}

/** Every scalar value below a node, keys left out. */
export function* scalarsIn(node: TreeNode | undefined): Generator<ScalarNode> {
  if (!node) return;
  if (node.kind === 'scalar') yield node;
  else if (node.kind === 'map') for (const { value } of node.entries) yield* scalarsIn(value);
  else for (const item of node.items) yield* scalarsIn(item);
}

/** The file's span of a span in the scalar's text. */
export function spanInScalar(scalar: ScalarNode, span: Span): Span {
  return { start: scalar.offsetAt(span.start), end: scalar.offsetAt(span.end) };
}
