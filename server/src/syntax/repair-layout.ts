/**
 * Repairs of the layout of a whole text, before it is taken apart: a word processor's dash or bullet in place of `-`, and a key or a dash that
 * slipped to a column at which nothing is open. A part that is read by itself cannot tell to which of the blocks around it such a line
 * belongs; here all blocks that are open at the line are known, and it goes to the nearest that fits.
 */
import type { Fix, Problem } from '../findings/finding.ts';
import { DASH_AT_START, hasComplexKey, KEY_AT_START } from './blocks.ts';
import type { PieceEdit, SourcePiece } from './source-piece.ts';

export interface LaidOut {
  readonly piece: SourcePiece;
  readonly problems: readonly Problem[];
  /** It reads well enough without the repair and means something else: the repair is needed whatever the reader says. */
  readonly silent: boolean;
}

/** Longer texts than this are read as they are. */
const LONGEST_LAID_OUT = 200_000;
/** More slips than this are no slips. */
const MOST_SLIPS = 6;
/** Columns by which a line may have slipped. */
const FARTHEST = 4;

/** Marks that a word processor sets before the items of a list. */
const MARKS = '\u2010-\u2015\u2212\u2022\u2023\u2043\u25aa\u25ab\u25cf\u25e6\u00b7\u00ad*';
const MARK_AT_START = new RegExp(`^([${MARKS}])[ \\t\\u00a0\\u2000-\\u200b]+(?=\\S)`, 'u');
const MARK_SOMEWHERE = new RegExp(`^[ \\t]*[${MARKS}][ \\t\\u00a0\\u2000-\\u200b]`, 'mu');

/** Whether a text may hold such a mark at the start of a line: most texts do not. */
export function mayHoldMarks(text: string): boolean {
  return MARK_SOMEWHERE.test(text);
}

/** Undefined where there is nothing to repair, or the text is too odd to be sure. */
export function repairLayout(whole: SourcePiece, file: string): LaidOut | undefined {
  if (whole.text.length > LONGEST_LAID_OUT || hasComplexKey(whole.text)) return undefined;
  const layout = new Layout(whole.text);
  if (!layout.read()) return undefined;
  const marks = layout.marks.map(({ at, length }): PieceEdit => ({ start: at, end: at + length, newText: length === 1 ? '-' : '- ' }));
  if (marks.length + layout.slips.length === 0) return undefined;
  const fix = (title: string, edits: readonly PieceEdit[]): Fix => ({
    title, altersMeaning: false, edits: edits.map((edit) => ({ file, span: { start: whole.at(edit.start), end: whole.at(edit.end) }, newText: edit.newText })),
  });
  const problems: Problem[] = [];
  const [first] = layout.marks;
  if (first !== undefined) {
    const others = marks.length - 1;
    problems.push({
      check: 'yaml-syntax', span: { start: whole.at(first.at), end: whole.at(first.at + 1) },
      message: `'${first.mark === '\u00ad' ? 'a soft hyphen' : first.mark}' is not a dash: write \`-\`.${others === 0 ? '' : ` ${others === 1 ? 'One more line begins' : `${others} more lines begin`} with such a mark.`}`,
      help: 'Begin each item of a list with a hyphen and a space.', fixes: [fix('Write a hyphen', marks)],
    });
  }
  for (const [{ at, length, what, from, to }, ...others] of asFarOff(layout.slips)) {
    const more = others.length === 0 ? '' : ` ${others.length === 1 ? 'One more line is' : `${others.length} more lines are`} off by as much.`;
    problems.push({
      check: 'yaml-syntax', span: { start: whole.at(at), end: whole.at(at + length) },
      message: `${what} begins at column ${from + 1}; its neighbours begin at column ${to + 1}.${more}`, help: `Begin it at column ${to + 1}${others.length === 0 ? '' : ', and the others as far from where they are'}.`,
      fixes: [fix('Indent it as its neighbours', layout.slips.filter((slip) => slip.at === at || others.includes(slip)).flatMap(({ edits }) => edits))],
    });
  }
  return { piece: whole.edit([...marks, ...layout.slips.flatMap(({ edits }) => edits)]), problems, silent: marks.length > 0 };
}

/** Slips that follow one another and are off by the same number of columns: most often one line above them is the one that slipped. */
function asFarOff(slips: readonly Slip[]): (readonly [Slip, ...Slip[]])[] {
  const groups: [Slip, ...Slip[]][] = [];
  for (const slip of slips) {
    const last = groups.at(-1);
    if (last && slip.to - slip.from === last[0].to - last[0].from) last.push(slip);
    else groups.push([slip]);
  }
  return groups;
}

interface Mark {
  readonly at: number;
  /** With the white space that is none to YAML. */
  readonly length: number;
  readonly mark: string;
}

interface Slip {
  readonly at: number;
  readonly length: number;
  readonly what: string;
  readonly from: number;
  readonly to: number;
  readonly edits: readonly PieceEdit[];
}

/** A block that is open at a line. */
interface Open {
  readonly column: number;
  readonly kind: 'map' | 'list';
  /** Its last key or dash has nothing on its line: a block may begin below it. */
  takesBlock: boolean;
  /** Of a list: the keys with which its items begin. */
  readonly begins: Set<string>;
}

interface Line {
  readonly start: number;
  /** At the column at which it is read. */
  text: string;
  /** The column at which it was written. */
  readonly from: number;
}

class Layout {
  readonly marks: Mark[] = [];
  readonly slips: Slip[] = [];
  readonly #lines: readonly Line[];
  readonly #open: Open[] = [];

  constructor(text: string) {
    let start = 0;
    this.#lines = text.split('\n').map((line) => {
      const at = start;
      start += line.length + 1;
      return { start: at, text: line.replace(/\r$/, ''), from: (/^ */.exec(line)?.[0] ?? '').length };
    });
  }

  /** False where what is written cannot be followed line by line. */
  read(): boolean {
    for (let index = 0; index < this.#lines.length; index++) {
      const line = this.#lines[index]?.text ?? '';
      if (/^\s*(?:#|$)/.test(line)) continue;
      if (/^ *\t/.test(line)) return false;
      const next = this.#line(index);
      if (next === undefined) return false;
      index = next;
    }
    return this.slips.length <= MOST_SLIPS;
  }

  /** Takes a line in; gives the last line of what begins on it. */
  #line(index: number): number | undefined {
    const { start, text: line, from } = this.#lines[index] as Line;
    const indent = (/^ */.exec(line)?.[0] ?? '').length;
    let text = line.slice(indent);
    const mark = this.#markAt(indent, text);
    if (mark !== undefined) {
      this.marks.push({ at: start + from, length: mark.width, mark: mark.sign });
      text = `- ${text.slice(mark.taken)}`;
    }
    if (DASH_AT_START.test(text)) return this.#dash(index, indent, text);
    const key = KEY_AT_START.exec(text)?.[0];
    if (key === undefined) return this.#value(index, text, indent);
    const column = this.#place(index, indent, 'map', key);
    return this.#key(index, column, text, key);
  }

  #markAt(indent: number, text: string): { readonly sign: string; readonly width: number; readonly taken: number } | undefined {
    const found = MARK_AT_START.exec(text);
    if (found === null) return undefined;
    const rest = text.slice(found[0].length);
    const top = this.#open.at(-1);
    const isItem = KEY_AT_START.test(rest) || (top?.takesBlock === true && indent >= top.column) || this.#open.some((open) => open.kind === 'list' && open.column === indent);
    if (!isItem) return undefined;
    // One space after it is as it should be; anything else is written anew.
    const width = /^.[ ](?=\S)/u.test(text) ? 1 : found[0].length;
    return { sign: found[1] ?? '', width, taken: found[0].length };
  }

  #dash(index: number, indent: number, text: string): number | undefined {
    const after = /^-[ \t]+/.exec(text)?.[0] ?? '-';
    const rest = text.slice(after.length);
    const key = KEY_AT_START.exec(rest)?.[0];
    const column = this.#place(index, indent, 'list', key ?? '');
    const list = this.#open.at(-1);
    if (list === undefined) return undefined;
    if (key !== undefined) list.begins.add(key);
    list.takesBlock = rest === '' || rest.startsWith('#');
    if (DASH_AT_START.test(rest)) return undefined;
    if (key === undefined) return this.#value(index, rest, column);
    const inside = column + after.length;
    this.#open.push({ column: inside, kind: 'map', takesBlock: false, begins: new Set() });
    return this.#key(index, inside, rest, key);
  }

  /** What stands after the colon. */
  #key(index: number, column: number, text: string, key: string): number | undefined {
    const map = this.#open.at(-1);
    if (map === undefined) return undefined;
    const value = text.slice(key.length).trim();
    map.takesBlock = value === '' || value.startsWith('#') || /^[&!][^\s]*$/.test(value);
    return map.takesBlock ? index : this.#value(index, value, column);
  }

  /** The last line of a value: of a block of text, of what is in braces or in quotes. */
  #value(index: number, value: string, column: number): number | undefined {
    if (/^[|>][-+\d]*[ \t]*(?:#.*)?$/.test(value)) {
      let last = index;
      for (let next = index + 1; next < this.#lines.length; next++) {
        const line = this.#lines[next]?.text ?? '';
        if (line.trim() === '') continue;
        if ((/^ */.exec(line)?.[0].length ?? 0) <= column) break;
        last = next;
      }
      return last;
    }
    const sign = value.charAt(0);
    if (!'{["\''.includes(sign) || sign === '') return index;
    let whole = value;
    for (let next = index; next < Math.min(this.#lines.length, index + 40); next++) {
      if (next > index) whole += `\n${this.#lines[next]?.text ?? ''}`;
      if (sign === '"' || sign === "'" ? isClosed(whole, sign) : isBalanced(whole)) return next;
      // What is not closed on its line is for others to close.
      if (KEY_AT_START.test((this.#lines[next + 1]?.text ?? '').trimStart())) return undefined;
    }
    return undefined;
  }

  /** Finds the block of a key or a dash, opens it where it begins there, and moves what has slipped. Gives its column. */
  #place(index: number, indent: number, kind: Open['kind'], key: string): number {
    const top = this.#open.at(-1);
    const canBegin = top === undefined || (top.takesBlock && (indent > top.column || (indent === top.column && kind === 'list' && top.kind === 'map')));
    if (canBegin) return this.#begin(indent, kind);
    const at = this.#open.findLastIndex((open) => open.column === indent && open.kind === kind);
    if (at >= 0) {
      this.#open.length = at + 1;
      return indent;
    }
    const target = this.#nearest(indent, kind, key);
    if (target === undefined) {
      // Nothing can be said of it, nor of what follows by it.
      return this.#begin(indent, kind);
    }
    this.#slipped(index, indent, target.column, kind, key);
    if (target.at === undefined) return this.#begin(target.column, kind);
    this.#open.length = target.at + 1;
    return target.column;
  }

  #begin(column: number, kind: Open['kind']): number {
    this.#open.push({ column, kind, takesBlock: false, begins: new Set() });
    return column;
  }

  /** The open block that is nearest by column, one with items like this before another; or one that may begin here. */
  #nearest(indent: number, kind: Open['kind'], key: string): { readonly column: number; readonly at: number | undefined } | undefined {
    const top = this.#open.at(-1);
    const fitting = this.#open.flatMap((open, at) => (open.kind === kind ? [{ column: open.column, at: at as number | undefined, cost: Math.abs(open.column - indent) + (kind === 'list' && !open.begins.has(key) ? UNLIKE : 0) }] : []));
    if (top?.takesBlock && top.kind === 'map') fitting.push({ column: top.column + 2, at: undefined, cost: Math.abs(top.column + 2 - indent) });
    // A line further in than all is most often the rest of the text above it.
    const isText = top !== undefined && indent > top.column && !/^[a-z][a-z0-9_]*:/.test(key);
    // The deeper of two that are as near: a line slips out of its block more easily than into another.
    const best = fitting.sort((a, b) => a.cost - b.cost || b.column - a.column)[0];
    return best === undefined || isText || Math.abs(best.column - indent) > FARTHEST || (best.column === 0 && indent > 2) ? undefined : best;
  }

  #slipped(index: number, from: number, to: number, kind: Open['kind'], key: string): void {
    const { start, text } = this.#lines[index] as Line;
    const edits: PieceEdit[] = [{ start, end: start + from, newText: ' '.repeat(to) }];
    const open = kind === 'list' || /^\s*(?:#.*)?$/.test(text.slice(from + key.length));
    const own: number[] = [];
    for (let next = index + 1; open && next < this.#lines.length; next++) {
      const line = this.#lines[next]?.text ?? '';
      if (line.trim() === '') continue;
      if ((/^ */.exec(line)?.[0].length ?? 0) <= from) break;
      own.push(next);
    }
    const below = own[0] === undefined ? undefined : (/^ */.exec(this.#lines[own[0]]?.text ?? '')?.[0].length ?? 0);
    // Only the line itself has slipped where what is below it stands right already.
    const follows = below !== undefined && (kind === 'list' ? below !== to + 2 : below <= to);
    for (const next of follows ? own : []) {
      const line = this.#lines[next] as Line;
      const column = /^ */.exec(line.text)?.[0].length ?? 0;
      const moved = Math.max(0, column + to - from);
      edits.push({ start: line.start, end: line.start + column, newText: ' '.repeat(moved) });
      // From here on it is read where it belongs.
      line.text = ' '.repeat(moved) + line.text.slice(column);
    }
    this.slips.push({
      at: start + from, length: Math.min(text.trimEnd().length - from, 40), what: kind === 'list' ? 'This dash' : `'${key.trim()}'`, from, to, edits,
    });
  }
}

/** As much as two columns and a half: an item among items of its kind before one that is a little nearer. */
const UNLIKE = 2.5;

function isClosed(text: string, sign: string): boolean {
  return sign === "'" ? /^'(?:[^']|'')*'[ \t]*(?:#.*)?$/.test(text) : /^"(?:[^"\\]|\\[\s\S])*"[ \t]*(?:#.*)?$/.test(text);
}

function isBalanced(text: string): boolean {
  let depth = 0;
  let quote = '';
  for (let at = 0; at < text.length; at++) {
    const sign = text.charAt(at);
    if (quote !== '') quote = sign === quote ? '' : quote;
    else if ((sign === '"' || sign === "'") && /[\s[{,:]/.test(text.charAt(at - 1))) quote = sign;
    else if (sign === '{' || sign === '[') depth++;
    else if (sign === '}' || sign === ']') depth--;
  }
  return depth <= 0;
}
