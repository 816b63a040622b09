/**
 * A copy of a text that does not hold on to what it was cut from: engines keep a slice as a place in the whole, and a word of a file would
 * keep the file in memory.
 */
export function ownText(text: string): string {
  return ` ${text}`.slice(1);
}
