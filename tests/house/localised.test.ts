/** Every sentence that the extension itself shows can be had in German, and no translation is left over. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { nextQuestion, placeIn, type Answers, type Question } from '../../server/src/features/new-procedure.ts';

const ROOT = join(import.meta.dirname, '../..');
const read = (path: string): string => readFileSync(join(ROOT, path), 'utf8');
const json = (path: string): Record<string, string> => JSON.parse(read(path)) as Record<string, string>;
const GERMAN = json('client/l10n/bundle.l10n.de.json');

/** The first argument of each `l10n.t(…)` in the client, where it is written out. */
function sentencesOfClient(): string[] {
  const files = readdirSync(join(ROOT, 'client/src'), { recursive: true, withFileTypes: true }).filter(
    (entry) => entry.isFile() && /\.tsx?$/.test(entry.name),
  );
  return files.flatMap((entry) =>
    [
      ...readFileSync(join(entry.parentPath, entry.name), 'utf8').matchAll(/l10n\.t\(\s*("(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*')/g),
    ].map(([, literal = '']) =>
      literal.startsWith('"') ? (JSON.parse(literal) as string) : literal.slice(1, -1).replaceAll("\\'", "'"),
    ),
  );
}

/** Every question of a new procedure on every way through them. */
function sentencesOfQuestions(): string[] {
  const workspace = new Workspace();
  workspace.setFile('a/assets.yaml', 'assets:\n  TR-01: {equipment: trailer, voltage: 24 V}\n');
  const place = placeIn(workspace, 'a');
  const found = new Set<string>();
  const walk = (answers: Answers): void => {
    const question = nextQuestion(place, answers);
    if (question === undefined) return;
    for (const sentence of shownOf(question)) found.add(sentence);
    const values = question.choices?.map(({ value }) => value) ?? [''];
    const few = ['equipment', 'machine', 'interval', 'grade'].includes(question.id) ? values.slice(0, 1) : values;
    for (const value of few) walk({ ...answers, [question.id]: value });
  };
  walk({});
  return [...found];
}

function shownOf({ id, text, help, choices = [] }: Question): string[] {
  // What comes of the shop's own words, and units, stays as it is.
  const labels = id === 'equipment' ? choices.slice(-1) : choices;
  return [
    text,
    ...(help === undefined ? [] : [help]),
    ...labels.flatMap(({ label, values = [], detail }) => [
      label,
      ...values,
      ...(detail === undefined || (id === 'first_test' && values.length > 0) ? [] : [detail]),
    ]),
  ];
}

test('each sentence has its German one', () => {
  const missing = [...new Set([...sentencesOfClient(), ...sentencesOfQuestions()])].filter(
    (sentence) => GERMAN[sentence] === undefined,
  );
  expect(missing).toEqual([]);
});

test('places in sentences are the same in both languages', () => {
  const places = (text: string): string[] => (text.match(/\{\d\}/g) ?? []).sort();
  for (const [english, german] of Object.entries(GERMAN)) expect(places(german), english).toEqual(places(english));
});

test('no translation is left over', () => {
  const source = ['client/src', 'server/src/features']
    .flatMap((folder) =>
      readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => readFileSync(join(entry.parentPath, entry.name), 'utf8')),
    )
    .join('\n')
    .replaceAll("\\'", "'");
  const asked = new Set(sentencesOfQuestions());
  expect(Object.keys(GERMAN).filter((sentence) => !asked.has(sentence) && !source.includes(sentence))).toEqual([]);
});

test('what package.json names is there, in both languages', () => {
  const english = json('package.nls.json');
  expect(Object.keys(json('package.nls.de.json')).sort()).toEqual(Object.keys(english).sort());
  const named = [...read('package.json').matchAll(/"%([^%"]+)%"/g)].map(([, key = '']) => key);
  expect([...new Set(named)].sort()).toEqual(Object.keys(english).sort());
});

test('icons are there in both colours', () => {
  for (const [, path = ''] of read('package.json').matchAll(/"(client\/icons\/[^"]+)"/g)) expect(read(path)).toMatch(/^<svg /);
});

test('keys that the editor or another command has are not taken', () => {
  const { keybindings } = (JSON.parse(read('package.json')) as { contributes: { keybindings: { key: string }[] } }).contributes;
  const keys = keybindings.map(({ key }) => key);
  expect(new Set(keys).size).toBe(keys.length);
  // Chords behind Ctrl+K with Alt are free in the editor's own table.
  for (const key of keys) expect(key).toMatch(/^ctrl\+k alt\+[a-z]$/);
});
