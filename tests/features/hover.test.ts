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
    '**180 bar**, a pressure\n\n= 18000 kPa\n\n= 18.0 MPa\n\n≈ 2610 psi\n\n≈ 5320 inHg\n\nUCUM: `bar`',
  );
  check(step('    do: [Warm it to 20 °$0C.]'), '**20 °C**, a temperature\n\n= 68 °F\n\nUCUM: `Cel`');
});

test('a quantity word', () => check(step('    measure: torq$0ue'), '**Torque**\n\nUsual units: N·m, lb·ft, lb·in'));

test('a writer cannot inject markup', () => {
  const { workspace, analysis, offset } = fixture(
    'procedure: x\nfaults:\n  bad: {title: "[click](command:evil) <b>*x*</b>", remedy: Replace it.}\nsteps:\n  - step: a\n    ask: b\n    results: [{when: yes, finds: b$0ad}]\n',
  );
  const markdown = hoverAt(workspace, analysis, offset)?.markdown ?? '';
  expect(markdown).toContain('\\[click\\](command:evil) \\<b\\>\\*x\\*\\</b\\>');
});

test('what would begin a list, a heading or a rule reads as it was written', () => {
  const { workspace, analysis, offset } = fixture(
    'procedure: x\nfaults:\n  bad: {title: "1. one\\n- two\\n# three\\n---\\n1.5 V", remedy: Replace it.}\nsteps:\n  - step: a\n    ask: b\n    results: [{when: yes, finds: b$0ad}]\n',
  );
  expect(hoverAt(workspace, analysis, offset)?.markdown).toContain('1\\. one  \n\\- two  \n\\# three  \n\\---  \n1.5 V');
});

test('nothing where there is nothing to say', () => check('procedure: lift\ntitle: The l$0ift\n', undefined));

test('half-typed text', () => {
  check(
    'procedure: lift\nsteps:\n  - step: a\n    nee$0ds: {isolator: \n',
    '**needs**\n\nStates that must hold when the step begins: state → value, or a list of values that will do.',
  );
});

const LIFT = `procedure: lift
faults:
  lamp: {title: Lamp failed}
  supply: {title: No supply}
steps:
  - step: prepare
    do: Park.
    time: 3 min
  - step: look
    ask: Dark?
    results:
      - when: yes
        rules_out: [supply]
        go: volts
      - when: no
        refer: x
  - step: volts
    measure: dc_voltage
    results:
      - when: at least state_of_charge(12 V)
        finds: lamp
      - when: otherwise
        refer: y
`;

test('a step: what it does, how walks come to it, what is possible then', () => {
  check(
    LIFT.replace('go: volts', 'go: vo$0lts'),
    `**volts**, measure step

Read DC voltage

Results: at least state\\_of\\_charge(12 V) · otherwise

Reached from look (yes).

Shortest walk here: \`prepare\` → \`look\` (yes) → \`volts\`

Time so far: 4 min

Still possible here: \`lamp\``,
  );
  check(LIFT.replace('step: prepare', 'step: pre$0pare'), '**prepare**, do step\n\n- Park.\n\nStill possible here: all 2 faults');
});

test('a long walk is shown by its beginning and its end', () => {
  const steps = Array.from({ length: 30 }, (_, index) => `  - step: step_${index}\n    do: Do it.\n`).join('');
  const { workspace, analysis, offset } = fixture(`procedure: x\nsteps:\n${steps}  - step: las$0t\n    do: x\n`);
  expect(hoverAt(workspace, analysis, offset)?.markdown).toContain(
    'Shortest walk here: `step_0` → `step_1` → … 24 steps … → `step_26` → `step_27` → `step_28` → `step_29` → `last`',
  );
});

test('a function, a comparison, a word of a choice, a check', () => {
  const { workspace, analysis, offset } = fixture(LIFT.replace('state_of', 'state$0_of'));
  expect(hoverAt(workspace, analysis, offset)?.markdown).toMatch(/^`state_of_charge\(voltage, .*\) → %`\n\n- `voltage`: Voltage at rest.*\n\n\*Source: /s);
  check(LIFT.replace('at least', 'at le$0ast'), '**at least**\n\nMet by the limit itself and by all that is more.');
  check('procedure: x\nstatus: rel$0eased\n', '**released**, a value of `status`\n\nWhere the procedure stands in its life. Without it, it is a draft.');
  const check1 = fixture(`${LIFT}accept:\n  - {check: vague$0-word}\n`);
  expect(hoverAt(check1.workspace, check1.analysis, check1.offset)?.markdown).toMatch(/^\*\*vague-word\*\*, check/);
});

test('names where they are declared: in shop.yaml and in assets.yaml', () => {
  const at = (what: string, written: string): string | undefined => {
    const given = fixture(LIFT + DEPOT.replace(what, written));
    return hoverAt(given.workspace, given.analysis, given.offset)?.markdown;
  };
  expect(at('multimeter:', 'multi$0meter:')).toContain('Digital multimeter');
  expect(at('      dc_voltage:', '      dc_$0voltage:')).toBe('**DC voltage**\n\nUsual units: V, mV, kV');
  expect(at('signal: danger', 'signal: dan$0ger')).toContain('will kill or injure gravely');
  expect(at('covers: [crush]', 'covers: [cr$0ush]')).toContain('**crush**, hazard');
  expect(at('full_rest:', 'full$0_rest:')).toBe('**full_rest** = 25.3 V\n\n*From: Battery handbook*');
  expect(at('coil_low: 18', 'coil$0_low: 18')).toBe('**coil_low**, fact of the assets\n\nIn the assets:\n\n- 18 ohm: TL-07');
  expect(at('TL-07', 'TL-$007')).toContain('- voltage: 24 V');
  expect(at('wear:', 'we$0ar:')).toContain('Protective equipment');
});

test('text that is half typed or broken around the word', () => {
  check(LIFT.replace('        finds: lamp\n', '        finds: la$0mp\n      - when: {\n'), '**lamp**, fault\n\nLamp failed');
  check(LIFT.replace('measure: dc_voltage', 'measure: dc_vol$0tage\n    with: "multi').replace('state_of_charge(12 V)', '('), '**DC voltage**\n\nUsual units: V, mV, kV');
  check(LIFT.replace('rules_out: [supply]', 'rules_out: [sup$0ply, '), '**supply**, fault\n\nNo supply');
});
