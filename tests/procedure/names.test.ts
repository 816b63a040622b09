/** Uses of names, and what they mean. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { buildProcedure } from '../../server/src/procedure/build-procedure.ts';
import { buildShop } from '../../server/src/procedure/build-shop.ts';
import { nameUses, shopNameUses } from '../../server/src/procedure/names.ts';
import { nearest } from '../../server/src/procedure/nearest.ts';
import { resolveScope } from '../../server/src/procedure/resolve-scope.ts';

const text = readFileSync(new URL('fixtures/tail-lift-no-raise.procedure.yaml', import.meta.url), 'utf8');
const shopText = readFileSync(new URL('fixtures/shop.yaml', import.meta.url), 'utf8');
const build = (source: string): ReturnType<typeof buildProcedure>['procedure'] => buildProcedure('f', source).procedure;

describe('uses of names', () => {
  const uses = nameUses(build(text));

  test('stand where the name is written', () => {
    for (const use of uses) expect(text.slice(use.span.start, use.span.end)).toBe(use.name);
    for (const use of shopNameUses(buildShop('s', shopText).shop)) expect(shopText.slice(use.span.start, use.span.end)).toBe(use.name);
  });

  test('are all found: every fault, step, state and circuit of the example', () => {
    const names = (kind: string): string[] => [...new Set(uses.filter((use) => use.kind === kind).map((use) => use.name))].sort();
    expect(names('step')).toEqual(['fuse', 'isolate', 'listen', 'oil_level']);
    expect(names('fault')).toEqual(['contactor', 'low_battery', 'low_oil', 'open_fuse', 'open_interlock', 'poor_return', 'pump_motor', 'relief_valve']);
    expect(names('state')).toEqual(['contactor_lead', 'control', 'isolator', 'parking_brake', 'platform']);
    expect(names('circuit')).toEqual(['lift_control', 'lift_power']);
    expect(names('instrument')).toEqual(['multimeter', 'pressure_gauge', 'test_lamp']);
    expect(names('caution')).toEqual(['injection', 'moving_platform']);
    expect(names('procedure')).toEqual(['battery_condition', 'interlock_chain']);
    expect(names('reading')).toEqual(['supply']);
    expect(names('fact')).toEqual(['coil_high', 'coil_low', 'relief_pressure']);
    expect(names('point')).toEqual(['fuse_in', 'fuse_out']);
    expect(names('reference')).toEqual(['WD-7']);
  });

  test('say what they belong to', () => {
    expect(uses).toContainEqual(expect.objectContaining({ name: 'off', kind: 'state_value', of: 'isolator', step: 'isolate' }));
    expect(uses).toContainEqual(expect.objectContaining({ name: 'fuse_in', kind: 'point', of: 'fuse' }));
    // A fault of the procedure that is run, not of this one.
    expect(uses).toContainEqual(expect.objectContaining({ name: 'low_battery', kind: 'fault', of: 'battery' }));
  });

  test('stand in texts and in expressions of every kind', () => {
    const procedure = build([
      'procedure: x', 'title: X', 'facts:', '  tilt: {choices: [fitted, not_fitted]}', '  limit: {quantity: pressure}', 'steps:',
      '  - step: a', '    measure: pressure', "    text: 'Stop at {limit}, not at {full_rest}.'", '    at_each: [p, q]', '    seek: above max(a.p, limit) - 2 bar',
      '    only_if: {tilt: fitted, isolator: on}', '    results:', '      - when: found', '        go: b',
      '  - step: b', '    run: other', '  - step: e1', '    decide: (b.total + a.q) / 2', '    results:', '      - when: above 1 bar', '        passes: true',
      '  - step: e2', '    decide: tilt', '    results:', '      - when: fitted', '        raises: gone', '',
    ].join('\n'));
    expect(procedure.problems).toEqual([]);
    const found = nameUses(procedure).map((use) => `${use.step ?? ''} ${use.kind} ${use.of === undefined ? '' : `${use.of}.`}${use.name}${use.inExpression ? ' (expression)' : ''}`);
    expect(found).toEqual([
      'a fact tilt', 'a choice tilt.fitted', 'a state isolator', 'a state_value isolator.on', 'a reading a (expression)', 'a point a.p (expression)',
      'a fact limit (expression)', 'a fact limit (expression)', 'a value full_rest (expression)', 'a step b', 'b procedure other', 'e1 reading b (expression)',
      'e1 reading b.total (expression)', 'e1 reading a (expression)', 'e1 point a.q (expression)', 'e2 fact tilt (expression)', 'e2 choice tilt.fitted', 'e2 fault gone',
    ]);
  });
});

describe('scope', () => {
  const shop = (file: string, source: string): ReturnType<typeof buildShop>['shop'] => buildShop(file, source).shop;
  const catalogue = shop('catalogue:states', 'states:\n  isolator: {values: [on, off], title: From the catalogue}\n  ignition: {values: [on, off]}\nchecks: {a-check: hint}\n');
  const far = shop('shop.yaml', 'shop: Depot\nstates:\n  isolator: {values: [on, off], title: From afar}\nvalues: {rest: {is: 25 V}}\nchecks: {a-check: off, b-check: off}\nterms: {lift: [hoist]}\n');
  const near = shop('yard/shop.yaml', 'values: {rest: {is: 26 V}}\nchecks: {b-check: error}\nabbreviations: {PTO: power take-off}\n');
  const procedure = build('procedure: x\ntitle: X\nstates:\n  ignition: {values: [on, off, start]}\nfaults: {f: Fault}\nsteps: []\n');
  const scope = resolveScope({ procedure, shops: [near, far], assets: [], catalogue });

  test('the nearer declaration replaces the farther one, whole', () => {
    expect(scope.states.get('isolator')).toMatchObject({ origin: 'shop', file: 'shop.yaml', item: { title: { value: 'From afar' } } });
    expect(scope.states.get('ignition')).toMatchObject({ origin: 'procedure', file: 'f' });
    expect(scope.states.get('ignition')?.item.values.map((value) => value.value)).toEqual(['on', 'off', 'start']);
    expect(scope.values.get('rest')?.item.is?.value.text).toBe('26 V');
  });
  test('settings, terms and abbreviations come from the nearest file that speaks of them', () => {
    expect([...scope.settings]).toEqual([['a-check', 'off'], ['b-check', 'error']]);
    expect(scope.terms).toEqual([{ term: 'lift', insteadOf: ['hoist'] }]);
    expect(scope.abbreviations.get('PTO')).toBe('power take-off');
    expect(scope.shopTitle).toBe('Depot');
    expect(scope.shopFiles).toEqual(['yard/shop.yaml', 'shop.yaml']);
  });
  test('of two declarations in one file the first counts', () => {
    const twice = build('procedure: x\ntitle: X\nfaults:\n  f: First\n  f: Second\nsteps: []\n');
    expect(resolveScope({ procedure: twice, shops: [], assets: [], catalogue }).faults.get('f')?.item.title?.value).toBe('First');
  });
});

describe('did you mean', () => {
  const words = ['results', 'rules_out', 'repeat_at_most', 'refer', 'when', 'why', 'with', 'go'];
  test.each([['resluts', 'results'], ['rule_out', 'rules_out'], ['Results', 'results'], ['rules-out', 'rules_out'], ['wehn', 'when'], ['repeat_at_least', 'repeat_at_most']])('%s → %s', (word, expected) => {
    expect(nearest(word, words)).toBe(expected);
  });
  test.each(['colour', 'x', '', 'something_else_altogether', 'y'.repeat(5000)])('%s → nothing', (word) => {
    expect(nearest(word, words)).toBeUndefined();
  });
});
