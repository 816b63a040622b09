/** What can be folded away: sections, steps, results, and blocks of comments. */
import type { Analysis } from '../analysis/analysis.ts';
import type { TreeNode } from '../syntax/tree.ts';
import type { LineIndex } from '../text/line-index.ts';
import type { Span } from '../text/span.ts';

export interface Fold {
  /** Lines from 0; the first stays visible. */
  readonly from: number;
  readonly to: number;
  readonly comment: boolean;
}

export function foldsOf({ tree, lines, text }: Analysis): Fold[] {
  const folds = new Map<number, Fold>();
  const add = (from: number, to: number, comment: boolean): void => {
    const known = folds.get(from);
    if (to > from && (!known || known.to < to)) folds.set(from, { from, to, comment });
  };
  const addSpan = (start: number, span: Span): void =>
    add(lines.positionAt(start).line, lines.positionAt(lastVisible(text, span)).line, false);
  const walk = (node: TreeNode | undefined): void => {
    if (node?.kind === 'map') {
      for (const entry of node.entries) {
        if (entry.value) addSpan(entry.key.span.start, entry.value.span);
        walk(entry.value);
      }
    } else if (node?.kind === 'list') {
      for (const item of node.items) {
        if (item) addSpan(item.span.start, item.span);
        walk(item);
      }
    }
  };
  walk(tree);
  for (const block of commentBlocks(text, lines)) add(block.from, block.to, true);
  return [...folds.values()].sort((a, b) => a.from - b.from);
}

/** The last character of a span that is no white space. */
function lastVisible(text: string, span: Span): number {
  let end = span.end;
  while (end > span.start && /\s/.test(text[end - 1] ?? '')) end--;
  return end;
}

function commentBlocks(text: string, lines: LineIndex): { from: number; to: number }[] {
  const blocks: { from: number; to: number }[] = [];
  // A comment that has its line to itself, and those on the lines that follow.
  for (const match of text.matchAll(/^[ \t]*#[^\n]*(?:\n[ \t]*#[^\n]*)*/gm)) {
    const from = lines.positionAt(match.index).line;
    blocks.push({ from, to: lines.positionAt(match.index + match[0].length).line });
  }
  return blocks;
}
