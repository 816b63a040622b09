/** The diagnosis beside the server: it does not stand in the way of other answers, and the next edit ends it. Needs the built server (`npm run build`). */
import { fileURLToPath } from 'node:url';
import { afterEach, expect, test } from 'vitest';
import { diagnosisOnThread } from '../../server/src/edge/diagnosis-thread.ts';
import { diagnosisJob, doDiagnosisJob } from '../../server/src/features/diagnosis-job.ts';
import type { DiagnosisProposalResult } from '../../server/src/lsp/protocol.ts';
import { startEditor, type Editor } from '../lsp/editor.ts';
import { alone, depot, fileOf } from './depot.ts';

/** Checks in the worst order, so many that a better one takes seconds to find. */
function longList(count: number): string {
  const numbers = Array.from({ length: count }, (_, index) => index);
  return `procedure: long_list
title: Long list
faults:
${numbers.map((index) => `  f${index}: {title: Fault ${index}, weight: ${index + 1}, remedy: Repair it.}`).join('\n')}
steps:
${numbers.map((index) => `  - step: s${index}
    ask: Is part ${index} good?
    time: ${count - index} min
    results:
      - {when: good, rules_out: [f${index}]${index === count - 1 ? ', refer: Ask the maker.' : ''}}
      - {when: bad, finds: f${index}}`).join('\n')}
`;
}

let editor: Editor | undefined;
afterEach(async () => {
  await editor?.stop();
  editor = undefined;
});

test('the thread comes to what the same job comes to here, and gives up on a job that is no longer wanted', async () => {
  const { outcome: second, cancel, engine } = startTwo();
  cancel();
  expect(await second).toBe('superseded');
  const workspace = depot();
  const job = diagnosisJob(workspace, fileOf('air_pressure'), { propose: true, places: 5_000 });
  expect(job.files.map(([path]) => path)).toContain('/depot/shop.yaml');
  const outcome = await engine.begin(job).outcome;
  expect(JSON.parse(JSON.stringify(outcome))).toEqual(JSON.parse(JSON.stringify(doDiagnosisJob(job))));
});

function startTwo() {
  const engine = diagnosisOnThread(fileURLToPath(new URL('../../dist/faultwright.cjs', import.meta.url)));
  const { workspace, path } = alone(longList(28));
  return { engine, ...engine.begin(diagnosisJob(workspace, path, { propose: true, places: 1e9 })) };
}

test('while a better order is looked for, the server answers what is asked meanwhile; the next edit ends the search', async () => {
  const FILE = 'long_list.procedure.yaml';
  editor = await startEditor();
  await editor.open(FILE, longList(28));
  const uri = editor.uri(FILE);
  const order: unknown[] = [];
  const search = editor.request<DiagnosisProposalResult>('faultwright/diagnosisProposal', { uri }).then(() => order.push('found'), (error: { code?: number }) => order.push(error.code));
  await editor.request('textDocument/documentSymbol', { textDocument: { uri } });
  order.push('symbols');
  await editor.change(FILE, { range: { start: { line: 1, character: 7 }, end: { line: 1, character: 7 } }, text: 'A ' });
  await search;
  // ContentModified of the protocol, and not an answer for a text that is no more.
  expect(order).toEqual(['symbols', -32801]);

  await editor.change(FILE, { text: longList(4) });
  const again = await editor.request<DiagnosisProposalResult>('faultwright/diagnosisProposal', { uri });
  expect(again.version).toBe(3);
  expect(again.proposal?.steps.after).toEqual(['s2', 's1', 's0', 's3']);
});
