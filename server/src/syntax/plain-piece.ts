/**
 * The fast way to read a piece: plain, well-formed YAML as nearly every step is written, straight to our tree. It knows a part of the
 * language and leaves all else (anchors, tags, escapes, block texts, whatever is broken or merely odd) to the library by
 * answering nothing. What it does read it reads as the library does: a test holds the two together.
 */
import type { Span } from '../text/span.ts';
import { mapPlain } from './scalar-offsets.ts';
import type { SourcePiece } from './source-piece.ts';
import type { ListNode, MapEntry, MapNode, ScalarNode, TreeNode } from './tree.ts';

export interface PlainRead {
  readonly node: TreeNode;
  readonly comments: readonly Span[];
}

/** Reads a piece that stands in the file as it is; undefined where the library has to. */
export function readPlainPiece(piece: SourcePiece): PlainRead | undefined {
  if (!piece.isAsWritten || FOREIGN.test(piece.text)) return undefined;
  return new PlainReader(piece.text, piece.at(0)).read();
}

/** Tabs, carriage returns, and blanks and breaks that are none in YAML: all are the library's. */
const FOREIGN = /[\t\r\u0085\u00a0\u2000-\u200f\u2028\u2029\u202f\u3000\ufeff]/;
const KEY = /[A-Za-z0-9_][A-Za-z0-9_-]{0,80}:(?=[ \n]|$)/y;
/** What may begin a plain text. A minus may where something follows it. */
const STARTS_PLAIN = /[^\s\-?:,[\]{}#&*!|>'"%@`]|-(?=[^\s,[\]{}])/y;
const FLOW_KEY = /[A-Za-z0-9_][A-Za-z0-9_-]{0,80}: +/y;
const FLOW_PLAIN = /(?:[^\s\-?:,[\]{}#&*!|>'"%@`]|-[^\s,[\]{}:#])(?:[^,[\]{}:#]*[^\s,[\]{}:#])?/y;
/** In a text of several lines: an empty one, or one that begins with a sign. */
const ODD_BREAK = /\n *(?:\n|[-?:,[\]{}#&*!|>'"%@`])/;
const BREAK = / *\n */g;
const DOUBLE = /"([^"\\\n]*)"/y;
const SINGLE = /'([^'\n]*)'/y;
/** Deeper nesting is the library's to cut off. */
const DEEPEST = 20;

/** A text on one line without escapes: its characters stand one after another. */
class PlainScalar implements ScalarNode {
  readonly kind = 'scalar';

  constructor(
    readonly text: string,
    readonly span: Span,
    readonly style: 'plain' | 'single' | 'double',
  ) {}

  offsetAt(index: number): number {
    return this.span.start + (this.style === 'plain' ? 0 : 1) + Math.max(0, Math.min(index, this.text.length));
  }
}

/** A text on several lines, which a space joins. */
class FoldedScalar implements ScalarNode {
  readonly kind = 'scalar';
  readonly style = 'plain';
  readonly text: string;
  readonly #source: string;
  #indexes: readonly number[] | undefined;

  constructor(
    source: string,
    readonly span: Span,
  ) {
    this.#source = source;
    this.text = source.replace(BREAK, ' ');
  }

  offsetAt(index: number): number {
    this.#indexes ??= mapPlain(this.#source).indexes;
    return this.span.start + (this.#indexes[Math.max(0, Math.min(index, this.text.length))] ?? 0);
  }
}

/** A node with the end that the library gives it: of a block, where the line after it begins. */
interface Read {
  readonly node: TreeNode;
  readonly end: number;
}

class PlainReader {
  /** Of each line that holds something: where its text begins and ends (spaces left out), its column, and where the next line begins. */
  readonly #starts: number[] = [];
  readonly #ends: number[] = [];
  readonly #columns: number[] = [];
  readonly #nexts: number[] = [];
  readonly #comments: Span[] = [];
  #line = 0;
  /** Where the piece's own offsets count from, in the file. */
  readonly #base: number;

  constructor(
    private readonly text: string,
    base: number,
  ) {
    this.#base = base;
  }

  read(): PlainRead | undefined {
    if (!this.#readLines()) return undefined;
    const node = this.#block(this.#columns[0] as number, 0)?.node;
    return node === undefined || this.#line < this.#starts.length ? undefined : { node, comments: this.#comments };
  }

  #readLines(): boolean {
    const { text } = this;
    // Columns of comments since the last line that held something; none: -1.
    let deepest = -1;
    for (let at = 0; at < text.length; ) {
      let end = text.indexOf('\n', at);
      const next = end < 0 ? text.length : end + 1;
      if (end < 0) end = text.length;
      let start = at;
      while (start < end && text.charCodeAt(start) === 32) start++;
      if (start < end) {
        if (text.charCodeAt(start) === 35) {
          this.#comments.push(this.#span(start, end));
          deepest = Math.max(deepest, start - at);
        } else {
          if (deepest > start - at && !this.#goesOn(start, start - at)) return false;
          deepest = -1;
          let last = end;
          while (text.charCodeAt(last - 1) === 32) last--;
          this.#starts.push(start);
          this.#ends.push(last);
          this.#columns.push(start - at);
          this.#nexts.push(next);
        }
      }
      at = next;
    }
    return this.#starts.length > 0 && deepest <= (this.#columns[0] as number);
  }

  /** Whether a line continues the innermost block of the line before it. Where a block ends at a comment, it is for the library to say where. */
  #goesOn(start: number, column: number): boolean {
    const before = this.#starts.length - 1;
    if (before < 0) return true;
    const above = this.#columns[before] as number;
    if (!this.#startsItem(before)) return column >= above;
    let inside = (this.#starts[before] as number) + 1;
    while (this.text.charCodeAt(inside) === 32) inside++;
    KEY.lastIndex = inside;
    if (KEY.test(this.text)) return column >= above + inside - (this.#starts[before] as number);
    return column === above && this.text.charCodeAt(start) === 45;
  }

  #span(start: number, end: number): Span {
    return { start: this.#base + start, end: this.#base + end };
  }

  #startsItem(line: number): boolean {
    const start = this.#starts[line] as number;
    return this.text.charCodeAt(start) === 45 && this.text.charCodeAt(start + 1) === 32 && start + 1 < (this.#ends[line] as number);
  }

  /** The map or list whose keys or dashes stand at a column, from the current line on. */
  #block(column: number, depth: number): Read | undefined {
    if (depth > DEEPEST) return undefined;
    return this.#startsItem(this.#line) ? this.#list(column, depth) : this.#map(column, depth);
  }

  #list(column: number, depth: number): Read | undefined {
    const items: TreeNode[] = [];
    const start = this.#starts[this.#line] as number;
    let last: Read | undefined;
    while (this.#line < this.#starts.length && this.#columns[this.#line] === column) {
      if (!this.#startsItem(this.#line)) break;
      const line = this.#line;
      const dash = this.#starts[line] as number;
      let inside = dash + 1;
      while (this.text.charCodeAt(inside) === 32) inside++;
      KEY.lastIndex = inside;
      if (KEY.test(this.text)) {
        // The map of an item begins on the line of its dash, at its own column.
        this.#starts[line] = inside;
        this.#columns[line] = column + inside - dash;
        last = this.#map(column + inside - dash, depth + 1);
      } else last = this.#inline(inside, column, depth + 1);
      if (last === undefined) return undefined;
      items.push(last.node);
    }
    if (last === undefined || !this.#endsBlock(column)) return undefined;
    const node: ListNode = { kind: 'list', items, span: this.#span(start, lastOf(last, this.#base)), flow: false };
    return { node, end: this.#nexts[this.#line - 1] as number };
  }

  #map(column: number, depth: number): Read | undefined {
    if (depth > DEEPEST) return undefined;
    const entries: MapEntry[] = [];
    const start = this.#starts[this.#line] as number;
    let last: Read | undefined;
    while (this.#line < this.#starts.length && this.#columns[this.#line] === column) {
      const line = this.#line;
      const keyStart = this.#starts[line] as number;
      KEY.lastIndex = keyStart;
      if (!KEY.test(this.text)) break;
      const colon = KEY.lastIndex - 1;
      const key = new PlainScalar(this.text.slice(keyStart, colon), this.#span(keyStart, colon), 'plain');
      let value = colon + 1;
      while (this.text.charCodeAt(value) === 32) value++;
      if (value < (this.#ends[line] as number)) last = this.#inline(value, column, depth + 1);
      else {
        const below = ++this.#line;
        const inside = below < this.#starts.length ? (this.#columns[below] as number) : -1;
        if (inside > column || (inside === column && this.#startsItem(below))) last = this.#block(inside, depth + 1);
        else return undefined;
      }
      if (last === undefined) return undefined;
      entries.push({ key, value: last.node, span: { start: key.span.start, end: Math.max(this.#base + last.end, key.span.end) } });
    }
    if (last === undefined || !this.#endsBlock(column)) return undefined;
    const node: MapNode = { kind: 'map', entries, span: this.#span(start, lastOf(last, this.#base)), flow: false };
    return { node, end: this.#nexts[this.#line - 1] as number };
  }

  /** A block ends where a line begins further out; what stands further in, or at its column and is no part of it, is odd. */
  #endsBlock(column: number): boolean {
    const next = this.#columns[this.#line];
    return next === undefined || next < column || (next === column && this.#isListInMap);
  }

  /** A list may stand at the column of the key above it: the next key then ends it. */
  get #isListInMap(): boolean {
    KEY.lastIndex = this.#starts[this.#line] as number;
    return !this.#startsItem(this.#line) && KEY.test(this.text);
  }

  /** What stands after a key or a dash, to the end of a line; lines further in than its block go on with it. */
  #inline(from: number, column: number, depth: number): Read | undefined {
    const line = this.#line;
    const end = this.#ends[line] as number;
    const first = this.text.charCodeAt(from);
    let read: Read | undefined;
    if (first === 91 || first === 123) {
      read = this.#flow(from, this.#endOfLinesInside(column), depth);
      if (read === undefined) return undefined;
      while (this.#line + 1 < this.#starts.length && (this.#starts[this.#line + 1] as number) < read.end) this.#line++;
    } else read = first === 34 || first === 39 ? this.#quoted(from, end) : this.#plain(from, column);
    if (read === undefined || read.end !== this.#ends[this.#line]) return undefined;
    this.#line++;
    const next = this.#columns[this.#line];
    return next !== undefined && next > column ? undefined : read;
  }

  /** Where the last of the lines ends that stand further in than a column, from the current one on. */
  #endOfLinesInside(column: number): number {
    let line = this.#line;
    while (line + 1 < this.#starts.length && (this.#columns[line + 1] as number) > column) line++;
    return this.#ends[line] as number;
  }

  #plain(from: number, column: number): Read | undefined {
    STARTS_PLAIN.lastIndex = from;
    if (!STARTS_PLAIN.test(this.text)) return undefined;
    if (!isPlain(this.text.slice(from, this.#ends[this.#line]))) return undefined;
    const first = this.#line;
    while (this.#line + 1 < this.#starts.length && (this.#columns[this.#line + 1] as number) > column) {
      const start = this.#starts[this.#line + 1] as number;
      // An empty line or a comment between them is the library's, as is a line that begins with a sign.
      if (start - (this.#columns[this.#line + 1] as number) !== this.#nexts[this.#line]) return undefined;
      STARTS_PLAIN.lastIndex = start;
      if (!STARTS_PLAIN.test(this.text) || !isPlain(this.text.slice(start, this.#ends[this.#line + 1]))) return undefined;
      this.#line++;
    }
    const end = this.#ends[this.#line] as number;
    const text = this.text.slice(from, end);
    const span = this.#span(from, end);
    return { node: this.#line === first ? new PlainScalar(text, span, 'plain') : new FoldedScalar(text, span), end };
  }

  #quoted(from: number, limit: number): Read | undefined {
    const double = this.text.charCodeAt(from) === 34;
    const pattern = double ? DOUBLE : SINGLE;
    pattern.lastIndex = from;
    const match = pattern.exec(this.text);
    const end = from + (match?.[0].length ?? 0);
    // A quote right behind the closing one is a quote in the text.
    if (match === null || end > limit || this.text.charCodeAt(end) === 39) return undefined;
    return { node: new PlainScalar(match[1] ?? '', this.#span(from, end), double ? 'double' : 'single'), end };
  }

  /** A list in brackets or a map in braces. */
  #flow(from: number, limit: number, depth: number): Read | undefined {
    if (depth > DEEPEST) return undefined;
    const isMap = this.text.charCodeAt(from) === 123;
    const close = isMap ? 125 : 93;
    const items: TreeNode[] = [];
    const entries: MapEntry[] = [];
    let at = this.#pastBlanks(from + 1);
    while (this.text.charCodeAt(at) !== close) {
      let key: ScalarNode | undefined;
      if (isMap) {
        FLOW_KEY.lastIndex = at;
        const found = FLOW_KEY.exec(this.text)?.[0];
        if (found === undefined) return undefined;
        const length = found.indexOf(':');
        key = new PlainScalar(found.slice(0, length), this.#span(at, at + length), 'plain');
        at += found.length;
      }
      const value = this.#flowValue(at, limit, depth);
      if (value === undefined || value.end >= limit) return undefined;
      if (key) entries.push({ key, value: value.node, span: { start: key.span.start, end: this.#base + value.end } });
      else items.push(value.node);
      at = this.#pastBlanks(value.end);
      const next = this.text.charCodeAt(at);
      if (next === 44) {
        at = this.#pastBlanks(at + 1);
        // A comma before the bracket is the library's.
        if (this.text.charCodeAt(at) === close) return undefined;
      } else if (next !== close) return undefined;
    }
    const end = at + 1;
    if (end > limit) return undefined;
    const span = this.#span(from, end);
    return { node: isMap ? { kind: 'map', entries, span, flow: true } : { kind: 'list', items, span, flow: true }, end };
  }

  #flowValue(at: number, limit: number, depth: number): Read | undefined {
    const first = this.text.charCodeAt(at);
    if (first === 91 || first === 123) return this.#flow(at, limit, depth + 1);
    if (first === 34 || first === 39) return this.#quoted(at, limit);
    FLOW_PLAIN.lastIndex = at;
    const text = FLOW_PLAIN.exec(this.text)?.[0];
    if (text === undefined) return undefined;
    const span = this.#span(at, at + text.length);
    if (!text.includes('\n')) return { node: new PlainScalar(text, span, 'plain'), end: at + text.length };
    return ODD_BREAK.test(text) ? undefined : { node: new FoldedScalar(text, span), end: at + text.length };
  }

  #pastBlanks(at: number): number {
    let next = at;
    while (this.text.charCodeAt(next) === 32 || this.text.charCodeAt(next) === 10) next++;
    return next;
  }
}

/** A colon with a space after it would make a map of a text, and a number sign with one before it ends it. */
function isPlain(line: string): boolean {
  return !line.includes(': ') && !line.includes(' #') && line.charCodeAt(line.length - 1) !== 58;
}

/** Where the last thing in a block ends, in the piece's offsets. */
function lastOf({ node }: Read, base: number): number {
  return node.span.end - base;
}
