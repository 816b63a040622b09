/** What an editor shows of a procedure beside its text, over stdio: hints, lenses, callers, growing selections, linked names, signatures. */
import type {
  CallHierarchyIncomingCall, CallHierarchyItem, CallHierarchyOutgoingCall, CodeLens, InlayHint, LinkedEditingRanges, Position, SelectionRange, SignatureHelp,
} from 'vscode-languageserver/node';
import { afterEach, expect, test } from 'vitest';
import { CAPABILITIES, positionOf, startEditor } from './editor.ts';
import type { Editor, EditorOptions } from './editor.ts';
import { LAMP, LIBRARY, ROUND } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';
const ROUND_FILE = 'rounds/lamp_round.procedure.yaml';

/** A step before and one behind the measurement, so that there is something to count. */
const LONGER = LAMP.replace('steps:\n', 'steps:\n  - step: prepare\n    do: Park the vehicle.\n    time: 3 min\n')
  .replace('        finds: lamp\n', '        rules_out: [supply]\n        go: look\n')
  .replace('\nafter_repair:', '  - step: look\n    ask: Is the lamp dark?\n    time: 1 min\n    results:\n      - when: yes\n        finds: lamp\n      - when: no\n        refer: Look again.\n\nafter_repair:');

async function begin(options: EditorOptions = {}): Promise<void> {
  editor = await startEditor({ files: LIBRARY, ...options });
}

const document = (name: string): { textDocument: { uri: string } } => ({ textDocument: { uri: editor.uri(name) } });
const at = (name: string, position: Position): { textDocument: { uri: string }; position: Position } => ({ ...document(name), position });
const WHOLE = { start: { line: 0, character: 0 }, end: { line: 999, character: 0 } };

test('the server says what it can do', async () => {
  await begin();
  expect(editor.initialized.capabilities).toMatchObject({
    inlayHintProvider: true, codeLensProvider: { resolveProvider: true }, callHierarchyProvider: true, selectionRangeProvider: true,
    linkedEditingRangeProvider: true, signatureHelpProvider: { triggerCharacters: ['(', ',', ' '] },
  });
});

test('inlay hints of the part that is shown', async () => {
  await begin();
  await editor.open(FILE, LONGER);
  const hints = await editor.request<InlayHint[]>('textDocument/inlayHint', { ...document(FILE), range: WHOLE });
  expect(hints.map(({ label, position }) => [label, position.line])).toEqual([
    ['after 3 min', positionOf(LONGER, 'step: feed').line],
    ['after 5 min, only lamp left', positionOf(LONGER, 'step: look').line],
  ]);
  expect(hints[0]?.tooltip).toContain('Every walk to this step takes 3 min.');
  const part = { start: positionOf(LONGER, 'step: look'), end: { line: 999, character: 0 } };
  expect(await editor.request<InlayHint[]>('textDocument/inlayHint', { ...document(FILE), range: part })).toHaveLength(1);
});

test('each kind of hint and lens can be switched off', async () => {
  const settings = { inlayHints: { minutesSoFar: false }, codeLens: { procedure: false, steps: 'nonsense' } };
  await begin({ settings, capabilities: { ...CAPABILITIES, workspace: { ...CAPABILITIES.workspace, configuration: true } } });
  await editor.open(FILE, LONGER);
  const labels = async (): Promise<unknown[]> =>
    (await editor.request<InlayHint[]>('textDocument/inlayHint', { ...document(FILE), range: WHOLE })).map(({ label }) => label);
  await expect.poll(labels).toEqual(['only lamp left']);
  const lenses = await editor.request<CodeLens[]>('textDocument/codeLens', document(FILE));
  expect(new Set(lenses.map(({ data }) => (data as { kind: string }).kind))).toEqual(new Set(['reached_from', 'walk']));
  settings.inlayHints = { minutesSoFar: true };
  await editor.notify('workspace/didChangeConfiguration', { settings: null });
  await expect.poll(labels).toContain('after 3 min');
});

test('an unsaved text has hints and lenses, too', async () => {
  await begin();
  const uri = 'untitled:Untitled-1';
  await editor.notify('textDocument/didOpen', { textDocument: { uri, languageId: 'yaml', version: 1, text: LONGER.replace('work_lamp', 'another_lamp') } });
  expect(await editor.request<InlayHint[]>('textDocument/inlayHint', { textDocument: { uri }, range: WHOLE })).toHaveLength(2);
  expect((await editor.request<CodeLens[]>('textDocument/codeLens', { textDocument: { uri } })).length).toBeGreaterThan(3);
});

test('lenses say what leads to a step once they are looked at', async () => {
  await begin({ initializationOptions: { panels: true } });
  await editor.open(FILE, LONGER);
  const lenses = await editor.request<CodeLens[]>('textDocument/codeLens', document(FILE));
  expect(lenses.every((lens) => lens.command === undefined)).toBe(true);
  const ready = await Promise.all(lenses.map((lens) => editor.request<CodeLens>('codeLens/resolve', lens)));
  const shown = ready.map(({ command }) => [command?.title, command?.command]);
  expect(shown).toEqual(expect.arrayContaining([
    ['Run as checklist', 'faultwright.runChecklist'],
    ['Show the flow', 'faultwright.openFlow'],
    ['Run by lamp_round', 'faultwright.showPlaces'],
    ['Reached from feed (at least 22 V)', 'faultwright.showPlaces'],
    ['Shortest walk here: 2 steps', 'faultwright.showWalk'],
  ]));
  const walk = ready.find(({ command }) => command?.title === 'Shortest walk here: 2 steps');
  expect(walk?.command?.arguments).toEqual([{
    uri: editor.uri(FILE),
    steps: [
      { step: 'prepare', range: expect.objectContaining({ start: positionOf(LONGER, 'prepare') }) as unknown },
      { step: 'feed', result: 'at least 22 V', range: expect.anything() as unknown },
      { step: 'look', range: expect.anything() as unknown },
    ],
  }]);
});

test('an editor without our commands shows lenses as words', async () => {
  await begin();
  await editor.open(FILE, LONGER);
  const [lens] = await editor.request<CodeLens[]>('textDocument/codeLens', document(FILE));
  expect((await editor.request<CodeLens>('codeLens/resolve', lens)).command).toEqual({ title: 'Run as checklist', command: '' });
});

test('a lens of a step that is gone is answered without words', async () => {
  await begin();
  await editor.open(FILE, LONGER);
  const lenses = await editor.request<CodeLens[]>('textDocument/codeLens', document(FILE));
  await editor.change(FILE, { text: LAMP });
  const last = lenses.find(({ data }) => (data as { name?: string }).name === 'look');
  expect((await editor.request<CodeLens>('codeLens/resolve', last)).command?.title).toBe('');
});

test('callers and callees of a procedure, opened or not', async () => {
  await begin();
  await editor.open(ROUND_FILE, ROUND);
  const [item] = await editor.request<CallHierarchyItem[]>('textDocument/prepareCallHierarchy', at(ROUND_FILE, positionOf(ROUND, 'run: work_lamp', 6)));
  expect(item).toMatchObject({ name: 'work_lamp', detail: 'Work lamp stays dark', uri: editor.uri(FILE) });
  const incoming = await editor.request<CallHierarchyIncomingCall[]>('callHierarchy/incomingCalls', { item });
  expect(incoming.map(({ from, fromRanges }) => [from.name, fromRanges[0]?.start])).toEqual([['lamp_round', positionOf(ROUND, 'run: work_lamp', 5)]]);
  const outgoing = await editor.request<CallHierarchyOutgoingCall[]>('callHierarchy/outgoingCalls', { item: incoming[0]?.from });
  expect(outgoing.map(({ to, fromRanges }) => [to.name, fromRanges.length])).toEqual([['work_lamp', 1]]);
});

test('a selection grows from the word to the file', async () => {
  await begin();
  await editor.open(FILE, LAMP);
  const [range] = await editor.request<SelectionRange[]>('textDocument/selectionRange', { ...document(FILE), positions: [positionOf(LAMP, 'at least 22 V', 10)] });
  const lines: number[] = [];
  for (let one = range; one; one = one.parent as SelectionRange) lines.push(one.range.end.line - one.range.start.line);
  expect(lines.slice(0, 4)).toEqual([0, 0, 0, 0]);
  expect(lines.at(-1)).toBe(LAMP.split('\n').length - 1);
  expect([...lines].sort((a, b) => a - b)).toEqual(lines);
});

test('the name of a step and its uses change together', async () => {
  await begin();
  await editor.open(FILE, LAMP);
  const linked = await editor.request<LinkedEditingRanges | null>('textDocument/linkedEditingRange', at(FILE, positionOf(LAMP, 'step: feed', 7)));
  expect(linked?.ranges.map(({ start }) => start)).toEqual([positionOf(LAMP, 'step: feed', 6), positionOf(LAMP, 'go: feed', 4)]);
  expect(linked?.wordPattern).toBe('[a-z][a-z0-9_]*');
  // A fault that another file names is left to a rename.
  expect(await editor.request('textDocument/linkedEditingRange', at(FILE, positionOf(LAMP, 'finds: supply', 8)))).toBeNull();
});

test('the signature of what is being typed, on the version just typed', async () => {
  await begin();
  await editor.open(FILE, LAMP);
  const typed = LAMP.replace('at least 22 V', 'at least state_of_charge(12 V, ');
  await editor.change(FILE, { text: typed });
  const help = await editor.request<SignatureHelp>('textDocument/signatureHelp', at(FILE, positionOf(typed, '12 V, ', 6)));
  expect(help.signatures[0]?.label).toMatch(/^state_of_charge\(voltage, \[temperature\].* → %$/);
  expect(help.activeParameter).toBe(1);
  expect(await editor.request('textDocument/signatureHelp', at(FILE, positionOf(typed, 'Work lamp', 4)))).toBeNull();
});

test('hints are asked for again when the shop changes what they say', async () => {
  await begin({ capabilities: { ...CAPABILITIES, workspace: { ...CAPABILITIES.workspace, inlayHint: { refreshSupport: true }, codeLens: { refreshSupport: true } } } });
  const asked: string[] = [];
  for (const method of ['workspace/inlayHint/refresh', 'workspace/codeLens/refresh']) editor.connection.onRequest(method, () => (asked.push(method), null));
  await editor.open(FILE, LONGER);
  await editor.open('shop.yaml', LIBRARY['shop.yaml'] as string);
  asked.length = 0;
  await editor.change('shop.yaml', { text: (LIBRARY['shop.yaml'] as string).replace('Brackwater', 'Another') });
  await expect.poll(() => [...new Set(asked)].sort()).toEqual(['workspace/codeLens/refresh', 'workspace/inlayHint/refresh']);
});
