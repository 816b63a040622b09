/** The reference for writers: its tables are what the program reads by, and its examples are clean. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { buildAssets } from '../../server/src/procedure/build-assets.ts';
import { buildProcedure } from '../../server/src/procedure/build-procedure.ts';
import { buildShop } from '../../server/src/procedure/build-shop.ts';
import { OBJECTS } from '../../server/src/procedure/keys.ts';
import { renderProblems } from '../procedure/render-problems.ts';
import { withTables } from './format-tables.ts';

const page = readFileSync(new URL('../../schemas/format.md', import.meta.url), 'utf8');

test('its tables are those of the table of keys', async () => {
  await expect(withTables(page)).toMatchFileSnapshot('../../schemas/format.md');
});

test('it has a table for every object', () => {
  for (const name of Object.keys(OBJECTS)) expect(page).toContain(`<!-- keys:${name} -->`);
});

const HEAD = 'procedure: example\ntitle: Example\n';
const STEPS = 'steps:\n  - step: end\n    do: Wait.\n';

describe('its examples are clean', () => {
  const examples = [...page.matchAll(/```yaml (\w+)\n([^]*?)```/g)].map((match, index) => ({ index, kind: match[1] ?? '', text: match[2] ?? '', first: (match[2] ?? '').split('\n', 1)[0] }));
  test('there are examples', () => expect(examples.length).toBeGreaterThan(15));
  test.each(examples)('$index $kind: $first', ({ kind, text }) => {
    const whole = kind === 'step' ? `${HEAD}steps:\n  - ${text.trimEnd().replaceAll('\n', '\n    ')}\n` : kind === 'top' ? `${HEAD}${text}${STEPS}` : text;
    const problems = kind === 'shop' ? buildShop('f', whole).shop.problems : kind === 'assets' ? buildAssets('f', whole).assets.problems : buildProcedure('f', whole).procedure.problems;
    expect(renderProblems(whole, problems)).toBe('');
  });
});
