import type { Exploration } from '../flow/explore.ts';
import { findPhrase } from '../flow/words.ts';
import type { Report } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import type { Check, CheckContext } from './check.ts';
import { ownerOf, placeInProse, proseOf, proseOfStep, type ProseAt } from './prose-of.ts';
import { wordListOf } from './words/languages.ts';
import { phraseFinder, type FoundPhrase } from './words/phrases.ts';
import type { WordList } from './words/word-list.ts';

export const termVaries: Check = {
  name: 'term-varies',
  severity: 'warning',
  group: 'wording',
  proves: 'One part has one name: the one the shop uses, and the same one throughout the procedure.',
  why: 'A reader who meets a second name looks for a second part.',
  source: 'Common practice, no source',
  shop: `shop: Workshop
terms:
  isolator: [battery switch, cut-off switch]
`,
  bad: `procedure: power
title: No power in the cab
steps:
  - step: on
    do: [Turn the battery switch on.]
  - step: look
    ask: Is the cab lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Test the isolator.
`,
  good: `procedure: power
title: No power in the cab
steps:
  - step: on
    do: [Turn the isolator on.]
  - step: look
    ask: Is the cab lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Test the isolator.
`,
  textsAlone: true,
  texts: (context, { step }) => proseOfStep(step).map(({ text }) => tokensOf(context, text)).filter(Boolean).join('\n'),
  *run(context) {
    const texts = proseOf(context);
    const words = shopWordsOf(context);
    yield* againstTheShop(context, texts, words);
    yield* twoWords(context, texts, words);
    yield* twoSpellings(context, texts, words.settled);
  },
};

/** What a shop's terms settle, and what they leave open. */
interface ShopWords {
  readonly list: WordList;
  readonly settled: ReadonlySet<string>;
  /** Two words for one thing, as far as the shop has not settled them. */
  readonly groups: readonly (readonly string[])[];
  readonly termOf: ReadonlyMap<string, string>;
  readonly findReplaced: (text: string) => readonly FoundPhrase[];
  readonly findTwo: (text: string) => readonly FoundPhrase[];
}

const shopWords = new WeakMap<CheckContext['scope']['terms'], ShopWords>();

/** Worked out once for all procedures of a shop. */
function shopWordsOf({ scope: { terms }, procedure }: CheckContext): ShopWords {
  const list = wordListOf(procedure);
  let words = shopWords.get(terms);
  if (words?.list !== list) {
    const settled = new Set(terms.flatMap(({ term, insteadOf }) => [term, ...insteadOf]).map((word) => word.toLowerCase()));
    const groups = list.sameThing.filter((group) => !group.some((word) => settled.has(word)));
    const termOf = new Map(terms.flatMap(({ term, insteadOf }) => insteadOf.map((other) => [other, term] as const)));
    words = { list, settled, groups, termOf, findReplaced: phraseFinder(termOf.keys(), { plural: true }), findTwo: phraseFinder(groups.flat(), { plural: true }) };
    shopWords.set(terms, words);
  }
  return words;
}

interface WordsLookedFor {
  readonly scope: CheckContext['scope'];
  readonly find: (text: string) => readonly FoundPhrase[];
  /** Finds words that stand with a hyphen elsewhere; known once the check has run. */
  closed?: (text: string) => readonly FoundPhrase[];
}

/** Kept as long as nothing but texts changes in a procedure. */
const wordsLookedFor = new WeakMap<Exploration, WordsLookedFor>();

function wordsOf(context: CheckContext): WordsLookedFor {
  let words = wordsLookedFor.get(context.exploration);
  if (words?.scope !== context.scope) {
    const phrases = [...context.scope.terms.flatMap(({ insteadOf }) => insteadOf), ...shopWordsOf(context).groups.flat()];
    words = { scope: context.scope, find: phraseFinder(phrases, { plural: true }) };
    wordsLookedFor.set(context.exploration, words);
  }
  return words;
}

/** All that the check looks at in a text: words of the shop, words of which there are two, and words with a hyphen, here or elsewhere. */
function tokensOf(context: CheckContext, text: string): string {
  const words = wordsOf(context);
  const found = words.find(text).map((one) => text.slice(one.start, one.end));
  // A term of the shop may hold the word that it replaces: the whole text tells.
  if (words.closed === undefined || (found.length > 0 && context.scope.terms.length > 0)) return text;
  const hyphened = text.includes('-') ? (text.match(HYPHENED) ?? []) : [];
  return [...found, ...hyphened, ...words.closed(text).map((one) => text.slice(one.start, one.end))].join('|');
}

const HYPHENED = /(?<![\p{L}\p{N}-])\p{L}{2,}-\p{L}{2,}(?![\p{L}\p{N}-])/gu;

/** Spellings that the shop has replaced by a term. */
function* againstTheShop(context: CheckContext, texts: readonly ProseAt[], { termOf, findReplaced: find }: ShopWords): Generator<Report> {
  if (termOf.size === 0) return;
  for (const at of texts) {
    // The complaint is in the operator's words.
    for (const found of at.kind === 'complaint' ? [] : find(at.text)) {
      const term = termOf.get(found.phrase) ?? found.phrase;
      if (isInTerm(at.text, found, term)) continue;
      const written = at.text.slice(found.start, found.end);
      const span = placeInProse(at.prose, found.start, found.end);
      const inOneLine = context.text.slice(span.start, span.end) === written;
      const newText = asWritten(written, found.phrase, term);
      yield {
        span,
        ...ownerOf(at),
        message: `This shop says '${term}', not '${written}'.`,
        help: `Write '${newText}'.`,
        ...(inOneLine ? { fixes: [{ title: `Change it to '${newText}'`, edits: [{ file: context.file, span, newText }], altersMeaning: false }] } : {}),
      };
    }
  }
}

/** Two words for one thing, both used: tyre and tire. */
function* twoWords({ file }: CheckContext, texts: readonly ProseAt[], { groups, findTwo: find }: ShopWords): Generator<Report> {
  const first = new Map<string, { word: string; at: ProseAt; span: Span }>();
  for (const at of texts) {
    for (const found of at.kind === 'complaint' ? [] : find(at.text)) {
      if (first.has(found.phrase)) continue;
      first.set(found.phrase, { word: at.text.slice(found.start, found.end), at, span: placeInProse(at.prose, found.start, found.end) });
    }
  }
  for (const group of first.size < 2 ? [] : groups) {
    const [one, other] = group.flatMap((word) => first.get(word) ?? []).sort((a, b) => a.span.start - b.span.start);
    if (one === undefined || other === undefined) continue;
    yield {
      span: other.span,
      ...ownerOf(other.at),
      message: `'${other.word}' and '${one.word}' name the same thing in one procedure.`,
      help: 'Use one of them. The shop can settle it under `terms`.',
      related: [{ file, span: one.span, message: `'${one.word}' is here.` }],
    };
  }
}

/** One word with and without its hyphen: cut-off and cutoff. */
function* twoSpellings(context: CheckContext, texts: readonly ProseAt[], settled: ReadonlySet<string>): Generator<Report> {
  const { file } = context;
  const hyphened = new Map<string, { written: string; at: ProseAt; start: number }>();
  for (const at of texts) {
    if (!at.text.includes('-')) continue;
    for (const match of at.text.matchAll(HYPHENED)) {
      const closed = match[0].replace('-', '').toLowerCase();
      // Short ones meet by chance: re-set and reset.
      if (closed.length < 6 || settled.has(match[0].toLowerCase()) || hyphened.has(closed)) continue;
      hyphened.set(closed, { written: match[0], at, start: match.index });
    }
  }
  const find = phraseFinder(hyphened.keys());
  wordsOf(context).closed = find;
  const reported = new Set<string>();
  for (const at of hyphened.size === 0 ? [] : texts) {
    for (const found of find(at.text)) {
      const other = hyphened.get(found.phrase);
      if (other === undefined || reported.has(found.phrase)) continue;
      reported.add(found.phrase);
      const span = placeInProse(at.prose, found.start, found.end);
      yield {
        span,
        ...ownerOf(at),
        message: `'${at.text.slice(found.start, found.end)}' is spelt '${other.written}' elsewhere in this procedure.`,
        help: 'Use one spelling. The shop can settle it under `terms`.',
        related: [{ file, span: placeInProse(other.at.prose, other.start, other.start + other.written.length), message: `'${other.written}' is here.` }],
      };
    }
  }
}

/** A spelling inside the very term that replaces it: 'isolator switch' in 'battery isolator switch'. */
function isInTerm(text: string, found: { readonly start: number; readonly end: number }, term: string): boolean {
  const whole = findPhrase(text, term);
  return whole !== undefined && whole.start <= found.start && found.end <= whole.end && whole.end - whole.start > found.end - found.start;
}

/** The term in the capitals and the number of what it replaces. */
function asWritten(written: string, word: string, term: string): string {
  const plural = written.length > word.length ? `${term}s` : term;
  return /^\p{Lu}/u.test(written) ? plural.charAt(0).toUpperCase() + plural.slice(1) : plural;
}
