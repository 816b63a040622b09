/**
 * Where the parts of a block begin: the keys of a map, the items of a list, by the column at which they stand. It looks at lines
 * alone, so that it works on text that no parser accepts.
 */
import type { SourcePiece } from './source-piece.ts';

export interface Block {
  readonly kind: 'map' | 'list' | 'other';
  /** The column of its keys or dashes. */
  readonly column: number;
  /** One part a key or an item; comments and blank lines go with the part before them, at the start with the first. */
  readonly parts: readonly SourcePiece[];
  /** The first part stands further in than the others, as no part of a block can. */
  readonly strayStart: boolean;
}

/** `key:` at the start of a line, with a space or nothing after the colon. */
export const KEY_AT_START = /^(?:"(?:[^"\\\n]|\\.)*"|'(?:[^'\n]|'')*'|[A-Za-z_][^\n:#'"{}[\]]*)[ \t]*:(?=[ \t]|\r?$)/;
/** `- ` or a lone dash. */
export const DASH_AT_START = /^-(?=[ \t]|\r?$)/;

export interface Line {
  readonly start: number;
  /** Where its text begins, after spaces. */
  readonly textStart: number;
  /** Without the line break. */
  readonly end: number;
}

/** The lines of a text that hold more than spaces and a comment; `most` of them are enough. */
export function contentLines(text: string, most = Infinity): Line[] {
  const lines: Line[] = [];
  let start = 0;
  while (start < text.length && lines.length < most) {
    let end = text.indexOf('\n', start);
    if (end < 0) end = text.length;
    let textStart = start;
    while (textStart < end && text.charCodeAt(textStart) === 32) textStart++;
    const code = text.charCodeAt(textStart);
    if (textStart < end && code !== 35 && code !== 13) lines.push({ start, textStart, end });
    start = end + 1;
  }
  return lines;
}

/** Takes a block apart. A text that starts with neither a key nor a dash is one part of kind 'other'. */
export function splitBlock(piece: SourcePiece): Block {
  const { text } = piece;
  const lines = contentLines(text);
  const first = lines[0];
  if (first === undefined) return { kind: 'other', column: 0, parts: [piece], strayStart: false };
  const columnOfFirst = first.textStart - first.start;
  const nearest = lines.find((line) => line.textStart - line.start < columnOfFirst && kindOfLine(text, line) !== 'other');
  const base = nearest === undefined ? first : nearest;
  const column = base.textStart - base.start;
  const kind = kindOfLine(text, base);
  if (kindOfLine(text, first) === 'other' || hasComplexKey(text)) return { kind: 'other', column: columnOfFirst, parts: [piece], strayStart: false };
  const starts = lines.filter((line) => line.textStart - line.start === column && (line === first || kindOfLine(text, line) === kind)).map((line) => line.start);
  if (nearest === undefined) starts[0] = 0;
  else starts.unshift(0);
  const parts = starts.map((start, index) => piece.slice(start, starts[index + 1] ?? text.length));
  return { kind, column, parts, strayStart: nearest !== undefined };
}

/** `? ` at the start of a line begins a key of several lines. Most texts ask nothing, and need not be searched line by line. */
export function hasComplexKey(text: string): boolean {
  return /\?[ \t]/.test(text) && /^ *\?[ \t]/m.test(text);
}

function kindOfLine(text: string, line: Line): Block['kind'] {
  const lineText = text.slice(line.textStart, line.end);
  return DASH_AT_START.test(lineText) ? 'list' : KEY_AT_START.test(lineText) ? 'map' : 'other';
}

/** A part `key:` whose value is the block of lines below it. */
export interface KeyWithBlock {
  readonly header: SourcePiece;
  readonly value: SourcePiece;
}

/** Takes `key:` and the lines below apart, where the key's line holds nothing else. */
export function splitKey(part: SourcePiece): KeyWithBlock | undefined {
  const [first, second] = contentLines(part.text, 2);
  if (first === undefined || second === undefined) return undefined;
  const firstText = part.text.slice(first.textStart, first.end);
  const key = KEY_AT_START.exec(firstText);
  if (key === null || !/^[ \t]*(?:#.*)?\r?$/.test(firstText.slice(key[0].length))) return undefined;
  const cut = Math.min(first.end + 1, part.text.length);
  return { header: part.slice(0, cut), value: part.slice(cut, part.text.length) };
}

/** The inside of a list item, its dash made a space; undefined where it does not begin a map or a list on the dash's line. */
export function insideItem(item: SourcePiece): SourcePiece | undefined {
  const [first] = contentLines(item.text, 1);
  if (first === undefined || !DASH_AT_START.test(item.text.slice(first.textStart, first.end))) return undefined;
  const inside = item.text.slice(first.textStart + 1, first.end).trimStart();
  if (!KEY_AT_START.test(inside) && !DASH_AT_START.test(inside)) return undefined;
  return item.edit([{ start: first.textStart, end: first.textStart + 1, newText: ' ' }]);
}
