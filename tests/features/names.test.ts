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
