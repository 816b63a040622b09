/** Completion as a writer meets it: what comes first, what is left out, what stands in the text once it was taken. */
import { expect, test } from 'vitest';
import type { Completion } from '../../server/src/features/completion-item.ts';
import { completionsAt } from '../../server/src/features/completion.ts';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { DEPOT, fixture } from './fixture.ts';

function offered(text: string): Completion[] {
  const { workspace, analysis, offset } = fixture(text.includes('==> shop.yaml') ? text : text + DEPOT);
  const items = completionsAt(workspace, analysis, offset)?.items ?? [];
  return [...items].sort((a, b) => ((a.order ?? a.label) < (b.order ?? b.label) ? -1 : 1));
}

const labels = (text: string): string[] => offered(text).map((item) => item.label);

/** A shop or assets file of the depot with the cursor put in place of a text of it. */
function inDepot(what: string, written: string): string {
  expect(DEPOT).toContain(what);
  return `procedure: lift\n${DEPOT.replace(what, written)}`;
}

const LIFT = `procedure: lift
title: Lift stays down
facts:
  coil_low: {quantity: resistance}
  sensor: {choices: [fitted, not_fitted]}
circuits:
  feed: {nominal: 24 V}
faults:
  lamp: {title: Lamp failed}
  supply: {title: No supply}
steps:
  - step: first
    measure: dc_voltage
    circuit: feed
    with: multimeter
    results:
      - when: at least 22 V
        finds: lamp
      - when: below 22 V
        rules_out: [lamp]
  - step: mine
@
  - step: last
    do: Park.
after_repair:
  - step: prove
    ask: Well?
    results: [{when: yes, passes: true}]
`;
const step = (lines: string): string => LIFT.replace('@', lines);

test('what the other results leave comes first, exactly', () => {
  const results = (others: string): string[] => labels(step(`    measure: dc_voltage\n    results:\n${others}      - when: $0`));
  expect(results('      - when: at least 12.4 V\n')[0]).toBe('below 12.4 V');
  expect(results('      - when: between 20 V and full_rest\n').slice(0, 2)).toEqual(['above full_rest', 'below 20 V']);
  expect(results('      - when: below 1 V\n      - when: at least 5 V\n')[0]).toBe('at least 1 V and below 5 V');
  expect(results('      - when: at least coil_volts\n')[0]).toBe('below coil_volts');
  expect(results('      - when: below 1 V\n      - when: otherwise\n')[0]).toBe('at least');
});

test('a limit offers first what is of its own kind', () => {
  const [first, ...others] = labels(step('    measure: resistance\n    results:\n      - when: at least $0'));
  expect(first).toBe('coil_low');
  expect(others).toEqual(expect.arrayContaining(['first', 'full_rest', 'abs']));
});

test('readings of a procedure that was run, behind the dot', () =>
  expect(labels(`${step('    decide: rest.$0').replace('  - step: first', '  - step: rest\n    run: battery\n    results: [{when: otherwise, refer: x}]\n  - step: first')}==> battery.procedure.yaml
procedure: battery
steps:
  - {step: at_rest, measure: dc_voltage}
  - {step: look, do: x}
`)).toContain('rest.at_rest'));

test('points after a lamp\'s word, and comparisons only before it', () => {
  const lamp = (when: string): string[] => labels(step(`    measure: dc_voltage\n    with: test_lamp\n    at_each: [fuse_in, fuse_out]\n    results:\n      - when: ${when}`));
  expect(lamp('lit at $0')).toEqual(['fuse_in', 'fuse_out']);
  expect(lamp('lit at fuse_in and dark at $0')).toEqual(['fuse_in', 'fuse_out']);
  expect(lamp('$0')).toEqual(expect.arrayContaining(['lit', 'dark']));
  expect(lamp('lit at fuse_in and at l$0')).toContain('at least');
});

test('steps in the order of the text, those that follow first; a fault\'s proof begins after the repair', () => {
  expect(labels(step('    do: x\n    go: $0'))).toEqual(['last', 'prove', 'first', 'mine']);
  expect(labels(LIFT.replace('@', '    do: x').replace('{title: Lamp failed}', '{title: Lamp failed, after_repair: $0}'))).toEqual(['prove']);
});

test('instruments that can read it first, cautions that cover what arises here first', () => {
  expect(offered(step('    measure: dc_voltage\n    with: $0')).map(({ label, detail }) => [label, detail])).toEqual([
    ['multimeter', 'reads it up to 600 V'], ['test_lamp', 'shows lit or dark'],
  ]);
  const [first] = offered(step('    ask: Well?\n    during: {control: raise}\n    cautions: [$0]'));
  expect(first).toMatchObject({ label: 'platform', detail: 'covers crush, which arises here' });
});

test('keys that mean nothing in a step of that kind come last', () => {
  const inDo = labels(step('    do: x\n    $0'));
  expect(inDo.indexOf('why')).toBeLessThan(inDo.indexOf('results'));
  expect(labels(step('    measure: dc_voltage\n    $0')).indexOf('range')).toBeLessThan(10);
});

test('quantities: an example to fill in, then units that fit', () => {
  expect(labels(step('    do: x\n    time: $0'))).toEqual(['2 min']);
  expect(labels(step('    do: x\n    time: 3$0'))).toEqual(['min', 's', 'h']);
  expect(labels(step('    measure: resistance\n    range: 40 $0'))).toEqual(['Ω', 'kΩ', 'MΩ', 'mΩ']);
  expect(offered(step('    measure: resistance\n    range: 40 $0'))[0]?.filter).toBe('Ω ohm');
  expect(labels(step('    do: x').replace('{nominal: 24 V}', '{nominal: 24 $0}'))).toEqual(['V', 'mV', 'kV']);
});

test('a value in braces in a text', () => {
  expect(labels(step('    do: x\n    text: Set it to {co$0'))).toEqual(expect.arrayContaining(['coil_low', 'first', 'full_rest']));
  expect(offered(step('    do: x\n    text: Set it to {co$0'))[0]?.insert).toMatch(/\}$/);
  expect(offered(step('    do: x\n    text: Set it to {co$0} now'))[0]?.insert).not.toMatch(/\}$/);
  expect(labels(step('    do: x\n    text: Set it$0'))).toEqual([]);
});

test('references where a source is named', () =>
  expect(labels(LIFT.replace('@', '    do: x').replace('title: Lift', 'references: [{id: WD-7}]\ntitle: Lift').replace('{nominal: 24 V}', '{nominal: 24 V, from: $0}'))).toEqual(['WD-7']));

test('checks by name, with those that found something first', () => {
  const found = offered(`${LIFT.replace('@', '    do: x').replace('finds: lamp', 'finds: lmap')}accept:\n  - {check: $0}\n`);
  expect(found[0]?.detail).toBe('found in this file');
  expect(found.map(({ label }) => label)).toEqual(expect.arrayContaining(['vague-word', 'missing-caution']));
  expect(labels(inDepot('values:\n', 'checks:\n  $0\nvalues:\n'))).toContain('long-instruction');
  expect(labels(inDepot('values:\n', 'checks: {long-instruction: $0}\nvalues:\n'))).toEqual(['error', 'warning', 'hint', 'off']);
});

test('shop.yaml: values of a state, protections, quantities of an instrument, new declarations', () => {
  expect(labels(inDepot('at_start: released', 'at_start: $0'))).toEqual(['released', 'raise', 'lower']);
  expect(labels(inDepot('held: [raise, lower]', 'held: [raise, $0]'))).toEqual(['released', 'lower']);
  expect(labels(inDepot('{to: off,', '{to: $0,'))).toEqual(['on', 'off']);
  expect(labels(inDepot('wear: [safety_shoes]', 'wear: [$0]'))).toContain('safety_glasses');
  expect(labels(inDepot('      dc_voltage: {up_to', '      $0\n      dc_voltage: {up_to'))).toContain('resistance');
  expect(labels(inDepot('cautions:\n', 'cautions:\n  $0\n'))).toEqual(['new caution']);
  expect(labels(inDepot('signal: danger', 'signal: $0'))).toEqual(['danger', 'warning', 'caution', 'notice']);
  expect(labels(inDepot('during: {control: [raise, lower]}', 'during: {$0}'))).toContain('isolator');
});

test('assets.yaml: facts that others have, their values and units, a whole asset of a kind', () => {
  expect(labels(inDepot('{equipment: tail_lift,', '{$0, equipment: tail_lift,'))).not.toContain('equipment');
  expect(labels(inDepot('  TL-07:', '  $0\n  TL-07:'))).toEqual(['new asset', 'new tail_lift']);
  expect(labels(inDepot('  TL-07: {', '  TL-08: {coil_low: 20 $0}\n  TL-07: {'))[0]).toBe('ohm');
  expect(labels(inDepot('  TL-07: {', '  TL-08: {equipment: $0}\n  TL-07: {'))).toEqual(['tail_lift']);
});

test('facts that the assets have, ready to declare', () => {
  const items = offered(LIFT.replace('@', '    do: x').replace('facts:\n', 'facts:\n  $0\n'));
  expect(items.find(({ label }) => label === 'voltage')?.insert).toMatch(/^voltage: \{quantity: \$\{1\|dc_voltage,/);
  expect(items.map(({ label }) => label)).not.toContain('coil_low');
});

test('a key is not given a second colon', () => {
  expect(offered(step('    do: x\n    wh$0y: Because')).find(({ label }) => label === 'why')?.insert).toBe('why');
  expect(offered(step('    do: x\n    wh$0')).find(({ label }) => label === 'why')?.insert).toBe('why: ');
});

/** As an editor leaves it that fills in what each place proposes. */
function filled(insert: string): string {
  return insert.replace(/\$\{\d+\|((?:\\.|[^,|\\])*)[^}]*\}/g, '$1').replace(/\$\{\d+:((?:\\.|[^}\\])*)\}/g, '$1').replace(/\$\{?\d+\}?/g, '').replace(/\\(.)/g, '$1');
}

/** Every skeleton at the cursor, taken and left as it is, is YAML that the format knows. */
function checkSkeletons(text: string): void {
  const given = fixture(text.includes('==> shop.yaml') ? text : text + DEPOT);
  const found = completionsAt(given.workspace, given.analysis, given.offset);
  const skeletons = (found?.items ?? []).filter((item) => item.kind === 'skeleton');
  expect(skeletons.length).toBeGreaterThan(0);
  for (const item of skeletons) {
    const span = item.replace ?? (found as { replace: { start: number; end: number } }).replace;
    const taken = given.analysis.text.slice(0, span.start) + filled(item.insert) + given.analysis.text.slice(span.end);
    const workspace = new Workspace();
    for (const file of given.workspace.files()) workspace.setFile(file, given.workspace.textOf(file) ?? '');
    workspace.setFile(given.analysis.file, taken);
    const broken = workspace.analyse(given.analysis.file).findings
      .filter(({ check }) => /^(?:yaml-syntax|unknown-key|wrong-kind|missing-key|text-cut-off|band-unclear|unit-.*)$/.test(check));
    expect(broken.map(({ check, message }) => `${item.label}: ${check} ${message}`)).toEqual([]);
  }
}

test('every skeleton is right as it is inserted', () => {
  checkSkeletons(step('    do: x').replace('  - step: last', '  - $0\n  - step: last'));
  checkSkeletons('procedure: x\ntitle: x\nsteps:\n  $0\n');
  checkSkeletons('procedure: x\ntitle: x\nsteps:\n- step: a\n  do: x\n- $0\n');
  checkSkeletons(step('    ask: x\n    results:\n      - $0'));
  checkSkeletons(step('    measure: dc_voltage\n    results:\n      - $0').replaceAll('24 V', '400 V'));
  checkSkeletons(step('    do: x').replaceAll('24 V', '400 V').replace('steps:\n', 'steps:\n  - $0\n'));
  for (const section of ['facts', 'circuits', 'faults']) checkSkeletons(LIFT.replace('@', '    do: x').replace(`${section}:\n`, `${section}:\n  $0\n`));
  checkSkeletons(`${LIFT.replace('@', '    do: x')}accept:\n  - $0\n`);
  checkSkeletons(LIFT.replace('@', '    do: x').replace('facts:', 'references:\n  - $0\nfacts:'));
  for (const section of ['states', 'hazards', 'cautions', 'values', 'instruments']) checkSkeletons(inDepot(`${section}:\n`, `${section}:\n  $0\n`));
  checkSkeletons(inDepot('assets:\n', 'assets:\n  $0\n'));
  checkSkeletons('$0\n');
});

test('an empty file offers a whole one', () => {
  expect(labels('$0\n')[0]).toBe('new procedure');
  expect(labels('procedure: x\n==> shop.yaml\n$0\n')[0]).toBe('new shop file');
});
