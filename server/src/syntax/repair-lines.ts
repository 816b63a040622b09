/**
 * The repairs that may be made in a line, most likely first. Each is a guess: repair.ts tries them and keeps the one that helps.
 */
import type { Fix, Problem } from '../findings/finding.ts';
import { DASH_AT_START, KEY_AT_START } from './blocks.ts';
import type { PieceEdit, SourcePiece } from './source-piece.ts';
import { quoted, shortened } from './yaml-traps.ts';

export interface Repair {
  readonly edits: readonly PieceEdit[];
  readonly problem: Problem;
}

/** A line of a piece that may be wrong. */
export interface SuspectLine {
  readonly piece: SourcePiece;
  /** Offset of the line in the piece. */
  readonly start: number;
  readonly text: string;
  /** Where the keys or dashes of the block stand. */
  readonly column: number;
  readonly kind: 'map' | 'list' | 'other';
  readonly file: string;
}

/** Spaces that are no spaces to YAML: a tab, and the no-break and wide spaces that come with text from a web page. */
const ODD_INDENTATION = /^[ ]*[\t\u00a0\u2000-\u200b\u202f\u3000][ \t\u00a0\u2000-\u200b\u202f\u3000]*(?=\S)/gm;

/** Spaces in place of every tab at the start of a line, tried at the usual widths. */
export function indentationRepairs(piece: SourcePiece, file: string): Repair[] {
  const odd = [...piece.text.matchAll(ODD_INDENTATION)];
  const [first] = odd;
  if (first === undefined) return [];
  const withTab = odd.some((match) => match[0].includes('\t'));
  return [2, 4, 8, 1].map((width) => {
    const edits = odd.map((match) => ({
      start: match.index, end: match.index + match[0].length,
      newText: match[0].replaceAll('\t', ' '.repeat(width)).replace(/[^ ]/g, ' '),
    }));
    const lines = odd.length === 1 ? 'This line is' : `${odd.length} lines from here on are`;
    return {
      edits,
      problem: {
        check: 'yaml-syntax', span: spanOf(piece, first.index, first.index + first[0].length),
        message: withTab ? `${lines} indented with a tab, which YAML does not allow.` : `${lines} indented with spaces that YAML does not take for spaces.`,
        help: 'Indent with ordinary spaces, two for each level.',
        fixes: [fixOf(withTab ? 'Replace tabs by spaces' : 'Replace them by ordinary spaces', piece, edits, file)],
      },
    };
  });
}

/** What may be wrong in one line. */
export function lineRepairs(line: SuspectLine): Repair[] {
  const repairs: Repair[] = [];
  const parts = takeApart(line.text);
  repairs.push(...missingBlank(line));
  if (parts.value !== '') {
    repairs.push(...closings(line, parts), ...insideBraces(line, parts));
    const quote = quoting(line, parts);
    if (quote !== undefined) repairs.push(quote);
    const wider = quotingOn(line, parts);
    if (wider !== undefined) repairs.push(wider);
  }
  repairs.push(...moved(line), ...missingColon(line));
  return repairs;
}

interface LineParts {
  /** Length of what stands before the value: spaces, dashes, the key and its colon. */
  readonly valueAt: number;
  /** Without spaces at the end, or a comment set off by `# `. */
  readonly value: string;
}

function takeApart(text: string): LineParts {
  const lead = /^[ ]*(?:-[ ]+)*/.exec(text)?.[0] ?? '';
  const rest = text.slice(lead.length);
  const key = KEY_AT_START.exec(rest)?.[0] ?? '';
  const spaces = key === '' ? '' : (/^[ \t]*/.exec(rest.slice(key.length))?.[0] ?? '');
  const valueAt = lead.length + key.length + spaces.length;
  const hasLead = lead.includes('-') || key !== '';
  const value = hasLead ? text.slice(valueAt).replace(/[ \t]+#[ \t](?![ \t]*\d).*$/, '').trimEnd() : '';
  return { valueAt, value };
}

const COMPARISON_WORDS: Readonly<Record<string, string>> = { '>=': 'at least', '>': 'above', '<=': 'at most', '<': 'below' };

/** The whole value in quotes. */
function quoting(line: SuspectLine, { valueAt, value }: LineParts): Repair | undefined {
  const words = whyQuote(value);
  if (words === undefined) return undefined;
  const edit = { start: line.start + valueAt, end: line.start + valueAt + value.length, newText: quoted(value) };
  const fixes = [fixOf('Put the text in quotes', line.piece, [edit], line.file)];
  const comparison = /^(>=?|<=?)[ \t]*(?=[-\d(a-z])/.exec(value);
  const word = comparison === null ? undefined : COMPARISON_WORDS[comparison[1] ?? ''];
  if (comparison !== null && word !== undefined) {
    const inWords = `${word} ${value.slice(comparison[0].length)}`;
    fixes.unshift(fixOf(`Write '${shortened(inWords)}'`, line.piece, [{ ...edit, newText: inWords }], line.file));
  }
  return { edits: quotingEdits(edit.start, value), problem: { check: 'yaml-syntax', span: spanOf(line.piece, edit.start, edit.end), ...words, fixes } };
}

/** Puts a text in quotes and leaves each of its characters in its place. */
function quotingEdits(start: number, text: string): PieceEdit[] {
  const edits: PieceEdit[] = [{ start, end: start, newText: "'" }];
  for (let at = text.indexOf("'"); at >= 0; at = text.indexOf("'", at + 1)) edits.push({ start: start + at, end: start + at, newText: "'" });
  edits.push({ start: start + text.length, end: start + text.length, newText: "'" });
  return edits;
}

function whyQuote(value: string): { message: string; help: string } | undefined {
  const text = shortened(value);
  const sign = value.charAt(0);
  const help = 'Put the text in quotes.';
  if (sign === '>' || sign === '|') {
    const isBand = /^>=?[ \t]*[-\d(a-z]/.test(value);
    return {
      message: `'${text}' begins with '${sign}', which YAML takes for the start of a block of text.`,
      help: isBand ? `Say it in words: '${value.startsWith('>=') ? 'at least' : 'above'} …'. Or put it in quotes.` : help,
    };
  }
  if ('*&!%@`,'.includes(sign)) return { message: `'${text}' begins with '${sign}', with which no text can begin unless it is in quotes.`, help };
  if (/^[-?:][ \t]/.test(value)) return { message: `'${text}' begins with '${sign} ', which YAML takes for the start of a list or a map.`, help };
  if (sign === '{' || sign === '[') {
    return { message: `'${text}' begins with '${sign}', which YAML takes for the start of a ${sign === '{' ? 'map' : 'list'}.`, help };
  }
  if (sign === '"' || sign === "'") {
    return { message: `The text goes on after a quotation mark has closed it: '${text}'.`, help: 'Put the whole text in quotes, from its first word to its last.' };
  }
  if (value.endsWith(':') && !/:[ \t]/.test(value)) return { message: `'${text}' ends with a colon, which YAML takes for 'key:'.`, help };
  if (/:[ \t]/.test(value)) {
    return { message: `'${text}' holds a colon and a space, which YAML takes for 'key: value'.`, help: 'Put the text in quotes, or write it without the colon.' };
  }
  if (/[ \t]#/.test(value)) return { message: `'${text}' is cut off at '#', which begins a comment after a space.`, help };
  return undefined;
}

/** The value and the lines that go on with it, in quotes. */
function quotingOn(line: SuspectLine, { valueAt, value }: LineParts): Repair | undefined {
  const words = whyQuote(value);
  if (words === undefined || /^["']/.test(value)) return undefined;
  const { text } = line.piece;
  const indent = /^ */.exec(line.text)?.[0].length ?? 0;
  let end = line.start + line.text.length;
  while (end < text.length) {
    const next = text.indexOf('\n', end + 1);
    const nextLine = text.slice(end + 1, next < 0 ? text.length : next);
    const nextText = nextLine.trimStart();
    const goesOn = nextText !== '' && nextLine.length - nextText.length > indent && !KEY_AT_START.test(nextText) && !DASH_AT_START.test(nextText);
    if (!goesOn) break;
    end = next < 0 ? text.length : next;
  }
  if (end === line.start + line.text.length) return undefined;
  const start = line.start + valueAt;
  const whole = text.slice(start, end).trimEnd();
  const edit = { start, end: start + whole.length, newText: quoted(whole) };
  return {
    edits: quotingEdits(start, whole),
    problem: {
      check: 'yaml-syntax', span: spanOf(line.piece, start, start + value.length), ...words,
      fixes: [fixOf('Put the text in quotes', line.piece, [edit], line.file)],
    },
  };
}

/** A quotation mark or a bracket that is never closed; a backslash that begins no special sign. */
function closings(line: SuspectLine, { valueAt, value }: LineParts): Repair[] {
  const sign = value.charAt(0);
  const end = line.start + valueAt + value.length;
  const closing = (missing: string, message: string, help: string): Repair => {
    const edit = { start: end, end, newText: missing };
    return {
      edits: [edit],
      problem: {
        check: 'yaml-syntax', span: spanOf(line.piece, line.start + valueAt, end), message, help,
        fixes: [fixOf(`Add ${missing}`, line.piece, [edit], line.file)],
      },
    };
  };
  if (sign === '"' || sign === "'") {
    const repairs: Repair[] = [];
    const inner = value.slice(1, -1);
    if (value.length > 1 && value.endsWith(sign)) {
      const inside = insideQuotes(line, valueAt, inner, sign);
      if (inside !== undefined) repairs.push(inside);
      if (sign === '"' && /\\/.test(inner)) {
        const edit = { start: line.start + valueAt, end, newText: quoted(inner) };
        const [open, ...rest] = quotingEdits(edit.start + 1, inner);
        const close = rest.pop();
        repairs.push({
          edits: [{ start: edit.start, end: edit.start + 1, newText: open?.newText ?? '' }, ...rest, { start: end - 1, end, newText: close?.newText ?? '' }],
          problem: {
            check: 'yaml-syntax', span: spanOf(line.piece, edit.start, edit.end),
            message: `In double quotes a backslash begins a special sign, and '${/\\./.exec(inner)?.[0] ?? '\\'}' is none.`,
            help: 'Use single quotes.', fixes: [fixOf('Use single quotes', line.piece, [edit], line.file)],
          },
        });
      }
    } else if (!value.slice(1).includes(sign)) {
      repairs.push(closing(sign, `A quotation mark opens before '${shortened(value.slice(1))}' and is never closed.`, `Close it with ${sign}, or leave both out.`));
    }
    return repairs;
  }
  if (sign === '{' || sign === '[') {
    const missing = missingClosers(value);
    if (missing !== '') {
      return [closing(missing, `'${shortened(value)}' opens '${sign}' and does not close it.`, `Close it with '${missing}' on the same line.`)];
    }
  }
  return [];
}

/** `'The gritter's spinner'`: a mark inside the quotes that closes them too early. */
function insideQuotes(line: SuspectLine, valueAt: number, inner: string, sign: string): Repair | undefined {
  const start = line.start + valueAt + 1;
  const closing = sign === "'" ? /''|'/g : /\\.|"/g;
  const edits = [...inner.matchAll(closing)].flatMap((match): PieceEdit[] => (match[0] === sign ? [{ start: start + match.index, end: start + match.index, newText: sign === "'" ? "'" : '\\' }] : []));
  if (edits.length === 0) return undefined;
  const written = sign === "'" ? `'${inner.replace(/''|'/g, "''")}'` : `"${inner.replace(/\\.|"/g, (mark) => (mark === '"' ? '\\"' : mark))}"`;
  return {
    edits,
    problem: {
      check: 'yaml-syntax', span: spanOf(line.piece, start - 1, start + inner.length + 1),
      message: `The ${sign === "'" ? 'apostrophe' : 'quotation mark'} in '${shortened(inner)}' ends the text too early.`,
      help: sign === "'" ? "Write it twice: ''. Or leave the quotes around the text out." : 'Put a backslash before it, or single quotes around the text.',
      fixes: [fixOf(sign === "'" ? 'Write the apostrophe twice' : 'Put a backslash before it', line.piece, [{ start: start - 1, end: start + inner.length + 1, newText: written }], line.file)],
    },
  };
}

function missingClosers(value: string): string {
  const open: string[] = [];
  let quote = '';
  for (const character of value) {
    if (quote !== '') quote = character === quote ? '' : quote;
    else if (character === '"' || (character === "'" && open.length > 0)) quote = character;
    else if (character === '{') open.push('}');
    else if (character === '[') open.push(']');
    else if (character === open.at(-1)) open.pop();
  }
  return quote === '' ? open.reverse().join('') : '';
}

/** `{title: Note: x}`, `{sheet: WD #7}`: a text inside braces that holds a colon or a `#`, in quotes. */
function insideBraces(line: SuspectLine, { valueAt }: LineParts): Repair[] {
  const repairs: Repair[] = [];
  const value = line.text.slice(valueAt).trimEnd();
  if (!/^[{[]/.test(value)) return repairs;
  for (const match of value.matchAll(/(?:([{,][ \t]*[A-Za-z_][\w]*:[ \t]+)|([[,][ \t]*))([^\s"'[\]{},][^,{}[\]"']*)(?=[,}\]])/g)) {
    const text = (match[3] ?? '').trimEnd();
    const why = /^[*&!%@`|>]/.test(text) ? whyQuote(text)
      : /[ \t]#/.test(text) ? whyQuote(text) : match[1] !== undefined && /:[ \t]/.test(text) ? whyQuote(text) : undefined;
    if (why === undefined) continue;
    const start = line.start + valueAt + match.index + (match[1] ?? match[2] ?? '').length;
    const edit = { start, end: start + text.length, newText: quoted(text) };
    repairs.push({
      edits: quotingEdits(start, text),
      problem: {
        check: /[ \t]#/.test(text) ? 'text-cut-off' : 'yaml-syntax', span: spanOf(line.piece, edit.start, edit.end), ...why,
        fixes: [fixOf('Put the text in quotes', line.piece, [edit], line.file)],
      },
    });
  }
  return repairs;
}

/** `title:Text`, `-Text`. */
function missingBlank(line: SuspectLine): Repair[] {
  const repairs: Repair[] = [];
  const add = (at: number, what: string): void => {
    const edit = { start: line.start + at, end: line.start + at, newText: ' ' };
    repairs.push({
      edits: [edit],
      problem: {
        check: 'yaml-syntax', span: spanOf(line.piece, line.start + at - 1, line.start + at + 1),
        message: `A space is missing after ${what}.`, help: 'Put one space after it.',
        fixes: [fixOf('Put a space after it', line.piece, [edit], line.file)],
      },
    });
  };
  const key = /^[ ]*(?:-[ ]+)*[a-z_]+:(?=[^\s:/])/.exec(line.text);
  if (key !== null) add(key[0].length, `the colon of '${key[0].replace(/^[ -]+/, '')}'`);
  const dash = /^[ ]*-(?=[^\s-])/.exec(line.text);
  if (dash !== null) add(dash[0].length, `the dash before '${shortened(line.text.slice(dash[0].length), 24)}'`);
  return repairs;
}

/** A key or a dash that stands at another column than its neighbours. */
function moved(line: SuspectLine): Repair[] {
  const indent = /^ */.exec(line.text)?.[0].length ?? 0;
  const text = line.text.slice(indent);
  if (indent === line.column) return [];
  const isKey = KEY_AT_START.test(text);
  if (line.kind === 'map' ? !isKey : line.kind === 'list' ? !DASH_AT_START.test(text) : true) return [];
  const edits = moveBlock(line, indent);
  const textAt = line.start + indent;
  const what = isKey ? `'${KEY_AT_START.exec(text)?.[0].trim() ?? ''}'` : 'This dash';
  return [{
    edits,
    problem: {
      check: 'yaml-syntax', span: spanOf(line.piece, textAt, textAt + Math.min(text.trimEnd().length, 40)),
      message: `${what} begins at column ${indent + 1}; its neighbours begin at column ${line.column + 1}.`,
      help: `Begin it at column ${line.column + 1}.`,
      fixes: [fixOf('Indent it as its neighbours', line.piece, edits, line.file)],
    },
  }];
}

/** Moves a line to the column of its block, and what is indented below it by as much. */
function moveBlock(line: SuspectLine, indent: number): PieceEdit[] {
  const { text } = line.piece;
  const by = line.column - indent;
  const edits = [{ start: line.start, end: line.start + indent, newText: ' '.repeat(line.column) }];
  let start = line.start + line.text.length + 1;
  while (start < text.length) {
    const end = text.indexOf('\n', start) < 0 ? text.length : text.indexOf('\n', start);
    const own = /^ */.exec(text.slice(start, end))?.[0].length ?? 0;
    const isBlank = text.slice(start, end).trim() === '';
    if (!isBlank && own <= indent) break;
    if (!isBlank) edits.push({ start, end: start + own, newText: ' '.repeat(Math.max(0, own + by)) });
    start = end + 1;
  }
  return edits;
}

/** `results` alone on its line. */
function missingColon(line: SuspectLine): Repair[] {
  const word = /^[ ]*(?:-[ ]+)*([a-z][a-z_]*)[ \t]*\r?$/.exec(line.text);
  if (word === null) return [];
  const at = line.start + line.text.trimEnd().length;
  const edit = { start: at, end: at, newText: ':' };
  return [{
    edits: [edit],
    problem: {
      check: 'yaml-syntax', span: spanOf(line.piece, at - (word[1] ?? '').length, at),
      message: `'${word[1] ?? ''}' stands alone: a colon is missing after it.`, help: `Write '${word[1] ?? ''}:'.`,
      fixes: [fixOf('Add the colon', line.piece, [edit], line.file)],
    },
  }];
}

function spanOf(piece: SourcePiece, start: number, end: number): { start: number; end: number } {
  const from = piece.at(start);
  return { start: from, end: Math.max(from, piece.at(end)) };
}

function fixOf(title: string, piece: SourcePiece, edits: readonly PieceEdit[], file: string): Fix {
  return { title, altersMeaning: false, edits: edits.map((edit) => ({ file, span: spanOf(piece, edit.start, edit.end), newText: edit.newText })) };
}
