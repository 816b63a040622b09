/**
 * Where a cursor stands, read from the text alone: keys are told by their indentation, so that it holds while a line is half
 * typed and the tree has nothing there yet. It knows no key of ours by name.
 */
import type { Span } from '../text/span.ts';

export interface Cursor {
  /** Keys from the root to the cursor, `-` for an item of a list. */
  readonly path: readonly string[];
  /** `key`: a key of the map at `path` may be written here; `value`: the value at `path` (an item, where it ends in `-`). */
  readonly kind: 'key' | 'value';
  /** What was typed of it, up to the cursor. */
  readonly typed: string;
  /** What a completion of the whole key or value replaces. */
  readonly replace: Span;
  /** Keys that the map around the cursor has already, as far as the lines show; only for a `key`. */
  readonly present: readonly string[];
  /** The other items of the list around the cursor that are plain words, as far as the lines show; only where `path` ends in `-`. */
  readonly items: readonly string[];
  /** Column at which the key at the cursor begins: what further lines of a block must be indented by. */
  readonly column: number;
  /** The cursor stands in braces or brackets. */
  readonly flow: boolean;
}

/** Undefined in a comment. */
export function cursorAt(text: string, offset: number): Cursor | undefined {
  const lineStart = startOfLine(text, offset);
  const before = text.slice(lineStart, offset);
  if (/(?:^|\s)#/.test(withoutQuoted(before))) return undefined;
  const line = readLine(before);
  const { parents, holder } = parentsOf(text, lineStart, line);
  const base = [...parents.map((part) => part.name), ...line.parts.map((part) => part.name)];
  const open = openFlow(text, lineStart, offset, line, holder);
  if (open) return flowCursor(text, offset, [...parents.map((part) => part.name), ...open.own], open.text);
  const typed = line.rest;
  const replace = { start: offset - typed.length, end: endOfToken(text, offset, line.parts.at(-1)?.name !== '-' && line.hasKey) };
  const column = before.length - typed.length;
  // After `key:` comes its value; anywhere else on the line a key may begin, or a plain item of a list.
  if (line.hasKey) return { path: base, kind: 'value', typed, replace, present: [], items: [], column, flow: false };
  const present = siblings(text, lineStart, column);
  const dash = line.parts.at(-1);
  const items = dash?.name === '-' ? otherItems(text, lineStart, dash.column) : [];
  return { path: base, kind: 'key', typed, replace, present, items, column, flow: false };
}

interface Part {
  readonly name: string;
  readonly column: number;
}

interface Line {
  /** Dashes and, where there is one, the key. */
  readonly parts: readonly Part[];
  readonly hasKey: boolean;
  /** What stands after the key or the dashes. */
  readonly rest: string;
  readonly column: number;
}

const KEY = /^("[^"]*"|'[^']*'|[^\s#:,[\]{}"'&*!|>%@-][^:#{}[\],]*?)\s*:(?=\s|$)\s*/;

function readLine(line: string): Line {
  let column = /^ */.exec(line)?.[0].length ?? 0;
  const first = column;
  const parts: Part[] = [];
  let rest = line.slice(column);
  for (let dash = /^-(?: +|$)/.exec(rest); dash; dash = /^-(?: +|$)/.exec(rest)) {
    parts.push({ name: '-', column });
    column += dash[0].length;
    rest = rest.slice(dash[0].length);
  }
  const key = KEY.exec(rest);
  if (key) {
    parts.push({ name: (key[1] as string).replace(/^["']|["']$/g, ''), column });
    rest = rest.slice(key[0].length);
  }
  return { parts, hasKey: key !== null, rest, column: parts.length > 0 ? first : column };
}

/** The keys and items around a line, outermost first, and the line that holds the innermost. */
function parentsOf(text: string, lineStart: number, line: Line): { parents: Part[]; holder: LineAbove | undefined } {
  const parents: Part[] = [];
  let column = line.column;
  let item = line.parts[0]?.name === '-';
  let holder: LineAbove | undefined;
  let below = lineStart;
  while (column > 0 || item) {
    const candidate = lineAbove(text, below, column, item);
    if (!candidate) break;
    below = candidate.start;
    const above = readLine(candidate.text);
    for (const part of [...above.parts].reverse()) {
      // A list may stand at the column of the key that holds it.
      const holds = part.column < column || (item && part.name !== '-' && part.column === column);
      if (!holds) continue;
      parents.unshift(part);
      column = part.column;
      item = part.name === '-';
      holder ??= candidate;
    }
  }
  return { parents, holder };
}

/** `lastIndexOf` takes a negative place for the first, so that a text that begins with a line break would hold its own start. */
function startOfLine(text: string, offset: number): number {
  return offset <= 0 ? 0 : text.lastIndexOf('\n', offset - 1) + 1;
}

interface LineAbove {
  readonly text: string;
  readonly start: number;
  /** How many spaces it begins with. */
  readonly indent: number;
}

/**
 * The next line above `lineStart` that may hold a key or item at `column`. Most lines of a long file are indented further: they are passed over
 * unread, and so are the items of the list that holds the cursor's own.
 */
function lineAbove(text: string, lineStart: number, column: number, item: boolean): LineAbove | undefined {
  let end = lineStart - 1;
  while (end >= 0) {
    const start = startOfLine(text, end);
    let first = start;
    while (first - start <= column && text.charCodeAt(first) === 32) first++;
    const indent = first - start;
    if (indent < column || (indent === column && item && text.charCodeAt(first) !== 45)) {
      const line = lineOf(text, start, end);
      if (line) return line;
    }
    end = start - 1;
  }
  return undefined;
}

/** Lines that say something and are indented by `deepest` at most, from the one above `lineStart` upward. */
function* linesAbove(text: string, lineStart: number, deepest: number): Generator<LineAbove> {
  const next = (start: number): LineAbove | undefined => lineAbove(text, start, deepest + 1, false);
  for (let line = next(lineStart); line; line = next(line.start)) yield line;
}

/** The same, from `start` downward. */
function* linesBelow(text: string, start: number, deepest: number): Generator<LineAbove> {
  while (start < text.length) {
    const next = text.indexOf('\n', start);
    let first = start;
    while (first - start <= deepest && text.charCodeAt(first) === 32) first++;
    const line = first - start <= deepest ? lineOf(text, start, next < 0 ? text.length : next) : undefined;
    if (line) yield line;
    if (next < 0) return;
    start = next + 1;
  }
}

/** Undefined for an empty line and for a comment. */
function lineOf(text: string, start: number, end: number): LineAbove | undefined {
  const line = text.slice(start, end).replace(/\r$/, '');
  return /^\s*(?:#|$)/.test(line) ? undefined : { text: line, start, indent: /^ */.exec(line)?.[0].length ?? 0 };
}

interface OpenFlow {
  /** Parts of the cursor's own line that lead to the brace. */
  readonly own: readonly string[];
  /** From the first brace or bracket to the cursor. */
  readonly text: string;
}

/** The braces or brackets that are open at the cursor, on this line or from the line of the innermost key on. */
function openFlow(
  text: string,
  lineStart: number,
  offset: number,
  line: Line,
  holder: LineAbove | undefined,
): OpenFlow | undefined {
  if (/^[[{]/.test(line.rest) && isOpen(line.rest)) return { own: line.parts.map((part) => part.name), text: line.rest };
  if (!holder) return undefined;
  const value = readLine(holder.text).rest;
  if (!/^[[{]/.test(value)) return undefined;
  const whole = text.slice(holder.start + holder.text.length - value.length, offset);
  return isOpen(whole) && lineStart > holder.start ? { own: [], text: whole } : undefined;
}

function isOpen(flow: string): boolean {
  let depth = 0;
  for (const character of withoutQuoted(flow)) {
    if (character === '{' || character === '[') depth++;
    else if (character === '}' || character === ']') depth--;
  }
  return depth > 0;
}

function flowCursor(text: string, offset: number, base: readonly string[], flow: string): Cursor {
  const path: string[] = [...base];
  const stack: { readonly map: boolean; readonly depth: number; readonly present: string[]; readonly items: string[] }[] = [];
  let start = 0;
  let quote = '';
  let key = false;
  for (let i = 0; i < flow.length; i++) {
    const character = flow[i] as string;
    if (quote) {
      if (character === quote) quote = '';
    } else if ((character === '"' || character === "'") && flow.slice(start, i).trim() === '') quote = character;
    else if (character === '{' || character === '[') {
      stack.push({ map: character === '{', depth: path.length, present: [], items: [] });
      if (character === '[') path.push('-');
      start = i + 1;
      key = false;
    } else if (character === '}' || character === ']') {
      const closed = stack.pop();
      if (closed) path.length = closed.depth;
      start = i + 1;
      key = true;
    } else if (character === ',') {
      const inside = stack.at(-1);
      if (inside && !inside.map && !key) inside.items.push(flow.slice(start, i).trim());
      if (inside) path.length = inside.depth + (inside.map ? 0 : 1);
      start = i + 1;
      key = false;
    } else if (character === ':' && !key && /^(?:\s|$)/.test(flow[i + 1] ?? '') && stack.at(-1)?.map) {
      const name = flow
        .slice(start, i)
        .trim()
        .replace(/^["']|["']$/g, '');
      stack.at(-1)?.present.push(name);
      path.push(name);
      start = i + 1;
      key = true;
    }
  }
  const inside = stack.at(-1);
  const typed = flow.slice(start).trimStart();
  const isKey = inside?.map === true && path.length === inside.depth;
  return {
    path,
    kind: isKey ? 'key' : 'value',
    typed,
    replace: { start: offset - typed.length, end: endOfFlowToken(text, offset) },
    present: isKey ? [...inside.present, ...keysAhead(text, offset)] : [],
    items: inside?.map === false ? [...inside.items, ...itemsAhead(text, offset)] : [],
    column: 0,
    flow: true,
  };
}

/** What follows the cursor up to the brace or bracket that closes around it; a line's end closes it where that is not typed yet. */
function restOfFlow(text: string, offset: number): string {
  const line = /^[^\n\r]*/.exec(text.slice(offset, offset + 2_000))?.[0] ?? '';
  let depth = 0;
  for (let i = 0; i < line.length; i++) {
    const character = line[i] as string;
    if (character === '{' || character === '[') depth++;
    else if ((character === '}' || character === ']') && --depth < 0) return line.slice(0, i);
  }
  return line;
}

function keysAhead(text: string, offset: number): string[] {
  return [...restOfFlow(text, offset).matchAll(/,\s*([A-Za-z_][\w-]*)\s*:/g)].map((match) => match[1] as string);
}

function itemsAhead(text: string, offset: number): string[] {
  return restOfFlow(text, offset).split(',').slice(1).map((item) => item.trim()).filter((item) => item !== '');
}

/** The plain items of the list whose dashes stand at `column`, the one on the line left out. */
function otherItems(text: string, lineStart: number, column: number): string[] {
  const found: string[] = [];
  let left = MOST_ITEMS;
  const scan = (line: LineAbove): boolean => {
    if (left-- === 0) return false;
    const item = line.indent === column ? /^ *-\s+([^\s#{[][^#:]*?)\s*(?:#.*)?$/.exec(line.text)?.[1] : undefined;
    if (item !== undefined) found.push(item);
    return line.indent === column && line.text[column] === '-';
  };
  for (const line of linesAbove(text, lineStart, column)) if (!scan(line)) break;
  const lineEnd = text.indexOf('\n', lineStart);
  if (lineEnd >= 0) for (const line of linesBelow(text, lineEnd + 1, column)) if (!scan(line)) break;
  return found;
}

/** A list with more items than this is no list of names. */
const MOST_ITEMS = 200;

/** The keys of the block map whose keys begin at `column`, above and below the line. */
function siblings(text: string, lineStart: number, column: number): string[] {
  const found: string[] = [];
  const scan = (candidate: LineAbove, upward: boolean): boolean => {
    const line = readLine(candidate.text);
    const last = line.parts.at(-1);
    if (!line.hasKey || last?.column !== column) return false;
    // Above, the item that holds the cursor begins on a line with a dash; below, a dash begins the next item.
    if (!upward && line.parts.length > 1) return false;
    found.push(last.name);
    return line.parts.length === 1;
  };
  const lineEnd = text.indexOf('\n', lineStart);
  const own = readLine(text.slice(lineStart, lineEnd < 0 ? undefined : lineEnd));
  if (own.parts[0]?.name !== '-') {
    for (const line of linesAbove(text, lineStart, column)) if (!scan(line, true)) break;
  }
  if (lineEnd >= 0) {
    for (const line of linesBelow(text, lineEnd + 1, column)) if (!scan(line, false)) break;
  }
  return found;
}

function endOfToken(text: string, offset: number, value: boolean): number {
  const rest = /^[^\n\r]*/.exec(text.slice(offset, offset + 400))?.[0] ?? '';
  const token = (value ? /^(?:(?!\s+#)[^\n\r])*/ : /^[A-Za-z0-9_-]*/).exec(rest)?.[0] ?? '';
  return offset + token.trimEnd().length;
}

function endOfFlowToken(text: string, offset: number): number {
  return offset + (/^[^,:{}[\]\n\r#]*/.exec(text.slice(offset, offset + 200))?.[0] ?? '').trimEnd().length;
}

/** The same length, with what stands in quotes blotted out, closed or still open. */
function withoutQuoted(text: string): string {
  return text.replace(/(?<=^|[\s,[{:])(?:"(?:[^"\\]|\\.)*(?:"|$)|'[^']*(?:'|$))/g, (quoted) => 'q'.repeat(quoted.length));
}
