/** A letter for each fault, in the order of writing: the same in tables and on drawings. */

/** A, B … Z, AA, AB … */
export function faultLetter(index: number): string {
  return index < 26 ? String.fromCharCode(65 + index) : faultLetter(Math.floor(index / 26) - 1) + faultLetter(index % 26);
}
