import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { CAPABILITIES, checksOf, positionOf, startEditor, writeFile } from './editor.ts';
import type { Editor, EditorOptions, Published } from './editor.ts';
import { LAMP, LIBRARY, ROUND, SHOP } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const start = async (options: EditorOptions): Promise<Editor> => (editor = await startEditor(options));
const LAMP_FILE = 'work_lamp.procedure.yaml';
const clean = (published: Published): boolean => published.diagnostics.length === 0;

test('a clean procedure has no findings, and the editor is told so', async () => {
  await start({ files: LIBRARY });
  const published = await editor.open(LAMP_FILE, LAMP);
  expect(published.diagnostics).toEqual([]);
  expect(published.version).toBe(1);
});

test('findings come with the place, the walk, the way out and the other places', async () => {
  await start({ files: LIBRARY });
  const text = LAMP.replace('measure: dc_voltage', 'measure: resistance')
    .replace('at least 22 V', 'at most 5 ohm')
    .replace('below 22 V', 'above 5 ohm');
  const { diagnostics } = await editor.open(LAMP_FILE, text);
  const live = diagnostics.find((diagnostic) => diagnostic.code === 'live-resistance-test');
  expect(live).toBeDefined();
  expect(live?.severity).toBe(1);
  expect(live?.source).toBe('faultwright');
  expect(live?.range).toEqual({
    start: positionOf(text, 'resistance'),
    end: positionOf(text, 'resistance', 'resistance'.length),
  });
  expect(live?.message).toContain("'feed'");
  expect(live?.data).toEqual({ check: 'live-resistance-test', step: 'feed' });
});

test('an edit inside a line changes the findings of that version', async () => {
  await start({ files: LIBRARY });
  await editor.open(LAMP_FILE, LAMP);
  const gap = await editor.change(LAMP_FILE, {
    range: { start: positionOf(LAMP, 'below 22 V', 6), end: positionOf(LAMP, 'below 22 V', 8) },
    text: '20',
  });
  expect(checksOf(gap)).toContain('reading-gap');
  expect(gap.diagnostics[0]?.message).toMatch(/20 V/);
  const back = await editor.change(LAMP_FILE, {
    range: { start: positionOf(LAMP, 'below 22 V', 6), end: positionOf(LAMP, 'below 22 V', 8) },
    text: '22',
  });
  expect(back.diagnostics).toEqual([]);
});

test('what was typed over before it was checked is never reported, and the last version always is', async () => {
  await start({ files: LIBRARY });
  await editor.open(LAMP_FILE, LAMP);
  const burst = [];
  for (let key = 0; key < 40; key++)
    burst.push(
      editor.notify('textDocument/didChange', {
        textDocument: { uri: editor.uri(LAMP_FILE), version: 2 + key },
        contentChanges: [{ text: LAMP.replace('below 22 V', `below ${key} V`) }],
      }),
    );
  await Promise.all(burst);
  await editor.findings(editor.uri(LAMP_FILE), (one) => one.version === 41);
  const versions = editor.published(editor.uri(LAMP_FILE)).map((one) => one.version ?? 0);
  expect(versions).toEqual([...versions].sort((a, b) => a - b));
  expect(versions.at(-1)).toBe(41);
});

test('a change of shop.yaml rechecks the procedures below it', async () => {
  await start({ files: LIBRARY });
  await editor.open(LAMP_FILE, LAMP);
  await editor.open('shop.yaml', SHOP);
  await editor.change('shop.yaml', { text: SHOP.replace('multimeter:', 'meter:') });
  const published = await editor.findings(editor.uri(LAMP_FILE), (one) => checksOf(one).includes('unknown-name'));
  expect(published.diagnostics[0]?.message).toContain('multimeter');
});

test('a change of a procedure rechecks those that run it', async () => {
  await start({ files: LIBRARY });
  await editor.open('rounds/lamp_round.procedure.yaml', ROUND);
  await editor.open(LAMP_FILE, LAMP);
  await editor.change(LAMP_FILE, { text: LAMP.replaceAll('supply', 'feed_line') });
  const uri = editor.uri('rounds/lamp_round.procedure.yaml');
  const published = await editor.newest(uri, (one) => !clean(one));
  expect(published.diagnostics.map((diagnostic) => diagnostic.message).join()).toContain('supply');
  await editor.change(LAMP_FILE, { text: LAMP });
  await editor.newest(uri, clean);
});

test('a file that was closed unsaved counts as it is on disk', async () => {
  await start({ files: LIBRARY });
  const broken = LAMP.replace('finds: lamp', 'finds: lmap');
  expect(checksOf(await editor.open(LAMP_FILE, broken))).toContain('unknown-name');
  await editor.notify('textDocument/didClose', { textDocument: { uri: editor.uri(LAMP_FILE) } });
  await editor.findings(editor.uri(LAMP_FILE), (one) => one.version === undefined && clean(one));
});

test('files that nobody opened are checked, too, and cleared when they are deleted', async () => {
  await start({
    files: { ...LIBRARY, 'draft.procedure.yaml': LAMP.replace('work_lamp', 'draft').replace('finds: lamp', 'finds: lmap') },
  });
  const uri = editor.uri('draft.procedure.yaml');
  await editor.findings(uri, (one) => checksOf(one).includes('unknown-name'));
  rmSync(join(editor.folder, 'draft.procedure.yaml'));
  await editor.notify('workspace/didChangeWatchedFiles', { changes: [{ uri, type: 3 }] });
  await editor.findings(uri, clean);
});

test('a file changed on disk by another program is read again', async () => {
  await start({ files: LIBRARY });
  writeFile(join(editor.folder, LAMP_FILE), LAMP.replace('finds: lamp', 'finds: lmap'));
  await editor.notify('workspace/didChangeWatchedFiles', { changes: [{ uri: editor.uri(LAMP_FILE), type: 2 }] });
  await editor.findings(editor.uri(LAMP_FILE), (one) => checksOf(one).includes('unknown-name'));
});

test('a file outside every workspace folder finds its shop and its neighbours', async () => {
  await start({ files: LIBRARY, workspace: false });
  await editor.open('rounds/lamp_round.procedure.yaml', ROUND);
  await editor.newest(editor.uri('rounds/lamp_round.procedure.yaml'), clean);
});

test('an unsaved text is ours once it says so, and shares the shop of the folder', async () => {
  await start({ files: LIBRARY });
  const uri = 'untitled:Untitled-1';
  await editor.notify('textDocument/didOpen', {
    textDocument: { uri, languageId: 'yaml', version: 1, text: 'kind: something\nspec: {else: 1}\n' },
  });
  expect(await editor.request('textDocument/documentSymbol', { textDocument: { uri } })).toBeNull();
  expect(editor.published(uri).flatMap((one) => one.diagnostics)).toEqual([]);
  const published = await editor.change(uri, {
    text: LAMP.replace('work_lamp', 'another_lamp').replace('finds: lamp', 'finds: lmap'),
  });
  expect(checksOf(published)).toContain('unknown-name');
  expect(published.diagnostics.map((diagnostic) => diagnostic.message).join()).not.toContain('multimeter');
});

test('folders come and go', async () => {
  await start({
    files: { 'one/shop.yaml': SHOP, 'two/work_lamp.procedure.yaml': LAMP, 'two/shop.yaml': SHOP },
    workspace: false,
  });
  const folder = (name: string): { uri: string; name: string } => ({ uri: editor.uri(name), name });
  await editor.notify('workspace/didChangeWorkspaceFolders', { event: { added: [folder('one'), folder('two')], removed: [] } });
  const broken = await editor.open('two/work_lamp.procedure.yaml', LAMP.replace('finds: lamp', 'finds: lmap'));
  expect(checksOf(broken)).toContain('unknown-name');
  await editor.notify('textDocument/didClose', { textDocument: { uri: editor.uri('two/work_lamp.procedure.yaml') } });
  await editor.notify('workspace/didChangeWorkspaceFolders', { event: { added: [], removed: [folder('two')] } });
  await editor.findings(editor.uri('two/work_lamp.procedure.yaml'), (one) => one.version === undefined && clean(one));
});

test('an editor that only pulls gets the same findings when it asks, and none pushed', async () => {
  await start({ files: LIBRARY, capabilities: { ...CAPABILITIES, textDocument: { diagnostic: {} } } });
  expect(editor.initialized.capabilities.diagnosticProvider).toBeDefined();
  const uri = editor.uri(LAMP_FILE);
  await editor.notify('textDocument/didOpen', {
    textDocument: { uri, languageId: 'yaml', version: 1, text: LAMP.replace('finds: lamp', 'finds: lmap') },
  });
  const report = await editor.request<{ items: { code: string }[] }>('textDocument/diagnostic', { textDocument: { uri } });
  expect(report.items.map((item) => item.code)).toContain('unknown-name');
  expect(editor.published(uri)).toEqual([]);
});

/** An editor that holds a folder which is on no disk, and answers for its files. */
async function startVirtual(files: Readonly<Record<string, string>>, answers = true): Promise<{ uri: (name: string) => string; open: (name: string, text: string) => Promise<void> }> {
  const root = 'depot-memory://shelf%2B1/library';
  const uri = (name: string): string => `${root}/${name}`;
  await start({ workspace: false, initializationOptions: { files: answers, panels: true } });
  editor.connection.onRequest('faultwright/listFiles', (params: { uri: string }) => Object.keys(files).map(uri).filter((one) => one.startsWith(`${params.uri}/`)));
  editor.connection.onRequest('faultwright/readFile', (params: { uri: string }) => files[params.uri.slice(root.length + 1)] ?? null);
  await editor.notify('workspace/didChangeWorkspaceFolders', { event: { added: [{ uri: root, name: 'library' }], removed: [] } });
  return { uri, open: (name, text) => editor.notify('textDocument/didOpen', { textDocument: { uri: uri(name), languageId: 'yaml', version: 1, text } }) };
}

test('a folder that is on no disk is read through the editor: its shop applies, its procedures know each other', async () => {
  const { uri, open } = await startVirtual({ ...LIBRARY, 'draft.procedure.yaml': LAMP.replace('work_lamp', 'draft').replace('finds: lamp', 'finds: lmap') });
  await editor.findings(uri('draft.procedure.yaml'), (one) => checksOf(one).includes('unknown-name'));
  await open('rounds/lamp_round.procedure.yaml', ROUND.replace('steps:\n', 'steps:\n  - step: see\n    do: Look at the lamp.\n    figure: lamp.png\n'));
  const published = await editor.findings(uri('rounds/lamp_round.procedure.yaml'), (one) => one.version === 1);
  expect(checksOf(published)).not.toEqual(expect.arrayContaining(['unknown-name']));
  expect(checksOf(published)).not.toEqual(expect.arrayContaining(['figure-missing']));
  const [definition] = await editor.request<{ targetUri: string }[]>('textDocument/definition', {
    textDocument: { uri: uri('rounds/lamp_round.procedure.yaml') }, position: positionOf(ROUND.replace('steps:\n', 'steps:\n\n\n\n'), 'run: work_lamp', 6),
  });
  expect(definition?.targetUri).toBe(uri(LAMP_FILE));
});

test('what needs a disk is refused there in words, and nothing is written elsewhere', async () => {
  const { uri, open } = await startVirtual(LIBRARY);
  await open(LAMP_FILE, LAMP);
  const { document, folder } = await editor.request<{ document: unknown; folder: string }>('faultwright/checklist', { uri: uri(LAMP_FILE) });
  await expect(editor.request('faultwright/runOpen', { folder, document })).rejects.toThrow(/folder on disk/);
  expect(await editor.request('faultwright/runsUnfinished', { folder })).toEqual([]);
});

test('an editor that does not answer for its files still has its open ones checked', async () => {
  const { uri, open } = await startVirtual(LIBRARY, false);
  await open(LAMP_FILE, LAMP.replace('finds: lamp', 'finds: lmap'));
  await editor.findings(uri(LAMP_FILE), (one) => checksOf(one).includes('unknown-name'));
});
