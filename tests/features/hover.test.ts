import { expect, test } from 'vitest';
import { hoverAt } from '../../server/src/features/hover.ts';
import { DEPOT, fixture } from './fixture.ts';

/** `expected` is the Markdown; undefined where nothing is to be said. */
function check(text: string, expected: string | undefined): void {
  const { workspace, analysis, offset } = fixture(text + DEPOT);
  expect(hoverAt(workspace, analysis, offset)?.markdown).toBe(expected);
}

const step = (lines: string): string => `procedure: lift\nsteps:\n  - step: one\n${lines}\n`;

test('a key of the format', () => {
  check(step('    ma$0x_time: 5 s'), "**max_time**\n\nThe longest time the step may hold its 'during' states.");
  check(
    step('    as$0k: Is it so?'),
    '**ask** (one of the five kinds of step)\n\nA question, or an inspection answered by looking, listening or trying.',
  );
  check('pro$0cedure: lift\n', '**procedure** (required)\n\nThe name of the procedure, by which others run it.');
});

test('a caution as it will be printed', () =>
  check(
    step('    cautions: [plat$0form]'),
    `**DANGER**

**The platform moves while the control is held.**

A person under it will be crushed.

Keep everyone out of the marked area.

Wear: safety shoes.

Covers \`crush\``,
  ));

test('a state and its value', () => {
  check(
    step('    needs: {iso$0lator: on}'),
    '**isolator**, state\n\nBattery isolator\n\nValues: `on` and `off`\n\nAt the start: `on`',
  );
  check(step('    needs: {isolator: o$0ff}'), '**off**, a value of the state `isolator`\n\n- Turn the isolator off.');
  check(
    step('    during: {control: r$0aise}'),
    '**raise**, a value of the state `control`\n\nSomeone must hold it, and only briefly.',
  );
});

test('a quantity in other units, in a band and in a text', () => {
  check(
    step('    measure: pressure\n    results:\n      - when: at least 1$080 bar\n        passes: true'),
    '**180 bar**\n\n= 18000 kPa\n\n= 18 MPa\n\n= 2611 psi\n\n= 180000 mbar\n\n= 5315 inHg',
  );
  check(step('    do: [Warm it to 20 °$0C.]'), '**20 °C**\n\n= 68 °F');
});

test('a quantity word', () => check(step('    measure: torq$0ue'), '**Torque**\n\nUsual units: N·m, lb·ft, lb·in'));

test('a writer cannot inject markup', () => {
  const { workspace, analysis, offset } = fixture(
    'procedure: x\nfaults:\n  bad: {title: "[click](command:evil) <b>*x*</b>", remedy: Replace it.}\nsteps:\n  - step: a\n    ask: b\n    results: [{when: yes, finds: b$0ad}]\n',
  );
  const markdown = hoverAt(workspace, analysis, offset)?.markdown ?? '';
  expect(markdown).toContain('\\[click\\](command:evil) \\<b\\>\\*x\\*\\</b\\>');
});

test('nothing where there is nothing to say', () => check('procedure: lift\ntitle: The l$0ift\n', undefined));

test('half-typed text', () => {
  check(
    'procedure: lift\nsteps:\n  - step: a\n    nee$0ds: {isolator: \n',
    '**needs**\n\nStates that must hold when the step begins: state → value, or a list of values that will do.',
  );
});
