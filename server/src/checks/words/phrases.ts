/** Many phrases looked for at once: one pass over a text, whatever their number. Any case, whole words, any white space between them. */
import { WordScan } from '../../text/word-scan.ts';

export interface FoundPhrase {
  /** As it was given. */
  readonly phrase: string;
  readonly start: number;
  readonly end: number;
}

type Finder = (text: string) => readonly FoundPhrase[];

/** Finds phrases in texts; where two begin at one place, the longer. With `plural`, an s behind one is taken with it. */
export function phraseFinder(phrases: Iterable<string>, { plural = false } = {}): Finder {
  const byKey = new Map<string, string>();
  for (const phrase of phrases) if (phrase.trim() !== '') byKey.set(keyOf(phrase), phrase);
  if (byKey.size === 0) return () => [];
  // A shop's procedures look for the same phrases one after another.
  const together = `${plural ? 's' : ''}\n${[...byKey.values()].join('\n')}`;
  let finder = finders.get(together);
  if (finder === undefined) {
    if (finders.size >= MOST_FINDERS) finders.clear();
    finders.set(together, (finder = finderOf(byKey, plural)));
  }
  return finder;
}

const finders = new Map<string, Finder>();
const MOST_FINDERS = 40;

function finderOf(byKey: ReadonlyMap<string, string>, plural: boolean): Finder {
  const longestFirst = [...byKey.keys()].sort((a, b) => b.length - a.length);
  const any = longestFirst.map((key) => key.split(' ').map(escapePattern).join('\\s+')).join('|');
  const pattern = new RegExp(`(?<![\\p{L}\\p{N}])(${any})${plural ? 's?' : ''}(?![\\p{L}\\p{N}])`, 'giu');
  const scan = scanForTellingWords(longestFirst, plural);
  return (text) => {
    if (scan?.wordsIn(text)?.length === 0) return NONE;
    return [...text.matchAll(pattern)].map((match) => ({
      phrase: byKey.get(keyOf(match[1] ?? '')) ?? match[0], start: match.index, end: match.index + match[0].length,
    }));
  };
}

const NONE: readonly FoundPhrase[] = [];

/** Finds the longest word of each phrase: where a text holds none of them, no phrase stands in it. Undefined where a phrase has none that tells. */
function scanForTellingWords(keys: readonly string[], plural: boolean): WordScan | undefined {
  const words = new Set<string>();
  for (const key of keys) {
    // eslint-disable-next-line no-control-regex
    const inKey = /^[\x00-\x7f]*$/.test(key) ? (key.match(/[a-z0-9]+/g) ?? []) : [];
    if (inKey.length === 0) return undefined;
    const longest = inKey.reduce((one, other) => (other.length > one.length ? other : one));
    words.add(longest);
    if (plural && key.endsWith(longest)) words.add(`${longest}s`);
  }
  return new WordScan(words);
}

function keyOf(phrase: string): string {
  return phrase.trim().toLowerCase().replace(/\s+/gu, ' ');
}

function escapePattern(word: string): string {
  return word.replace(/[.*+?^${}()|[\]\\/]/gu, '\\$&');
}
