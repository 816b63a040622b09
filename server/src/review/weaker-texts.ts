/**
 * Whether a sentence that protects people still says what it said. A program cannot judge what a text means: it sees words that turn a
 * command round, words of protection that are gone, and whether anything but an addition was made. Knows nothing of steps.
 */

/** What became of a text. `added`: every word of it still stands, in its order, and nothing turns it round. */
export type TextChange = 'same' | 'added' | 'changed' | 'reversed';

/** Compares two sentences by their words: case, marks and articles count for nothing. */
export function textChange(before: string, after: string): TextChange {
  const [was, is] = [wordsOf(before), wordsOf(after)];
  if (was.join(' ') === is.join(' ')) return 'same';
  if (turnsRound(was, is)) return 'reversed';
  return standsIn(was, is) ? 'added' : 'changed';
}

/** Whether a text speaks of something that protects: a lock, a guard, gloves, a chock, proving, discharging. */
export function speaksOfProtection(text: string): boolean {
  return wordsOf(text).some((word) => PROTECTS.test(word));
}

/** The share of words that two texts have in common, from 0 to 1. */
export function wordsInCommon(before: string, after: string): number {
  const [was, is] = [new Set(wordsOf(before)), new Set(wordsOf(after))];
  const all = new Set([...was, ...is]);
  return all.size === 0 ? 1 : [...was].filter((word) => is.has(word)).length / all.size;
}

const PROTECTS = new RegExp(`^(?:${[
  'lock(?:s|ed|out)?', 'padlock', 'tag(?:s|ged|out)?', 'gloves?', 'goggles', 'visor', 'helmet', 'wear', 'guards?', 'shields?', 'chocks?', 'props?', 'stands?', 'support(?:s|ed)?', 'secure[ds]?',
  'isolat\\w*', 'de-?energi[sz]e\\w*', 'disconnect\\w*', 'discharge\\w*', 'depressuri[sz]e\\w*', 'vent(?:ilate)?', 'drain', 'bleed', 'earth', 'barriers?', 'signs?', 'keep', 'clear', 'stop', 'wait',
  'prov(?:e|es|ed|ing)', 'tester', 'brake', 'extinguisher', 'watch', 'call',
  'schloss', 'abschliess\\w*', 'abschließ\\w*', 'verriegel\\w*', 'sicher\\w*', 'handschuhe?', 'schutz\\w*', 'keile?', 'freischalt\\w*', 'entlad\\w*', 'absperr\\w*', 'warten', 'prüf\\w*',
].join('|')})$`, 'u');

const NEGATIONS = new Set(['not', 'never', 'no', 'without', 'none', 'nicht', 'nie', 'niemals', 'kein', 'keine', 'keinen', 'ohne']);

/** Words of which one turns a command into its contrary. */
const CONTRARIES: readonly (readonly [string, string])[] = [
  ['on', 'off'], ['connect', 'disconnect'], ['connected', 'disconnected'], ['plug', 'unplug'], ['plugged', 'unplugged'], ['fit', 'remove'], ['fitted', 'removed'], ['install', 'remove'],
  ['open', 'close'], ['opened', 'closed'], ['lock', 'unlock'], ['locked', 'unlocked'], ['apply', 'release'], ['applied', 'released'], ['raise', 'lower'], ['up', 'down'], ['start', 'stop'],
  ['charge', 'discharge'], ['charged', 'discharged'], ['before', 'after'], ['above', 'below'], ['highest', 'lowest'], ['increase', 'decrease'], ['tighten', 'loosen'], ['live', 'dead'], ['energise', 'de-energise'],
  ['energize', 'de-energize'], ['with', 'without'], ['always', 'never'], ['clockwise', 'anticlockwise'], ['clockwise', 'counterclockwise'], ['red', 'black'], ['positive', 'negative'], ['full', 'empty'], ['high', 'low'],
  ['least', 'most'], ['minimum', 'maximum'], ['more', 'less'], ['safe', 'unsafe'], ['yes', 'no'],
  ['ein', 'aus'], ['einschalten', 'ausschalten'], ['öffnen', 'schließen'], ['anschließen', 'trennen'], ['verbinden', 'trennen'], ['einstecken', 'abziehen'], ['heben', 'senken'], ['vor', 'nach'], ['immer', 'nie'],
  ['anlegen', 'lösen'], ['anziehen', 'lösen'], ['mit', 'ohne'],
];

function wordsOf(text: string): string[] {
  return (text.toLowerCase().normalize('NFC').match(/[\p{L}\p{N}]+(?:[-.,'’][\p{L}\p{N}]+)*/gu) ?? []).filter((word) => word !== 'the' && word !== 'a' && word !== 'an');
}

function turnsRound(was: readonly string[], is: readonly string[]): boolean {
  const gone = without(was, is);
  const come = without(is, was);
  if (CONTRARIES.some(([one, other]) => (gone.includes(one) && come.includes(other)) || (gone.includes(other) && come.includes(one)))) return true;
  return [...gone, ...come].some((word) => NEGATIONS.has(word) || word.endsWith("n't"));
}

/** What is left of a list of words when each word of the other has taken one away. */
function without(words: readonly string[], others: readonly string[]): string[] {
  const left = [...words];
  for (const word of others) {
    const at = left.indexOf(word);
    if (at >= 0) left.splice(at, 1);
  }
  return left;
}

/** Whether all words stand in the other list in their order. */
function standsIn(words: readonly string[], others: readonly string[]): boolean {
  let at = 0;
  for (const word of others) if (word === words[at]) at++;
  return at === words.length;
}
