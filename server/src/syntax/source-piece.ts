/**
 * A stretch of a file, perhaps with repairs that only the reader sees, and the way from each of its places back to the file.
 * It knows nothing of YAML.
 */

/** A change to a piece: offsets count in the piece's own text. */
export interface PieceEdit {
  readonly start: number;
  readonly end: number;
  readonly newText: string;
}

export class SourcePiece {
  readonly text: string;
  /** File offset of each character and of the end; a number where the piece is the file's own text, unchanged. */
  readonly #map: number | Int32Array;

  private constructor(text: string, map: number | Int32Array) {
    this.text = text;
    this.#map = map;
  }

  /** The whole or a part of a file, as it stands. */
  static of(text: string, base = 0): SourcePiece {
    return new SourcePiece(text, base);
  }

  /** Whether it is the file's own text, unchanged. */
  get isAsWritten(): boolean {
    return typeof this.#map === 'number';
  }

  /** The file's offset of a place in this piece; a place outside is moved to the nearest end. */
  at(offset: number): number {
    const inside = Math.max(0, Math.min(offset, this.text.length));
    if (typeof this.#map === 'number') return this.#map + inside;
    return this.#map[inside] ?? 0;
  }

  slice(start: number, end: number): SourcePiece {
    const text = this.text.slice(start, end);
    if (typeof this.#map === 'number') return new SourcePiece(text, this.#map + start);
    return new SourcePiece(text, this.#map.slice(start, start + text.length + 1));
  }

  /** The piece with changes made; what is written in has the place of what it stands for. Edits must not overlap. */
  edit(edits: readonly PieceEdit[]): SourcePiece {
    if (edits.length === 0) return this;
    const sorted = [...edits].sort((a, b) => a.start - b.start);
    let text = '';
    const map: number[] = [];
    let from = 0;
    const keep = (end: number): void => {
      for (let i = from; i < end; i++) map.push(this.at(i));
      text += this.text.slice(from, end);
    };
    for (const edit of sorted) {
      keep(edit.start);
      for (let i = 0; i < edit.newText.length; i++) map.push(this.at(Math.min(edit.start + i, edit.end)));
      text += edit.newText;
      from = edit.end;
    }
    keep(this.text.length);
    map.push(this.at(this.text.length));
    return new SourcePiece(text, Int32Array.from(map));
  }
}
