/** Edits of a text as a unified diff (POSIX `diff -u`), made from the edits themselves: what they leave alone is the same. */
import type { Span } from '../text/span.ts';
import { LineIndex } from '../text/line-index.ts';

export interface Replacement {
  readonly span: Span;
  readonly newText: string;
}

/** Lines of context around a change. */
const CONTEXT = 3;

/** The diff of one file, with a line break at its end; empty where nothing is replaced. `edits` are in order and do not overlap. */
export function renderEditsDiff(path: string, before: string, edits: readonly Replacement[]): string {
  const lines = linesOf(before);
  const hunks: { from: number; to: number; stretches: Stretch[] }[] = [];
  for (const stretch of stretchesOf(before, edits)) {
    const last = hunks.at(-1);
    if (last && stretch.from - last.to <= 2 * CONTEXT) {
      last.stretches.push(stretch);
      last.to = stretch.to;
    } else hunks.push({ from: stretch.from, to: stretch.to, stretches: [stretch] });
  }
  if (hunks.length === 0) return '';
  let shift = 0;
  const parts = hunks.map(({ from, to, stretches }) => {
    const [start, end] = [Math.max(0, from - CONTEXT), Math.min(lines.length, to + CONTEXT)];
    const added = stretches.reduce((sum, { now, from: a, to: b }) => sum + now.length - (b - a), 0);
    const body: string[] = [];
    let at = start;
    for (const stretch of stretches) {
      body.push(...lines.slice(at, stretch.from).map((line) => ` ${line}`), ...lines.slice(stretch.from, stretch.to).map((line) => `-${line}`), ...stretch.now.map((line) => `+${line}`));
      at = stretch.to;
    }
    body.push(...lines.slice(at, end).map((line) => ` ${line}`));
    const header = `@@ -${range(start, end - start)} +${range(start + shift, end - start + added)} @@\n`;
    shift += added;
    return header + body.map((line) => (line.endsWith('\n') ? line : `${line}\n\\ No newline at end of file\n`)).join('');
  });
  return `--- a/${path}\n+++ b/${path}\n${parts.join('')}`;
}

/** Whole lines, from 0, the last one left out, and what stands there afterwards. */
interface Stretch {
  readonly from: number;
  to: number;
  now: string[];
}

function stretchesOf(before: string, edits: readonly Replacement[]): Stretch[] {
  const index = new LineIndex(before);
  const count = linesOf(before).length;
  const groups: { from: number; to: number; edits: Replacement[] }[] = [];
  for (const edit of edits) {
    const from = Math.min(index.positionAt(edit.span.start).line, Math.max(0, count - 1));
    // A line break that is taken away joins two lines: both differ.
    const to = Math.min(count, index.positionAt(edit.span.end).line + 1);
    const last = groups.at(-1);
    if (last && from < last.to) {
      last.edits.push(edit);
      last.to = Math.max(last.to, to);
    } else groups.push({ from, to: Math.max(to, from), edits: [edit] });
  }
  return groups.map(({ from, to, edits: own }) => {
    const [start, end] = [index.lineStart(from), to >= count ? before.length : index.lineStart(to)];
    let now = '';
    let at = start;
    for (const { span, newText } of own) {
      now += before.slice(at, span.start) + newText;
      at = span.end;
    }
    return { from, to, now: linesOf(now + before.slice(at, end)) };
  });
}

function linesOf(text: string): string[] {
  return text.match(/[^\n]*\n|[^\n]+$/gu) ?? [];
}

function range(start: number, length: number): string {
  return length === 1 ? `${start + 1}` : `${length === 0 ? start : start + 1},${length}`;
}
