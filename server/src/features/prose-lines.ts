/**
 * A document's text as the parts it is made of: headings, numbered items with their sub-items, cautions, notes, tables. Lines
 * that were wrapped are put together again. It looks at form alone; what a sentence means is for prose-sentences.ts to say.
 */

export interface ProseItem {
  readonly kind: 'item';
  /** As it was written, with its mark: '4.', 'b)', 'Step 7:', '-'. */
  readonly marker: string;
  /** By which other items name it, in small letters: '4', '4b', '7'; empty for a bullet. */
  readonly label: string;
  /** Paragraphs, each on one line. */
  readonly paragraphs: readonly string[];
  /** What stands inside it, in order. */
  readonly parts: readonly ProsePart[];
}

export interface ProseSafety {
  readonly kind: 'safety';
  /** The word as written: WARNING. */
  readonly word: string;
  readonly signal: 'danger' | 'warning' | 'caution' | 'notice' | 'note';
  readonly text: string;
}

export interface ProseTable {
  readonly kind: 'table';
  readonly rows: readonly (readonly string[])[];
}

export interface ProseText {
  readonly kind: 'text';
  readonly text: string;
}

export type ProsePart = ProseItem | ProseSafety | ProseTable | ProseText;

type Signal = ProseSafety['signal'];

/** Words that begin a safety message or a note, in English and German. DANGER first: the graver word counts where both stand. */
const SIGNAL_WORDS: Readonly<Record<string, Signal>> = {
  danger: 'danger',
  gefahr: 'danger',
  warning: 'warning',
  warnung: 'warning',
  caution: 'caution',
  vorsicht: 'caution',
  attention: 'caution',
  achtung: 'caution',
  notice: 'notice',
  note: 'note',
  notes: 'note',
  important: 'note',
  hint: 'note',
  tip: 'note',
  hinweis: 'note',
  anmerkung: 'note',
};
const SIGNAL = new RegExp(
  `^[\\s>*_!⚠]*(${Object.keys(SIGNAL_WORDS).join('|')})(?=[\\s:!.,–—*_-]|$)[*_]*\\s*([:!.–—]|-(?=\\s))?[*_]*\\s*(.*)$`,
  'i',
);

/** A line that begins so begins a sentence, however the line above ends. */
const NEW_SENTENCE =
  /^\s*(?:(?:Yes|No|YES|NO|Ja|Nein|OK|Ok|Not OK|NOT OK|Pass|Fail|PASS|FAIL)\s*(?:[:=,–—.]|->|=>|→|-\s)|If\b|IF\b|When\b|Otherwise\b|Else\b|Wenn\b|Sonst\b)/;

interface Marker {
  readonly written: string;
  readonly label: string;
  /** Items of one class stand on one level. */
  readonly style: string;
  readonly rest: string;
  readonly indent: number;
}

/** The parts of a text, in order. Nothing is left out: each line's words stand in one of them. */
export function proseParts(text: string): ProsePart[] {
  const plain = text
    .replace(/\r\n?/g, '\n')
    .replaceAll('\u00a0', ' ')
    .replace(/^\ufeff/, '');
  return new LineReader(plain.split('\n').map(withoutEmphasis)).read();
}

interface OpenItem {
  readonly kind: 'item';
  readonly marker: string;
  readonly label: string;
  readonly paragraphs: string[];
  readonly parts: ProsePart[];
  readonly style: string;
  readonly indent: number;
}

class LineReader {
  readonly #top: ProsePart[] = [];
  /** Items that are open, the outermost first. */
  readonly #open: OpenItem[] = [];
  /** What the next line goes on with; undefined after a blank line or a whole part. */
  #going: { add(line: string): void; readonly indent: number } | undefined;
  #lastNumber = 0;

  constructor(private readonly lines: readonly string[]) {}

  read(): ProsePart[] {
    for (let index = 0; index < this.lines.length; index++) {
      const line = (this.lines[index] ?? '').replaceAll('\t', '    ').trimEnd();
      if (line.trim() === '') {
        this.#going = undefined;
        continue;
      }
      const rows = this.#tableAt(index);
      if (rows > 0) {
        this.#add(
          {
            kind: 'table',
            rows: this.lines
              .slice(index, index + rows)
              .map(cellsOf)
              .filter((cells) => cells.some((cell) => /[\p{L}\p{N}]/u.test(cell))),
          },
          indentOf(line),
        );
        index += rows - 1;
        this.#going = undefined;
        continue;
      }
      const marker = this.#markerOf(this.lines[index] ?? '');
      if (marker) this.#item(marker);
      else if (!this.#safety(line, index)) this.#text(line);
    }
    return this.#top;
  }

  /** How many lines from here on are rows of a table; 0 where there is none. */
  #tableAt(index: number): number {
    let count = 0;
    const columns = cellsOf(this.lines[index] ?? '').length;
    if (columns < 2) return 0;
    while (index + count < this.lines.length) {
      const line = this.lines[index + count] ?? '';
      const cells = cellsOf(line).length;
      if (cells < 2 || (this.#markerOf(line) !== undefined && !line.includes('|'))) break;
      count++;
    }
    return count >= 2 ? count : 0;
  }

  #markerOf(line: string): Marker | undefined {
    const marker = markerOf(line.replaceAll('\t', '    '));
    if (marker?.style !== 'bare') return marker;
    // '1 Check the fuse': a number alone counts where it is the next one.
    return Number(marker.label) === this.#lastNumber + 1 ? { ...marker, style: 'number' } : undefined;
  }

  #item(marker: Marker): void {
    while (this.#open.length > 0 && !this.#isInside(marker)) this.#open.pop();
    const holder = this.#open.at(-1);
    const label =
      /^\d/.test(marker.label) || holder === undefined ? marker.label : marker.label === '' ? '' : holder.label + marker.label;
    if (/^\d+$/.test(marker.label) && holder === undefined) this.#lastNumber = Number(marker.label);
    const item: OpenItem = {
      kind: 'item',
      marker: marker.written,
      label,
      paragraphs: [],
      parts: [],
      style: marker.style,
      indent: marker.indent,
    };
    (holder?.parts ?? this.#top).push(item);
    this.#open.push(item);
    this.#going = undefined;
    if (marker.rest === '') {
      this.#going = paragraphsOf(item, marker.indent);
      return;
    }
    // 'WARNING' may follow the number, or the first sentence.
    const safety = safetyOf(marker.rest);
    if (safety !== undefined) {
      this.#begin(safety, item.parts, marker.indent);
      return;
    }
    const later = /^(.+?[.!?])\s+((?:DANGER|WARNING|CAUTION|NOTICE|NOTE|Note|Warning|Caution|Danger|Notice)\s*[:!].*)$/.exec(
      marker.rest,
    );
    const inside = later && safetyOf(later[2] ?? '');
    this.#paragraph(item, inside ? (later[1] ?? '') : marker.rest, marker.indent);
    if (inside) this.#begin(inside, item.parts, marker.indent);
  }

  /** Whether an item belongs inside the innermost open one. */
  #isInside(marker: Marker): boolean {
    const last = this.#open.at(-1) as OpenItem;
    // 4.2 stands inside 4, and 4.3 beside it.
    if (marker.style === 'decimal') return last.label !== '' && marker.label.startsWith(`${last.label}.`);
    const same = this.#open.findIndex((item) => item.style === marker.style);
    if (same < 0) return true;
    // 2a stands inside 2.
    if (last.label !== '' && /^[a-z]$/.test(marker.label.slice(last.label.length)) && marker.label.startsWith(last.label))
      return true;
    // The same kind of mark, further in and from the start: a list in the list.
    const isNew =
      same === this.#open.length - 1 &&
      marker.indent >= last.indent + 2 &&
      (marker.style === 'bullet' || /^(?:1|a|i)$/.test(marker.label));
    return isNew || same > this.#open.length - 1;
  }

  #safety(line: string, index: number): boolean {
    const safety = safetyOf(line);
    if (safety === undefined) return false;
    const indent = indentOf(line);
    // A word alone on its line heads what follows, also after a blank line.
    const alone = safety.text === '';
    const holder = this.#holderAt(indent, line);
    this.#begin(safety, holder, indent, alone && (this.lines[index + 1] ?? '').trim() === '');
    return true;
  }

  /** Opens a safety message that the next lines go on with. */
  #begin(safety: Omit<ProseSafety, 'kind'>, parts: ProsePart[], indent: number, pastBlank = false): void {
    const at = parts.length;
    parts.push({ kind: 'safety', ...safety });
    let text = safety.text;
    this.#going = {
      indent,
      add: (more) => {
        text = text === '' ? more.trim() : `${text} ${more.trim()}`;
        parts[at] = { kind: 'safety', ...safety, text };
      },
    };
    if (pastBlank) this.#waiting = this.#going;
  }

  /** A heading word alone, with a blank line after it. */
  #waiting: { add(line: string): void; readonly indent: number } | undefined;

  #text(line: string): void {
    const going = this.#going ?? this.#waiting;
    this.#waiting = undefined;
    const item = this.#open.at(-1);
    if (going !== undefined && !(item !== undefined && NEW_SENTENCE.test(line))) {
      going.add(line);
      this.#going = going;
      return;
    }
    const indent = indentOf(line);
    if (item !== undefined && !isHeading(line, indent)) {
      // A paragraph goes with the item whose text it stands under.
      this.#closeFor(indent);
      this.#paragraph(this.#open.at(-1) as OpenItem, line.trim(), indent);
      return;
    }
    this.#open.length = 0;
    const parts = this.#top;
    const at = parts.length;
    parts.push({ kind: 'text', text: line.trim() });
    // The first line of a document is its title, however close the next one stands.
    if (at === 0) return;
    let text = line.trim();
    this.#going = {
      indent,
      add: (more) => {
        text = `${text} ${more.trim()}`;
        parts[at] = { kind: 'text', text };
      },
    };
  }

  /** Closes the items that a line at this column no longer stands in. Items without an indentation of their own stay open. */
  #closeFor(indent: number): void {
    for (let last = this.#open.at(-1); last !== undefined && this.#open.length > 1; last = this.#open.at(-1)) {
      const holder = this.#open.at(-2) as OpenItem;
      if (indent > last.indent || (indent === last.indent && holder.indent >= last.indent)) return;
      this.#open.pop();
    }
  }

  #paragraph(item: OpenItem, text: string, indent: number): void {
    if (item.parts.some((part) => part.kind === 'item')) {
      // Below the sub-items: it is said about them.
      const at = item.parts.length;
      let whole = text;
      item.parts.push({ kind: 'text', text });
      this.#going = {
        indent,
        add: (line) => {
          whole = `${whole} ${line.trim()}`;
          item.parts[at] = { kind: 'text', text: whole };
        },
      };
      return;
    }
    item.paragraphs.push(text);
    this.#going = paragraphsOf(item, indent);
  }

  #add(part: ProsePart, indent: number): void {
    this.#holderAt(indent, '').push(part);
  }

  /** A message at the margin stands between items; one further in, or right under an item's text, in the item. */
  #holderAt(indent: number, line: string): ProsePart[] {
    if (line !== '' && indent <= (this.#open[0]?.indent ?? 0)) {
      this.#open.length = 0;
      return this.#top;
    }
    this.#closeFor(indent);
    return this.#open.at(-1)?.parts ?? this.#top;
  }
}

function paragraphsOf(item: OpenItem, indent: number): { add(line: string): void; readonly indent: number } {
  return {
    indent,
    add: (line) => {
      const last = item.paragraphs.length - 1;
      if (last < 0) item.paragraphs.push(line.trim());
      // A word that was parted at the end of the line is whole again.
      else if (/\p{Ll}-$/u.test(item.paragraphs[last] ?? '') && /^\s*\p{Ll}/u.test(line))
        item.paragraphs[last] = `${(item.paragraphs[last] ?? '').slice(0, -1)}${line.trim()}`;
      else item.paragraphs[last] = `${item.paragraphs[last] ?? ''} ${line.trim()}`;
    },
  };
}

/** The mark that begins an item: '1.', '2)', '(3)', '4.2', 'Step 5:', 'a)', '•', '☐'. */
function markerOf(line: string): Marker | undefined {
  const indent = indentOf(line);
  const text = line.trimStart();
  const made = (match: RegExpExecArray | null, style: string, label?: string): Marker | undefined =>
    match === null
      ? undefined
      : {
          written: match[0].trim(),
          label: (label ?? match[1] ?? '').toLowerCase(),
          style,
          rest: text.slice(match[0].length).trim(),
          indent,
        };
  return (
    made(
      /^(?:step|schritt|test|item)\s+(?:no\.?\s*)?(\d{1,3}[a-z]?)\s*(?:[.:)–—]|-(?=\s)|(?=$)|(?=\s{2}))\s*/i.exec(text),
      'step',
    ) ??
    made(
      /^(\d{1,3}(?:\.\d{1,3})+)(?:[.):]|(?=\s))\s+(?=\S)(?!(?:V|mV|kV|A|mA|W|kW|ohm|Ω|kΩ|bar|psi|kPa|mm|cm|m|in|s|min|h|%|°|L|N|Hz|rpm|Ah)\b)/.exec(
        text,
      ),
      'decimal',
    ) ??
    made(/^(\d{1,3}[a-z]?)[.)](?:\s+|$)/.exec(text), 'number') ??
    made(/^\((\d{1,3}[a-z]?)\)\s*/.exec(text), 'number') ??
    made(/^\[(\d{1,3})\]\s*/.exec(text), 'number') ??
    made(/^((?:i|ii|iii|iv|v|vi|vii|viii|ix|x))[.)]\s+/.exec(text), 'roman') ??
    made(/^\(?([a-hj-z]|i)[.)]\s+/i.exec(text), 'letter') ??
    made(/^(?:[•▪◦‣·*–—-]|☐|\[ ?\])\s+/.exec(text), 'bullet', '') ??
    made(/^(\d{1,3})\s+(?=\p{Lu}\p{Ll})/u.exec(text), 'bare')
  );
}

function safetyOf(line: string): Omit<ProseSafety, 'kind'> | undefined {
  const match = SIGNAL.exec(line);
  if (match === null) return undefined;
  const [, word = '', mark, text = ''] = match;
  // 'Note the reading.' and 'Warning lamp lit?' are sentences: the word alone, in capitals, or with a mark behind it is a
  // heading.
  const isHeading = mark !== undefined || text === '' || (word === word.toUpperCase() && word.length > 3);
  return isHeading ? { word, signal: SIGNAL_WORDS[word.toLowerCase()] ?? 'note', text } : undefined;
}

/** A line without the marks of headings, quotations and emphasis. */
function withoutEmphasis(line: string): string {
  return line
    .replace(/^(\s*)(?:#{1,6}\s+|>\s?)/, '$1')
    .replace(/(?<![\p{L}\p{N}])(\*\*|__|`)(?=\S)(.+?)(?<=\S)\1(?![\p{L}\p{N}])/gu, '$2');
}

/** The cells of a row: parted by bars, or by wide gaps. */
function cellsOf(line: string): string[] {
  const text = line.replaceAll('\t', '    ').trim();
  if (text === '') return [];
  if (text.includes('|'))
    return text
      .replace(/^\||\|$/g, '')
      .split('|')
      .map((cell) => cell.trim());
  return text.split(/ {3,}/).map((cell) => cell.trim());
}

/** A short line at the margin without a full stop. */
function isHeading(line: string, indent: number): boolean {
  const text = line.trim();
  return (
    indent === 0 &&
    text.length < 70 &&
    !/[.?!:;,]$/.test(text) &&
    /^\p{Lu}|^[A-Z]\b/u.test(text) &&
    !/^(?:if|when|yes|no|otherwise|ok)\b/i.test(text)
  );
}

function indentOf(line: string): number {
  const wide = line.replaceAll('\t', '    ');
  return wide.length - wide.trimStart().length;
}
