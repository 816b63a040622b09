import { afterEach, expect, test } from 'vitest';
import { startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());

const HOSTILE: Readonly<Record<string, string>> = {
  empty: '',
  'a byte order mark': `\ufeff${LAMP}`,
  'only a dash': '-',
  'lone surrogates': `procedure: x\ntitle: "\ud800 \udfff"\nsteps: [{step: \ud83d}]\n`,
  'control characters': 'procedure: x\ntitle: \u0000\u0007\u001b[31m\nsteps:\n\t- step: a\n',
  'carriage returns alone': LAMP.replaceAll('\n', '\r'),
  'mixed line ends': LAMP.replace('\n', '\r\n').replace('revision: 1\n', 'revision: 1\r'),
  'open braces': `procedure: x\nsteps: ${'{a: ['.repeat(3000)}`,
  'deep nesting': Array.from({ length: 1500 }, (_, depth) => `${' '.repeat(depth)}k:`).join('\n'),
  'an alias bomb': `a: &a [x,x,x,x,x,x,x,x,x]\n${'bcdefghi'
    .split('')
    .map((name, index) => `${name}: &${name} [${Array(9).fill(`*${'abcdefgh'[index]}`).join(',')}]`)
    .join('\n')}\nprocedure: *i\nsteps: *i\n`,
  'an alias to itself': 'procedure: &a [*a]\nsteps: &s\n  - *s\n',
  'names of objects':
    'procedure: __proto__\nconstructor: x\nfaults: {__proto__: {title: x}, constructor: {toString: 1}}\nsteps:\n  - step: hasOwnProperty\n    needs: {__proto__: [valueOf]}\n    results: constructor\n',
  'everything of the wrong kind':
    'procedure: [1]\nsteps: {a: b}\nfaults: 3\nstates: [x]\ncircuits: yes\nafter_repair: "no"\naccept: {x: y}\n',
  'a list of nothing': 'procedure: x\nsteps:\n  -\n  -\n  - step:\n    results:\n      -\n      - when:\n',
  'a huge line': `procedure: x\ntitle: ${'word '.repeat(200_000)}\nsteps: []\n`,
  'a band without end': `procedure: x\nsteps:\n  - step: a\n    measure: dc_voltage\n    results:\n      - when: ${'('.repeat(5000)}1 V\n      - when: at least ${'9'.repeat(5000)} V\n`,
  'many steps of one name': `procedure: x\nsteps:\n${'  - step: a\n    ask: Is it so?\n    results: [{when: yes, go: a}, {when: no, go: a}]\n'.repeat(300)}`,
  'not YAML at all': '<html><body onload="x()">%PDF-1.7 \\x00 }{][ &*!|>\'"',
  'two documents': `${LAMP}\n---\n${LAMP}\n...\n%YAML 9.9\n`,
};

test('no text ends the server, and every request about it is answered', { timeout: 120_000 }, async () => {
  editor = await startEditor({ files: LIBRARY });
  let count = 0;
  for (const [what, text] of Object.entries(HOSTILE)) {
    for (const name of [`hostile_${count}.procedure.yaml`, `h${count}/shop.yaml`, `h${count}/assets.yaml`]) {
      const published = await editor.open(name, text);
      expect(Array.isArray(published.diagnostics), what).toBe(true);
      const uri = editor.uri(name);
      const textDocument = { uri };
      const lines = text.split('\n');
      for (const position of [
        { line: 0, character: 0 },
        { line: Math.floor(lines.length / 2), character: 5 },
        { line: 1e6, character: 1e6 },
      ]) {
        await editor.request('textDocument/completion', { textDocument, position });
        await editor.request('textDocument/hover', { textDocument, position });
        await editor.request('textDocument/definition', { textDocument, position });
        for (const method of ['signatureHelp', 'linkedEditingRange', 'prepareCallHierarchy', 'documentHighlight']) await editor.request(`textDocument/${method}`, { textDocument, position });
        expect(await editor.request('textDocument/selectionRange', { textDocument, positions: [position] }), what).toHaveLength(1);
        await editor.request('textDocument/references', { textDocument, position, context: { includeDeclaration: true } });
      }
      const range = { start: { line: 0, character: 0 }, end: { line: lines.length, character: 0 } };
      await editor.request('textDocument/inlayHint', { textDocument, range });
      for (const lens of (await editor.request<unknown[] | null>('textDocument/codeLens', { textDocument }))?.slice(0, 10) ?? []) await editor.request('codeLens/resolve', lens);
      await editor.request('textDocument/codeAction', { textDocument, range, context: { diagnostics: [] } });
      expect(await editor.request('textDocument/documentSymbol', { textDocument }), what).not.toBeNull();
      expect(await editor.request('textDocument/foldingRange', { textDocument }), what).not.toBeNull();
      expect(await editor.request('textDocument/semanticTokens/full', { textDocument }), what).not.toBeNull();
      // A drawing that cannot be made is refused with a reason.
      await editor.request('faultwright/flow', { uri }).catch((error: Error) => expect(error.message).toMatch(/laid out/));
      await editor.request('faultwright/checklist', { uri });
      await editor.notify('textDocument/didClose', { textDocument });
    }
    count++;
  }
  expect(editor.ended()).toBe(false);
  expect((await editor.open('work_lamp.procedure.yaml', LAMP)).diagnostics).toEqual([]);
});

test('messages that make no sense are survived', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.notify('textDocument/didChange', {
    textDocument: { uri: editor.uri('never_opened.procedure.yaml'), version: 3 },
    contentChanges: [{ text: 'x' }],
  });
  await editor.notify('textDocument/didClose', { textDocument: { uri: editor.uri('never_opened.procedure.yaml') } });
  await editor.notify('textDocument/didOpen', {
    textDocument: { uri: 'strange:%00%', languageId: 'yaml', version: 1, text: LAMP },
  });
  await editor.notify('workspace/didChangeWatchedFiles', {
    changes: [
      { uri: editor.uri('gone.procedure.yaml'), type: 1 },
      { uri: 'file:///', type: 2 },
    ],
  });
  await editor
    .request('textDocument/hover', { textDocument: { uri: 'nonsense' }, position: { line: 0, character: 0 } })
    .catch(() => undefined);
  await editor
    .request('textDocument/completion', { textDocument: { uri: editor.uri('x') }, position: { line: -5, character: -1 } })
    .catch(() => undefined);
  await editor.request('faultwright/flow', { uri: 'nonsense' }).catch(() => undefined);
  await editor
    .request('faultwright/runAppend', { folder: '/nowhere', runId: '../../etc/passwd', event: null })
    .catch(() => undefined);
  await editor.open('work_lamp.procedure.yaml', LAMP);
  const uri = editor.uri('work_lamp.procedure.yaml');
  await editor.notify('textDocument/didChange', {
    textDocument: { uri, version: 2 },
    contentChanges: [{ range: { start: { line: 9e6, character: 9 }, end: { line: 2, character: 1 } }, text: '\n' }],
  });
  await editor.findings(uri, (one) => one.version === 2);
  const back = await editor.request('textDocument/documentSymbol', { textDocument: { uri } });
  expect(back).not.toBeNull();
  expect(editor.ended()).toBe(false);
});
