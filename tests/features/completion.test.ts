import { expect, test } from 'vitest';
import { completionsAt } from '../../server/src/features/completion.ts';
import { DEPOT, fixture } from './fixture.ts';

/** Labels in the order in which an editor shows them; `only` looks at some of them. */
function labels(text: string): string[] {
  const { workspace, analysis, offset } = fixture(text + DEPOT);
  const items = completionsAt(workspace, analysis, offset)?.items ?? [];
  return [...items].sort((a, b) => (a.order ?? a.label).localeCompare(b.order ?? b.label)).map((item) => item.label);
}

function check(text: string, expected: readonly string[]): void {
  expect(labels(text)).toEqual(expected);
}

/** The text after the item of that label was taken. */
function taken(text: string, label: string): string {
  const { workspace, analysis, offset } = fixture(text + DEPOT);
  const found = completionsAt(workspace, analysis, offset);
  const item = found?.items.find((one) => one.label === label);
  if (!found || !item) throw new Error(`${label} is not offered, but ${found?.items.map((one) => one.label).join(', ')}`);
  const span = item.replace ?? found.replace;
  return analysis.text.slice(0, span.start) + item.insert + analysis.text.slice(span.end);
}

const HEAD = `procedure: lift
facts:
  sensor: {choices: [fitted, not_fitted]}
  coil_low: {quantity: resistance}
circuits:
  feed: {nominal: 24 V}
faults:
  lamp: {title: Lamp failed}
  supply: {title: No supply}
steps:
  - step: first
    measure: dc_voltage
`;

test('keys that are not there yet, and no second kind or way on', () => {
  expect(labels(`${HEAD}    $0\n`)).toEqual(expect.arrayContaining(['circuit', 'with', 'results']));
  expect(labels(`${HEAD}    $0\n`)).not.toEqual(expect.arrayContaining(['measure']));
  expect(labels(`${HEAD}    $0\n`)).not.toEqual(expect.arrayContaining(['ask']));
  expect(labels(`${HEAD}    results:\n      - when: yes\n        go: first\n        $0\n`)).not.toEqual(
    expect.arrayContaining(['finds']),
  );
  check('procedure: lift\nreferences:\n  - id: WD-7\n    $0\n', ['title', 'sheet']);
});

test('names of the right kind', () => {
  check(`${HEAD}    circuit: $0\n`, ['feed']);
  check(`${HEAD}    with: m$0\n`, ['multimeter', 'test_lamp']);
  check(`${HEAD}    results:\n      - when: at least 1 V\n        finds: $0\n`, ['lamp', 'supply']);
  check(`${HEAD}    results:\n      - when: at least 1 V\n        rules_out: [lamp, $0]\n`, ['supply']);
  check(`${HEAD}    results:\n      - when: at least 1 V\n        rules_out: [$0, lamp]\n`, ['supply']);
  check(`${HEAD}    results:\n      - when: at least 1 V\n        rules_out:\n          - l$0\n`, ['lamp', 'supply']);
  check(`${HEAD}    results:\n      - when: at least 1 V\n        rules_out:\n          - lamp\n          - $0\n`, ['supply']);
  check(`${HEAD}    go: $0\n`, ['first']);
});

test('states, their values, facts and choices', () => {
  expect(labels(`${HEAD}    needs: {$0}\n`)).toEqual(expect.arrayContaining(['control', 'isolator']));
  check(`${HEAD}    needs: {isolator: $0}\n`, ['off', 'on']);
  check(`${HEAD}    needs:\n      isolator: o$0\n`, ['off', 'on']);
  check(`${HEAD}    needs: {isolator: [on, $0]}\n`, ['off']);
  expect(labels(`${HEAD}    needs: {$0, isolator: on}\n`)).not.toContain('isolator');
  check(`${HEAD}    only_if: {sensor: $0}\n`, ['fitted', 'not_fitted']);
  check('procedure: lift\napplies_to: {equipment: $0}\n', ['tail_lift']);
});

test('a band as it grows', () => {
  expect(labels(`${HEAD}    with: multimeter\n    results:\n      - when: $0\n`).slice(0, 3)).toEqual([
    'at least',
    'at most',
    'above',
  ]);
  check(`${HEAD}    results:\n      - when: at least 12 $0\n`, ['V', 'mV', 'kV']);
  expect(labels(`${HEAD}  - step: second\n    measure: dc_voltage\n    results:\n      - when: below f$0\n`)).toEqual(
    expect.arrayContaining(['first', 'full_rest', 'coil_low']),
  );
  expect(taken(`${HEAD}    results:\n      - when: at l$0\n`, 'at least')).toContain('- when: at least ${1:limit} V\n');
  expect(taken(`${HEAD}    results:\n      - when: at least 12$0\n`, 'mV')).toContain('- when: at least 12 mV\n');
  expect(taken(`${HEAD}    results:\n      - when: above 1 V and be$0\n`, 'below')).toContain(
    '- when: above 1 V and below ${1:limit} V\n',
  );
  expect(labels(`${HEAD}    with: test_lamp\n    results:\n      - when: $0\n`).slice(0, 2)).toEqual(['lit', 'dark']);
});

test('answers, choices, endings', () => {
  check('procedure: x\nsteps:\n  - step: a\n    ask: Is it so?\n    results:\n      - when: $0\n', ['yes', 'no', 'otherwise']);
  check('procedure: x\nsteps:\n  - step: a\n    ask: Is it so?\n    results:\n      - when: yes\n        go: a\n      - when: $0\n', ['no', 'otherwise']);
  check(
    'procedure: x\nfacts:\n  sensor: {choices: [fitted, not_fitted]}\nsteps:\n  - step: a\n    decide: sensor\n    results:\n      - when: $0\n',
    ['fitted', 'not_fitted', 'otherwise'],
  );
  check(
    'procedure: x\nsteps:\n  - step: a\n    run: other\n    results:\n      - when: $0\n==> other.procedure.yaml\nprocedure: other\nfaults: {flat: {title: Flat}}\n',
    ['passed', 'finds flat', 'referred', 'otherwise'],
  );
  check('procedure: x\nsteps:\n  - step: a\n    run: $0\n==> other.procedure.yaml\nprocedure: other\n', ['other']);
});

test('whole steps, which are right as they are inserted', () => {
  expect(labels('procedure: x\nsteps:\n  - $0\n').slice(0, 6)).toEqual([
    'do step', 'ask step', 'measure step', 'measure step at several points', 'decide step', 'run step',
  ]);
  expect(taken('procedure: x\nsteps:\n  - $0\n', 'do step')).toBe(
    'procedure: x\nsteps:\n  - step: ${1:name}\n    do:\n      - ${2:Do one thing.}\n    $0\n',
  );
});

test('a choice of words, and a list where the cursor stands outside its brackets', () => {
  check('procedure: x\nstatus: $0\n', ['draft', 'in_review', 'released', 'withdrawn']);
  expect(taken(`${HEAD}    cautions: $0\n`, 'platform')).toContain('    cautions: [platform]\n');
  expect(taken(`${HEAD}    cautions: [pl$0]\n`, 'platform')).toContain('    cautions: [platform]\n');
  expect(taken(`${HEAD}    cautions:\n      - $0\n`, 'platform')).toContain('      - platform\n');
});

test('shop.yaml and assets.yaml', () => {
  expect(labels('').length).toBeGreaterThanOrEqual(0);
  const shop = fixture(DEPOT.replace('shop: Brackwater depot\n', 'shop: Brackwater depot\n$0\n'));
  expect(completionsAt(shop.workspace, shop.analysis, shop.offset)?.items.map((item) => item.label)).toEqual(
    expect.arrayContaining(['circuits', 'checks']),
  );
  const covers = fixture(DEPOT.replace('covers: [crush]', 'covers: [$0]'));
  expect(completionsAt(covers.workspace, covers.analysis, covers.offset)?.items.map((item) => item.label)).toContain('crush');
});

test('nothing in a comment, in prose, or where a name is declared', () => {
  check(`${HEAD}    # $0\n`, []);
  check(`${HEAD}    why: Because $0\n`, []);
  check(`${HEAD}  - step: $0\n`, []);
});
