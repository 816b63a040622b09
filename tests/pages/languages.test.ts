/**
 * The second language of the interface is whole: every key of every table, with the same things said in it, and every sentence that a
 * run can make. Procedures keep their own words.
 */
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { TABLES } from '../../client/src/pages/checklist/words.ts';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { renderChecklistHtml } from '../../server/src/render/checklist-html.ts';
import { PAPER_WORDS } from '../../server/src/render/printed-checklist-words.ts';
import { viewInGerman } from '../../server/src/render/run-in-german.ts';
import { sentenceInGerman } from '../../server/src/render/run-in-german-sentences.ts';
import { decimalComma, limitInGerman, quantityInGerman } from '../../server/src/render/run-in-german-words.ts';
import { describeQuantityWord, QUANTITY_WORDS } from '../../server/src/quantity/quantity-words.ts';
import { buildChecklist } from '../../server/src/run/checklist.ts';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';
import { applyEvent, currentView, emptyRun } from '../../server/src/run/engine.ts';
import type { RunView } from '../../server/src/run/engine.ts';
import { understandEntry } from '../../server/src/quantity/entry.ts';
import { Choices, walkByChance } from '../run/chance.ts';
import { englishLeft } from './english-left.ts';

/** Words that are the same in both languages. */
const SAME = new Set(['OL', '±', 'Name', 'Revision', 'Pause', 'language', 'revision']);

/** Every leaf of a table by its path; a function is called with marked things, so that what it says of them is seen. */
function leaves(table: object, path = ''): Map<string, string> {
  const found = new Map<string, string>();
  for (const [key, value] of Object.entries(table)) {
    const here = path === '' ? key : `${path}.${key}`;
    if (typeof value === 'string') found.set(here, value);
    else if (typeof value === 'function') {
      const given = Array.from({ length: value.length }, (_, index) => `«${index}»`);
      try {
        found.set(here, String((value as (...things: string[]) => string)(...given)));
      } catch {
        found.set(here, String((value as (things: string[]) => string)(['«0»'])));
      }
    } else for (const [inner, text] of leaves(value as object, here)) found.set(inner, text);
  }
  return found;
}

const marks = (text: string) => [...new Set(text.match(/«\d»/g) ?? [])].sort();

describe.each([
  ['the page', TABLES.en, TABLES.de],
  ['paper', PAPER_WORDS.en, PAPER_WORDS.de],
])('the words of %s', (_, english, german) => {
  const [one, other] = [leaves(english), leaves(german)];

  test('have the same keys', () => {
    expect([...other.keys()]).toEqual(expect.arrayContaining([...one.keys()]));
    expect([...one.keys()]).toEqual(expect.arrayContaining([...other.keys()]));
    expect(one.size).toBeGreaterThan(60);
  });

  test('say the same things of what they are given', () => {
    for (const [key, text] of one) expect({ key, marks: marks(other.get(key) ?? '') }).toEqual({ key, marks: marks(text) });
  });

  test('are none of them left in English', () => {
    for (const [key, text] of one) {
      if (/«0»$|^«0»/.test(text) && text.replace(/«\d»/g, '').trim() === '') continue;
      if (SAME.has(text) || SAME.has(key)) continue;
      expect({ key, same: other.get(key) === text && /[a-z]{3}/i.test(text.replace(/«\d»/g, '')) }).toEqual({ key, same: false });
    }
  });
});

/** Phrases of the run's own: what holds one and fits no shape is left in English. */
const OWN = / is (at least|at most|above|below|between|equal to|not at|outside the)\b|: rules out |: leaves |the only one left|, (?:minor|major|dangerous|a) ?defect|, noted\.|Too close to call|^step \d|^go to|^I have read|This procedure|The procedure|The run|cannot be|is not a |no reading of|Inspection complete|Not to be used|Repaired|Not repaired/;

describe('what a run says', () => {
  const folder = new URL('../../procedures/', import.meta.url);
  const workspace = new Workspace();
  const names = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
  for (const name of names) workspace.setFile(`/library/${name}`, readFileSync(new URL(name, folder), 'utf8'));

  function leftInEnglish(view: RunView): string[] {
    const always = [view.position, ...(view.next ? [view.next] : []), ...view.remarks, ...view.closing, ...(view.ending ? [view.ending.disposition] : [])];
    const perhaps = [
      ...(view.judgement === undefined ? [] : [view.judgement]), ...(view.step?.warnings ?? []), ...(view.step?.limits.map((limit) => limit.leadsTo) ?? []),
      ...(view.ending ? [view.ending.words] : []), ...view.walked.flatMap((line) => [line.entered, ...line.remarks, ...(line.judgement ? [line.judgement] : [])]),
    ];
    return [...always.filter((text) => sentenceInGerman(text) === undefined), ...perhaps.filter((text) => sentenceInGerman(text) === undefined && OWN.test(text))];
  }

  function everyMoment(document: ChecklistDocument, numbers: readonly number[]): void {
    const walked = walkByChance(document, new Choices(numbers), { most: 50, corrections: true });
    let run = emptyRun(document);
    for (const event of walked.events) {
      run = applyEvent(run, event);
      const view = currentView(run);
      expect({ at: view.position, left: leftInEnglish(view), still: view.ending && (/\b(the|asset|repair|used)\b/.exec(viewInGerman({ ...view, ending: { ...view.ending, disposition: view.ending.disposition.replace(/: .*?(\. | remains)/g, ': x$1') } }).ending!.disposition) ?? undefined) }).toEqual({ at: view.position, left: [], still: undefined });
      const german = viewInGerman(view);
      // What is sent back is never put into another language.
      expect(german.field && { ...german.field, label: '' }).toEqual(view.field && { ...view.field, label: '' });
      for (const limit of german.step?.limits ?? []) expect(limit.words).not.toMatch(/\d\.\d|at least|at most|\babove\b|\bbelow\b/);
    }
  }

  test.each(names.filter((name) => name.endsWith('.procedure.yaml')))('on walks of %s is said in German', (name) => {
    const analysis = workspace.analyse(`/library/${name}`);
    const plain = buildChecklist(analysis, undefined, workspace);
    const document = buildChecklist(analysis, plain.assets[0], workspace);
    fc.assert(fc.property(fc.array(fc.nat({ max: 10_000 }), { minLength: 5, maxLength: 60 }), (numbers) => everyMoment(document, numbers)), { numRuns: 6 });
  });

  test('why an entry is refused, for every quantity', () => {
    const left: string[] = [];
    for (const word of QUANTITY_WORDS) {
      for (const typed of ['', 'x', '12 parsec', '12,6 bar V', '-400 °C', '-3', '5 V', '9'.repeat(300), 'lit', '3 oz']) {
        const { problem } = understandEntry(typed, { word });
        if (problem !== undefined && sentenceInGerman(problem) === undefined) left.push(problem);
      }
    }
    expect([...new Set(left)]).toEqual([]);
  });

  test('every quantity has a German name', () => {
    for (const word of QUANTITY_WORDS) {
      const { title } = describeQuantityWord(word);
      expect({ title, named: quantityInGerman(title) !== title || title === 'Vakuum' }).toEqual({ title, named: true });
    }
  });
});

describe('numbers and limits', () => {
  test.each([
    ['11.8 V', '11,8 V'],
    ['\u22120.05 V', '\u22120,05 V'],
    ['chapter 4.2.1 of the book', 'chapter 4.2.1 of the book'],
    ['on 2026-11-25 at 9.5 bar.', 'on 2026-11-25 at 9,5 bar.'],
    ['v2.1', 'v2.1'],
  ])('%s → %s', (english, german) => expect(decimalComma(english)).toBe(german));

  test.each([
    ['at least 23.6\u202fV (supply - 1.5 V)', 'mindestens 23,6\u202fV (supply - 1,5 V)'],
    ['Between 0.4 Ω and 1.2 Ω', 'Zwischen 0,4 Ω und 1,2 Ω'],
    ['above 2 V and below 4 V', 'über 2 V und unter 4 V'],
    ['anything else', 'alles andere'],
  ])('%s → %s', (english, german) => expect(limitInGerman(english)).toBe(german));

  test('a judgement keeps the words of the procedure', () => {
    expect(sentenceInGerman('11.8\u202fV is below 12.4\u202fV: battery discharged.')).toBe('11,8\u202fV ist unter 12,4\u202fV: battery discharged.');
    expect(sentenceInGerman('It turns freely.')).toBeUndefined();
  });

  test('entries take both signs', () => {
    const understood = (typed: string) => understandEntry(typed, { word: 'dc_voltage' });
    expect(understood('12,4 V')).toMatchObject({ quantity: { base: understood('12.4 V').quantity?.base } });
  });
});

describe('a printed sheet in German', () => {
  const folder = new URL('../../procedures/', import.meta.url);
  const workspace = new Workspace();
  for (const name of readdirSync(folder).filter((entry) => entry.endsWith('.yaml'))) workspace.setFile(`/library/${name}`, readFileSync(new URL(name, folder), 'utf8'));

  test.each(readdirSync(folder).filter((entry) => entry.endsWith('.procedure.yaml')))('of %s says its own words in German, with an asset and without', (name) => {
    const analysis = workspace.analyse(`/library/${name}`);
    const plain = buildChecklist(analysis, undefined, workspace);
    for (const asset of [undefined, plain.assets[0]]) {
      const document = buildChecklist(analysis, asset, workspace);
      const html = renderChecklistHtml(document, { language: 'de', address: 'https://listen.example/a.html' });
      expect(html).toContain('<html lang="de">');
      const heard = [...html.matchAll(/ (?:aria-label|alt)="([^"]*)"/g)].map((match) => match[1] ?? '');
      const text = html.replace(/<style>[\s\S]*?<\/style>/, '').replace(/<[^>]*>/g, '\n')
        .replaceAll('&#39;', "'").replaceAll('&quot;', '"').replaceAll('&amp;', '&').replaceAll('&lt;', '<').replaceAll('&gt;', '>');
      expect(text.split('\n').length).toBeGreaterThan(60);
      expect(englishLeft([...heard, ...text.split('\n').filter((line) => line.trim() !== '')], document)).toEqual([]);
    }
  });
});

test('what is looked for is found: English of the interface, not of the procedure', () => {
  const folder = new URL('../../procedures/', import.meta.url);
  const workspace = new Workspace();
  for (const name of readdirSync(folder).filter((entry) => entry.endsWith('.yaml'))) workspace.setFile(`/library/${name}`, readFileSync(new URL(name, folder), 'utf8'));
  const document = buildChecklist(workspace.analyse('/library/tail_lift_no_raise.procedure.yaml'), undefined, workspace);
  expect(englishLeft(['Weiter mit Schritt 2: Listen', 'Go on to step 2: Listen', document.procedure.complaint ?? ''], document)).toEqual(['Go, to, step: Go on to step 2: Listen']);
});
