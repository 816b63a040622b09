/**
 * What the letters of a procedure's text tell by themselves: its name, and that it surely runs no other procedure. Thousands of files can so be
 * listed and passed over without being read. Each errs on one side only: where it says so, it is so.
 */
import { changeBetween } from '../text/text-change.ts';

/**
 * The name of a procedure where the text begins with it in the plainest way: then nothing that follows can make it another, and the text
 * need not be read to list it.
 */
export function plainProcedureName(text: string): string | undefined {
  return /^(?:[ ]*(?:#[^\r\n]*)?\r?\n)*procedure: (?!null[ ]*\r?\n)([a-z][a-z0-9_]*)[ ]*\r?\n[A-Za-z_]+:/.exec(text)?.[1];
}

/** Neither `run` nor, but for its own name, `procedure` stands before a colon, and no key is written in a way of which the letters do not tell. */
export function surelyCallsNone(text: string): boolean {
  return !mayCall(text) && (text.match(/procedure["']?\s*:/g) ?? []).length <= 1;
}

/** `run:`, an escape, a complex key, an anchor or an alias. A letter is looked for before a pattern: thousands of files are looked through at a start. */
function mayCall(text: string): boolean {
  return text.includes('\\') || (text.includes('run') && /run["']?\s*:/.test(text)) || (text.includes('?') && /(?:^|[\s[{,])\?\s/.test(text))
    || (text.includes('&') && /&\w/.test(text)) || (text.includes('*') && /\*\w/.test(text)) || (text.includes('!') && /!\w/.test(text));
}

/** The same of a text of which an earlier version surely called none: only what stands around the difference is looked at, where that tells. */
export function stillCallsNone(before: string, text: string): boolean {
  const { start, newEnd } = changeBetween(before, text);
  let from = start;
  while (from > 0 && isBetween(text.charCodeAt(from - 1))) from--;
  let to = newEnd;
  while (to < text.length && isBetween(text.charCodeAt(to))) to++;
  const around = text.slice(Math.max(0, from - LONGEST_WORD), to + LONGEST_WORD);
  return around.includes('procedure') || mayCall(around) ? surelyCallsNone(text) : true;
}

/** Longer than any word that is looked for. */
const LONGEST_WORD = 16;

/** What may stand between such a word and its colon: white space and quotes. */
function isBetween(code: number): boolean {
  return code <= 32 || code === 34 || code === 39 || code === 0xa0 || (code >= 0x2000 && code <= 0x3000) || code === 0xfeff;
}
