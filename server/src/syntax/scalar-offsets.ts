/**
 * Where each character of a scalar's text stands in its source: escapes resolved, folded lines joined, indentation taken off.
 * It follows YAML 1.2.2 chapters 7.3 (flow scalars) and 8.1 (block scalars), in step with the library that reads the values;
 * the reader checks that both come to the same text.
 */

/** The text of a scalar, with the source index of each of its characters and one more for its end. */
export interface MappedText {
  readonly text: string;
  readonly indexes: readonly number[];
}

class Mapping {
  text = '';
  readonly indexes: number[] = [];

  add(piece: string, index: number, step = 1): void {
    for (let i = 0; i < piece.length; i++) this.indexes.push(index + i * step);
    this.text += piece;
  }

  end(index: number): MappedText {
    this.indexes.push(index);
    return { text: this.text, indexes: this.indexes };
  }
}

/** A plain scalar's source. */
export function mapPlain(source: string): MappedText {
  const mapping = new Mapping();
  addFolded(mapping, source, 0, source.length, false);
  return mapping.end(source.length);
}

/** A single-quoted scalar's source, quotes included. */
export function mapSingleQuoted(source: string): MappedText {
  const mapping = new Mapping();
  addFolded(mapping, source, 1, Math.max(1, source.length - 1), true);
  return mapping.end(Math.max(1, source.length - 1));
}

/** Lines joined: a line break becomes a space, n + 1 of them n; blanks at breaks are dropped. */
function addFolded(mapping: Mapping, source: string, start: number, end: number, doubledQuotes: boolean): void {
  const lines: { from: number; to: number }[] = [];
  let from = start;
  for (let i = start; i < end; i++) {
    if (source[i] !== '\n') continue;
    lines.push({ from, to: source[i - 1] === '\r' && i - 1 >= from ? i - 1 : i });
    from = i + 1;
  }
  lines.push({ from, to: end });
  const isBlank = (character: string | undefined): boolean => character === ' ' || character === '\t';
  const addLine = (a: number, b: number): void => {
    for (let i = a; i < b; i++) {
      mapping.add(source[i] ?? '', i);
      if (doubledQuotes && source[i] === "'" && source[i + 1] === "'" && i + 1 < b) i++;
    }
  };
  // The break that joins the next line on: where it begins, and how many empty lines followed it.
  let breakAt = -1;
  let emptyAt: number[] = [];
  for (const [index, line] of lines.entries()) {
    let { from: a, to: b } = line;
    const first = index === 0;
    const last = index === lines.length - 1;
    if (!first) while (a < b && isBlank(source[a])) a++;
    if (!last) while (b > a && isBlank(source[b - 1])) b--;
    if (!first && !last && a >= b) {
      emptyAt.push(line.from);
      continue;
    }
    if (!first) {
      if (emptyAt.length === 0) mapping.add(' ', breakAt);
      else for (const at of emptyAt) mapping.add('\n', at);
    }
    addLine(a, b);
    breakAt = b;
    emptyAt = [];
  }
}

const ESCAPES: Readonly<Record<string, string>> = {
  0: '\0', a: '\x07', b: '\b', e: '\x1b', f: '\f', n: '\n', r: '\r', t: '\t', v: '\v', N: '\u0085', _: '\u00a0',
  L: '\u2028', P: '\u2029', ' ': ' ', '"': '"', '/': '/', '\\': '\\', '\t': '\t',
};

/** A double-quoted scalar's source, quotes included. */
export function mapDoubleQuoted(source: string): MappedText {
  const mapping = new Mapping();
  const end = Math.max(1, source.length - 1);
  let i = 1;
  while (i < end) {
    const character = source[i] ?? '';
    if (character === '\r' && source[i + 1] === '\n') {
      i++;
    } else if (character === '\n') {
      i = foldBreaks(mapping, source, i);
    } else if (character === '\\') {
      i = addEscape(mapping, source, i);
    } else if (character === ' ' || character === '\t') {
      let next = i;
      while (source[next] === ' ' || source[next] === '\t') next++;
      const atBreak = source[next] === '\n' || (source[next] === '\r' && source[next + 1] === '\n');
      if (!atBreak) mapping.add(source.slice(i, Math.min(next, end)), i);
      i = next;
    } else {
      mapping.add(character, i);
      i++;
    }
  }
  return mapping.end(end);
}

function foldBreaks(mapping: Mapping, source: string, at: number): number {
  let next = at + 1;
  const empty: number[] = [];
  for (;;) {
    const character = source[next];
    if (character === '\n') empty.push(next);
    else if (character === '\r' ? source[next + 1] !== '\n' : character !== ' ' && character !== '\t') break;
    next++;
  }
  if (empty.length === 0) mapping.add(' ', at);
  else for (const index of empty) mapping.add('\n', index);
  return next;
}

function addEscape(mapping: Mapping, source: string, at: number): number {
  const code = source[at + 1] ?? '';
  const plain = ESCAPES[code];
  if (plain !== undefined) {
    mapping.add(plain, at);
    return at + 2;
  }
  if (code === '\n' || (code === '\r' && source[at + 2] === '\n')) {
    let next = at + (code === '\n' ? 2 : 3);
    while (source[next] === ' ' || source[next] === '\t') next++;
    return next;
  }
  const length = code === 'x' ? 2 : code === 'u' ? 4 : code === 'U' ? 8 : 0;
  if (length > 0) {
    const digits = source.slice(at + 2, at + 2 + length);
    const value = digits.length === length && /^[0-9a-fA-F]+$/.test(digits) ? parseInt(digits, 16) : NaN;
    if (value <= 0x10ffff) {
      mapping.add(String.fromCodePoint(value), at, 0);
      return at + 2 + length;
    }
    mapping.add(source.slice(at, at + 2 + length), at);
    return at + 2 + length;
  }
  mapping.add(source.slice(at, at + 2), at);
  return at + 2;
}

/**
 * A block scalar: `header` is its `|` or `>` with indicators, `body` the text of its lines, `bodyStart` where the body stands
 * counted from the header, `parentIndent` the indentation of what holds it.
 */
export function mapBlock(header: string, body: string, bodyStart: number, parentIndent: number): MappedText {
  const mapping = new Mapping();
  const folded = header.startsWith('>');
  const chomp = /[-+]/.exec(header)?.[0] ?? '';
  const given = Number(/[1-9]/.exec(header)?.[0] ?? 0);
  const lines = blockLines(body, bodyStart);
  let contentEnd = lines.length;
  while (contentEnd > 0 && lines[contentEnd - 1]?.content === '') contentEnd--;
  if (contentEnd === 0) {
    if (chomp === '+' && body !== '') mapping.add('\n'.repeat(Math.max(1, lines.length - 1)), bodyStart, 0);
    return mapping.end(bodyStart + body.length);
  }
  let trim = parentIndent + given;
  let first = 0;
  for (; first < contentEnd; first++) {
    const line = lines[first];
    if (line === undefined) break;
    if (line.content !== '') {
      if (given === 0) trim = line.indent;
      break;
    }
    if (given === 0 && line.indent > trim) trim = line.indent;
  }
  for (let i = lines.length - 1; i >= contentEnd; i--) if ((lines[i]?.indent ?? 0) > trim) contentEnd = i + 1;
  for (let i = 0; i < first; i++) {
    const line = lines[i];
    if (line === undefined) continue;
    const kept = Math.max(0, line.indent - trim);
    mapping.add(' '.repeat(kept), line.at + trim);
    mapping.add('\n', line.at + line.indent);
  }
  addBlockLines(mapping, lines, first, contentEnd, trim, folded);
  const lastLine = lines[contentEnd - 1];
  const lastEnd = lastLine === undefined ? bodyStart : lastLine.at + lastLine.indent + lastLine.content.length;
  if (chomp === '+') {
    for (let i = contentEnd; i < lines.length; i++) {
      const line = lines[i];
      if (line === undefined) continue;
      mapping.add('\n', line.at - 1);
      mapping.add(' '.repeat(Math.max(0, line.indent - trim)), line.at + trim);
    }
    if (!mapping.text.endsWith('\n')) mapping.add('\n', lastEnd);
  } else if (chomp === '') {
    mapping.add('\n', lastEnd);
  }
  return mapping.end(chomp === '-' ? lastEnd : bodyStart + body.length);
}

interface BlockLine {
  /** Where the line begins. */
  readonly at: number;
  readonly indent: number;
  readonly content: string;
}

function blockLines(body: string, bodyStart: number): BlockLine[] {
  const lines: BlockLine[] = [];
  let from = 0;
  for (const raw of body.split('\n')) {
    const indent = /^ */.exec(raw)?.[0].length ?? 0;
    const content = raw.slice(indent);
    lines.push({ at: bodyStart + from, indent, content: content.endsWith('\r') ? content.slice(0, -1) : content });
    from += raw.length + 1;
  }
  return lines;
}

function addBlockLines(
  mapping: Mapping, lines: readonly BlockLine[], first: number, end: number, trim: number, folded: boolean,
): void {
  let separator = '';
  let separatorAt = 0;
  let previousMoreIndented = false;
  for (let i = first; i < end; i++) {
    const line = lines[i];
    if (line === undefined) continue;
    const indent = line.content !== '' && line.indent < trim ? 0 : Math.max(0, line.indent - trim);
    const from = line.at + line.indent - indent;
    const lineText = ' '.repeat(indent) + line.content;
    const moreIndented = line.indent > trim || line.content.startsWith('\t');
    if (!folded) {
      mapping.add(separator, separatorAt, 0);
      mapping.add(lineText, from);
      separator = '\n';
    } else if (moreIndented) {
      if (separator === ' ') separator = '\n';
      else if (!previousMoreIndented && separator === '\n') separator = '\n\n';
      mapping.add(separator, separatorAt, 0);
      mapping.add(lineText, from);
      separator = '\n';
      previousMoreIndented = true;
    } else if (line.content === '') {
      if (separator === '\n') mapping.add('\n', line.at);
      else separator = '\n';
    } else {
      mapping.add(separator, separatorAt, 0);
      mapping.add(lineText, from);
      separator = ' ';
      previousMoreIndented = false;
    }
    separatorAt = line.at + line.indent + line.content.length;
  }
}
