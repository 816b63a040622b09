/**
 * A tree as lines: keys in the order of the table of keys, two spaces a level, comments and blank lines with what they stand by.
 * It moves the writer's own lines and makes none up. What it does not understand it moves as it is; what values say is not its
 * business.
 */
import type { LineIndex } from '../text/line-index.ts';
import type { ListNode, MapEntry, MapNode, ScalarNode, TreeNode } from '../syntax/tree.ts';
import type { Spellings } from './format-words.ts';
import { quantityInWords } from './format-words.ts';
import { entryPlace, inOrder, itemPlace, type Place } from './format-places.ts';

/** What is laid out. */
export interface LayoutSource {
  readonly text: string;
  readonly lines: LineIndex;
  /** Bands and expressions to be written otherwise. */
  readonly spellings: Spellings;
  /** Aliases point to what stands above them: then nothing may change places. */
  readonly mayReorder: boolean;
}

/** Something stands where the layout does not expect it. */
class Unfit extends Error {}

/** The lines of a whole file; undefined where its outermost level cannot be laid out. */
export function layoutFile(source: LayoutSource, root: TreeNode, place: Place): string[] | undefined {
  if (root.kind === 'scalar' || root.flow) return undefined;
  const layout = new Layout(source);
  try {
    const first = layout.firstLine(root.span);
    const after = layout.lastLine(root) + 1;
    let end = layout.lineCount;
    while (end > after && layout.line(end - 1).trim() === '') end--;
    const header = layout.trivia(0, first, 0, true);
    const { above, lines } = layout.block(root, 0, place, { from: after, to: end });
    return [...header, ...above, ...lines, ''];
  } catch (error) {
    if (error instanceof Unfit) return undefined;
    throw error;
  }
}

/** New lines for some of a block's children, each in place of its own; `from` and `to` (not included) are lines of the text. */
export function layoutChildren(
  source: LayoutSource,
  block: MapNode | ListNode,
  place: Place,
  from: number,
  to: number,
): { from: number; to: number; lines: string[] }[] {
  const layout = new Layout(source);
  return layout.children(block, place).flatMap((child) => {
    if (child.last < from || child.first >= to) return [];
    try {
      const { above, lines } = child.print(layout.columnOf(child.at), { from: child.last + 1, to: child.last + 1 });
      // What stands before the child on its first line (a dash of the list that holds it) stays.
      const before = layout.line(child.first).slice(0, layout.columnOf(child.at));
      const [head = '', ...rest] = lines;
      return above.length > 0
        ? []
        : [{ from: child.first, to: child.last + 1, lines: [before + head.slice(before.length), ...rest] }];
    } catch (error) {
      if (error instanceof Unfit) return [];
      throw error;
    }
  });
}

/** The innermost block that holds all of some lines inside one of its children's values, or the root. */
export function blockAround(
  source: LayoutSource,
  root: MapNode | ListNode,
  place: Place,
  from: number,
  to: number,
): { block: MapNode | ListNode; place: Place } {
  const layout = new Layout(source);
  let [block, within] = [root, place];
  for (;;) {
    const touched = layout.children(block, within).filter((child) => child.last >= from && child.first < to);
    const [only] = touched;
    const inner = touched.length === 1 && only !== undefined ? only.value : undefined;
    // From the child's first line on it is the child itself that is meant.
    if (
      inner === undefined ||
      only === undefined ||
      inner.kind === 'scalar' ||
      inner.flow ||
      from <= only.first ||
      !layout.standsBelow(inner, only.at)
    )
      return { block, place: within };
    [block, within] = [inner, only.place];
  }
}

interface Lines {
  readonly from: number;
  /** Not included. */
  readonly to: number;
}

/** What a block is laid out as: its lines, and comments that go above the dash it hangs from. */
interface Laid {
  readonly above: string[];
  readonly lines: string[];
}

interface Child {
  /** Where its key or its dash is. */
  readonly at: number;
  readonly first: number;
  readonly last: number;
  readonly value: TreeNode | undefined;
  readonly place: Place;
  readonly entry?: MapEntry;
  print(indent: number, tail: Lines): Laid;
}

class Layout {
  constructor(private readonly source: LayoutSource) {}

  get lineCount(): number {
    return this.source.lines.lineCount;
  }

  /** A line without its break. */
  line(index: number): string {
    const { text, lines } = this.source;
    const start = lines.lineStart(index);
    const end = index + 1 < lines.lineCount ? lines.lineStart(index + 1) : text.length;
    return text.slice(start, end).replace(/[\r\n]+$/, '');
  }

  lineOf(offset: number): number {
    return this.source.lines.positionAt(offset).line;
  }

  columnOf(offset: number): number {
    return this.source.lines.positionAt(offset).column;
  }

  firstLine({ start }: { readonly start: number }): number {
    return this.lineOf(start);
  }

  lastLine({ span }: TreeNode): number {
    return this.lineOf(Math.max(span.start, span.end - 1));
  }

  /** Blank and comment lines, comments at a column; with `asWritten` whatever stands there, unchanged. */
  trivia(from: number, to: number, indent: number, asWritten = false): string[] {
    const lines: string[] = [];
    for (let index = from; index < to; index++) {
      const text = this.line(index).trim();
      if (text !== '' && !text.startsWith('#') && !asWritten) throw new Unfit();
      lines.push(text === '' ? '' : asWritten && !text.startsWith('#') ? this.line(index).trimEnd() : ' '.repeat(indent) + text);
    }
    return lines;
  }

  standsBelow(node: TreeNode, at: number): boolean {
    return (
      this.firstLine(node.span) > this.lineOf(at) ||
      this.line(this.firstLine(node.span)).slice(0, this.columnOf(node.span.start)).trim() === '-'
    );
  }

  /** A map or list over several lines. The first of its lines begins at `indent`. */
  block(node: MapNode | ListNode, indent: number, place: Place, tail: Lines): Laid {
    const children = this.children(node, place);
    const column = children[0] === undefined ? 0 : this.columnOf(children[0].at);
    const laid = children.map((child, index) => {
      const before = index === 0 ? undefined : children[index - 1];
      const after = children[index + 1];
      if (before !== undefined && child.first <= before.last) throw new Unfit();
      const rest: Lines = after === undefined ? tail : { from: child.last + 1, to: after.first };
      const own = { from: rest.from, to: this.#tailEnd(child, rest, column) };
      const printed = child.print(indent, own);
      return { child, leading: [] as string[], ...printed, own, rest };
    });
    laid.forEach((item, index) => {
      const next = laid[index + 1];
      if (next) next.leading.push(...this.trivia(item.own.to, item.rest.to, indent));
    });
    const last = laid.at(-1);
    const end = last === undefined ? [] : this.trivia(last.own.to, last.rest.to, indent);
    const ordered =
      node.kind === 'map' && this.source.mayReorder ? inOrder(laid, (item) => item.child.entry?.key.text ?? '', place) : laid;
    const [first] = ordered;
    if (first !== undefined && first !== laid[0]) {
      // A block does not begin with a blank line: it changes places with the key that was first.
      const blanks = first.leading.findIndex((line) => line !== '');
      const moved = first.leading.splice(0, blanks < 0 ? first.leading.length : blanks);
      laid[0]?.leading.unshift(...moved);
    }
    const above = [...(first?.leading ?? []), ...(first?.above ?? [])].map((line) => line.trimStart());
    return {
      above,
      lines: [
        ...ordered.flatMap((item) =>
          item === first
            ? item.lines
            : [...item.leading, ...item.above.map((line) => (line === '' ? '' : ' '.repeat(indent) + line)), ...item.lines],
        ),
        ...end,
      ],
    };
  }

  children(node: MapNode | ListNode, place: Place): Child[] {
    if (node.kind === 'list') return node.items.map((item) => this.#item(item, place));
    return node.entries.map((entry) => this.#entry(entry, place));
  }

  /** Of the lines after a child, those that belong inside it: comments further in than the child itself. */
  #tailEnd(child: Child, rest: Lines, column: number): number {
    const { value } = child;
    if (value === undefined || value.kind === 'scalar' || value.flow || !this.standsBelow(value, child.at)) return rest.from;
    const inside = this.columnOf(value.span.start);
    let end = rest.from;
    for (let index = rest.from; index < rest.to; index++) {
      const text = this.line(index);
      if (text.trim() === '') continue;
      const at = text.length - text.trimStart().length;
      if (at < inside || at <= column) break;
      end = index + 1;
    }
    return end;
  }

  #entry(entry: MapEntry, parent: Place): Child {
    const { key, value } = entry;
    const first = this.lineOf(key.span.start);
    const place = entryPlace(parent, key.text);
    const isAlias = value !== undefined && value.span.start < key.span.end;
    const last = value === undefined || isAlias ? first : this.lastLine(value);
    const before = this.line(first).slice(0, this.columnOf(key.span.start));
    const print = (indent: number, tail: Lines): Laid => {
      if (!/^[ ]*(?:- +)*$/.test(before)) throw new Unfit();
      const moved = (): Laid => ({
        above: [],
        lines: [...this.#moved(key.span.start, last, indent), ...this.trivia(tail.from, tail.to, indent + 2)],
      });
      if (isAlias || value === undefined) {
        const rest = this.line(first).slice(this.columnOf(key.span.end)).trimEnd();
        return {
          above: [],
          lines: [' '.repeat(indent) + this.slice(key) + rest, ...this.trivia(tail.from, tail.to, indent + 2)],
        };
      }
      try {
        return { above: [], lines: this.#keyAndValue(key, value, indent, place, tail) };
      } catch (error) {
        if (error instanceof Unfit) return moved();
        throw error;
      }
    };
    return { at: key.span.start, first, last, value: isAlias ? undefined : value, place, entry, print };
  }

  #keyAndValue(key: ScalarNode, value: TreeNode, indent: number, place: Place, tail: Lines): string[] {
    const pad = ' '.repeat(indent);
    const keyLine = this.lineOf(key.span.end);
    const valueLine = this.firstLine(value.span);
    const rest = this.line(keyLine).slice(this.columnOf(key.span.end));
    if (!/^\s*:/.test(rest)) throw new Unfit();
    if (valueLine === keyLine) {
      const between = this.source.text.slice(key.span.end, value.span.start).replace(/^\s*:/, '').trim();
      const head = `${pad}${this.slice(key)}: ${between === '' ? '' : `${between} `}`;
      if (value.kind !== 'scalar' && !value.flow) throw new Unfit();
      return [
        ...this.#inline(value, head, indent, place, this.columnOf(key.span.start)),
        ...this.trivia(tail.from, tail.to, indent + 2),
      ];
    }
    const afterColon = rest.replace(/^\s*:/, '');
    const colonEnd = this.columnOf(key.span.end) + rest.length - afterColon.length;
    const head = this.#withRest(`${pad}${this.slice(key)}:`, keyLine, colonEnd, indent - this.columnOf(key.span.start));
    const above = this.trivia(keyLine + 1, valueLine, indent + 2);
    const before = this.line(valueLine).slice(0, this.columnOf(value.span.start));
    if (!/^ *(?:- *)?$/.test(before)) throw new Unfit();
    if (value.kind === 'scalar' || value.flow) {
      if (before.includes('-')) throw new Unfit();
      return [
        head,
        ...above,
        ...this.#inline(value, ' '.repeat(indent + 2), indent, place, this.columnOf(value.span.start) - 2),
        ...this.trivia(tail.from, tail.to, indent + 2),
      ];
    }
    const inner = this.block(value, indent + 2, place, tail);
    return [head, ...above, ...inner.above.map((line) => (line === '' ? '' : ' '.repeat(indent + 2) + line)), ...inner.lines];
  }

  #item(item: TreeNode | undefined, parent: Place): Child {
    if (item === undefined) throw new Unfit();
    const first = this.firstLine(item.span);
    const last = this.lastLine(item);
    const before = this.line(first).slice(0, this.columnOf(item.span.start));
    const dash = /-[ ]+$/.exec(before);
    // An alias stands elsewhere; a dash alone on its line is moved as it is, with its list.
    if (dash === null || !/^[ ]*(?:- +)*$/.test(before)) throw new Unfit();
    const at = this.source.lines.lineStart(first) + dash.index;
    const place = itemPlace(parent);
    const print = (indent: number, tail: Lines): Laid => {
      const pad = ' '.repeat(indent);
      try {
        if (item.kind === 'scalar' || item.flow) {
          return {
            above: [],
            lines: [
              ...this.#inline(item, `${pad}- `, indent, place, this.columnOf(at)),
              ...this.trivia(tail.from, tail.to, indent + 2),
            ],
          };
        }
        const { above, lines } = this.block(item, indent + 2, place, tail);
        const [head = '', ...others] = lines;
        return { above, lines: [`${pad}- ${head.slice(indent + 2)}`, ...others] };
      } catch (error) {
        if (!(error instanceof Unfit)) throw error;
        return { above: [], lines: [...this.#moved(at, last, indent), ...this.trivia(tail.from, tail.to, indent + 2)] };
      }
    };
    return { at, first, last, value: item, place, print };
  }

  /** A text or a bracketed collection after a key or a dash. `column` is where the key or the dash was. */
  #inline(node: TreeNode, head: string, indent: number, place: Place, column: number): string[] {
    const first = this.firstLine(node.span);
    const last = this.lastLine(node);
    const shift = indent - column;
    const slice = this.slice(node);
    if (node.kind === 'scalar' && node.style === 'block') return this.#blockText(node, head, indent, shift, first, last);
    if (first === last) {
      const written = node.kind === 'scalar' ? this.#scalar(node, place, false) : this.#flow(node, place);
      return [this.#withRest(head + written, first, this.columnOf(node.span.end), shift)];
    }
    const lines = slice.split(/\r?\n/);
    const [start = '', ...others] = lines;
    const plain = node.kind === 'scalar' && node.style === 'plain';
    const moved =
      node.kind === 'scalar'
        ? others.map((line) => (line.trim() === '' ? '' : ' '.repeat(indent + 2) + (plain ? line.trim() : line.trimStart())))
        : others.map((line) => this.#shifted(line, shift));
    const end = moved.pop() ?? '';
    return [head + (plain ? start.trimEnd() : start), ...moved, this.#withRest(end, last, this.columnOf(node.span.end), shift)];
  }

  #blockText(node: ScalarNode, head: string, indent: number, shift: number, first: number, last: number): string[] {
    const header = this.line(first).slice(this.columnOf(node.span.start)).trimEnd();
    const body: string[] = [];
    for (let index = first + 1; index <= last; index++) body.push(this.line(index));
    if (/^[|>][-+]?\d|^[|>]\d/.test(header)) return [head + header, ...body.map((line) => this.#shifted(line, shift, true))];
    const content = body.find((line) => line.trim() !== '');
    const inside = content === undefined ? 0 : content.length - content.trimStart().length;
    return [
      head + header,
      ...body.map((line) => (line.length <= inside && line.trim() === '' ? '' : ' '.repeat(indent + 2) + line.slice(inside))),
    ];
  }

  /** Lines as they are, the first from an offset on, at another column. */
  #moved(from: number, last: number, indent: number): string[] {
    const first = this.lineOf(from);
    const column = this.columnOf(from);
    const lines = [' '.repeat(indent) + this.line(first).slice(column)];
    for (let index = first + 1; index <= last; index++) lines.push(this.#shifted(this.line(index), indent - column, true));
    return lines;
  }

  #shifted(line: string, shift: number, exactly = false): string {
    if (line.trim() === '')
      return exactly && shift >= 0 && line !== ''
        ? ' '.repeat(shift) + line
        : exactly
          ? line.slice(Math.min(line.length, -shift))
          : '';
    const column = line.length - line.trimStart().length;
    return ' '.repeat(Math.max(0, column + shift)) + line.trimStart();
  }

  /** A line with what stood behind it: a comment keeps its column where there is room. */
  #withRest(written: string, line: number, end: number, shift: number): string {
    const rest = this.line(line).slice(end);
    const comment = rest.trim();
    if (comment === '') return written;
    if (!comment.startsWith('#')) {
      // An anchor after a colon.
      if (!/^&\S+(?:\s+#.*)?$/.test(comment)) throw new Unfit();
      return `${written} ${comment}`;
    }
    const column = end + rest.length - rest.trimStart().length + shift;
    return written + ' '.repeat(Math.max(1, column - written.length)) + comment;
  }

  #scalar(node: ScalarNode, place: Place, inFlow: boolean): string {
    const slice = this.slice(node);
    const better =
      this.source.spellings.get(node.span.start) ??
      (place.shape?.shape === 'quantity' && node.style !== 'block' ? quantityInWords(node.text) : undefined);
    if (better === undefined || better === node.text) return slice;
    const plain = !/^[^\p{L}\p{N}(\-.]|^-(?:\s|$)|: | #|:$/u.test(better) && !(inFlow && /[,[\]{}]/.test(better));
    return plain ? better : `'${better.replaceAll("'", "''")}'`;
  }

  /** A bracketed collection on one line: one space after each comma, none inside the brackets. */
  #flow(node: MapNode | ListNode, place: Place): string {
    const slice = this.slice(node);
    const asWritten = /[#&*!]/.test(slice) || place.shape?.shape === 'text' || place.shape === undefined;
    if (asWritten) return slice;
    const child = (inner: TreeNode | undefined, at: Place): string => {
      if (inner === undefined) throw new Unfit();
      return inner.kind === 'scalar' ? this.#scalar(inner, at, true) : this.#flow(inner, at);
    };
    if (node.kind === 'list') return `[${node.items.map((item) => child(item, itemPlace(place))).join(', ')}]`;
    const entries = this.source.mayReorder ? inOrder(node.entries, (entry) => entry.key.text, place) : node.entries;
    return `{${entries.map(({ key, value }) => `${this.slice(key)}: ${child(value, entryPlace(place, key.text))}`).join(', ')}}`;
  }

  slice({ span }: { readonly span: { readonly start: number; readonly end: number } }): string {
    return this.source.text.slice(span.start, span.end);
  }
}
