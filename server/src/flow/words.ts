/**
 * Phrases in texts: any case, whole words, any white space between them. A phrase of a hazard may also say
 * - `undo|open|take_off`: one of several words, in each of which `_` stands for a space;
 * - `the`: any word that points at a thing: a, the, each, both, its …;
 * - `…`: up to six words of the same clause, or none;
 * - `~chock|trim` at its end: none of these words may follow, which make another thing of it (a wheel chock is no wheel);
 * and its last word is found in the plural too.
 */
import type { Span } from '../text/span.ts';
import { WordScan } from '../text/word-scan.ts';
import { isOnlySpokenOf } from './spoken-of.ts';

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

/**
 * Where the text asks for what a hazard's phrase says. A phrase that its sentence forbids ('do not', 'never'), keeps as it is ('leave the cap
 * closed'), only looks at, reads, asks after or draws, is not asked for.
 */
export function placeAskedFor(text: string, phrase: string): Span | undefined {
  const pattern = patternOf(phrase);
  for (let from = 0; pattern && from < text.length; ) {
    const found = firstMatch(text.slice(from), pattern);
    if (found === undefined) return undefined;
    const place = { start: from + found.start, end: from + found.end };
    if (!isOnlySpokenOf(text, place)) return place;
    from = place.end;
  }
  return undefined;
}

/** Whether a text, given in small letters, may say a hazard's phrase: it holds a word of each part of it. Where it says no, it is so, and no pattern need be tried. */
export function perhapsSays(inSmall: string, phrase: string): boolean {
  return tellingWordsOf(phrase).every((alternatives) => alternatives.some((word) => inSmall.includes(word)));
}

const GAP_WORDS = 6;
/** Words that open another clause: what is done to a thing does not reach past them. */
const OTHER_CLAUSE = 'then|but|or|while|whilst|until|till|before|after|when|whenever|once|if|unless|that|which|who|so|because|as|and(?!\\s+(?:the|a|an|its|all|both|each)\\b)';
const GAP = `(?:\\s+(?!(?:${OTHER_CLAUSE})\\b)[\\p{L}\\p{N}][\\p{L}\\p{N}'’-]*){0,${GAP_WORDS}}?`;
const POINTING = '(?:the|a|an|each|every|both|all|this|that|these|those|its|one|your|any)';

/** Marks the words of a phrase that must not follow it. */
const NOT_BEFORE = '~';

const hazardPatterns = new Map<string, RegExp | undefined>();

function patternOf(phrase: string): RegExp | undefined {
  if (hazardPatterns.has(phrase)) return hazardPatterns.get(phrase);
  const all = phrase.replaceAll('...', '…').replaceAll('…', ' … ').trim().split(/\s+/u).filter(Boolean);
  const parts = all.filter((part) => !part.startsWith(NOT_BEFORE));
  const others = all.filter((part) => part.startsWith(NOT_BEFORE)).map((part) => wordPattern(part.slice(NOT_BEFORE.length), true));
  const lastWord = parts.findLastIndex((part) => part !== '…');
  let source = '';
  parts.forEach((part, index) => {
    if (part === '…') source += source === '' || index > lastWord ? '' : GAP;
    else source += `${source === '' ? '' : '\\s+'}${wordPattern(part, index === lastWord)}`;
  });
  if (source !== '' && others.length > 0) source += `(?![\\s-]+(?:${others.join('|')})(?![\\p{L}\\p{N}]))`;
  const pattern = source === '' ? undefined : cached(source);
  hazardPatterns.set(phrase, pattern);
  return pattern;
}

function wordPattern(part: string, isLast: boolean): string {
  if (part.toLowerCase() === 'the') return POINTING;
  const alternatives = part.split('|').filter(Boolean).map((word) => word.split('_').filter(Boolean).map(escapePattern).join('\\s+'));
  return `(?:${alternatives.join('|')})${isLast ? 's?' : ''}`;
}

/** Lists of phrases, such as those of each hazard, by words without which they are not said. */
export interface PhraseIndex {
  readonly byWord: ReadonlyMap<string, readonly { readonly list: number; readonly parts: TellingWords }[]>;
  /** Lists with a phrase of which no word tells. */
  readonly always: readonly number[];
  /** Finds the words of `byWord`. */
  readonly scan: WordScan;
}

/** For each part of a phrase the words of which a text must hold one to say the phrase. */
type TellingWords = readonly (readonly string[])[];

export function indexPhrases(lists: readonly (readonly string[])[]): PhraseIndex {
  const byWord = new Map<string, { list: number; parts: TellingWords }[]>();
  const always: number[] = [];
  lists.forEach((phrases, list) => {
    for (const phrase of phrases) {
      const parts = tellingWordsOf(phrase);
      if (parts.length === 0) always.push(list);
      for (const word of new Set(parts.at(-1) ?? [])) {
        const known = byWord.get(word);
        if (known) known.push({ list, parts });
        else byWord.set(word, [{ list, parts }]);
      }
    }
  });
  return { byWord, always, scan: new WordScan(byWord.keys()) };
}

/** The lists of which a phrase may stand in one of the texts; of any other surely none does. */
export function listsPerhapsIn({ byWord, always, scan }: PhraseIndex, texts: readonly string[]): ReadonlySet<number> {
  const found = new Set(always);
  for (const text of texts) {
    let inSmall: string | undefined;
    for (const word of scan.wordsIn(text) ?? wordsOf(text)) {
      for (const { list, parts } of byWord.get(word) ?? []) {
        if (found.has(list)) continue;
        const letters = (inSmall ??= inSmallLetters(text));
        if (parts.every((alternatives) => alternatives.some((other) => letters.includes(other)))) found.add(list);
      }
    }
  }
  return found;
}

const tellingWords = new Map<string, TellingWords>();

/** The first word of each alternative of each part; the last part is found in the plural too where it is one word. */
function tellingWordsOf(phrase: string): TellingWords {
  let known = tellingWords.get(phrase);
  if (known === undefined) {
    const parts = phrase.replaceAll('...', ' ').replaceAll('…', ' ').trim().split(/\s+/u).filter((part) => part !== '' && !part.startsWith(NOT_BEFORE));
    known = parts.flatMap((part, index) => {
      const words = part.split('|').filter(Boolean).map((alternative) => inSmallLetters(alternative).match(WORD)?.[0]);
      if (part.toLowerCase() === 'the' || words.length === 0 || words.includes(undefined)) return [];
      return [words.flatMap((word) => (word === undefined ? [] : index === parts.length - 1 ? [word, `${word}s`] : [word]))];
    });
    tellingWords.set(phrase, known);
  }
  return known;
}

const WORD = /[\p{L}\p{N}]+/gu;

function wordsOf(text: string): readonly string[] {
  return inSmallLetters(text).match(WORD) ?? [];
}

/** Small letters; capitals and odd forms that patterns without regard to case take for the same are the same here. */
export function inSmallLetters(text: string): string {
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
