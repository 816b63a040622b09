import { lookUpUnit } from '../quantity/unit.ts';
import type { Check, CheckContext } from './check.ts';
import { ownerOf, placeInProse, proseOf, proseOfStep } from './prose-of.ts';
import type { WordList } from './words/word-list.ts';
import { wordListOf } from './words/languages.ts';

export const abbreviationUnexplained: Check = {
  name: 'abbreviation-unexplained',
  severity: 'hint',
  group: 'wording',
  proves: 'Every abbreviation is explained: where it first stands, or in `abbreviations` of shop.yaml.',
  why: 'A new hand, or one from another trade, reads something else into it.',
  source: 'Common practice, no source',
  bad: `procedure: cold_start
title: Engine starts badly when cold
steps:
  - step: plugs
    ask: Is the lamp of the GPCU lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Test the supply.
`,
  good: `procedure: cold_start
title: Engine starts badly when cold
steps:
  - step: plugs
    ask: Is the lamp of the glow plug control unit (GPCU) lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Test the supply.
`,
  textsAlone: true,
  texts: (_, { step }) => proseOfStep(step).flatMap(({ text }) => (TWO_CAPITALS.test(text) ? [tokensOf(text)] : [])).join('\n'),
  *run(context) {
    const list = wordListOf(context.procedure);
    const texts = proseOf(context).filter(({ text }) => TWO_CAPITALS.test(text));
    const explained = new Set(texts.flatMap((at) => explainedIn(at.text)));
    const seen = new Set<string>();
    for (const at of texts) {
      if (at.kind === 'complaint' || isAllCapitals(at.text)) continue;
      for (const match of at.text.matchAll(ABBREVIATION)) {
        const short = match[0].replace(/s$/u, '');
        if (seen.has(short) || explained.has(short) || isKnown(short, context, list) || isShouted(at.text, match.index, match[0].length)) continue;
        seen.add(short);
        yield {
          span: placeInProse(at.prose, match.index, match.index + match[0].length),
          ...ownerOf(at),
          message: `'${short}' is explained nowhere.`,
          help: `Write it out here with '(${short})' behind it, or explain it once in \`abbreviations\` of shop.yaml.`,
        };
      }
    }
  },
};

/** Without them a text holds no abbreviation and explains none. */
const TWO_CAPITALS = /\p{Lu}{2}/u;

/** Two to six capitals by themselves: no part of a number such as WD-7, of a place such as L1, or of a name in braces. */
const ABBREVIATION = /(?<![\p{L}\p{N}\p{P}_]|\d[ \u00a0\u202f])\p{Lu}{2,6}s?(?![\p{L}\p{N}_]|[-/.]?\d|-\p{L}| ?\d)|(?<=[("'])\p{Lu}{2,6}s?(?=[)"'])/gu;

/** All that the check looks at in a text. */
function tokensOf(text: string): string {
  const found = [...text.matchAll(ABBREVIATION)].map((match) => `${match[0]}${isShouted(text, match.index, match[0].length) ? '!' : ''}`);
  return `${isAllCapitals(text) ? '' : found.join(' ')}|${explainedIn(text).join(' ')}`;
}

function isKnown(short: string, { scope }: CheckContext, list: WordList): boolean {
  return (
    scope.abbreviations.has(short) || list.knownAbbreviations.has(short) || list.panelWords.has(short) ||
    /^[IVX]+$/u.test(short) || lookUpUnit(short) !== undefined || scope.terms.some(({ term }) => term.includes(short))
  );
}

/** 'glow plug control unit (GPCU)' and 'GPCU (glow plug control unit)'. */
function explainedIn(text: string): string[] {
  const after = [...text.matchAll(/\p{Ll}\s+\((\p{Lu}{2,6})s?\)/gu)].map((match) => match[1] ?? '');
  const before = [...text.matchAll(/(?<!\p{L})(\p{Lu}{2,6})s?\s+\(\p{L}[\p{L}-]*(?:\s+[\p{L}-]+)+\)/gu)].map((match) => match[1] ?? '');
  return [...after, ...before];
}

function isAllCapitals(text: string): boolean {
  return !/\p{Ll}/u.test(text);
}

/** 'DO NOT SMOKE HERE': words in capitals beside each other are no abbreviations. */
function isShouted(text: string, start: number, length: number): boolean {
  return /\p{Lu}{2,}[\s,]+$/u.test(text.slice(0, start)) || /^[\s,]+\p{Lu}{2,}(?!\p{L}|\d|-)/u.test(text.slice(start + length));
}
