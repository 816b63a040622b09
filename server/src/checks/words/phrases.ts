/** Many phrases looked for at once: one pass over a text, whatever their number. Any case, whole words, any white space between them. */

export interface FoundPhrase {
  /** As it was given. */
  readonly phrase: string;
  readonly start: number;
  readonly end: number;
}

/** Finds phrases in texts; where two begin at one place, the longer. With `plural`, an s behind one is taken with it. */
export function phraseFinder(phrases: Iterable<string>, { plural = false } = {}): (text: string) => FoundPhrase[] {
  const byKey = new Map<string, string>();
  for (const phrase of phrases) if (phrase.trim() !== '') byKey.set(keyOf(phrase), phrase);
  if (byKey.size === 0) return () => [];
  const longestFirst = [...byKey.keys()].sort((a, b) => b.length - a.length);
  const any = longestFirst.map((key) => key.split(' ').map(escapePattern).join('\\s+')).join('|');
  const pattern = new RegExp(`(?<![\\p{L}\\p{N}])(${any})${plural ? 's?' : ''}(?![\\p{L}\\p{N}])`, 'giu');
  return (text) =>
    [...text.matchAll(pattern)].map((match) => ({
      phrase: byKey.get(keyOf(match[1] ?? '')) ?? match[0], start: match.index, end: match.index + match[0].length,
    }));
}

function keyOf(phrase: string): string {
  return phrase.trim().toLowerCase().replace(/\s+/gu, ' ');
}

function escapePattern(word: string): string {
  return word.replace(/[.*+?^${}()|[\]\\/]/gu, '\\$&');
}
