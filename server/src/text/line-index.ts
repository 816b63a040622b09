/** The only arithmetic between offsets and lines. */

/** A line and column, both from 0; the column counts UTF-16 code units. */
export interface Position {
  readonly line: number;
  readonly column: number;
}

export class LineIndex {
  readonly #text: string;
  readonly #length: number;
  /** Where each line begins; worked out when first asked for, since most versions of a text pass by unseen. */
  #starts: readonly number[] | undefined;

  constructor(text: string) {
    this.#text = text;
    this.#length = text.length;
  }

  get #lines(): readonly number[] {
    this.#starts ??= lineStarts(this.#text);
    return this.#starts;
  }

  get lineCount(): number {
    return this.#lines.length;
  }

  /** The position of an offset; an offset outside the text is moved to its nearest end. */
  positionAt(offset: number): Position {
    const wanted = Math.max(0, Math.min(offset, this.#length));
    const starts = this.#lines;
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((starts[middle] ?? 0) <= wanted) low = middle;
      else high = middle - 1;
    }
    return { line: low, column: wanted - (starts[low] ?? 0) };
  }

  /** The offset of a position; a line or column past the end is moved back to it. */
  offsetAt(position: Position): number {
    if (position.line < 0) return 0;
    const start = this.#lines[position.line];
    if (start === undefined) return this.#length;
    const next = this.#lines[position.line + 1] ?? this.#length;
    return Math.max(start, Math.min(start + position.column, next));
  }

  /** Where a line begins. */
  lineStart(line: number): number {
    return this.#lines[Math.max(0, line)] ?? this.#length;
  }
}

function lineStarts(text: string): number[] {
  const starts = [0];
  if (!text.includes('\r')) {
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(at + 1);
    return starts;
  }
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === 13 && text.charCodeAt(i + 1) === 10) i++;
    if (code === 10 || code === 13) starts.push(i + 1);
  }
  return starts;
}
