/**
 * Formatting: the order of keys, words for symbols, indentation. Comments and blank lines stay with what they stand by. What the
 * text says is the same afterwards: the formatted text is read again, and where it does not say the same, nothing is changed. A
 * text that does not parse stays untouched.
 */
import type { Analysis } from '../analysis/analysis.ts';
import { kindOf } from '../analysis/file-paths.ts';
import type { TextEdit } from '../findings/finding.ts';
import { buildAssets } from '../procedure/build-assets.ts';
import { buildProcedure } from '../procedure/build-procedure.ts';
import { buildShop } from '../procedure/build-shop.ts';
import { parseTree } from '../syntax/parse-tree.ts';
import type { ScalarNode, TreeNode } from '../syntax/tree.ts';
import { lineChanges } from '../text/line-changes.ts';
import type { LineChange } from '../text/line-changes.ts';
import { LineIndex } from '../text/line-index.ts';
import type { Span } from '../text/span.ts';
import { blockAround, layoutChildren, layoutFile, type LayoutSource } from './format-layout.ts';
import { objectPlace, type Place } from './format-places.ts';
import { edited } from './text-parts.ts';
import { bandInWords, bandSpellings, expressionInWords, quantityInWords } from './format-words.ts';

/** What formatting needs to know of a file: it asks for no findings. */
export type Readable = Pick<Analysis, 'file' | 'kind' | 'text' | 'lines' | 'tree' | 'procedure' | 'shop' | 'assets'>;

/** A file's text, read for formatting alone. */
export function readForFormatting(file: string, text: string): Readable {
  const kind = kindOf(file);
  const known = { file, kind, text, lines: new LineIndex(text) };
  if (kind === 'procedure') return { ...known, ...buildProcedure(file, text) };
  if (kind === 'shop') return { ...known, ...buildShop(file, text) };
  return kind === 'assets' ? { ...known, ...buildAssets(file, text) } : { ...known, tree: undefined };
}

/** Edits that format a whole file; none where it is formatted already, or cannot be. */
export function formatFile(analysis: Readable): readonly TextEdit[] {
  const opened = open(analysis);
  if (opened === undefined) return [];
  const { source, root, place } = opened;
  const lines = layoutFile(source, root, place);
  return lines === undefined ? [] : checked(analysis, lineChanges(linesOf(analysis.text), lines));
}

/** Edits that format the steps, keys and items that a span touches, and leave all else as it stands. */
export function formatRange(analysis: Readable, span: Span): readonly TextEdit[] {
  const opened = open(analysis);
  if (opened === undefined || opened.root.kind === 'scalar' || opened.root.flow) return [];
  const { source, root, place } = opened;
  const from = analysis.lines.positionAt(span.start).line;
  const end = analysis.lines.positionAt(span.end);
  // A selection of whole lines ends where the next line begins.
  const to = end.column === 0 && end.line > from ? end.line : end.line + 1;
  const around = blockAround(source, root as Exclude<TreeNode, { kind: 'scalar' }>, place, from, to);
  const old = linesOf(analysis.text);
  const changes = layoutChildren(source, around.block, around.place, from, to).flatMap((part): LineChange[] =>
    lineChanges(old.slice(part.from, part.to), part.lines).map((change) => ({
      ...change,
      from: change.from + part.from,
      to: change.to + part.from,
    })),
  );
  return checked(analysis, changes);
}

/** Whether a file can be formatted at all; else why not, in a sentence. */
export function whyNotFormatted(analysis: Readable): string | undefined {
  if (analysis.kind === 'other') return 'It is no file of ours by its name.';
  const { problems = [] } = analysis.procedure ?? analysis.shop ?? analysis.assets ?? {};
  if (problems.some((problem) => problem.check === 'yaml-syntax'))
    return 'It cannot be read as YAML in every place. Put that right first.';
  return undefined;
}

function open(analysis: Readable): { source: LayoutSource; root: TreeNode; place: Place } | undefined {
  const { text, lines, tree, kind } = analysis;
  if (tree === undefined || kind === 'other' || whyNotFormatted(analysis) !== undefined || /\r(?!\n)/.test(text))
    return undefined;
  const source = {
    text,
    lines,
    spellings: bandSpellings(analysis.procedure),
    mayReorder: !/(?:^|[\s[{,])[&*][^\s,\]}]/m.test(text),
  };
  return { source, root: tree, place: objectPlace(kind) };
}

function linesOf(text: string): string[] {
  return text.split(/\r?\n/);
}

/** The changes as edits, where the text says the same with them made. */
function checked(analysis: Readable, changes: readonly LineChange[]): readonly TextEdit[] {
  if (changes.length === 0) return [];
  const { text, lines, file } = analysis;
  const lineBreak = text.includes('\r\n') ? '\r\n' : '\n';
  const edits = changes.map(({ from, to, lines: fresh }): TextEdit => {
    if (to < lines.lineCount)
      return {
        file,
        span: { start: lines.lineStart(from), end: lines.lineStart(to) },
        newText: fresh.map((line) => line + lineBreak).join(''),
      };
    // Up to the end of the file the break before the first line goes with the change.
    const atBreak = from > 0 && from === to ? text.length : lines.lineStart(from);
    const start = fresh.length === 0 && from > 0 ? endOfLine(text, lines.lineStart(from)) : atBreak;
    return {
      file,
      span: { start, end: text.length },
      newText: (from > 0 && from === to ? lineBreak : '') + fresh.join(lineBreak),
    };
  });
  const formatted = edited(text, edits);
  return saysTheSame(text, formatted) ? edits : [];
}

/** The offset before the line break that ends the line above. */
function endOfLine(text: string, lineStart: number): number {
  return text.startsWith('\r\n', lineStart - 2) ? lineStart - 2 : lineStart - 1;
}

/** Whether two texts hold the same keys, values and comments, and the second no new problem. */
function saysTheSame(before: string, after: string): boolean {
  const first = parseTree(before);
  const second = parseTree(after);
  const comments = (parsed: typeof first, text: string): string =>
    parsed.comments
      .map(({ start, end }) => text.slice(start, end).trimEnd())
      .sort()
      .join('\n');
  const problems = (parsed: typeof first): string =>
    parsed.problems
      .map((problem) => problem.check)
      .sort()
      .join('\n');
  return (
    comments(first, before) === comments(second, after) &&
    problems(first) === problems(second) &&
    sameContent(first.root, second.root)
  );
}

/** Whether two trees hold the same, whatever the order of keys. Values that differ are compared as they are best written. */
function sameContent(first: TreeNode | undefined, second: TreeNode | undefined): boolean {
  if (first === undefined || second === undefined) return first === second;
  if (first.kind === 'scalar')
    return second.kind === 'scalar' && (first.text === second.text || bestWritten(first) === bestWritten(second));
  if (first.kind === 'list')
    return (
      second.kind === 'list' &&
      first.items.length === second.items.length &&
      first.items.every((item, index) => sameContent(item, second.items[index]))
    );
  if (second.kind !== 'map') return false;
  if (first.entries.length !== second.entries.length) return false;
  const taken = new Map<string, number>();
  return first.entries.every(({ key, value }) => {
    // A key that stands twice keeps its order.
    const nth = taken.get(key.text) ?? 0;
    taken.set(key.text, nth + 1);
    const others = second.entries.filter((entry) => entry.key.text === key.text);
    return nth < others.length && sameContent(value, others[nth]?.value);
  });
}

function bestWritten({ text, style }: ScalarNode): string {
  if (style === 'block' || text.length > LONGEST_VALUE) return text;
  return bandInWords(text) ?? quantityInWords(text) ?? expressionInWords(text) ?? text;
}

/** Bands and quantities are shorter. */
const LONGEST_VALUE = 200;
