import type { Check } from './check.ts';
import { ownerOf, placeInProse, proseOf } from './prose-of.ts';
import { countWords, sentencesOf, wordsOf } from './words/sentences.ts';
import { wordListOf } from './words/languages.ts';

/** Longest sentence of an instruction, in words. */
const MOST_WORDS = 20;

export const longInstruction: Check = {
  name: 'long-instruction',
  severity: 'hint',
  group: 'wording',
  proves: `No sentence of an instruction or a question has more than ${MOST_WORDS} words.`,
  why: 'A person with a probe in each hand keeps one short sentence in mind, not two joined ones.',
  source: 'ASD-STE100 Issue 9, rule 5.1 (20 words; words are counted here in our own way)',
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: reach
    do:
      - Turn the steering wheel to the left until the wheel arch is free and take off the four clips that hold the cover over the lamp holder.
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
  good: `procedure: lamp
title: Lamp dark
steps:
  - step: reach
    do:
      - Turn the steering wheel to the left.
      - Take off the four clips of the cover over the lamp holder.
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
  textsAlone: true,
  texts: 'each',
  *run(context) {
    const list = wordListOf(context.procedure);
    for (const at of proseOf(context)) {
      if (!['action', 'question', 'text', 'change'].includes(at.kind) || isSurelyShort(at.text)) continue;
      for (const sentence of sentencesOf(at.text, list)) {
        const count = countWords(wordsOf(sentence.text, list));
        if (count <= MOST_WORDS) continue;
        yield {
          span: placeInProse(at.prose, sentence.span.start, sentence.span.end),
          ...ownerOf(at),
          message: `This ${at.kind === 'question' ? 'question' : 'instruction'} has ${count} words in one sentence; ${MOST_WORDS} are the most.`,
          help: at.kind === 'question' ? 'Ask the question alone. Put how to do it into `text`.' : 'Make two sentences of it, or two items. Put the reason into `why`.',
        };
      }
    }
  },
};

/** Most texts are: they need not be taken apart. */
function isSurelyShort(text: string): boolean {
  return text.split(/[\s,;:()\u2013\u2014]+/u, MOST_WORDS + 2).length <= MOST_WORDS;
}
