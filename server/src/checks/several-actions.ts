import type { Fix } from '../findings/finding.ts';
import type { Check, CheckContext } from './check.ts';
import { quoteIfNeeded } from './edits.ts';
import { ownerOf, placeInProse, proseOf, type ProseAt } from './prose-of.ts';
import { secondAction, type SecondAction } from './words/commands.ts';
import { wordListOf } from './words/languages.ts';
import { sentencesOf } from './words/sentences.ts';
import type { WordList } from './words/word-list.ts';

export const severalActions: Check = {
  name: 'several-actions',
  severity: 'hint',
  group: 'wording',
  proves: 'Every item of `do` asks for one action.',
  why: 'Each item is ticked off by itself: the second action of an item is the one that is left out.',
  source: 'ASD-STE100, section 5: one instruction a sentence (from memory)',
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: prepare
    do:
      - Turn the ignition off and remove the cover of the lamp.
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
      - Turn the ignition off.
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
      if ((at.kind !== 'action' && at.kind !== 'change') || !mayHoldTwo(at.text, list)) continue;
      const second = secondAction(sentencesOf(at.text, list), list);
      if (second === undefined) continue;
      const fixes = splitItem(context, at, second);
      yield {
        span: placeInProse(at.prose, second.start, second.end),
        ...ownerOf(at),
        message: `A second action begins here, with '${second.verb}'.`,
        help: 'Make it an item of its own.',
        ...(fixes ? { fixes } : {}),
      };
    }
  },
};

/** Whether the text has a second sentence, or a word that joins two actions: most have neither. */
function mayHoldTwo(text: string, list: WordList): boolean {
  return /[.!?:;\n]\s*\S/u.test(text) || text.toLowerCase().split(/\s+/u).some((word) => list.actionJoiners.has(word));
}

/** Splits a one-line item of a block list; other layouts are left to the writer. */
function splitItem({ file, text }: CheckContext, at: ProseAt, second: SecondAction): Fix[] | undefined {
  const { node } = at.prose;
  if (node === undefined || node.style !== 'plain' || text.slice(node.span.start, node.span.end) !== node.text) return undefined;
  const line = text.lastIndexOf('\n', node.span.start) + 1;
  const lead = text.slice(line, node.span.start);
  if (!/^ *- +$/u.test(lead)) return undefined;
  const first = at.text.slice(0, second.joinStart).trimEnd().replace(/[,;:]$/u, '');
  const rest = at.text.slice(second.start).trim();
  const newText = `${quoteIfNeeded(ended(first))}\n${lead}${quoteIfNeeded(ended(rest.charAt(0).toUpperCase() + rest.slice(1)))}`;
  return [{ title: 'Make two items of it', edits: [{ file, span: node.span, newText }], altersMeaning: false }];
}

function ended(sentence: string): string {
  return /[.!?]$/u.test(sentence) ? sentence : `${sentence}.`;
}
