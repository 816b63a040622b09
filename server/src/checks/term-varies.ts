import { findPhrase } from '../flow/words.ts';
import type { Report } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import type { Check, CheckContext } from './check.ts';
import { ownerOf, placeInProse, proseOf, type ProseAt } from './prose-of.ts';
import { wordListOf } from './words/languages.ts';
import { phraseFinder } from './words/phrases.ts';

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
  *run(context) {
    const texts = proseOf(context);
    const settled = new Set(context.scope.terms.flatMap(({ term, insteadOf }) => [term, ...insteadOf]).map((word) => word.toLowerCase()));
    yield* againstTheShop(context, texts);
    yield* twoWords(context, texts, settled);
    yield* twoSpellings(context, texts, settled);
  },
};

/** Spellings that the shop has replaced by a term. */
function* againstTheShop(context: CheckContext, texts: readonly ProseAt[]): Generator<Report> {
  const termOf = new Map<string, string>();
  for (const { term, insteadOf } of context.scope.terms) for (const other of insteadOf) termOf.set(other, term);
  const find = phraseFinder(termOf.keys(), { plural: true });
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
function* twoWords({ file, procedure }: CheckContext, texts: readonly ProseAt[], settled: ReadonlySet<string>): Generator<Report> {
  const groups = wordListOf(procedure).sameThing.filter((group) => !group.some((word) => settled.has(word)));
  const find = phraseFinder(groups.flat(), { plural: true });
  const first = new Map<string, { word: string; at: ProseAt; span: Span }>();
  for (const at of texts) {
    for (const found of at.kind === 'complaint' ? [] : find(at.text)) {
      if (first.has(found.phrase)) continue;
      first.set(found.phrase, { word: at.text.slice(found.start, found.end), at, span: placeInProse(at.prose, found.start, found.end) });
    }
  }
  for (const group of groups) {
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
function* twoSpellings({ file }: CheckContext, texts: readonly ProseAt[], settled: ReadonlySet<string>): Generator<Report> {
  const hyphened = new Map<string, { written: string; at: ProseAt; start: number }>();
  for (const at of texts) {
    if (!at.text.includes('-')) continue;
    for (const match of at.text.matchAll(/(?<![\p{L}\p{N}-])\p{L}{2,}-\p{L}{2,}(?![\p{L}\p{N}-])/gu)) {
      const closed = match[0].replace('-', '').toLowerCase();
      // Short ones meet by chance: re-set and reset.
      if (closed.length < 6 || settled.has(match[0].toLowerCase()) || hyphened.has(closed)) continue;
      hyphened.set(closed, { written: match[0], at, start: match.index });
    }
  }
  const find = phraseFinder(hyphened.keys());
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
