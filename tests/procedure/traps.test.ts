/** What an unwary writer writes is met with plain words, in the right place, and with a fix that works. */
import { describe, expect, test } from 'vitest';
import { buildProcedure } from '../../server/src/procedure/build-procedure.ts';
import { applyFix, renderProblems } from './render-problems.ts';
import { TRAPS } from './traps.ts';

test.each(TRAPS)('$name', ({ text, checks }) => {
  const { procedure } = buildProcedure('lamp.procedure.yaml', text);
  expect(procedure.problems.map((problem) => problem.check)).toEqual(checks);
});

test('the words', async () => {
  const page = TRAPS.map(({ name, shown, text }) => {
    const rendered = renderProblems(text, buildProcedure('lamp.procedure.yaml', text).procedure.problems);
    return `== ${name}\n${shown.replaceAll(/^/gm, '   | ')}\n${rendered === '' ? '(nothing to report)' : rendered}\n`;
  }).join('\n');
  await expect(page).toMatchFileSnapshot('traps.snapshot.txt');
});

describe('a fix takes its problem away and makes no other', () => {
  const fixable = TRAPS.flatMap(({ name, text }) => {
    const { problems } = buildProcedure('lamp.procedure.yaml', text).procedure;
    return problems.flatMap((problem) => (problem.fixes ?? []).map((fix) => ({ name, title: fix.title, text, fix, before: problems.length })));
  });
  test.each(fixable)('$name: $title', ({ text, fix, before }) => {
    const after = buildProcedure('lamp.procedure.yaml', applyFix(text, fix)).procedure.problems;
    expect(renderProblems(applyFix(text, fix), after).split('\n').length).toBeLessThan(renderProblems(text, buildProcedure('f', text).procedure.problems).split('\n').length + 1);
    expect(after.length).toBeLessThan(before);
  });
});
