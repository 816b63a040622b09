import type { Check } from './check.ts';
import { ownerOf, placeInProse, proseOf, type ProseAt, type ProseKind } from './prose-of.ts';
import { wordListOf } from './words/languages.ts';
import { phraseFinder, type FoundPhrase } from './words/phrases.ts';
import type { WordList } from './words/word-list.ts';

/** Texts that a person acts on. Reasons, notes and complaints may be as vague as the person who made them. */
const ACTED_ON: readonly ProseKind[] = ['action', 'question', 'text', 'says', 'refer', 'remedy', 'caution', 'change', 'answer'];

export const vagueWord: Check = {
  name: 'vague-word',
  severity: 'warning',
  group: 'wording',
  proves: 'No instruction, question, answer or caution leaves the measure to the reader.',
  why: "Two people who 'tighten as necessary' stop at two different torques.",
  source: 'Common practice, no source',
  bad: `procedure: belt
title: Belt squeals
steps:
  - step: tension
    do: [Tighten the belt as necessary.]
  - step: listen
    ask: Does the belt squeal at idle?
    results:
      - when: yes
        refer: Replace the belt.
      - when: no
        passes: true
`,
  good: `procedure: belt
title: Belt squeals
steps:
  - step: tension
    do: [Tighten the belt until the mark on the tensioner stands at the notch.]
  - step: listen
    ask: Does the belt squeal at idle?
    results:
      - when: yes
        refer: Replace the belt.
      - when: no
        passes: true
`,
  textsAlone: true,
  texts: 'each',
  *run(context) {
    const list = wordListOf(context.procedure);
    const findVague = vagueFinder(list);
    const ownTerms = context.scope.terms.map(({ term }) => term.toLowerCase());
    for (const at of proseOf(context)) {
      if (!ACTED_ON.includes(at.kind)) continue;
      const answer = at.kind === 'answer' ? list.vagueAnswers.get(at.text.trim().toLowerCase().replace(/[.!]$/u, '')) : undefined;
      if (answer !== undefined) {
        yield {
          span: at.prose.span,
          ...ownerOf(at),
          message: `The answer '${at.text.trim()}' does not say what was seen.`,
          help: answer,
        };
        continue;
      }
      for (const found of findVague(at.text)) {
        if (ownTerms.some((term) => term.includes(found.phrase)) || (reportsResult(at) && list.verdictPhrases.has(found.phrase))) continue;
        yield {
          span: placeInProse(at.prose, found.start, found.end),
          ...ownerOf(at),
          message: `'${at.text.slice(found.start, found.end)}' leaves the measure to the reader.`,
          help: list.vaguePhrases.get(found.phrase) ?? '',
        };
      }
    }
  },
};

/** What follows from a result that was told by its limit or its answer: 'The motor looks good.' reports it and judges nothing. */
function reportsResult({ kind, step }: ProseAt): boolean {
  return kind === 'refer' || (kind === 'says' && (step?.kind === 'measure' || step?.kind === 'decide'));
}

const finders = new WeakMap<WordList, (text: string) => readonly FoundPhrase[]>();

function vagueFinder(list: WordList): (text: string) => readonly FoundPhrase[] {
  let finder = finders.get(list);
  if (finder === undefined) finders.set(list, (finder = phraseFinder(list.vaguePhrases.keys())));
  return finder;
}
