import { expect, test } from 'vitest';
import { lensesOf, readyLens } from '../../server/src/features/code-lens.ts';
import { inlayHintsIn } from '../../server/src/features/inlay-hints.ts';
import type { InlayHintSettings } from '../../server/src/features/inlay-hints.ts';
import { DEPOT, fixture } from './fixture.ts';

const ALL: InlayHintSettings = { otherUnits: true, minutesSoFar: true, faultsLeft: true };
const NONE: InlayHintSettings = { otherUnits: false, minutesSoFar: false, faultsLeft: false };

/** The lines that have hints, with the hints in ‹› where they stand. */
function hinted(text: string, settings: InlayHintSettings): string[] {
  const { analysis } = fixture(text + DEPOT);
  let shown = analysis.text;
  for (const { offset, label } of inlayHintsIn(analysis, { start: 0, end: shown.length }, settings).reverse()) {
    expect(label).not.toBe('');
    shown = `${shown.slice(0, offset)}‹${label}›${shown.slice(offset)}`;
  }
  return shown.split('\n').filter((line) => line.includes('‹')).map((line) => line.trim());
}

/** Every line with a lens, and above it what its lenses say: `one · two`. */
function lensed(text: string): string[] {
  const { workspace, analysis } = fixture(text + DEPOT);
  const rows = analysis.text.split('\n');
  const byLine = new Map<number, string[]>();
  for (const lens of lensesOf(workspace, analysis, { procedure: true, steps: true })) {
    const title = readyLens(workspace, analysis, lens)?.title;
    const { line } = analysis.lines.positionAt(lens.span.start);
    if (title !== undefined) byLine.set(line, [...(byLine.get(line) ?? []), title]);
  }
  return [...byLine].flatMap(([line, titles]) => [titles.join(' · '), (rows[line] ?? '').trim()]);
}

const LIFT = `procedure: lift
title: Lift stays down
faults:
  lamp: {title: Lamp failed, remedy: Replace it., time: 10 min}
  supply: {title: No supply, remedy: Find it., time: 20 min}
  oil: {title: Low oil, remedy: Fill it., time: 5 min}
steps:
  - step: prepare
    do: Park.
    time: 3 min
  - step: look
    ask: Dark?
    time: 1 min
    results:
      - when: yes
        rules_out: [oil]
        go: volts
      - when: no
        finds: oil
      - when: dim
  - step: wait
    do: Wait.
    wait: 90 s
    time: 30 s
  - step: volts
    measure: dc_voltage
    results:
      - when: at least 22 V
        finds: lamp
      - when: below 22 V
        finds: supply
after_repair:
  - step: prove
    ask: Well?
    results:
      - when: yes
        passes: true
      - when: no
        go: look
`;

test('minutes so far: the shortest and the longest walk, waits counted, a step without a time as one minute', () => {
  expect(hinted(LIFT, { ...NONE, minutesSoFar: true })).toEqual([
    '- step: look‹after 3 min›',
    '- step: wait‹after 4 min›',
    '- step: volts‹after 4 to 6 min›',
  ]);
});

test('a loop without a bound has no longest walk; one with a bound has', () => {
  const loop = (bound: string): string => `procedure: lift
faults: {lamp: {title: Lamp failed}}
steps:
  - step: press
    do: Press it.
    time: 2 min
${bound}  - step: look
    ask: Dark?
    time: 1 min
    results:
      - when: yes
        finds: lamp
      - when: no
        go: press
      - when: later
  - step: rest
    do: Rest.
`;
  expect(hinted(loop(''), { ...NONE, minutesSoFar: true })).toEqual(['- step: look‹after 2 min or more›', '- step: rest‹after 3 min or more›']);
  expect(hinted(loop('    repeat_at_most: 3\n'), { ...NONE, minutesSoFar: true }).at(-1)).toMatch(/^- step: rest‹after 3 (?:min or more|to \d+ min)›$/);
});

test('faults left stand beside tests that not all faults reach', () => {
  expect(hinted(LIFT, { ...NONE, faultsLeft: true })).toEqual([]);
  expect(hinted(LIFT.replace('      - when: dim\n', ''), { ...NONE, faultsLeft: true })).toEqual(['- step: volts‹2 of 3 faults left›']);
});

test('quantities in the other system, each part by itself, nothing when all are off', () => {
  const text = LIFT.replace('measure: dc_voltage', 'measure: pressure').replace('at least 22 V', 'at least 22 bar').replace('below 22 V', 'below 22 bar');
  expect(hinted(text, { ...NONE, otherUnits: true })).toEqual([expect.stringMatching(/^- when: at least 22 bar‹≈ 3[12]\d psi›$/), expect.stringMatching(/^- when: below 22 bar‹≈ 3[12]\d psi›$/)]);
  expect(hinted(text, NONE)).toEqual([]);
  expect(hinted(text, ALL).length).toBe(5);
  expect(hinted(LIFT.replace('      - when: dim\n', ''), ALL)).toContain('- step: volts‹after 4 min, 2 of 3 faults left›');
});

test('only hints in the part that is looked at', () => {
  const { analysis } = fixture(LIFT + DEPOT);
  const at = analysis.text.indexOf('  - step: wait');
  expect(inlayHintsIn(analysis, { start: at, end: at + 20 }, ALL).map(({ label }) => label)).toEqual(['after 4 min']);
});

test('half-typed text keeps its hints', () =>
  expect(hinted(LIFT.replace("        finds: supply\n", '        finds: \n').replace('ask: Well?', 'as'), { ...NONE, minutesSoFar: true })).toEqual([
    '- step: look‹after 3 min›', '- step: wait‹after 4 min›', '- step: volts‹after 4 to 6 min›',
  ]));

test('lenses: what can be opened, from where a step is reached, how far it is', () =>
  expect(lensed(`${LIFT}==> round.procedure.yaml
procedure: round
steps:
  - step: first
    run: lift
    results: [{when: otherwise, refer: x}]
`)).toEqual([
    'Run as checklist · Show the flow · Show the diagnosis · Run by round', 'procedure: lift',
    'A run begins here', '- step: prepare',
    'Reached from prepare and prove · Shortest walk here: 1 step', '- step: look',
    'Reached from look (dim) · Shortest walk here: 2 steps', '- step: wait',
    'Reached from look and wait · Shortest walk here: 2 steps', '- step: volts',
    'Reached from 3 repairs · Shortest walk here: 2 steps', '- step: prove',
  ]));

test('a step that no walk reaches says so, and a repair that alone leads on has its name', () => {
  const text = LIFT.replace('      - when: dim\n', '').replace('        finds: lamp\n', '        refer: x\n').replace('        finds: supply\n', '        refer: y\n');
  expect(lensed(text)).toEqual(expect.arrayContaining(['No walk comes here', 'Reached from the repair of oil · Shortest walk here: 2 steps']));
});

test('a lens leads to the places that it names', () => {
  const { workspace, analysis } = fixture(LIFT + DEPOT);
  const [lens] = lensesOf(workspace, analysis, { procedure: false, steps: true }).filter((one) => one.name === 'volts' && one.kind === 'reached_from');
  const places = (lens && readyLens(workspace, analysis, lens)?.places) ?? [];
  expect(places.map(({ span }) => analysis.text.slice(span.start, span.end))).toEqual(['volts', 'wait']);
  const [walk] = lensesOf(workspace, analysis, { procedure: false, steps: true }).filter((one) => one.name === 'volts' && one.kind === 'walk');
  expect((walk && readyLens(workspace, analysis, walk)?.walk)?.map(({ step, result }) => [step, result])).toEqual([['prepare', undefined], ['look', 'yes'], ['volts', undefined]]);
});

test('lenses of an older text are left without words', () => {
  const { workspace, analysis } = fixture(LIFT + DEPOT);
  expect(readyLens(workspace, analysis, { kind: 'walk', step: 2, name: 'gone' })).toBeUndefined();
  expect(readyLens(workspace, analysis, { kind: 'reached_from', step: 99, name: 'volts' })).toBeUndefined();
});

test('each part can be switched off, and other files have none', () => {
  const { analysis, workspace } = fixture(LIFT + DEPOT);
  expect(lensesOf(workspace, analysis, { procedure: false, steps: false })).toEqual([]);
  expect(lensesOf(workspace, workspace.analyse('/depot/shop.yaml'), { procedure: true, steps: true })).toEqual([]);
});
