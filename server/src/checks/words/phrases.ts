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
  const telling = tellingWords(longestFirst, plural);
  const scan = telling && new WordScan([...telling.values()].flat());
  const patterns = new Map<string, RegExp>();
  /** Finds those of the phrases that may stand in a text with these words; of all without. */
  const patternFor = (words: readonly string[] | undefined): RegExp => {
    const together = words?.join(' ') ?? '';
    let pattern = patterns.get(together);
    if (pattern === undefined) {
      if (patterns.size >= MOST_PATTERNS) patterns.clear();
      const likely = words === undefined ? longestFirst : longestFirst.filter((key) => telling?.get(key)?.some((word) => words.includes(word)));
      patterns.set(together, (pattern = patternOf(likely, plural)));
    }
    return pattern;
  };
  return (text) => {
    const words = scan?.wordsIn(text);
    if (words?.length === 0) return NONE;
    return [...text.matchAll(patternFor(words))].map((match) => ({
      phrase: byKey.get(keyOf(match[1] ?? '')) ?? match[0], start: match.index, end: match.index + match[0].length,
    }));
  };
}

const MOST_PATTERNS = 200;
const NONE: readonly FoundPhrase[] = [];

function patternOf(keys: readonly string[], plural: boolean): RegExp {
  const any = keys.map((key) => key.split(' ').map(escapePattern).join('\\s+')).join('|');
  return new RegExp(`(?<![\\p{L}\\p{N}])(${any})${plural ? 's?' : ''}(?![\\p{L}\\p{N}])`, 'giu');
}

/** For each phrase its longest word, in the plural too where it may stand so: without it the phrase stands in no text. Undefined where one has none that tells. */
function tellingWords(keys: readonly string[], plural: boolean): ReadonlyMap<string, readonly string[]> | undefined {
  const telling = new Map<string, readonly string[]>();
  for (const key of keys) {
    // eslint-disable-next-line no-control-regex
    const inKey = /^[\x00-\x7f]*$/.test(key) ? (key.match(/[a-z0-9]+/g) ?? []) : [];
    if (inKey.length === 0) return undefined;
    const longest = inKey.reduce((one, other) => (other.length > one.length ? other : one));
    telling.set(key, plural && key.endsWith(longest) ? [longest, `${longest}s`] : [longest]);
  }
  return telling;
}

function keyOf(phrase: string): string {
  return phrase.trim().toLowerCase().replace(/\s+/gu, ' ');
}

function escapePattern(word: string): string {
  return word.replace(/[.*+?^${}()|[\]\\/]/gu, '\\$&');
}
