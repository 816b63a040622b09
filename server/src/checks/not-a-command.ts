import type { Check } from './check.ts';
import { ownerOf, placeInProse, proseOf } from './prose-of.ts';
import { isCommand } from './words/commands.ts';
import { wordListOf } from './words/languages.ts';
import { sentencesOf } from './words/sentences.ts';
import type { WordList } from './words/word-list.ts';

export const notACommand: Check = {
  name: 'not-a-command',
  severity: 'hint',
  group: 'wording',
  proves: 'Every item of `do` is a command.',
  why: "'The cover is removed' does not say who removes it, or whether it is off already.",
  source: 'ASD-STE100, section 5: instructions as commands (from memory)',
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: prepare
    do:
      - The cover of the lamp is removed.
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
  - step: prepare
    do:
      - Remove the cover of the lamp.
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
      if ((at.kind !== 'action' && at.kind !== 'change') || beginsPlainly(at.text, list)) continue;
      const sentences = sentencesOf(at.text, list);
      const first = sentences[0];
      if (first === undefined || sentences.some((sentence) => isCommand(sentence.text, list))) continue;
      yield {
        span: placeInProse(at.prose, first.span.start, first.span.end),
        ...ownerOf(at),
        message: `'${shortened(first.text)}' is not written as a command.`,
        help: "Begin with the verb: 'Remove …', 'Turn …', 'Connect …'. A remark belongs in `text`, `why` or `note`.",
      };
    }
  },
};

/** Begins with a verb that names no part: no need to take the text apart. */
function beginsPlainly(text: string, list: WordList): boolean {
  const first = /^\s*(\p{L}+)\s/u.exec(text)?.[1]?.toLowerCase() ?? '';
  return list.commandVerbs.has(first) && !list.verbsThatAreParts.has(first);
}

function shortened(text: string): string {
  return text.length > 48 ? `${text.slice(0, 45).trimEnd()} …` : text;
}
