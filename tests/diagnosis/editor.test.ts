/** What an editor gets of the diagnosis, over the protocol. Needs the built server (`npm run build`). */
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, expect, test } from 'vitest';
import { changedReport } from '../../server/src/diagnosis/report.ts';
import type { DiagnosisProposalResult, DiagnosisResult } from '../../server/src/lsp/protocol.ts';
import { startEditor, type Editor } from '../lsp/editor.ts';

const library = new URL('../../procedures/', import.meta.url);
const files = Object.fromEntries(readdirSync(library).filter((name) => name.endsWith('.yaml')).map((name) => [name, readFileSync(new URL(name, library), 'utf8')]));
const FILE = 'no_crank.procedure.yaml';
const TEXT = files[FILE] ?? '';

let editor: Editor;
afterEach(() => editor.stop());

test('the panel gets what its page works the numbers out from, and a better order when it asks', async () => {
  editor = await startEditor({ files });
  await editor.open(FILE, TEXT);
  const uri = editor.uri(FILE);
  const { outcome, steps, version } = await editor.request<DiagnosisResult>('faultwright/diagnosis', { uri });
  expect(version).toBe(1);
  expect(steps.map(({ name }) => name)).toContain('ground_drop');
  const { numbers } = changedReport(outcome.report, {});
  expect(numbers.best.exact).toBe(true);
  expect(numbers.best.minutes).toBeLessThan(numbers.written.minutes);

  const { proposal, obstacles } = await editor.request<DiagnosisProposalResult>('faultwright/diagnosisProposal', { uri });
  expect(obstacles).toEqual([]);
  expect(proposal?.moves).toMatchObject([{ step: 'feed_drop', before: 'contact_drop' }]);
  if (!proposal) return;
  await editor.change(FILE, { range: proposal.range, text: proposal.newText });
  const after = await editor.request<DiagnosisResult>('faultwright/diagnosis', { uri });
  expect(after.version).toBe(2);
  expect(after.outcome.report.numbers.written.minutes).toBeCloseTo(proposal.minutes, 6);
});

test('there is no diagnosis of what has no faults', async () => {
  editor = await startEditor({ files });
  await editor.open('new.procedure.yaml', 'procedure: new\ntitle: New\n');
  expect(await editor.request('faultwright/diagnosis', { uri: editor.uri('new.procedure.yaml') })).toBeNull();
  expect(await editor.request('faultwright/diagnosisProposal', { uri: editor.uri('new.procedure.yaml') })).toBeNull();
});

test('the text shows how many faults are left at each test', async () => {
  editor = await startEditor({ files });
  await editor.open(FILE, TEXT);
  const hints = await editor.request<{ label: string; tooltip: string; position: { line: number } }[]>('textDocument/inlayHint', {
    textDocument: { uri: editor.uri(FILE) }, range: { start: { line: 0, character: 0 }, end: { line: 1000, character: 0 } },
  });
  const at = (step: string): string | undefined => hints.find(({ label, position }) => label.endsWith('left') && TEXT.split('\n')[position.line]?.trim() === `- step: ${step}`)?.label;
  expect(at('rest_voltage')).toBeUndefined();
  expect(at('listen')).toContain('13 of 14 faults left');
  expect(at('contact_drop')).toContain('2 of 14 faults left');
});
