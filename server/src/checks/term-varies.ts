import { findPhrase } from '../flow/words.ts';
import type { Report } from '../findings/finding.ts';
import type { Check, CheckContext } from './check.ts';
import { ownerOf, placeInProse, proseOf, type ProseAt } from './prose-of.ts';
import { wordListOf } from './words/languages.ts';

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
    const texts = proseOf(context.procedure);
    const settled = new Set(context.scope.terms.flatMap(({ term, insteadOf }) => [term, ...insteadOf]).map((word) => word.toLowerCase()));
    yield* againstTheShop(context, texts);
    yield* twoWords(context, texts, settled);
    yield* twoSpellings(context, texts, settled);
  },
};

/** Spellings that the shop has replaced by a term. */
function* againstTheShop(context: CheckContext, texts: readonly ProseAt[]): Generator<Report> {
  for (const { term, insteadOf } of context.scope.terms) {
    for (const other of insteadOf) {
      for (const at of texts) {
        // The complaint is in the operator's words.
        const found = at.kind === 'complaint' ? undefined : findWord(at.text, other, term);
        if (found === undefined) continue;
        const written = at.text.slice(found.start, found.end);
        const span = placeInProse(at.prose, found.start, found.end);
        const inOneLine = context.text.slice(span.start, span.end) === written;
        const newText = asWritten(written, other, term);
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
}

/** Two words for one thing, both used: tyre and tire. */
function* twoWords({ file, procedure }: CheckContext, texts: readonly ProseAt[], settled: ReadonlySet<string>): Generator<Report> {
  for (const group of wordListOf(procedure).sameThing) {
    if (group.some((word) => settled.has(word))) continue;
    const places = group.flatMap((word) => {
      for (const at of texts) {
        const found = at.kind === 'complaint' ? undefined : findWord(at.text, word, '');
        if (found) return [{ word: at.text.slice(found.start, found.end), at, span: placeInProse(at.prose, found.start, found.end) }];
      }
      return [];
    });
    const [first, second] = places.sort((a, b) => a.span.start - b.span.start);
    if (first === undefined || second === undefined) continue;
    yield {
      span: second.span,
      ...ownerOf(second.at),
      message: `'${second.word}' and '${first.word}' name the same thing in one procedure.`,
      help: `Use one of them. The shop can settle it under \`terms\`.`,
      related: [{ file, span: first.span, message: `'${first.word}' is here.` }],
    };
  }
}

/** One word with and without its hyphen: cut-off and cutoff. */
function* twoSpellings({ file }: CheckContext, texts: readonly ProseAt[], settled: ReadonlySet<string>): Generator<Report> {
  const seen = new Map<string, { written: string; at: ProseAt; start: number }>();
  const reported = new Set<string>();
  for (const at of texts) {
    for (const match of at.text.matchAll(/(?<![\p{L}\p{N}-])\p{L}{2,}(?:-\p{L}{2,})?(?![\p{L}\p{N}-])/gu)) {
      const written = match[0].toLowerCase();
      const closed = written.replace('-', '');
      if (closed.length < 6 || settled.has(written)) continue;
      const earlier = seen.get(closed);
      if (earlier === undefined) seen.set(closed, { written, at, start: match.index });
      else if (earlier.written !== written && !reported.has(closed)) {
        reported.add(closed);
        yield {
          span: placeInProse(at.prose, match.index, match.index + match[0].length),
          ...ownerOf(at),
          message: `'${written}' is spelt '${earlier.written}' elsewhere in this procedure.`,
          help: 'Use one spelling. The shop can settle it under `terms`.',
          related: [{ file, span: placeInProse(earlier.at.prose, earlier.start, earlier.start + earlier.written.length), message: `'${earlier.written}' is here.` }],
        };
      }
    }
  }
}

/** Where a word or its plural stands, unless it is a part of the term that replaces it. */
function findWord(text: string, word: string, term: string): { start: number; end: number } | undefined {
  for (const form of [word, `${word}s`]) {
    const found = findPhrase(text, form);
    if (found === undefined) continue;
    const inTerm = term !== '' && term.toLowerCase().includes(word.toLowerCase()) ? findPhrase(text, term) : undefined;
    if (inTerm && inTerm.start <= found.start && found.end <= inTerm.end) continue;
    return found;
  }
  return undefined;
}

/** The term in the capitals and the number of what it replaces. */
function asWritten(written: string, word: string, term: string): string {
  const plural = written.length > word.length ? `${term}s` : term;
  return /^\p{Lu}/u.test(written) ? plural.charAt(0).toUpperCase() + plural.slice(1) : plural;
}
