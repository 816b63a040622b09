import type { Prose } from '../procedure/model.ts';
import type { Report } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import type { Check, CheckContext } from './check.ts';
import { ownerOf, placeInProse, proseOf, proseOfStep } from './prose-of.ts';
import { wordListOf } from './words/languages.ts';
import type { WordList } from './words/word-list.ts';

export const referenceMissing: Check = {
  name: 'reference-missing',
  severity: 'warning',
  group: 'document',
  proves: 'Every document that a text or a `from` names by its number stands in `references`.',
  why: 'The technician is sent to a diagram that the procedure does not list, and takes the wrong sheet or none.',
  source: 'Common practice, no source',
  bad: `procedure: lamp
title: Lamp dark
references:
  - {id: WD-7, title: Wiring diagram of the lamps}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Find the supply fault with diagram WD-7 and diagram WD-9.
`,
  good: `procedure: lamp
title: Lamp dark
references:
  - {id: WD-7, title: Wiring diagram of the lamps}
  - {id: WD-9, title: Wiring diagram of the fuse box}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Find the supply fault with diagram WD-7 and diagram WD-9.
`,
  texts: (_, { step }) => proseOfStep(step).flatMap(({ text }) => (A_NUMBER.test(text) ? [text] : [])).join('\n'),
  *run(context) {
    const { procedure } = context;
    const ids = procedure.references.map((reference) => reference.id.value);
    const prefixes = new Set(ids.flatMap((id) => /^(\p{Lu}+-)\d/u.exec(id)?.[1] ?? []));
    const list = wordListOf(procedure);
    const named = numberBehindWord(list);
    const reported = new Set<string>();
    for (const at of proseOf(context)) {
      if (!/\d/u.test(at.text)) continue;
      const found = new Map<number, string>();
      for (const match of at.text.matchAll(named)) {
        const id = match[1] ?? '';
        // Any case finds 'Diagram'; the number itself is in capitals.
        if (id === id.toUpperCase()) found.set(match.index + match[0].length - id.length, id);
      }
      // A number that counts on from a listed one: WD-9 where WD-7 is listed.
      for (const match of at.text.matchAll(NUMBER_ALONE)) if ([...prefixes].some((prefix) => match[0].startsWith(prefix))) found.set(match.index, match[0]);
      for (const [start, id] of [...found].sort(([a], [b]) => a - b)) {
        if (ids.includes(id) || reported.has(id) || isNoDocument(id, list)) continue;
        reported.add(id);
        yield { ...reportOf(context, id, ids, placeInProse(at.prose, start, start + id.length)), ...ownerOf(at) };
      }
    }
    for (const from of sourcesOf(context)) {
      const id = WHOLE_NUMBER.exec(from.value.trim())?.[1];
      if (id === undefined || ids.includes(id) || reported.has(id)) continue;
      reported.add(id);
      yield reportOf(context, id, ids, { start: from.span.start, end: Math.min(from.span.end, from.span.start + id.length) });
    }
  },
};

/** How a shop numbers its documents: WD-7, HV-12A, SM4. */
const NUMBER = '\\p{Lu}{1,5}-?\\d{1,5}\\p{Lu}?';
const NUMBER_ALONE = new RegExp(`(?<![\\p{L}\\p{N}-])(${NUMBER})(?![\\p{L}\\p{N}-])`, 'gu');
const A_NUMBER = new RegExp(NUMBER, 'u');
const WHOLE_NUMBER = /^(\p{Lu}{1,5}-\d{1,5}\p{Lu}?)(?:[,;]?\s+(?:sheet|page|p\.)\s.*)?$/u;

const numbersBehindWords = new WeakMap<WordList, RegExp>();

/** A number behind a word for a document: 'diagram WD-7'. */
function numberBehindWord(list: WordList): RegExp {
  let pattern = numbersBehindWords.get(list);
  if (pattern === undefined) {
    const documents = list.documentWords.map((word) => word.replace(/ /gu, '\\s+')).join('|');
    pattern = new RegExp(`(?<!\\p{L})(?:${documents})s?\\s+(?:no\\.?\\s*)?(${NUMBER})(?![\\p{L}\\p{N}])`, 'giu');
    numbersBehindWords.set(list, pattern);
  }
  return pattern;
}

/** Sheet A4, bulb H7, standard EN1756: a size, a type, a public standard. */
function isNoDocument(id: string, list: WordList): boolean {
  return /^\p{Lu}\d{1,2}$/u.test(id) || list.knownAbbreviations.has(/^\p{Lu}+/u.exec(id)?.[0] ?? '');
}

function reportOf({ file, text }: CheckContext, id: string, ids: readonly string[], span: Span): Report {
  const near = ids.find((other) => other.replace(/\W/gu, '') === id.replace(/\W/gu, ''));
  const report = { span, subject: id, message: `'${id}' is not among the references.` };
  if (near === undefined) return { ...report, help: `Add \`- {id: ${id}, title: …}\` to \`references\`.` };
  const fixes = text.slice(span.start, span.end) === id ? [{ title: `Change it to ${near}`, edits: [{ file, span, newText: near }], altersMeaning: false }] : [];
  return { ...report, help: `Did you mean '${near}'?`, fixes };
}

/** Where values of this procedure say they come from. */
function sourcesOf({ procedure }: CheckContext): Prose[] {
  return [
    ...procedure.facts, ...procedure.circuits, ...procedure.values, ...procedure.hazards, ...procedure.cautions, ...procedure.qualifications,
  ].flatMap((item) => item.from ?? []);
}
