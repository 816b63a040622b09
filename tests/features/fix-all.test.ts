/** Fix-all: what only tidies the form is done at once; what would alter a step, a way, a state, a limit or a unit never is. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { safeEdits } from '../../server/src/features/fixes.ts';
import { fixture, withEdits } from './fixture.ts';
import { modelOf } from './model-text.ts';

function fixed(text: string): string {
  const one = fixture(text);
  return withEdits(one, safeEdits(one.analysis))['main.procedure.yaml'] ?? text;
}

const HEAD = 'procedure: lamp\ntitle: Lamp dark\nfaults: {bulb: Bulb burnt out, lead: Lead open}\nsteps:\n';

test('texts that were cut off are put in quotes', () => {
  expect(
    fixed(
      `${HEAD}  - step: look\n    ask: Is fuse #12 open?\n    results:\n      - {when: yes, finds: bulb}\n      - {when: no, finds: lead}\n`,
    ),
  ).toContain("ask: 'Is fuse #12 open?'");
});

test('a misspelt key of a text is put right, one of a branch is not', () => {
  const text = `${HEAD}  - step: look\n    ask: Is it open?\n    txet: Look from the side.\n    results:\n      - {when: yes, fnids: bulb}\n      - {when: no, finds: lead}\n`;
  const after = fixed(text);
  expect(after).toContain('text: Look');
  expect(after).toContain('fnids: bulb');
});

test.each([
  ['txet: Look from the side.', 'text', false],
  ['whyy: It is quick.', 'why', false],
  ['caution: [electric_shock]', 'cautions', true],
  ['need: {isolator: off}', 'needs', true],
  ['max_tmie: 5 s', 'max_time', true],
  ['rnage: 20 V', 'range', true],
  ['proves_daed: lamp', 'proves_dead', true],
])('the fix of %s says whether it alters meaning', (line, key, alters) => {
  const { analysis } = fixture(`${HEAD}  - step: look\n    ask: Is it open?\n    ${line}\n    results:\n      - {when: yes, finds: bulb}\n      - {when: no, finds: lead}\n`);
  const fixes = analysis.findings.filter(({ check }) => check === 'unknown-key').flatMap((finding) => finding.fixes ?? []);
  expect(fixes.map(({ title, altersMeaning }) => [title.endsWith(`to '${key}'`), altersMeaning])).toEqual([[true, alters]]);
});

test('nothing is done where nothing is safe', () => {
  const text = `${HEAD}  - step: look\n    ask: Is it open?\n    results:\n      - {when: yes, finds: blub}\n      - {when: no, finds: lead}\n`;
  expect(fixed(text)).toBe(text);
});

it('leaves ways, states, limits and units of every flawed procedure alone', () => {
  const folder = join(import.meta.dirname, '../corpus/flawed');
  const shop = readFileSync(join(folder, 'shop.yaml'), 'utf8');
  let changed = 0;
  let count = 0;
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || !entry.name.endsWith('.procedure.yaml') || count++ % 2 === 1) continue;
    const text = readFileSync(join(entry.parentPath, entry.name), 'utf8');
    const workspace = new Workspace();
    workspace.setFile('shop.yaml', shop);
    workspace.setFile(entry.name, text);
    const edits = safeEdits(workspace.analyse(entry.name));
    if (edits.length === 0) continue;
    changed++;
    const after = [...edits]
      .sort((a, b) => b.span.start - a.span.start)
      .reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), text);
    expect(numbersAndWays(after), entry.name).toEqual(numbersAndWays(text));
    const before = workspace.analyse(entry.name).findings.length;
    workspace.setFile(entry.name, after);
    expect(workspace.analyse(entry.name).findings.length, entry.name).toBeLessThanOrEqual(before);
  }
  expect(changed).toBeGreaterThan(3);
});

/** What is decided by, in the model's own words: each `base`, each way on, each state. */
function numbersAndWays(text: string): string[] {
  return modelOf('x.procedure.yaml', text)
    .split('\n')
    .filter((line) => /"(?:base|kind|unit)":/.test(line))
    .map((line) => line.trim());
}
