/**
 * The tolerant tree: what a YAML text says, with places, whatever is broken in it. Every scalar keeps its source text: `yes`,
 * `1.10` and `007` are the writer's words, and what they mean is for the builder to say.
 */
import type { Span } from '../text/span.ts';

export interface ScalarNode {
  readonly kind: 'scalar';
  /** The text it stands for (escapes resolved, folded lines joined). */
  readonly text: string;
  readonly span: Span;
  readonly style: 'plain' | 'single' | 'double' | 'block';
  /** The source offset of the character at `index` of `text`; `index` may equal the length. */
  offsetAt(index: number): number;
}

export interface MapEntry {
  readonly key: ScalarNode;
  /** Absent for `key:` with nothing after it. */
  readonly value: TreeNode | undefined;
  /** Key and value. */
  readonly span: Span;
}

export interface MapNode {
  readonly kind: 'map';
  readonly entries: readonly MapEntry[];
  readonly span: Span;
  /** Written in braces. */
  readonly flow: boolean;
}

export interface ListNode {
  readonly kind: 'list';
  /** An item is undefined for a lone dash. */
  readonly items: readonly (TreeNode | undefined)[];
  readonly span: Span;
  /** Written in brackets. */
  readonly flow: boolean;
}

export type TreeNode = ScalarNode | MapNode | ListNode;
