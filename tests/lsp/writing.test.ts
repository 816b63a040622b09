/** The writing half over stdio: formatting, new lines, a new procedure, a draft, steps taken out and written out again. */
import type { CodeAction, TextDocumentEdit, TextEdit } from 'vscode-languageserver/node';
import { afterEach, expect, test } from 'vitest';
import type { DraftResult, ExtractResult, InlineResult, NewProcedureResult } from '../../server/src/lsp/protocol.ts';
import { applied, CAPABILITIES, checksOf, editsFor, positionOf, startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY, ROUND } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';
const OPTIONS = { tabSize: 2, insertSpaces: true };
const AS_IT_COMES = {
  ...CAPABILITIES,
  workspace: { ...CAPABILITIES.workspace, workspaceEdit: { documentChanges: true, resourceOperations: ['create' as const] } },
  textDocument: { ...CAPABILITIES.textDocument, codeAction: { disabledSupport: true } },
};

test('a file is formatted, and then stays as it is', async () => {
  editor = await startEditor({ files: LIBRARY });
  const untidy = LAMP.replace(
    '    time: 2 min\n    results:\n      - when: at least 22 V',
    "    results:\n      - when: '>=22V'",
  ).replace('circuit: lamp_feed', 'circuit:   lamp_feed\n    time: 2minutes');
  await editor.open(FILE, untidy);
  const edits = await editor.request<TextEdit[]>('textDocument/formatting', {
    textDocument: { uri: editor.uri(FILE) },
    options: OPTIONS,
  });
  const tidy = applied(untidy, edits);
  expect(tidy).toBe(LAMP);
  await editor.change(FILE, { text: tidy });
  expect(await editor.request('textDocument/formatting', { textDocument: { uri: editor.uri(FILE) }, options: OPTIONS })).toEqual(
    [],
  );
});

test('a selection is formatted, and nothing else', async () => {
  editor = await startEditor({ files: LIBRARY });
  const untidy = LAMP.replace('title: Work lamp stays dark', 'title:   Work lamp stays dark').replace(
    '    time: 2 min\n',
    '    time: 2minutes\n',
  );
  await editor.open(FILE, untidy);
  const start = positionOf(untidy, 'time: 2m');
  const edits = await editor.request<TextEdit[]>('textDocument/rangeFormatting', {
    textDocument: { uri: editor.uri(FILE) },
    range: { start, end: { ...start, character: start.character + 5 } },
    options: OPTIONS,
  });
  expect(applied(untidy, edits)).toBe(LAMP.replace('title: Work lamp stays dark', 'title:   Work lamp stays dark'));
});

test('Enter behind a result begins the next key at its column', async () => {
  editor = await startEditor({ files: LIBRARY });
  const text = LAMP.replace('      - when: at least 22 V\n', '      - when: at least 22 V\n      \n');
  await editor.open(FILE, text);
  const line = positionOf(text, '- when: at least').line + 1;
  const edits = await editor.request<TextEdit[]>('textDocument/onTypeFormatting', {
    textDocument: { uri: editor.uri(FILE) },
    position: { line, character: 6 },
    ch: '\n',
    options: OPTIONS,
  });
  expect(edits).toEqual([{ range: { start: { line, character: 0 }, end: { line, character: 6 } }, newText: '        ' }]);
});

test('a new procedure is asked for question by question, and is clean', async () => {
  editor = await startEditor({ files: LIBRARY });
  const folder = editor.uri('');
  const typed: Record<string, string> = { title: 'Beacon stays dark', faults: 'Lamp failed; No supply', limit: 'at least 22 V' };
  const answers: Record<string, string> = {};
  let result = await editor.request<NewProcedureResult>('faultwright/newProcedure', { folder, answers });
  for (let count = 0; result.question && count < 20; count++) {
    const { id, choices } = result.question;
    answers[id] = id === 'first_test' ? 'dc_voltage' : (typed[id] ?? choices?.[0]?.value ?? '');
    const { problem } = await editor.request<NewProcedureResult>('faultwright/newProcedure', {
      folder,
      answers: {},
      checking: { id, answer: answers[id] },
    });
    if (id !== 'limit') expect(problem, id).toBeUndefined();
    result = await editor.request<NewProcedureResult>('faultwright/newProcedure', { folder, answers });
  }
  expect(result.written?.uri).toBe(editor.uri('beacon_stays_dark.procedure.yaml'));
  expect(result.written?.findings).toEqual([]);
  const { diagnostics } = await editor.open('beacon_stays_dark.procedure.yaml', result.written?.text ?? '');
  expect(diagnostics.filter(({ severity }) => (severity ?? 1) <= 2)).toEqual([]);
  expect(
    (
      await editor.request<NewProcedureResult>('faultwright/newProcedure', {
        folder,
        answers: {},
        checking: { id: 'name', answer: 'work_lamp' },
      })
    ).problem,
  ).toContain("a procedure 'work_lamp' already");
});

test('a draft is made, and its findings come when it is opened', async () => {
  editor = await startEditor({ files: LIBRARY });
  const draft = await editor.request<DraftResult>('faultwright/draft', {
    folder: editor.uri(''),
    prose: 'Lamp dark\n1. Measure the supply with the multimeter. If below 22 V go to step 7.\n2. Replace the lamp.',
  });
  expect(draft).toMatchObject({ name: 'lamp_dark', steps: 2, uri: editor.uri('lamp_dark.procedure.yaml') });
  expect(draft.text).toContain('with: multimeter');
  expect(checksOf(await editor.open('lamp_dark.procedure.yaml', draft.text))).toContain('unknown-name');
});

const SELECTED = LAMP.replace(
  'after_repair:',
  '  - step: bracket\n    ask: Is the lamp whole?\n    results:\n      - when: yes\n        refer: Look again tomorrow.\n      - when: no\n        finds: lamp\n\nafter_repair:',
).replace('        finds: lamp\n      - when: below', '        rules_out: [supply]\n      - when: below');

test('steps become a procedure, named as was asked, and are written out again', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, SELECTED);
  const uri = editor.uri(FILE);
  const range = { start: positionOf(SELECTED, '- step: feed'), end: positionOf(SELECTED, 'finds: supply', 4) };
  const first = await editor.request<ExtractResult>('faultwright/extractSteps', { uri, range });
  expect(first).toEqual({ suggestion: 'feed' });
  const { edits, file } = await editor.request<ExtractResult>('faultwright/extractSteps', { uri, range, name: 'lamp_supply' });
  expect(file?.uri).toBe(editor.uri('lamp_supply.procedure.yaml'));
  await editor.open('lamp_supply.procedure.yaml', file?.text ?? '');
  const after = applied(SELECTED, [...(edits ?? [])]);
  expect(after).toContain('run: lamp_supply');
  const { diagnostics } = await editor.change(FILE, { text: after });
  expect(diagnostics.filter(({ severity }) => (severity ?? 1) <= 2)).toEqual([]);
  const back = await editor.request<InlineResult>('faultwright/inlineRun', {
    uri,
    position: positionOf(after, 'run: lamp_supply'),
  });
  expect(
    applied(after, [...(back.edits ?? [])])
      .split('\n')
      .sort(),
  ).toEqual(SELECTED.split('\n').sort());
});

test('any editor gets the same as code actions, and a reason where it cannot be done', async () => {
  editor = await startEditor({ files: LIBRARY, capabilities: AS_IT_COMES });
  await editor.open(FILE, SELECTED);
  await editor.open('rounds/lamp_round.procedure.yaml', ROUND);
  const actions = (name: string, text: string, from: string, to: string, only: string): Promise<CodeAction[]> =>
    editor.request('textDocument/codeAction', {
      textDocument: { uri: editor.uri(name) },
      range: { start: positionOf(text, from), end: positionOf(text, to) },
      context: { diagnostics: [], only: [only], triggerKind: 1 },
    });
  const [extract] = await actions(FILE, SELECTED, '- step: feed', 'finds: supply', 'refactor');
  expect(extract).toMatchObject({ title: 'Make this step a procedure', kind: 'refactor.extract.procedure' });
  const changes = extract?.edit?.documentChanges ?? [];
  expect(changes[0]).toMatchObject({ kind: 'create', uri: editor.uri('feed.procedure.yaml') });
  expect((changes[1] as TextDocumentEdit).edits[0]).toMatchObject({
    newText: expect.stringContaining('procedure: feed') as string,
  });
  const [refused] = await actions(FILE, SELECTED, '- step: feed', 'refer: Look', 'refactor.extract');
  expect(refused?.disabled?.reason).toContain('all the steps');
  const [inline] = await actions('rounds/lamp_round.procedure.yaml', ROUND, 'run: work_lamp', 'time: 5', 'refactor.inline');
  expect(inline?.title).toBe("Write the steps of 'work_lamp' out here");
  expect(applied(ROUND, editsFor(inline?.edit, editor.uri('rounds/lamp_round.procedure.yaml')))).toContain('measure: dc_voltage');
});
