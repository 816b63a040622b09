import { expect, test } from 'vitest';
import { definitionsAt } from '../../server/src/features/definition.ts';
import { referencesAt } from '../../server/src/features/references.ts';
import { rename } from '../../server/src/features/rename.ts';
import { occurrencesIn } from '../../server/src/features/symbols.ts';
import { DEPOT, fixture, placeName, textAt, withEdits } from './fixture.ts';

/** Places as `file:line`, in order. */
function checkDefinition(text: string, expected: readonly string[]): void {
  const given = fixture(text + DEPOT);
  expect(
    definitionsAt(given.workspace, given.analysis, given.offset).map(({ file, span }) => placeName(given, file, span)),
  ).toEqual(expected);
}

function checkReferences(text: string, expected: readonly string[]): void {
  const given = fixture(text + DEPOT);
  const found = referencesAt(given.workspace, given.analysis, given.offset, true).map(({ file, span }) =>
    placeName(given, file, span),
  );
  expect(found.sort()).toEqual([...expected].sort());
}

/** The texts that changed, or the reason why none did. */
function checkRename(text: string, newName: string, expected: Record<string, string> | RegExp): void {
  const given = fixture(text);
  const outcome = rename(given.workspace, given.analysis, given.offset, newName);
  if (expected instanceof RegExp) expect('problem' in outcome ? outcome.problem : outcome).toMatch(expected);
  else expect('edits' in outcome ? withEdits(given, outcome.edits) : outcome).toEqual(expected);
}

const READINGS = `procedure: lift
facts:
  coil_low: {quantity: resistance}
steps:
  - step: supply
    measure: dc_voltage
    at_each: [inlet, outlet]
  - step: drop
    decide: supply.inlet - supply.outlet
    results:
      - when: at least full_rest - 1 V
        go: supply
      - when: otherwise
        refer: The supply is {supply.inlet}; the coil wants {coil_low}.
`;

test('a name in an expression leads to the step, the point, the fact, the value', () => {
  checkDefinition(READINGS.replace('decide: supply', 'decide: sup$0ply'), ['main.procedure.yaml:5']);
  checkDefinition(READINGS.replace('supply.outlet', 'supply.out$0let'), ['main.procedure.yaml:7']);
  checkDefinition(READINGS.replace('full_rest', 'full$0_rest'), ['shop.yaml:27']);
  checkDefinition(READINGS.replace('{coil_low}', '{coil$0_low}'), ['main.procedure.yaml:3']);
});

test('references stand in expressions, in bands and in texts', () =>
  checkReferences(READINGS.replace('step: supply', 'step: sup$0ply'), [
    'main.procedure.yaml:5',
    'main.procedure.yaml:9',
    'main.procedure.yaml:9',
    'main.procedure.yaml:12',
    'main.procedure.yaml:14',
  ]));

test('a fact of the assets is one in assets.yaml and in every procedure', () =>
  checkReferences(
    `${READINGS.replace('coil_low:', 'coil$0_low:')}==> other.procedure.yaml\nprocedure: other\nfacts:\n  coil_low: {quantity: resistance}\n`,
    ['main.procedure.yaml:3', 'main.procedure.yaml:14', 'other.procedure.yaml:3', 'assets.yaml:2'],
  ));

test('a reading is renamed in its step, its expressions and its texts', () =>
  checkRename(READINGS.replace('step: supply', 'step: sup$0ply'), 'feed', {
    'main.procedure.yaml': READINGS.replaceAll('supply.', 'feed.')
      .replace('step: supply', 'step: feed')
      .replace('go: supply', 'go: feed'),
  }));

test('a name that would mean something else in an expression is refused', () => {
  checkRename(READINGS.replace('step: supply', 'step: sup$0ply'), 'coil_low', /'coil_low' is the name of a fact already/);
  checkRename(READINGS.replace('step: supply', 'step: sup$0ply'), 'min', /means something in expressions already/);
});

test('what ships with the tool cannot be renamed', () =>
  checkRename(
    'procedure: x\nsteps:\n  - step: a\n    do: Apply the parking brake.\n    sets: {parking$0_brake: applied}\n',
    'handbrake',
    /ships with the tool/,
  ));

test('every occurrence covers exactly its name', () => {
  const given = fixture(READINGS + DEPOT);
  for (const file of given.workspace.files()) {
    for (const { symbol, span } of occurrencesIn(given.workspace, given.workspace.analyse(file))) {
      expect(textAt(given, file, span).replace(/^["']|["']$/g, '')).toBe(symbol.name);
    }
  }
});

/** A depot with a procedure that uses each kind of name that shop.yaml and assets.yaml declare. */
const USER = `procedure: lift
applies_to: {equipment: tail_lift}
facts:
  coil_low: {quantity: resistance}
circuits:
  feed: {nominal: 24 V, dead_when: {isolator: off}}
faults:
  lamp: {title: Lamp failed}
steps:
  - step: volts
    measure: dc_voltage
    circuit: feed
    with: multimeter
    cautions: [platform]
    needs: {isolator: on}
    during: {control: raise}
    results:
      - when: at least full_rest - 1 V
        finds: lamp
      - when: otherwise
        refer: The coil wants {coil_low}.
`;

/** The depot with the cursor in it, before the procedure that uses it. */
const inDepot = (what: string, written: string): string => {
  if (!DEPOT.includes(what)) throw new Error(`${what} is not in the depot.`);
  return `${USER}${DEPOT.replace(what, written)}`;
};

test('from shop.yaml a name leads to its uses in procedures, and to itself', () => {
  for (const [what, written, uses] of [
    ['isolator:', 'iso$0lator:', ['main.procedure.yaml:6', 'main.procedure.yaml:15']],
    ['values: [on, off]', 'values: [on, o$0ff]', ['main.procedure.yaml:6', 'shop.yaml:7']],
    ['multimeter:', 'multi$0meter:', ['main.procedure.yaml:13']],
    ['platform:', 'plat$0form:', ['main.procedure.yaml:14']],
    ['full_rest:', 'full$0_rest:', ['main.procedure.yaml:18']],
    ['crush:', 'cru$0sh:', ['shop.yaml:25']],
  ] as const) {
    const text = inDepot(what, written);
    const given = fixture(text);
    const own = placeName(given, given.analysis.file, { start: given.offset, end: given.offset });
    expect(definitionsAt(given.workspace, given.analysis, given.offset).map(({ file, span }) => placeName(given, file, span))).toEqual([own]);
    const references = referencesAt(given.workspace, given.analysis, given.offset, false).map(({ file, span }) => placeName(given, file, span));
    expect({ what, references: references.sort() }).toEqual({ what, references: [...uses].sort() });
  }
});

test('a rename that begins in shop.yaml changes every procedure below it', () => {
  checkRename(inDepot('full_rest:', 'full$0_rest:'), 'rested', {
    'main.procedure.yaml': USER.replace('full_rest', 'rested'), 'shop.yaml': expect.stringContaining('  rested: {is: 25.3 V') as string,
  });
  checkRename(inDepot('platform:', 'plat$0form:'), 'moving_platform', {
    'main.procedure.yaml': USER.replace('[platform]', '[moving_platform]'), 'shop.yaml': expect.stringContaining('\n  moving_platform:\n') as string,
  });
  checkRename(inDepot('held: [raise', 'held: [ra$0ise'), 'up', {
    'main.procedure.yaml': USER.replace('control: raise', 'control: up'), 'shop.yaml': expect.stringMatching(/values: \[released, up, lower\].*held: \[up, lower\].*\n[^]*control: \[up, lower\]/) as string,
  });
});

test('a fact and its word are renamed from assets.yaml', () => {
  checkRename(inDepot('coil_low: 18 ohm', 'coil$0_low: 18 ohm'), 'coil_least', {
    'main.procedure.yaml': USER.replaceAll('coil_low', 'coil_least'), 'assets.yaml': expect.stringContaining('coil_least: 18 ohm') as string,
  });
  checkRename(inDepot('equipment: tail_lift', 'equipment: tail$0_lift'), 'lift_truck', {
    'main.procedure.yaml': USER.replace('equipment: tail_lift', 'equipment: lift_truck'), 'assets.yaml': expect.stringContaining('equipment: lift_truck') as string,
  });
});

test('what the assets alone give is defined there', () =>
  checkDefinition(USER.replace('voltage', 'voltage').replace('equipment: tail_lift', 'equip$0ment: tail_lift'), ['assets.yaml:2']));

test('a name that other files only seem to use is left alone in them', () =>
  checkRename(`${inDepot('full_rest:', 'full$0_rest:')}==> elsewhere/shop.yaml
shop: Other
values:
  full_rest: {is: 12 V}
==> elsewhere/other.procedure.yaml
procedure: other
steps: [{step: a, decide: full_rest, results: [{when: otherwise, refer: x}]}]
`, 'rested', { 'main.procedure.yaml': USER.replace('full_rest', 'rested'), 'shop.yaml': expect.any(String) as string }));
