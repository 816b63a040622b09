import type { Location, LocationLink, Position, SymbolInformation, WorkspaceEdit } from 'vscode-languageserver/node';
import { afterEach, expect, test } from 'vitest';
import { applied, editsFor, positionOf, startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY, ROUND, SHOP } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';
const ROUND_FILE = 'rounds/lamp_round.procedure.yaml';

async function begin(): Promise<void> {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, LAMP);
}

function at(name: string, position: Position): { textDocument: { uri: string }; position: Position } {
  return { textDocument: { uri: editor.uri(name) }, position };
}

test('a name leads to its declaration: in the file, in shop.yaml, in another procedure', async () => {
  await begin();
  const definition = async (name: string, text: string, needle: string, into: number): Promise<LocationLink | undefined> =>
    (await editor.request<LocationLink[]>('textDocument/definition', at(name, positionOf(text, needle, into))))[0];
  const fault = await definition(FILE, LAMP, 'finds: supply', 8);
  expect(fault?.targetUri).toBe(editor.uri(FILE));
  expect(fault?.targetSelectionRange.start).toEqual(positionOf(LAMP, 'supply: {'));
  const instrument = await definition(FILE, LAMP, 'with: multimeter', 8);
  expect(instrument?.targetUri).toBe(editor.uri('shop.yaml'));
  expect(instrument?.targetSelectionRange.start).toEqual(positionOf(SHOP, 'multimeter:'));
  const stateValue = await definition(FILE, LAMP, 'isolator: off', 10);
  expect(stateValue?.targetSelectionRange.start).toEqual(positionOf(SHOP, '[on, off]', 5));
  await editor.open(ROUND_FILE, ROUND);
  const procedure = await definition(ROUND_FILE, ROUND, 'run: work_lamp', 6);
  expect(procedure?.targetUri).toBe(editor.uri(FILE));
  const ending = await definition(ROUND_FILE, ROUND, 'finds supply', 7);
  expect(ending?.targetUri).toBe(editor.uri(FILE));
  expect(ending?.targetSelectionRange.start).toEqual(positionOf(LAMP, 'supply: {'));
});

test('a name that ships with the tool leads into the catalogue, where the editor can show it', async () => {
  const text = LAMP.replace('    measure: dc_voltage\n', '    measure: dc_voltage\n    needs: {parking_brake: applied}\n');
  const definition = (): Promise<LocationLink[]> => editor.request('textDocument/definition', at(FILE, positionOf(text, 'parking_brake', 3)));
  await begin();
  await editor.open(FILE, text);
  expect(await definition()).toEqual([]);
  await editor.stop();
  editor = await startEditor({ files: LIBRARY, initializationOptions: { panels: true } });
  await editor.open(FILE, text);
  const [found] = await definition();
  const catalogue = (await editor.request<string>('faultwright/catalogue', null)).split('\n');
  expect(found?.targetUri).toMatch(/^faultwright-catalogue:/);
  const { start, end } = found?.targetSelectionRange ?? { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  expect(catalogue[start.line]?.slice(start.character, end.character)).toBe('parking_brake');
});

test('references are found in every file, opened or not', async () => {
  await begin();
  const references = await editor.request<Location[]>('textDocument/references', {
    ...at(FILE, positionOf(LAMP, 'supply: {')),
    context: { includeDeclaration: true },
  });
  expect(references.map((one) => one.uri).sort()).toEqual([editor.uri(ROUND_FILE), editor.uri(FILE), editor.uri(FILE)].sort());
});

test('a rename changes every file, and the library stays clean', async () => {
  await begin();
  const edit = await editor.request<WorkspaceEdit>('textDocument/rename', {
    ...at(FILE, positionOf(LAMP, 'supply: {')),
    newName: 'feed_line',
  });
  const lamp = applied(LAMP, editsFor(edit, editor.uri(FILE)));
  const round = applied(ROUND, editsFor(edit, editor.uri(ROUND_FILE)));
  expect(lamp).toBe(LAMP.replace('supply: {', 'feed_line: {').replace('finds: supply', 'finds: feed_line'));
  expect(round).toBe(ROUND.replace('finds supply', 'finds feed_line'));
  expect((await editor.change(FILE, { text: lamp })).diagnostics).toEqual([]);
  await editor.open(ROUND_FILE, round);
  await editor.newest(editor.uri(ROUND_FILE), (one) => one.diagnostics.length === 0);
});

test('a fault of another procedure with the same name is left alone', async () => {
  await begin();
  const edit = await editor.request<WorkspaceEdit>('textDocument/rename', {
    ...at(FILE, positionOf(LAMP, 'lamp: {')),
    newName: 'bulb',
  });
  expect(applied(ROUND, editsFor(edit, editor.uri(ROUND_FILE)))).toBe(ROUND.replace('finds lamp', 'finds bulb'));
});

test('a procedure, a state and its value are renamed across files', async () => {
  await begin();
  const renamed = async (name: string, text: string, needle: string, into: number, newName: string): Promise<WorkspaceEdit> =>
    editor.request('textDocument/rename', { ...at(name, positionOf(text, needle, into)), newName });
  const procedure = await renamed(FILE, LAMP, 'procedure: work_lamp', 11, 'side_lamp');
  expect(applied(ROUND, editsFor(procedure, editor.uri(ROUND_FILE)))).toContain('run: side_lamp');
  const state = await renamed(FILE, LAMP, 'isolator', 1, 'main_switch');
  expect(applied(SHOP, editsFor(state, editor.uri('shop.yaml')))).toContain('  main_switch:\n');
  expect(applied(LAMP, editsFor(state, editor.uri(FILE)))).toContain('dead_when: {main_switch: off}');
  const value = await renamed(FILE, LAMP, 'isolator: off', 10, 'opened');
  const shop = applied(SHOP, editsFor(value, editor.uri('shop.yaml')));
  expect(shop).toContain('values: [on, opened]');
  expect(shop).toContain('to: opened');
});

test('a rename that cannot be done says why', async () => {
  await begin();
  const refused = (needle: string, newName: string): Promise<string> =>
    editor.request('textDocument/rename', { ...at(FILE, positionOf(LAMP, needle)), newName }).then(
      () => 'done',
      (error: Error) => error.message,
    );
  expect(await refused('supply: {', 'lamp')).toMatch(/'lamp' is the name of a fault already/);
  expect(await refused('supply: {', 'Feed line')).toMatch(/cannot be a name/);
  expect(await refused('complaint', 'anything')).toMatch(/no name here/);
  await expect(editor.request('textDocument/prepareRename', at(FILE, positionOf(LAMP, 'complaint')))).rejects.toThrow(
    /no name here/,
  );
});

test('names of the whole library are found by a few letters', async () => {
  await begin();
  const found = await editor.request<SymbolInformation[]>('workspace/symbol', { query: 'mult' });
  expect(found.map((one) => [one.name, one.location.uri])).toContainEqual(['multimeter', editor.uri('shop.yaml')]);
});

test('the name at the cursor is marked in its file', async () => {
  await begin();
  const marks = await editor.request<unknown[]>('textDocument/documentHighlight', at(FILE, positionOf(LAMP, 'go: feed', 5)));
  expect(marks).toHaveLength(2);
});
