/** What a selection grows to: the word, the value, the key with its value, the result, the step, the section, the file. */
import type { Analysis } from '../analysis/analysis.ts';
import type { TreeNode } from '../syntax/tree.ts';
import { spanHolds } from '../text/span.ts';
import type { Span } from '../text/span.ts';
import { quantitiesIn } from './quantities.ts';
import { spanInScalar } from './tree-path.ts';

/** Spans around an offset, the narrowest first, each within the next. */
export function spansAround({ tree, text }: Analysis, offset: number): Span[] {
  const outward: Span[] = [{ start: 0, end: text.length }];
  const add = (span: Span): void => {
    const shown = trimmed(text, span);
    // Blank lines around it alone would make no second file.
    if (shown.end > shown.start && text.slice(0, shown.start).trim() + text.slice(shown.end).trim() !== '') outward.push(shown);
  };
  descend(tree, offset, add, text);
  add(wordAt(text, offset));
  // Half-typed text has places that no part of the tree holds: there the line stands in.
  if (outward.length < 3) outward.splice(1, 0, lineAt(text, offset));
  const nested: Span[] = [];
  for (const span of outward) {
    const last = nested.at(-1);
    if (!spanHolds(span, offset)) continue;
    if (!last || span.end > span.start && (last.start <= span.start && last.end >= span.end && (last.start < span.start || last.end > span.end))) nested.push(span);
  }
  return nested.reverse();
}

function descend(node: TreeNode | undefined, offset: number, add: (span: Span) => void, text: string): void {
  if (node?.kind === 'scalar') {
    if (!spanHolds(node.span, offset)) return;
    add(node.span);
    if (node.style === 'single' || node.style === 'double') add({ start: node.span.start + 1, end: node.span.end - 1 });
    const sentence = node.style === 'block' ? undefined : sentenceAt(text, node.span, offset);
    if (sentence) add(sentence);
    const quantity = quantitiesIn(node.text).map(({ span }) => spanInScalar(node, span)).find((span) => spanHolds(span, offset));
    if (quantity) add(quantity);
  } else if (node?.kind === 'map') {
    add(node.span);
    const entry = node.entries.find(({ key, span, value }) => spanHolds(key.span, offset) || spanHolds(span, offset) || (value && spanHolds(value.span, offset)));
    if (!entry) return;
    add({ start: entry.key.span.start, end: Math.max(entry.span.end, entry.value?.span.end ?? 0) });
    if (spanHolds(entry.key.span, offset)) add(entry.key.span);
    else descend(entry.value, offset, add, text);
  } else if (node?.kind === 'list') {
    add(node.span);
    const item: TreeNode | undefined = node.items.find((one) => one !== undefined && spanHolds(one.span, offset));
    if (!item) return;
    if (!node.flow) add({ start: dashBefore(text, item.span.start), end: item.span.end });
    descend(item, offset, add, text);
  }
}

/** Where the dash of a list's item stands. */
function dashBefore(text: string, start: number): number {
  const dash = text.lastIndexOf('-', start - 1);
  return dash >= 0 && /^-\s*$/.test(text.slice(dash, start)) ? dash : start;
}

function sentenceAt(text: string, span: Span, offset: number): Span | undefined {
  const inside = text.slice(span.start, span.end);
  if (!/[.?]\s/.test(inside)) return undefined;
  let start = 0;
  for (const end of [...inside.matchAll(/[.?](?=\s)|$/g)].map((match) => match.index + match[0].length)) {
    if (offset <= span.start + end) return { start: span.start + start + (/^\s*/.exec(inside.slice(start))?.[0].length ?? 0), end: span.start + end };
    start = end;
  }
  return undefined;
}

function wordAt(text: string, offset: number): Span {
  const before = /[\p{L}\p{N}_]*$/u.exec(text.slice(Math.max(0, offset - 100), offset))?.[0].length ?? 0;
  const after = /^[\p{L}\p{N}_]*/u.exec(text.slice(offset, offset + 100))?.[0].length ?? 0;
  return { start: offset - before, end: offset + after };
}

function lineAt(text: string, offset: number): Span {
  const start = offset === 0 ? 0 : text.lastIndexOf('\n', offset - 1) + 1;
  const end = text.indexOf('\n', offset);
  return trimmed(text, { start: start + (/^\s*/.exec(text.slice(start, offset))?.[0].length ?? 0), end: end < 0 ? text.length : end });
}

/** A block in YAML runs up to where the next begins; a reader takes it to end with its last word. */
function trimmed(text: string, span: Span): Span {
  let { end } = span;
  while (end > span.start && /\s/.test(text[end - 1] ?? '')) end--;
  return { start: span.start, end };
}
