import { expect, test } from 'vitest';
import { terminalPaint } from '../../server/src/render/paint.ts';
import { renderFindingsText } from '../../server/src/render/findings-text.ts';
import { FINDINGS, outcomeOf, spanOf } from './outcome-fixture.ts';

test('findings read as a person wants them: what, where, why, the walk, what to do', () => {
  expect(renderFindingsText(outcomeOf(FINDINGS))).toMatchInlineSnapshot(`
    "lift.procedure.yaml  1 error, 1 warning, 1 hint

      error  Step 'coil' reads resistance while circuit 'lift_control' can be live.
      live-resistance-test  lift.procedure.yaml:9:5

       8 │   - step: coil
       9 │     measure: resistance
         │     ^^^^^^^^^^^^^^^^^^^
      10 │     circuit: lift_control

      Why         Nothing turned the isolator off on the way here. A meter set to ohms is damaged by
                  voltage and reads nonsense.
      Walk        listen → silent → coil
      What to do  Insert a step before 'coil' that turns the isolator off and locks it.
      See also    'isolator' is on at the start, at shop.yaml:3:33

      warning  This result leads nowhere.
      dead-end  lift.procedure.yaml:12:9

      11 │     results:
      12 │       - when: between 18 ohm and 26 ohm
         │         ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^

      hint  'hear' says little.
      vague-word  lift.procedure.yaml:5:10

      4 │   - step: listen
      5 │     ask: What do you hear?
        │          ^^^^^^^^^^^^^^^^^
      6 │     results:

      What to do  Name the sounds to tell apart.

    1 accepted deviation
      lift.procedure.yaml:2: long-instruction at listen. The phrase is the maker's own. (Reviewer B)

    1 error, 1 warning, 1 hint, 1 accepted deviation: 2 files checked in 12 ms.
    "
  `);
});

test('without findings there is one line', () => {
  expect(renderFindingsText(outcomeOf([]))).toBe('No findings in 2 files checked in 12 ms.\n'.replace(' ms', '\u00a0ms'));
});

test('colours change nothing but the colours', () => {
  const painted = renderFindingsText(outcomeOf(FINDINGS), { paint: terminalPaint() });
  expect(painted).toContain('\u001b[31merror');
  // eslint-disable-next-line no-control-regex
  expect(painted.replace(/\u001b\[[0-9;]*m/g, '')).toBe(renderFindingsText(outcomeOf(FINDINGS)));
});

test('a narrow terminal breaks lines and loses no word', () => {
  const narrow = renderFindingsText(outcomeOf(FINDINGS), { width: 50 });
  for (const line of narrow.split('\n').slice(0, -2).filter((text) => !text.includes('│'))) expect(line.length).toBeLessThanOrEqual(60);
  const words = (text: string): string[] =>
    text.split('\n').filter((line) => !line.includes('│')).join(' ').split(/\s+/).filter((word) => /\w/.test(word)).sort();
  expect(words(narrow)).toEqual(words(renderFindingsText(outcomeOf(FINDINGS))));
});

test('a name can neither move the cursor nor turn the line around', () => {
  const hostile = 'evil\u001b[2J\u202ename\u0007';
  const text = renderFindingsText(outcomeOf([{ check: 'unknown-name', severity: 'error', file: `/depot/${hostile}`, span: { start: 0, end: 0 },
    message: `Nothing is called ${hostile}.`, note: hostile, help: hostile, witness: [{ step: hostile, result: hostile }] }]));
  // eslint-disable-next-line no-control-regex
  expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202a-\u202e]/);
  expect(text).toContain('evil␛[2J⟨202E⟩name␇');
});

test('the underline stands under wide characters, after tabs and at the end of a line', () => {
  const text = 'title: 電源\tschwach und alt\r\n';
  const outcome = outcomeOf([{ check: 'vague-word', severity: 'hint', file: '/depot/a.procedure.yaml', span: spanOf(text, 'schwach'), message: 'Vague.' }],
    { '/depot/a.procedure.yaml': text });
  const [line = '', mark = ''] = renderFindingsText(outcome).split('\n').filter((row) => row.includes('│'));
  expect(line).toBe('  1 │ title: 電源  schwach und alt');
  // Two wide characters take four columns.
  expect(mark).toBe(`    │ ${' '.repeat('title: '.length + 4 + 2)}${'^'.repeat(7)}`);
});

test('a long line is shown around the place', () => {
  const text = `title: ${'very '.repeat(60)}long\n`;
  const outcome = outcomeOf([{ check: 'long-instruction', severity: 'hint', file: '/depot/a.procedure.yaml', span: spanOf(text, 'long'), message: 'Long.' }],
    { '/depot/a.procedure.yaml': text });
  const [line = '', mark = ''] = renderFindingsText(outcome).split('\n').filter((row) => row.includes('│'));
  expect(line.slice(mark.indexOf('^'), mark.lastIndexOf('^') + 1)).toBe('long');
  expect(line.length).toBeLessThan(110);
});

test('the middle of a very long walk is left out, and that is said', () => {
  const witness = Array.from({ length: 60 }, (_, index) => ({ step: `step_${index}` }));
  const text = renderFindingsText(outcomeOf([{ ...(FINDINGS[1] as (typeof FINDINGS)[number]), witness }]));
  expect(text.replace(/\s+/g, ' ')).toContain('step_11 → … 36 steps … → step_48');
});

test('a finding in a file whose text is unknown is still shown', () => {
  const text = renderFindingsText(outcomeOf([{ check: 'unreadable-file', severity: 'error', file: '/depot/gone.procedure.yaml', span: { start: 5, end: 9 }, message: 'It is gone.' }]));
  expect(text).toContain('unreadable-file  gone.procedure.yaml:1:1');
  expect(text).toContain('1 error');
});

