/** Findings of whole folders: pulled in parts, with progress, ended by the person who waits; and pushed, with progress. */
import type { DocumentDiagnosticReport, ProgressToken, WorkspaceDiagnosticReport, WorkspaceDocumentDiagnosticReport } from 'vscode-languageserver/node';
import { CancellationTokenSource } from 'vscode-languageserver/node';
import { afterEach, expect, test } from 'vitest';
import { CAPABILITIES, startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY, SHOP } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';
const ROUND_FILE = 'rounds/lamp_round.procedure.yaml';
const PULLS = { ...CAPABILITIES, textDocument: { diagnostic: {} } };

/** A folder with many lamps; every tenth has a slip. */
function many(count: number): Record<string, string> {
  const files: Record<string, string> = { 'shop.yaml': SHOP };
  for (let lamp = 0; lamp < count; lamp++) {
    const text = LAMP.replace('procedure: work_lamp', `procedure: lamp_${lamp}`);
    files[`lamps/lamp_${lamp}.procedure.yaml`] = lamp % 10 === 0 ? text.replace('finds: lamp', 'finds: lmap') : text;
  }
  return files;
}

const codes = (report: WorkspaceDocumentDiagnosticReport): unknown[] => (report.kind === 'full' ? report.items.map(({ code }) => code) : [report.kind]);

test('a file is told once, and anew when what it leans on changed', async () => {
  editor = await startEditor({ files: LIBRARY, capabilities: PULLS });
  expect(editor.initialized.capabilities.diagnosticProvider).toMatchObject({ interFileDependencies: true, workspaceDiagnostics: true });
  const pull = (previousResultId?: string): Promise<DocumentDiagnosticReport> =>
    editor.request('textDocument/diagnostic', { textDocument: { uri: editor.uri(FILE) }, ...(previousResultId === undefined ? {} : { previousResultId }) });
  await editor.notify('textDocument/didOpen', { textDocument: { uri: editor.uri(FILE), languageId: 'yaml', version: 1, text: LAMP } });
  const first = await pull();
  expect(first).toMatchObject({ kind: 'full', items: [] });
  expect(await pull(first.resultId)).toEqual({ kind: 'unchanged', resultId: first.resultId });
  await editor.notify('textDocument/didOpen', { textDocument: { uri: editor.uri('shop.yaml'), languageId: 'yaml', version: 1, text: SHOP.replace('multimeter:', 'meter:') } });
  const second = await pull(first.resultId);
  expect(second.kind === 'full' && second.items.map(({ code }) => code)).toContain('unknown-name');
  expect(second.resultId).not.toBe(first.resultId);
});

test('the whole folder in parts, with progress; the second time only what changed', async () => {
  editor = await startEditor({ files: many(120), capabilities: PULLS });
  const parts: WorkspaceDocumentDiagnosticReport[][] = [];
  const progress: { kind: string; percentage?: number; message?: string }[] = [];
  editor.connection.onNotification('$/progress', ({ token, value }: { token: ProgressToken; value: never }) => {
    if (token === 'parts') parts.push((value as { items: WorkspaceDocumentDiagnosticReport[] }).items);
    if (token === 'work') progress.push(value);
  });
  const pull = (previousResultIds: { uri: string; value: string }[]): Promise<WorkspaceDiagnosticReport> =>
    editor.request('workspace/diagnostic', { previousResultIds, partialResultToken: 'parts', workDoneToken: 'work' });
  const answer = await pull([]);
  const reports = [...parts.flat(), ...answer.items];
  expect(parts.length).toBeGreaterThan(1);
  expect(new Set(reports.map(({ uri }) => uri)).size).toBe(121);
  expect(reports.filter((report) => codes(report).includes('unknown-name'))).toHaveLength(12);
  expect(progress[0]).toMatchObject({ kind: 'begin', title: 'Checking procedures', cancellable: true });
  expect(progress.some(({ kind, message }) => kind === 'report' && /^\d+ of 121$/.test(message ?? ''))).toBe(true);
  expect(progress.at(-1)).toEqual({ kind: 'end' });

  parts.length = 0;
  const name = 'lamps/lamp_7.procedure.yaml';
  await editor.notify('textDocument/didOpen', { textDocument: { uri: editor.uri(name), languageId: 'yaml', version: 4, text: LAMP.replace('finds: supply', 'finds: suply') } });
  const again = await pull(reports.map(({ uri, resultId }) => ({ uri, value: resultId ?? '' })));
  const later = [...parts.flat(), ...again.items];
  expect(later.filter(({ kind }) => kind === 'full').map((report) => [report.uri, report.version, codes(report).includes('unknown-name')])).toEqual([[editor.uri(name), 4, true]]);
});

test('a file that is gone is told to have nothing', async () => {
  editor = await startEditor({ files: LIBRARY, capabilities: PULLS });
  const report = await editor.request<WorkspaceDiagnosticReport>('workspace/diagnostic', { previousResultIds: [{ uri: editor.uri('gone.procedure.yaml'), value: '1' }] });
  expect(report.items.find(({ uri }) => uri.endsWith('gone.procedure.yaml'))).toMatchObject({ kind: 'full', items: [] });
  expect(report.items.map(({ uri }) => uri)).toContain(editor.uri(ROUND_FILE));
});

test('a pull that is no longer wanted ends in the middle, and the server answers on', async () => {
  editor = await startEditor({ files: many(200), capabilities: PULLS });
  const source = new CancellationTokenSource();
  let told = 0;
  editor.connection.onNotification('$/progress', ({ value }: { value: { items?: unknown[] } }) => {
    told += value.items?.length ?? 0;
    source.cancel();
  });
  await expect(
    editor.connection.sendRequest('workspace/diagnostic', { previousResultIds: [], partialResultToken: 'parts' }, source.token),
  ).rejects.toThrow(/ended/);
  expect(told).toBeLessThan(200);
  expect(await editor.request('textDocument/hover', { textDocument: { uri: editor.uri(FILE) }, position: { line: 0, character: 0 } })).toBeNull();
});

test('only open files, where the setting says so', async () => {
  editor = await startEditor({
    files: many(5), settings: { checkWholeFolder: false },
    capabilities: { ...PULLS, workspace: { ...CAPABILITIES.workspace, configuration: true } },
  });
  await editor.notify('textDocument/didOpen', { textDocument: { uri: editor.uri('shop.yaml'), languageId: 'yaml', version: 1, text: SHOP } });
  const uris = async (): Promise<string[]> => (await editor.request<WorkspaceDiagnosticReport>('workspace/diagnostic', { previousResultIds: [] })).items.map(({ uri }) => uri);
  await expect.poll(uris).toEqual([editor.uri('shop.yaml')]);
});

/** The editor that takes pushed findings is shown how far a large folder has come, and may end it. */
async function pushed(count: number, onProgress: (value: { kind: string; message?: string }, token: ProgressToken) => void): Promise<void> {
  editor = await startEditor({
    files: many(count), workspace: false,
    capabilities: { ...CAPABILITIES, window: { workDoneProgress: true } },
  });
  editor.connection.onRequest('window/workDoneProgress/create', () => null);
  editor.connection.onNotification('$/progress', ({ token, value }: { token: ProgressToken; value: { kind: string } }) => onProgress(value, token));
  await editor.notify('workspace/didChangeWorkspaceFolders', { event: { added: [{ uri: editor.uri('.'), name: 'library' }], removed: [] } });
}

test('pushed findings of a large folder come with progress', async () => {
  const seen: { kind: string; message?: string }[] = [];
  await pushed(240, (value) => seen.push(value));
  await expect.poll(() => seen.at(-1)?.kind, { timeout: 20_000 }).toBe('end');
  expect(seen[0]).toMatchObject({ kind: 'begin', title: 'Checking procedures', cancellable: true });
  await editor.findings(editor.uri('lamps/lamp_230.procedure.yaml'), (one) => one.diagnostics.length > 0);
});

test('and can be ended by the person who waits', async () => {
  let ended = false;
  await pushed(600, (value, token) => {
    if (value.kind === 'begin') void editor.notify('window/workDoneProgress/cancel', { token });
    if (value.kind === 'end') ended = true;
  });
  await expect.poll(() => ended, { timeout: 20_000 }).toBe(true);
  const checked = Array.from({ length: 60 }, (_, lamp) => editor.published(editor.uri(`lamps/lamp_${lamp * 10}.procedure.yaml`)).length).filter((count) => count > 0);
  expect(checked.length).toBeLessThan(60);
  // What someone opens is checked all the same.
  const broken = await editor.open('lamps/lamp_590.procedure.yaml', LAMP.replace('procedure: work_lamp', 'procedure: lamp_590').replace('finds: lamp', 'finds: lmap'));
  expect(broken.diagnostics.map(({ code }) => code)).toContain('unknown-name');
});
