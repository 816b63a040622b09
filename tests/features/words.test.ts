/** What features say around a writer's words: the same entries in both languages, each really in its own, and titles of fixes that the checks write. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { lensesOf, readyLens } from '../../server/src/features/code-lens.ts';
import { hoverAt } from '../../server/src/features/hover.ts';
import { inlayHintsIn } from '../../server/src/features/inlay-hints.ts';
import { ENGLISH } from '../../server/src/features/words-english.ts';
import { GERMAN } from '../../server/src/features/words-german.ts';
import { featureWords } from '../../server/src/features/words.ts';
import { QUANTITY_WORDS, quantityPhrase } from '../../server/src/quantity/quantity-words.ts';
import { fixture } from './fixture.ts';

type Entry = readonly [path: string, value: unknown];

function entriesOf(table: object, path = ''): Entry[] {
  return Object.entries(table).flatMap(([key, value]: [string, unknown]): Entry[] =>
    value !== null && typeof value === 'object' ? entriesOf(value, `${path}${key}.`) : [[`${path}${key}`, value]]);
}

/** What an entry says, its places filled with marks that are easily found again. */
const said = (value: unknown): string =>
  typeof value === 'function' ? String((value as (...given: unknown[]) => string)(...Array.from({ length: value.length }, (_, place) => `§${place}§`))) : String(value);

/** Words that are passed on, or are the same in both languages. */
const ALIKE = new Set(['hint.minutes', 'hover.quantity', 'hover.severity', 'action.fix', 'symbol.revision']);

test('both languages have the same entries, with the same places', () => {
  const english = entriesOf(ENGLISH);
  const german = new Map(entriesOf(GERMAN));
  expect([...german.keys()].sort()).toEqual(english.map(([path]) => path).sort());
  const places = (text: string): string[] => [...new Set(text.match(/§\d§/g) ?? [])].sort();
  for (const [path, value] of english) {
    const [a, b] = [said(value), said(german.get(path))];
    expect(places(b), path).toEqual(places(a));
    if (!ALIKE.has(path)) expect(b, path).not.toBe(a);
  }
});

test('a locale of an editor chooses the language', () => {
  expect(['de', 'de-AT', 'DE'].map(featureWords)).toEqual([GERMAN, GERMAN, GERMAN]);
  expect([undefined, 'en', 'fr', 'den'].map(featureWords)).toEqual([ENGLISH, ENGLISH, ENGLISH, ENGLISH]);
});

test('every quantity has its German name', () => {
  expect(QUANTITY_WORDS.filter((word) => GERMAN.hover.quantity(quantityPhrase(word)) === quantityPhrase(word))).toEqual([]);
});

/** Titles of fixes as they are written where findings are made, with a mark for what is filled in. */
function titlesOfFixes(): string[] {
  const root = join(import.meta.dirname, '../../server/src');
  return ['checks', 'procedure', 'syntax'].flatMap((room) =>
    readdirSync(join(root, room)).filter((name) => name.endsWith('.ts')).flatMap((name) => {
      const text = readFileSync(join(root, room, name), 'utf8');
      const literals = [...text.matchAll(/(?:fixOf\(|\.fix\(|[{ ]title: )(?:\w+ \? )?('(?:[^'\\]|\\.)*'|`(?:[^`\\$]|\\.|\$\{(?:[^{}`]|`[^`]*`)*\})*`)(?: : ('[^']*'))?/g)].flatMap(([, one, other]) => [one, other]);
      return literals.flatMap((literal) => literal?.slice(1, -1).replace(/\$\{[^}]*\? '([^']*)' : '[^']*'\}/g, '$1').replace(/\$\{[^}]*\}/g, 'x') ?? []).filter((title) => /^[A-Z][a-z]+ /.test(title) && !/\bx\b.*: /.test(title));
    }));
}

test('every title of a fix has its German one', () => {
  const titles = titlesOfFixes().filter((title) => !/^(?:Lamp|Supply|Battery)/.test(title));
  expect(titles).toContain('Put the text in quotes');
  expect(titles).toContain("Change 'x' to 'x'");
  expect(titles).toContain('Replace them by ordinary spaces');
  expect(titles.length).toBeGreaterThan(25);
  expect(titles.filter((title) => GERMAN.action.fix(title) === title)).toEqual([]);
});

const TEXT = `procedure: lamp
title: Lamp dark
faults:
  bulb: {title: Bulb burnt out, remedy: Replace it.}
  lead: {title: Lead open, remedy: Repair it.}
steps:
  - step: make_safe
    do: [Switch the lamp off.]
    time: 2 min
  - step: look
    ask: Is the bulb black?
    results:
      - {when: yes, finds: bulb}
      - {when: no, rules_out: [bulb], go: pressure}
  - step: pressure$0
    measure: pressure
    results:
      - {when: at least 100 psi, finds: lead}
      - {when: otherwise, refer: Ask the foreman.}
`;

test('lenses, hints and hovers in German', () => {
  const { workspace: library, analysis, offset } = fixture(TEXT);
  const settings = { procedure: true, steps: true };
  expect(lensesOf(library, analysis, settings).map((lens) => readyLens(library, analysis, lens, GERMAN)?.title)).toEqual([
    'Als Prüfliste abarbeiten', 'Ablauf zeigen', 'Diagnose zeigen', 'Hier beginnt ein Durchgang', 'Erreicht von make_safe', 'Kürzester Weg hierher: 1 Schritt',
    'Erreicht von look (no)', 'Kürzester Weg hierher: 2 Schritte',
  ]);
  const hints = inlayHintsIn(analysis, { start: 0, end: analysis.text.length }, { otherUnits: true, minutesSoFar: true, faultsLeft: true }, GERMAN);
  expect(hints.map(({ label }) => label)).toEqual(['nach 2 min', 'nach 3 min, nur lead noch möglich', '≈ 6.89 bar']);
  expect(hints.at(-1)?.tooltip).toBe('Gerundet auf die Stellen, die geschrieben sind. 100 psi sind 6.894757 bar. Es gilt, was geschrieben ist.');
  expect(hoverAt(library, analysis, offset - 2, GERMAN)?.markdown).toBe([
    '**pressure**, Schritt (Messung)', 'Messen: Druck', 'Ergebnisse: at least 100 psi · otherwise', 'Erreicht von look (no).',
    'Kürzester Weg hierher: `make_safe` → `look` (no) → `pressure`', 'Zeit bis hierher: 3 min', 'Hier noch möglich: `lead`',
  ].join('\n\n'));
});
