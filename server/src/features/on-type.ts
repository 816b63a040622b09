/**
 * What a new line begins with: the next dash of a list, the column of the next key. Asked right after Enter, so the text alone
 * counts, half typed as it is. It touches nothing but the blanks of the new line, an item that was left empty to end its
 * list, and a dash that was typed where none can be.
 */
import type { FileKind } from '../analysis/analysis.ts';
import type { Shape } from '../procedure/keys.ts';
import type { Span } from '../text/span.ts';
import { cursorAt } from './cursor.ts';
import { expectedAt } from './expected.ts';

export interface TypedEdit {
  readonly span: Span;
  readonly newText: string;
}

const DASHES = /^( *)((?:- +)*)(.*)$/;
const KEY = /^[a-z][\w-]*:(?:\s+(.*))?$/i;
/** A text of several lines begins. */
const BLOCK_HEADER = /(?:^|[:-] +)[|>][-+\d]*$/;

/** `offset` is the cursor on the new line. None where the line is not new and blank, or nothing is to be done. */
export function afterEnter(kind: FileKind, text: string, offset: number): readonly TypedEdit[] {
  if (kind === 'other') return [];
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  const end = lineEnd(text, start);
  if (start === 0 || text.slice(start, end).trim() !== '') return [];
  const above = lineAbove(text, start);
  if (above === undefined || insideBlockText(text, above)) return [];
  const place = cursorAt(text, above.end);
  if (place === undefined || cursorAt(text, offset)?.flow === true || place.flow) return [];

  const [, indent = '', dashes = '', rest = ''] = DASHES.exec(above.text) ?? [];
  const column = indent.length + dashes.length;
  const write = (at: number, mark = ''): readonly TypedEdit[] => {
    const newText = ' '.repeat(at) + mark;
    return text.slice(start, end) === newText ? [] : [{ span: { start, end }, newText }];
  };
  if (rest === '-' || (rest === '' && dashes !== '')) return endList(text, above, end);
  const key = KEY.exec(rest);
  if (key === null) return dashes !== '' && isListOfValues(kind, place.path) ? write(column - 2, '- ') : [];
  const value = key[1]?.trim() ?? '';
  if (BLOCK_HEADER.test(rest)) return write(column + 2);
  // A text whose quotes are still open goes on.
  if (/^"[^"]*$|^'(?:[^']|'')*$/.test(value)) return [];
  if (value !== '') return write(column);
  const shape = shapeAt(kind, place.path);
  return shape === undefined ? [] : write(column + 2, beginsList(shape) ? '- ' : '');
}

/**
 * `offset` is right behind a dash that was typed, or behind the colon of the first key after it: who types fast has typed on before the dash was seen to.
 * Where the line began with a dash already, the second is taken out: the format has no list in a list. Under the keys of an item it goes back to where
 * items begin.
 */
export function afterDash(kind: FileKind, text: string, offset: number): readonly TypedEdit[] {
  if (kind === 'other') return [];
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  const typed = text.slice(start, offset);
  const key = /^ *-(?: +[\w-]+:)?$/.test(typed);
  if ((!key && !/^ *- +-$/.test(typed)) || text.slice(offset, lineEnd(text, start)).trim() !== '') return [];
  const indent = typed.length - typed.trimStart().length;
  const line = { start, end: offset, text: typed, indent };
  const above = lineAbove(text, start);
  if (insideBlockText(text, line) || (above !== undefined && (BLOCK_HEADER.test(above.text) || insideBlockText(text, above)))) return [];
  if (!key) return [{ span: { start: start + indent + 1, end: offset }, newText: '' }];
  // Under a key that holds nothing yet, a list may begin at the column of the key.
  const [, before = '', dashes = '', rest = ''] = DASHES.exec(above?.text ?? '') ?? [];
  if (before.length + dashes.length === indent && /^[\w-]+:$/.test(rest)) return [];
  const holder = holderOf(text, line);
  const [, outer = '', dash = ''] = DASHES.exec(holder?.text ?? '') ?? [];
  return dash !== '' && outer.length + dash.length === indent ? [{ span: { start, end: start + indent }, newText: outer }] : [];
}

interface Line {
  readonly start: number;
  readonly end: number;
  /** Without its line break and the blanks before it. */
  readonly text: string;
  readonly indent: number;
}

function lineEnd(text: string, start: number): number {
  const end = text.indexOf('\n', start);
  const stop = end < 0 ? text.length : end;
  return text[stop - 1] === '\r' && stop > start ? stop - 1 : stop;
}

/** The line right above; undefined for a blank one or a comment. */
function lineAbove(text: string, start: number): Line | undefined {
  const from = text.lastIndexOf('\n', start - 2) + 1;
  const line = text.slice(from, lineEnd(text, from)).trimEnd();
  if (line.trim() === '' || line.trimStart().startsWith('#')) return undefined;
  return { start: from, end: from + line.length, text: line, indent: line.length - line.trimStart().length };
}

/** The nearest line above that is indented less. */
function holderOf(text: string, { start, indent }: Line): Line | undefined {
  for (let from = start; from > 0;) {
    const line = lineAbove(text, from);
    from = text.lastIndexOf('\n', from - 2) + 1;
    if (line !== undefined && line.indent < indent) return line;
  }
  return undefined;
}

function insideBlockText(text: string, line: Line): boolean {
  for (let holder = holderOf(text, line); holder !== undefined; holder = holderOf(text, holder))
    if (BLOCK_HEADER.test(holder.text)) return true;
  return false;
}

/** Enter on an item that holds nothing: the dash goes, and the next key of the map around the list begins. */
function endList(text: string, item: Line, end: number): readonly TypedEdit[] {
  const [, indent = '', dashes = ''] = DASHES.exec(keyOfList(text, item)?.text ?? '') ?? [];
  return [{ span: { start: item.start, end }, newText: ' '.repeat(indent.length + dashes.length) }];
}

/** The line of the key that holds an item's list. A list may stand at the column of its key. */
function keyOfList(text: string, item: Line): Line | undefined {
  for (let from = item.start; from > 0;) {
    const line = lineAbove(text, from);
    from = text.lastIndexOf('\n', from - 2) + 1;
    if (
      line !== undefined &&
      (line.indent < item.indent || (line.indent === item.indent && !line.text.trimStart().startsWith('-')))
    )
      return line;
  }
  return undefined;
}

function shapeAt(kind: FileKind, path: readonly string[]): Shape | undefined {
  return expectedAt(kind, path)?.key?.info.value;
}

function isListOfValues(kind: FileKind, path: readonly string[]): boolean {
  const holder = path.at(-1) === '-' ? path.slice(0, -1) : path;
  const expected = expectedAt(kind, holder)?.expected;
  return expected?.kind === 'value' && ['texts', 'names', 'caution_uses', 'points'].includes(expected.shape.shape);
}

function beginsList(shape: Shape): boolean {
  return ['texts', 'names', 'list', 'caution_uses'].includes(shape.shape);
}
