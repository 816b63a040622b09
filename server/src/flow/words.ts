/**
 * Phrases in texts: any case, whole words, any white space between them. A phrase of a hazard may also say
 * - `undo|open|take_off`: one of several words, in each of which `_` stands for a space;
 * - `the`: any word that points at a thing: a, the, each, both, its …;
 * - `…`: up to six words of the same clause, or none;
 * and its last word is found in the plural too.
 */
import type { Span } from '../text/span.ts';

/** Where `phrase` first stands in `text`, or undefined. The phrase is taken as it is, word by word. */
export function findPhrase(text: string, phrase: string): Span | undefined {
  const parts = phrase.trim().split(/[\s_]+/u).filter(Boolean).map(escapePattern);
  if (parts.length === 0) return undefined;
  return firstMatch(text, cached(parts.join('\\s+')));
}

/** Where a hazard's phrase first stands in `text`, or undefined. */
export function findHazardPhrase(text: string, phrase: string): Span | undefined {
  const pattern = patternOf(phrase);
  return pattern && firstMatch(text, pattern);
}

/** Where the text asks for what a hazard's phrase says; a phrase after 'do not' or 'never' in its sentence forbids it. */
export function placeAskedFor(text: string, phrase: string): Span | undefined {
  if (!mayHold(text, phrase)) return undefined;
  const pattern = patternOf(phrase);
  for (let from = 0; pattern && from < text.length; ) {
    const found = firstMatch(text.slice(from), pattern);
    if (found === undefined) return undefined;
    const before = text.slice(0, from + found.start);
    const sentence = before.slice(Math.max(...['.', '!', '?', ';', '\n'].map((mark) => before.lastIndexOf(mark))) + 1);
    if (!/\b(do not|don't|never|must not)\b/iu.test(sentence)) return { start: from + found.start, end: from + found.end };
    from += found.end;
  }
  return undefined;
}

const GAP_WORDS = 6;
/** Words that open another clause: what is done to a thing does not reach past them. */
const OTHER_CLAUSE = 'then|but|or|while|whilst|until|till|before|after|when|whenever|once|if|unless|that|which|who|so|because|as|and(?!\\s+(?:the|a|an|its|all|both|each)\\b)';
const GAP = `(?:\\s+(?!(?:${OTHER_CLAUSE})\\b)[\\p{L}\\p{N}][\\p{L}\\p{N}'’-]*){0,${GAP_WORDS}}?`;
const POINTING = '(?:the|a|an|each|every|both|all|this|that|these|those|its|one|your|any)';

const hazardPatterns = new Map<string, RegExp | undefined>();

function patternOf(phrase: string): RegExp | undefined {
  if (hazardPatterns.has(phrase)) return hazardPatterns.get(phrase);
  const parts = phrase.replaceAll('...', '…').replaceAll('…', ' … ').trim().split(/\s+/u).filter(Boolean);
  const lastWord = parts.findLastIndex((part) => part !== '…');
  let source = '';
  parts.forEach((part, index) => {
    if (part === '…') source += source === '' || index > lastWord ? '' : GAP;
    else source += `${source === '' ? '' : '\\s+'}${wordPattern(part, index === lastWord)}`;
  });
  const pattern = source === '' ? undefined : cached(source);
  hazardPatterns.set(phrase, pattern);
  return pattern;
}

function wordPattern(part: string, isLast: boolean): string {
  if (part.toLowerCase() === 'the') return POINTING;
  const alternatives = part.split('|').filter(Boolean).map((word) => word.split('_').filter(Boolean).map(escapePattern).join('\\s+'));
  return `(?:${alternatives.join('|')})${isLast ? 's?' : ''}`;
}

/** For each phrase, words of which a text must hold one to hold the phrase; undefined where no word tells. */
const tellingWords = new Map<string, readonly string[] | undefined>();
/** The words of the texts looked at of late: hundreds of phrases are looked for in each. */
let wordsOfTexts = new Map<string, ReadonlySet<string>>();
const MOST_TEXTS = 64;

/** False where a text surely does not hold a hazard's phrase: most texts hold none of the words of most phrases. */
function mayHold(text: string, phrase: string): boolean {
  let telling = tellingWords.get(phrase);
  if (telling === undefined && !tellingWords.has(phrase)) tellingWords.set(phrase, (telling = tellingWordsOf(phrase)));
  if (telling === undefined) return true;
  let held = wordsOfTexts.get(text);
  if (held === undefined) {
    if (wordsOfTexts.size >= MOST_TEXTS) wordsOfTexts = new Map();
    wordsOfTexts.set(text, (held = new Set(small(text).match(WORD) ?? [])));
  }
  for (const word of telling) if (held.has(word)) return true;
  return false;
}

/** The first word of each alternative of the last part: it is found in the plural too where the part is that word alone. */
function tellingWordsOf(phrase: string): readonly string[] | undefined {
  const last = phrase.replaceAll('...', ' ').replaceAll('…', ' ').trim().split(/\s+/u).at(-1) ?? '';
  const words = last.split('|').filter(Boolean).map((alternative) => small(alternative).match(WORD)?.[0]);
  if (last.toLowerCase() === 'the' || words.length === 0 || words.includes(undefined)) return undefined;
  return words.flatMap((word) => (word === undefined ? [] : [word, `${word}s`]));
}

const WORD = /[\p{L}\p{N}]+/gu;

/** Small letters; capitals and odd forms that patterns without regard to case take for the same are the same here. */
function small(text: string): string {
  return text.toLowerCase().replaceAll('\u017f', 's');
}

function firstMatch(text: string, pattern: RegExp): Span | undefined {
  const match = pattern.exec(text);
  return match ? { start: match.index, end: match.index + match[0].length } : undefined;
}

const patterns = new Map<string, RegExp>();

function cached(source: string): RegExp {
  let pattern = patterns.get(source);
  if (pattern === undefined) {
    pattern = new RegExp(`(?<![\\p{L}\\p{N}])${source}(?![\\p{L}\\p{N}])`, 'iu');
    patterns.set(source, pattern);
  }
  return pattern;
}

function escapePattern(word: string): string {
  return word.replace(/[.*+?^${}()|[\]\\/]/gu, '\\$&');
}
