/** In an editor that is shown in German, the server's own words around a procedure are German; names and findings stay as they are written. */
import type { CodeAction, CodeLens, Diagnostic, Hover } from 'vscode-languageserver/node';
import { afterEach, expect, test } from 'vitest';
import { positionOf, startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';

async function shownIn(locale: string | undefined): Promise<string[]> {
  editor = await startEditor({ files: LIBRARY, ...(locale === undefined ? {} : { locale }) });
  const text = LAMP.replace('finds: lamp\n', 'finds: lmap\n');
  const { diagnostics } = await editor.open(FILE, text);
  const textDocument = { uri: editor.uri(FILE) };
  const lenses = await editor.request<CodeLens[]>('textDocument/codeLens', { textDocument });
  const lens = await editor.request<CodeLens>('codeLens/resolve', lenses[0]);
  const hover = await editor.request<Hover>('textDocument/hover', { textDocument, position: positionOf(text, 'lamp: ', 1) });
  const unknown = diagnostics.find((one) => one.code === 'unknown-name') as Diagnostic;
  const [action] = await editor.request<CodeAction[]>('textDocument/codeAction', { textDocument, range: unknown.range, context: { diagnostics: [unknown] } });
  const { value } = hover.contents as { value: string };
  return [lens.command?.title ?? '', value.split('\n')[0] ?? '', action?.title ?? '', Object.values(action?.edit?.changeAnnotations ?? {})[0]?.label ?? '', String(unknown.message).split('\n')[0] ?? ''];
}

test('lens, hover and action in German', async () => {
  const [lens, hover, action, label, finding] = await shownIn('de');
  expect([lens, hover, action, label]).toEqual([
    'Als Prüfliste abarbeiten', '**lamp**, Fehler', "'lamp' schreiben (ändert, was das Verfahren sagt)", "'lamp' schreiben",
  ]);
  expect(finding).toContain('lmap');
});

test('and in English for any other', async () => {
  expect((await shownIn('fr')).slice(0, 4)).toEqual(['Run as checklist', '**lamp**, fault', "Spell it 'lamp' (changes what the procedure says)", "Spell it 'lamp'"]);
});
