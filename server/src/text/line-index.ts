/** The only arithmetic between offsets and lines. */

/** A line and column, both from 0; the column counts UTF-16 code units. */
export interface Position {
  readonly line: number;
  readonly column: number;
}

export class LineIndex {
  readonly #starts: number[] = [0];
  readonly #length: number;

  constructor(text: string) {
    this.#length = text.length;
    for (let i = 0; i < text.length; i++) {
      const code = text.charCodeAt(i);
      if (code === 13 && text.charCodeAt(i + 1) === 10) i++;
      if (code === 10 || code === 13) this.#starts.push(i + 1);
    }
  }

  get lineCount(): number {
    return this.#starts.length;
  }

  /** The position of an offset; an offset outside the text is moved to its nearest end. */
  positionAt(offset: number): Position {
    const wanted = Math.max(0, Math.min(offset, this.#length));
    let low = 0;
    let high = this.#starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((this.#starts[middle] ?? 0) <= wanted) low = middle;
      else high = middle - 1;
    }
    return { line: low, column: wanted - (this.#starts[low] ?? 0) };
  }

  /** The offset of a position; a line or column past the end is moved back to it. */
  offsetAt(position: Position): number {
    if (position.line < 0) return 0;
    const start = this.#starts[position.line];
    if (start === undefined) return this.#length;
    const next = this.#starts[position.line + 1] ?? this.#length;
    return Math.max(start, Math.min(start + position.column, next));
  }

  /** Where a line begins. */
  lineStart(line: number): number {
    return this.#starts[Math.max(0, line)] ?? this.#length;
  }
}
