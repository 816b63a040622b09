import type {
  CompletionItem,
  CompletionList,
  DocumentLink,
  DocumentSymbol,
  FoldingRange,
  Hover,
  MarkupContent,
  Position,
  SemanticTokens,
  SemanticTokensDelta,
} from 'vscode-languageserver/node';
import { afterEach, expect, test } from 'vitest';
import { applied, CAPABILITIES, positionOf, startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY, ROUND } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';

async function hover(text: string, needle: string, into = 1): Promise<string> {
  const answer = await editor.request<Hover | null>('textDocument/hover', {
    textDocument: { uri: editor.uri(FILE) },
    position: positionOf(text, needle, into),
  });
  return (answer?.contents as MarkupContent | undefined)?.value ?? '';
}

async function complete(position: Position): Promise<CompletionItem[]> {
  return (
    (
      await editor.request<CompletionList | null>('textDocument/completion', {
        textDocument: { uri: editor.uri(FILE) },
        position,
      })
    )?.items ?? []
  );
}

test('hover says what a key, a name and a quantity mean', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, LAMP);
  expect(await hover(LAMP, 'measure:')).toContain('read with an instrument');
  expect(await hover(LAMP, 'multimeter')).toContain('Digital multimeter');
  expect(await hover(LAMP, 'dead_when: {isolator', 13)).toContain('Values: `on` and `off`');
  expect(await hover(LAMP, 'time: 2 min', 7)).toContain('120 s');
  expect(await hover(LAMP, 'go: feed', 5)).toContain('Still possible here: all 2 faults');
});

test('completion is right on the very version that was just typed', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, LAMP);
  const typed = LAMP.replace('      - when: below 22 V\n        finds: supply\n', '      - when: below 22 V\n        finds: s\n');
  await editor.change(FILE, { text: typed });
  const items = await complete(positionOf(typed, 'finds: s\n', 8));
  expect(items.map((item) => item.label)).toEqual(expect.arrayContaining(['lamp', 'supply']));
  const supply = items.find((item) => item.label === 'supply') as CompletionItem;
  expect(applied(typed, [supply.textEdit as never])).toBe(LAMP);
  const resolved = await editor.request<CompletionItem>('completionItem/resolve', supply);
  expect((resolved.documentation as MarkupContent).value).toContain('Find the open fuse.');
});

test('a whole step comes as a snippet, and as plain text where the editor has none', async () => {
  editor = await startEditor({ files: LIBRARY });
  const typed = LAMP.replace('steps:\n', 'steps:\n  - \n');
  await editor.open(FILE, typed);
  const step = (await complete(positionOf(typed, '  - \n', 4))).find((item) => item.label === 'measure step') as CompletionItem;
  expect(step.insertTextFormat).toBe(2);
  await editor.stop();
  editor = await startEditor({ files: LIBRARY, capabilities: { ...CAPABILITIES, textDocument: { publishDiagnostics: {} } } });
  await editor.open(FILE, typed);
  const plain = (await complete(positionOf(typed, '  - \n', 4))).find((item) => item.label === 'measure step') as CompletionItem;
  expect(plain.insertTextFormat ?? 1).toBe(1);
  expect((plain.textEdit as { newText: string }).newText).not.toContain('$');
});

test('an editor that can be told once is told the range once, and indents no line a second time', async () => {
  const completion = { completionItem: { snippetSupport: true, insertTextModeSupport: { valueSet: [1, 2] as (1 | 2)[] } }, completionList: { itemDefaults: ['editRange'] } };
  editor = await startEditor({ files: LIBRARY, capabilities: { ...CAPABILITIES, textDocument: { ...CAPABILITIES.textDocument, completion } } });
  const typed = LAMP.replace('steps:\n', 'steps:\n  - \n');
  await editor.open(FILE, typed);
  const position = positionOf(typed, '  - \n', 4);
  const list = await editor.request<CompletionList>('textDocument/completion', { textDocument: { uri: editor.uri(FILE) }, position });
  expect(list.itemDefaults?.editRange).toEqual({ start: position, end: position });
  const step = list.items.find((item) => item.label === 'do step');
  expect(step).toMatchObject({ insertTextMode: 1, insertTextFormat: 2, textEditText: 'step: ${1:name}\n    do:\n      - ${2:Do one thing.}\n    $0' });
  expect(list.items.every((item) => item.textEdit === undefined)).toBe(true);
});

test('outline, folding, links and colours', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open('rounds/lamp_round.procedure.yaml', ROUND);
  const textDocument = { uri: editor.uri('rounds/lamp_round.procedure.yaml') };
  const symbols = await editor.request<DocumentSymbol[]>('textDocument/documentSymbol', { textDocument });
  expect(symbols.map((one) => [one.name, one.children?.map((child) => child.name)])).toEqual([
    ['faults', ['lamp']],
    ['steps', ['work_lamp']],
    ['after_repair', ['prove']],
  ]);
  expect(symbols[1]?.children?.[0]?.children?.map((one) => one.name)).toEqual(['finds lamp', 'finds supply', 'otherwise']);
  const folds = await editor.request<FoldingRange[]>('textDocument/foldingRange', { textDocument });
  expect(folds).toContainEqual({ startLine: positionOf(ROUND, 'steps:').line, endLine: positionOf(ROUND, 'refer: Look').line });
  const links = await editor.request<DocumentLink[]>('textDocument/documentLink', { textDocument });
  expect(links.map((link) => link.target)).toEqual([editor.uri(FILE)]);
  const tokens = await editor.request<SemanticTokens>('textDocument/semanticTokens/full', { textDocument });
  expect(tokens.data.length % 5).toBe(0);
  expect(tokens.data.length).toBeGreaterThan(50);
});

test('of a file that was coloured before, only what changed is told', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, LAMP);
  const textDocument = { uri: editor.uri(FILE) };
  const before = await editor.request<SemanticTokens>('textDocument/semanticTokens/full', { textDocument });
  const changed = LAMP.replace('below 22 V', 'below 2200 V');
  await editor.change(FILE, { text: changed });
  const delta = await editor.request<SemanticTokensDelta>('textDocument/semanticTokens/full/delta', { textDocument, previousResultId: before.resultId });
  const data = [...before.data];
  for (const { start, deleteCount, data: inserted = [] } of [...delta.edits].reverse()) data.splice(start, deleteCount, ...inserted);
  expect(delta.edits.reduce((sum, edit) => sum + edit.deleteCount + (edit.data?.length ?? 0), 0)).toBeLessThan(40);
  expect(data).toEqual((await editor.request<SemanticTokens>('textDocument/semanticTokens/full', { textDocument })).data);
});
