/**
 * Makes text from a file safe to show: a name must not move the cursor of a terminal, reverse the direction of a line or hide
 * itself. Every rendering passes what a writer wrote through here; it must not know for which output.
 */

/** Each of them does harm somewhere; `u` so that halves of surrogate pairs are seen as what they are. */
const HARMFUL = new RegExp([
  // Control characters.
  '[\\u0000-\\u001f\\u007f-\\u009f]',
  // Marks that change direction, separate lines, or cannot be seen.
  '[\\u061c\\u200b\\u200e\\u200f\\u2028-\\u202e\\u2060-\\u206f\\ufeff\\ufff9-\\uffff]',
  // Tag characters.
  '[\\u{e0000}-\\u{e007f}]',
  // Half of a surrogate pair alone.
  '[\\ud800-\\udfff]',
].join('|'), 'gu');

/** One line: line breaks and tabs become spaces, what could do harm becomes visible. */
export function harmlessLine(text: string): string {
  return harmlessText(text.replace(/\r\n?|\n|\t/g, ' '));
}

/** Like harmlessLine, but line breaks stay, as `\n`; a tab becomes two spaces. */
export function harmlessText(text: string): string {
  return text
    .replace(/\r\n?/g, '\n')
    .replace(/\t/g, '  ')
    .replace(HARMFUL, (mark) => (mark === '\n' ? mark : visible(mark)));
}

/** A control character as its control picture (␛), anything else as its code point (⟨202E⟩). */
function visible(mark: string): string {
  const code = mark.codePointAt(0) ?? 0xfffd;
  if (code < 0x20) return String.fromCodePoint(0x2400 + code);
  if (code === 0x7f) return '\u2421';
  return `⟨${code.toString(16).toUpperCase().padStart(4, '0')}⟩`;
}

/** Columns that a text takes in a terminal: two for wide characters, none for combining marks. */
export function displayWidth(text: string): number {
  let width = 0;
  for (const character of text) {
    if (/\p{Mark}|\u200c|\u200d/u.test(character)) continue;
    width += WIDE.test(character) ? 2 : 1;
  }
  return width;
}

/** Scripts that a terminal sets in double width (Unicode Standard Annex 11, the ranges that matter), and pictures. */
const WIDE = /[\u1100-\u115f\u2e80-\u303e\u3041-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6]|\p{Emoji_Presentation}/u;
