/** The review of an open file against what git keeps, over the protocol. */
import { execFileSync } from 'node:child_process';
import { afterEach, expect, test } from 'vitest';
import type { ReviewResult } from '../../server/src/lsp/protocol.ts';
import { positionOf, startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';

function git(...words: string[]): void {
  execFileSync('git', ['-c', 'user.name=Depot', '-c', 'user.email=depot@example.invalid', '-c', 'commit.gpgsign=false', ...words], { cwd: editor.folder, stdio: 'ignore' });
}

test('says what the text in the editor has changed since the last commit, and where', async () => {
  editor = await startEditor({ files: LIBRARY });
  git('init');
  git('add', '-A');
  git('commit', '-m', 'As released');
  await editor.open(FILE, LAMP);
  const review = (): Promise<ReviewResult> => editor.request<ReviewResult>('faultwright/review', { uri: editor.uri(FILE) });
  expect((await review()).sections).toEqual([]);

  const changed = LAMP.replace('finds: supply', 'refer: Ask the electrician.');
  expect(changed).not.toBe(LAMP);
  await editor.change(FILE, { text: changed });
  const { sections, since } = await review();
  expect(since).toBe('HEAD');
  expect(sections.flatMap(({ items }) => items.map(({ sentence }) => sentence))).toContain('No walk finds supply any longer.');
  const written = sections.find(({ title }) => title === 'Changes of limits, results and order')?.items.find(({ sentence }) => sentence.includes('`refer`'));
  expect(written?.range?.start).toEqual(positionOf(changed, 'Ask the electrician.'));
});

test('says why there is no review outside a repository, and of a revision that is not there', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, LAMP);
  const review = (since?: string): Promise<unknown> => editor.request('faultwright/review', { uri: editor.uri(FILE), ...(since === undefined ? {} : { since }) });
  await expect(review()).rejects.toThrow('There is no git repository around it, or git is not installed.');
  git('init');
  await expect(review('v9')).rejects.toThrow('The repository has no revision v9.');
});
