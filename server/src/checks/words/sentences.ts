/** Sentences and words of a text, with places inside it. Knows no procedure; what it knows of a language comes as a word list. */
import { lookUpUnit } from '../../quantity/unit.ts';
import type { Span } from '../../text/span.ts';
import type { WordList } from './word-list.ts';

export interface Sentence {
  readonly text: string;
  /** Within the whole text, white space at its ends left out. */
  readonly span: Span;
}

export interface Word {
  /** As written. */
  readonly text: string;
  /** In small letters. */
  readonly small: string;
  /** Within the sentence. */
  readonly span: Span;
  /** A comma, semicolon, colon or dash stands before it. */
  readonly afterPause: boolean;
}

const segmenters = new Map<string, Intl.Segmenter>();

function segmenter(language: string, granularity: 'sentence' | 'word'): Intl.Segmenter {
  const key = `${language} ${granularity}`;
  let found = segmenters.get(key);
  if (found === undefined) segmenters.set(key, (found = new Intl.Segmenter(language, { granularity })));
  return found;
}

/** The sentences of a text: at a full stop, and at a line break, since writers put one instruction on a line. */
export function sentencesOf(text: string, list: WordList): Sentence[] {
  const sentences: Sentence[] = [];
  let open: { start: number; end: number } | undefined;
  const close = (): void => {
    if (open === undefined) return;
    const whole = text.slice(open.start, open.end);
    const start = open.start + (whole.length - whole.trimStart().length);
    const trimmed = whole.trim();
    if (trimmed !== '') sentences.push({ text: trimmed, span: { start, end: start + trimmed.length } });
    open = undefined;
  };
  for (const piece of plainSentences(text) ?? segmentsOf(text, list, 'sentence', /[.!?]\s/u)) {
    const end = piece.index + piece.segment.length;
    open = { start: open?.start ?? piece.index, end };
    if ((isEnded(piece.segment) && !endsInside(piece.segment, list)) || piece.segment.includes('\n')) close();
  }
  close();
  return sentences;
}

/**
 * The pieces that the segmenter makes of a text in plain letters whose sentences end in the plainest way: a mark behind a letter or digit,
 * then one space and a capital, or the end. Undefined where the segmenter has to say.
 */
function plainSentences(text: string): { segment: string; index: number }[] | undefined {
  if (!PLAIN_SENTENCES.test(text)) return undefined;
  const pieces: { segment: string; index: number }[] = [];
  let start = 0;
  for (let at = 0; at < text.length - 2; at++) {
    const code = text.charCodeAt(at);
    if ((code !== 46 && code !== 33 && code !== 63) || text.charCodeAt(at + 1) !== 32) continue;
    pieces.push({ segment: text.slice(start, at + 2), index: start });
    start = at + 2;
  }
  pieces.push({ segment: text.slice(start), index: start });
  return pieces;
}

/** Of marks that end a sentence only those that stand as plainSentences says; a point between digits ends none. */
const PLAIN_SENTENCES = /^(?=[A-Za-z0-9])(?:[^.!?\n\r\t\x00-\x1f\x7f-\uffff]|(?<=[A-Za-z0-9])(?:\.(?=\d)(?<=\d\.)|[.!?](?: (?=[A-Z])|$)))*$/;

const LONGEST_PART = 1000;

/** The segments of a text, taken in parts that end where `cut` matches: the segmenter's time grows with the square of a text's length. */
function* segmentsOf(text: string, list: WordList, granularity: 'sentence' | 'word', cut: RegExp): Generator<{ segment: string; index: number; isWordLike: boolean }> {
  const known = segmenter(list.language, granularity);
  for (let start = 0; start < text.length; ) {
    let end = Math.min(text.length, start + LONGEST_PART);
    if (end < text.length) {
      const found = cut.exec(text.slice(end, end + LONGEST_PART));
      end = Math.min(text.length, found ? end + found.index + found[0].length : end + LONGEST_PART);
    }
    for (const { segment, index, isWordLike } of known.segment(text.slice(start, end))) yield { segment, index: start + index, isWordLike: isWordLike === true };
    start = end;
  }
}

/** A part cut off in the middle of a sentence goes on in the next. */
function isEnded(piece: string): boolean {
  return /\p{Sentence_Terminal}[^\p{L}\p{N}]*$/u.test(piece.slice(-8));
}

/** 'See No.' before '5': a full stop that ends no sentence. */
function endsInside(piece: string, list: WordList): boolean {
  const last = /([\p{L}][\p{L}.]*)\.\s*$/u.exec(piece.slice(-16))?.[1];
  return last !== undefined && list.stopsInside.has(last.toLowerCase());
}

/** The words of a sentence. Hyphens, slashes, points and apostrophes inside keep a word together; `{name}` is one word. */
export function wordsOf(sentence: string, list: WordList): Word[] {
  const plain = plainWords(sentence);
  if (plain !== undefined) return plain;
  const words: { start: number; end: number; pause: boolean }[] = [];
  for (const piece of segmentsOf(sentence, list, 'word', /\s/u)) {
    if (!piece.isWordLike) continue;
    const start = piece.index;
    const end = start + piece.segment.length;
    const last = words.at(-1);
    const between = sentence.slice(last?.end ?? 0, start);
    if (last !== undefined && /^[-\u2010\u2011/.'’_·&+]$/u.test(between)) last.end = end;
    else words.push({ start, end, pause: /[,;:\u2013\u2014(]/u.test(between) || / - /u.test(between) });
  }
  return words.map(({ start, end, pause }) => {
    const text = sentence.slice(start, end);
    return { text, small: text.toLowerCase().replaceAll('’', "'"), span: { start, end }, afterPause: pause };
  });
}

/** The same of a sentence in plain letters, without the segmenter; undefined where only that can say. */
function plainWords(sentence: string): Word[] | undefined {
  if (!PLAIN_WORDS.test(sentence)) return undefined;
  const words: Word[] = [];
  let behind = 0;
  for (const match of sentence.matchAll(PLAIN_WORD)) {
    const [text] = match;
    const start = match.index;
    const between = sentence.slice(behind, start);
    behind = start + text.length;
    words.push({ text, small: text.toLowerCase(), span: { start, end: behind }, afterPause: between !== ' ' && (/[,;:(]/.test(between) || between.includes(' - ')) });
  }
  return words;
}

/** Letters and digits of ASCII; between two of them no colon or underscore, which join words in ways of their own. */
const PLAIN_WORDS = /^(?:[^:_\x00-\x1f\x7f-\uffff]|:(?![A-Za-z0-9]))*$/;
const PLAIN_WORD = /[A-Za-z0-9]+(?:(?:[-/.'&+]|(?<=\d)[,;](?=\d))[A-Za-z0-9]+)*/g;

/** How many words a reader counts: a number with its unit is one. */
export function countWords(words: readonly Word[]): number {
  return words.filter((word, index) => {
    const before = words[index - 1];
    return before === undefined || !/\d$/u.test(before.text) || !/^[^\d]/u.test(word.text) || lookUpUnit(word.text) === undefined;
  }).length;
}
