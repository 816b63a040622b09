import type { CodeAction, Diagnostic } from 'vscode-languageserver/node';
import { afterEach, expect, test } from 'vitest';
import { applied, CAPABILITIES, checksOf, editsFor, startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';

async function actionsFor(diagnostic: Diagnostic, only?: string[]): Promise<CodeAction[]> {
  return editor.request('textDocument/codeAction', {
    textDocument: { uri: editor.uri(FILE) },
    range: diagnostic.range,
    context: { diagnostics: [diagnostic], ...(only ? { only } : {}) },
  });
}

test('a fix that changes no meaning is applied at once, and its finding is gone', async () => {
  editor = await startEditor({ files: LIBRARY });
  const text = LAMP.replace(
    '    time: 2 min\n    results:',
    '    time: 2 min\n    text: Use fuse #12 as the feed.\n    results:',
  );
  const { diagnostics } = await editor.open(FILE, text);
  const cut = diagnostics.find((one) => one.code === 'text-cut-off') as Diagnostic;
  expect(cut, JSON.stringify(diagnostics)).toBeDefined();
  const [action] = await actionsFor(cut);
  expect(action?.kind).toBe('quickfix');
  expect(action?.isPreferred).toBe(true);
  expect(action?.diagnostics?.[0]?.code).toBe('text-cut-off');
  expect(action?.edit?.changeAnnotations).toBeUndefined();
  const fixed = applied(text, editsFor(action?.edit, editor.uri(FILE)));
  expect(fixed).toMatch(/text: ["']Use fuse #12 as the feed\.["']/);
  expect(checksOf(await editor.change(FILE, { text: fixed }))).not.toContain('text-cut-off');
});

test('a fix that alters a branch says so and waits for a confirmation', async () => {
  editor = await startEditor({ files: LIBRARY });
  const text = LAMP.replace('finds: lamp\n', 'finds: lmap\n');
  const { diagnostics } = await editor.open(FILE, text);
  const unknown = diagnostics.find((one) => one.code === 'unknown-name') as Diagnostic;
  const [action] = await actionsFor(unknown);
  expect(action?.title).toContain("'lamp'");
  expect(action?.title).toContain('changes what the procedure says');
  expect(action?.isPreferred).toBe(false);
  const annotations = Object.values(action?.edit?.changeAnnotations ?? {});
  expect(annotations.map((one) => one.needsConfirmation)).toEqual([true]);
  const fixed = applied(text, editsFor(action?.edit, editor.uri(FILE)));
  expect(fixed).toBe(LAMP);
});

test('a misspelt key that is a branch is shown and confirmed before it takes effect; one of a text is not', async () => {
  editor = await startEditor({ files: LIBRARY });
  const text = LAMP.replace('finds: lamp\n', 'fnids: lamp\n').replace('    time: 2 min\n    results:', '    time: 2 min\n    whyy: It is quick.\n    results:');
  const { diagnostics } = await editor.open(FILE, text);
  const unknown = diagnostics.filter((one) => one.code === 'unknown-key');
  const actions = await Promise.all(unknown.map(async (one) => (await actionsFor(one)).find(({ title }) => title.startsWith('Change '))));
  expect(actions.map((action) => [action?.title, action?.isPreferred, Object.values(action?.edit?.changeAnnotations ?? {}).map((one) => one.needsConfirmation)])).toEqual([
    ["Change 'whyy' to 'why'", true, []],
    ["Change 'fnids' to 'finds' (changes what the procedure says)", false, [true]],
  ]);
});

test('an editor that cannot ask for a confirmation still gets the title that warns', async () => {
  editor = await startEditor({ files: LIBRARY, capabilities: { ...CAPABILITIES, workspace: {} } });
  const { diagnostics } = await editor.open(FILE, LAMP.replace('finds: lamp\n', 'finds: lmap\n'));
  const [action] = await actionsFor(diagnostics.find((one) => one.code === 'unknown-name') as Diagnostic);
  expect(action?.title).toContain('changes what the procedure says');
  expect(action?.edit?.changes?.[editor.uri(FILE)]).toHaveLength(1);
});

test('all safe fixes at once leave those that alter meaning alone', async () => {
  editor = await startEditor({ files: LIBRARY });
  const text = LAMP.replace('finds: lamp\n', 'finds: lmap\n').replace(
    '    time: 2 min\n    results:',
    '    time: 2 min\n    text: Use fuse #12 as the feed.\n    why: Fuse #12 is the feed.\n    results:',
  );
  const { diagnostics } = await editor.open(FILE, text);
  const actions = await actionsFor(diagnostics[0] as Diagnostic, ['source.fixAll']);
  expect(actions.map((action) => action.kind)).toEqual(['source.fixAll.faultwright']);
  const fixed = applied(text, editsFor(actions[0]?.edit, editor.uri(FILE)));
  const left = checksOf(await editor.change(FILE, { text: fixed }));
  expect(left).not.toContain('text-cut-off');
  expect(left).toContain('unknown-name');
});

test('where there is no finding there is nothing to fix', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, LAMP);
  const range = { start: { line: 0, character: 0 }, end: { line: 60, character: 0 } };
  expect(
    await editor.request('textDocument/codeAction', {
      textDocument: { uri: editor.uri(FILE) },
      range,
      context: { diagnostics: [] },
    }),
  ).toEqual([]);
});
