/**
 * Which of some words stand in a text, told in one pass over its letters: most texts hold none, and need not be taken apart to know it.
 * Words here are runs of the letters a to z and digits, in any case; a text with other letters is left to whoever asked.
 */

/** Finds words of a set in texts. */
export class WordScan {
  readonly #words: ReadonlySet<string>;
  /** By the first two characters of a word (the second 0 where it has one): whether any word begins so. */
  readonly #beginnings = new Uint8Array(128 * 128);

  /** The words in small letters, of a to z and digits alone. */
  constructor(words: Iterable<string>) {
    this.#words = new Set(words);
    for (const word of this.#words) this.#beginnings[word.charCodeAt(0) * 128 + (word.length > 1 ? word.charCodeAt(1) : 0)] = 1;
  }

  /** The words of the set that the text holds, in small letters, in the order of the text; undefined where it holds letters beyond ASCII. */
  wordsIn(text: string): readonly string[] | undefined {
    const beginnings = this.#beginnings;
    let found: string[] | undefined;
    let inWord = false;
    for (let at = 0; at < text.length; at++) {
      const code = text.charCodeAt(at);
      if (code > 127) return undefined;
      const small = SMALL[code] as number;
      if (small === 0) inWord = false;
      else if (!inWord) {
        inWord = true;
        const second = at + 1 < text.length ? (SMALL[text.charCodeAt(at + 1)] ?? 0) : 0;
        if (beginnings[small * 128 + second] === 0) continue;
        const word = wordAt(text, at);
        if (this.#words.has(word)) (found ??= []).push(word);
      }
    }
    return found ?? NONE;
  }
}

const NONE: readonly string[] = [];

/** Of each ASCII character of a word its small form, of all others 0. */
const SMALL = Uint8Array.from({ length: 128 }, (_, code) => (/[A-Za-z0-9]/.test(String.fromCharCode(code)) ? String.fromCharCode(code).toLowerCase().charCodeAt(0) : 0));

function wordAt(text: string, start: number): string {
  let end = start + 1;
  while (end < text.length && (SMALL[text.charCodeAt(end)] ?? 0) !== 0) end++;
  return text.slice(start, end).toLowerCase();
}
