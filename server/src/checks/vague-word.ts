import { findPhrase } from '../flow/words.ts';
import type { Check } from './check.ts';
import { ownerOf, placeInProse, proseOf, type ProseKind } from './prose-of.ts';
import { wordListOf } from './words/languages.ts';

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
  *run({ procedure, scope }) {
    const list = wordListOf(procedure);
    const ownTerms = scope.terms.map(({ term }) => term.toLowerCase());
    for (const at of proseOf(procedure)) {
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
      // The longest phrase at a place counts: 'appropriate' inside 'as appropriate' is not said again.
      const taken: { start: number; end: number }[] = [];
      for (const [phrase, help] of [...list.vaguePhrases].sort(([a], [b]) => b.length - a.length)) {
        const found = ownTerms.some((term) => term.includes(phrase)) ? undefined : findPhrase(at.text, phrase);
        if (found === undefined || taken.some((place) => found.start < place.end && place.start < found.end)) continue;
        taken.push(found);
        yield {
          span: placeInProse(at.prose, found.start, found.end),
          ...ownerOf(at),
          message: `'${at.text.slice(found.start, found.end)}' leaves the measure to the reader.`,
          help,
        };
      }
    }
  },
};
