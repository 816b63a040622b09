/** Over the protocol: an open procedure is held against its last released text in git, and nothing is claimed where there is none. */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { checksOf, startEditor, writeFile } from './editor.ts';
import type { Editor, EditorOptions } from './editor.ts';
import { supplyText as text } from '../command-line/supply-text.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'supply.procedure.yaml';
const CHECK = 'revision-not-raised';

function git(...words: string[]): void {
  execFileSync('git', ['-c', 'user.name=Depot', '-c', 'user.email=depot@example.invalid', '-c', 'commit.gpgsign=false', ...words], { cwd: editor.folder, stdio: 'ignore' });
}

function commit(content: string): void {
  writeFile(join(editor.folder, FILE), content);
  git('add', '-A');
  git('commit', '-m', 'As it stands');
}

async function start(options: EditorOptions = {}): Promise<void> {
  editor = await startEditor({ files: { [FILE]: text(3, '12.2 V') }, ...options });
}

/** Longer than the server takes to look. */
const aWhile = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 1_200));
const newest = (): unknown[] => checksOf(editor.published(editor.uri(FILE)).at(-1) as Parameters<typeof checksOf>[0]);

test('other content under a released number is found in the editor, and raising the number resolves it', async () => {
  await start();
  git('init');
  commit(text(3, '12.2 V'));
  const first = await editor.open(FILE, text(3, '12.4 V'));
  // Git is asked after the findings that need none are there.
  expect(checksOf(first)).not.toContain(CHECK);
  const { diagnostics, version } = await editor.newest(editor.uri(FILE), (one) => checksOf(one).includes(CHECK));
  expect(version).toBe(1);
  expect(diagnostics.find(({ code }) => code === CHECK)?.message).toContain('Revision 3 was released before, with other content.');
  expect(checksOf(await editor.change(FILE, { text: text(4, '12.4 V') }))).not.toContain(CHECK);
  expect(checksOf(await editor.change(FILE, { text: text(3, '12.4 V') }))).toContain(CHECK);
  expect(checksOf(await editor.change(FILE, { text: text(3, '12.4 V', 'draft') }))).not.toContain(CHECK);
});

test('a text that was released meanwhile counts once the file is saved', async () => {
  await start();
  git('init');
  commit(text(3, '12.2 V', 'draft'));
  await editor.open(FILE, text(3, '12.4 V'));
  await aWhile();
  expect(newest()).not.toContain(CHECK);
  commit(text(3, '12.2 V'));
  await editor.notify('textDocument/didSave', { textDocument: { uri: editor.uri(FILE) } });
  await editor.newest(editor.uri(FILE), (one) => checksOf(one).includes(CHECK));
});

test('the newest of several released texts is the one that counts, also behind drafts', async () => {
  await start();
  git('init');
  commit(text(2, '12.1 V'));
  commit(text(3, '12.2 V'));
  for (const limit of ['12.3 V', '12.5 V', '12.6 V', '12.7 V', '12.8 V']) commit(text(4, limit, 'draft'));
  await editor.open(FILE, text(2, '12.4 V'));
  await aWhile();
  expect(newest()).not.toContain(CHECK);
  await editor.change(FILE, { text: text(3, '12.4 V') });
  expect(newest()).toContain(CHECK);
});

test.each([
  ['without a repository', false, {}],
  ['in an editor that does not trust the folder', true, { initializationOptions: { git: false } }],
] as const)('%s nothing is claimed, and nothing is said', async (_, repository, options) => {
  await start(options);
  const said: string[] = [];
  editor.connection.onNotification('window/logMessage', ({ message }: { message: string }) => void said.push(message));
  if (repository) {
    git('init');
    commit(text(3, '12.2 V'));
  }
  await editor.open(FILE, text(3, '12.4 V'));
  await aWhile();
  expect(newest()).not.toContain(CHECK);
  expect(said).toEqual([]);
});
