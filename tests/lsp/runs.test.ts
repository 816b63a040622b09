import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import type {
  ChecklistResult,
  FlowResult,
  RunAppendResult,
  RunFinishResult,
  RunOpenResult,
  UnfinishedRun,
} from '../../server/src/lsp/protocol.ts';
import type { RunEvent } from '../../server/src/run/events.ts';
import { positionOf, startEditor } from './editor.ts';
import type { Editor } from './editor.ts';
import { LAMP, LIBRARY } from './library.ts';

let editor: Editor;
afterEach(() => editor.stop());
const FILE = 'work_lamp.procedure.yaml';
const at = '2026-11-25T09:30:00+01:00';

test('the flow is an SVG whose steps are known by place', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, LAMP);
  const flow = await editor.request<FlowResult>('faultwright/flow', { uri: editor.uri(FILE) });
  expect(flow.title).toBe('Work lamp stays dark');
  expect(flow.svg).toMatch(/^<svg [^]*<\/svg>\s*$/);
  expect(flow.svg).toContain('data-step="feed"');
  expect(flow.svg).not.toContain(' style="');
  expect(flow.steps.map((step) => [step.name, step.section])).toEqual([
    ['feed', 'steps'],
    ['prove', 'after_repair'],
  ]);
  expect(flow.steps[0]?.nameRange.start).toEqual(positionOf(LAMP, 'feed\n'));
  expect(flow.version).toBe(1);
});

test('there is no flow and no checklist of what is no procedure', async () => {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, '');
  expect(await editor.request('faultwright/flow', { uri: editor.uri(FILE) })).toBeNull();
  expect(await editor.request('faultwright/checklist', { uri: editor.uri('shop.yaml') })).toBeNull();
});

async function begin(): Promise<{
  folder: string;
  runId: string;
  checklist: ChecklistResult;
  append: (event: RunEvent, index?: number) => Promise<RunAppendResult>;
}> {
  editor = await startEditor({ files: LIBRARY });
  await editor.open(FILE, LAMP);
  const checklist = await editor.request<ChecklistResult>('faultwright/checklist', { uri: editor.uri(FILE) });
  expect(checklist.folder).toBe(editor.folder);
  expect(checklist.errors).toBe(0);
  const { folder } = checklist;
  const { runId, events } = await editor.request<RunOpenResult>('faultwright/runOpen', { folder, document: checklist.document });
  expect(events).toEqual([]);
  return {
    folder,
    runId,
    checklist,
    append: (event, index) => editor.request('faultwright/runAppend', { folder, runId, event, index }),
  };
}

test('a run is on disk event by event, is refused out of turn, and ends as a record', async () => {
  const { folder, runId, checklist, append } = await begin();
  const { contentHash } = checklist.document;
  const started: RunEvent = {
    kind: 'started',
    at,
    person: 'Technician 7',
    procedure: 'work_lamp',
    revision: '1',
    contentHash,
    facts: {},
  };
  expect(await append(started, 0)).toEqual({ events: 1 });
  const journal = join(folder, 'records', 'unfinished', `${runId}.jsonl`);
  expect(readFileSync(journal, 'utf8')).toContain('Technician 7');
  await expect(append({ kind: 'reading', at, step: 'feed', typed: '9' }, 0)).rejects.toThrow(/elsewhere/);
  expect(await append({ kind: 'reading', at, step: 'feed', typed: '3,2 V' }, 1)).toEqual({ events: 2 });

  const unfinished = await editor.request<UnfinishedRun[]>('faultwright/runsUnfinished', { folder });
  expect(unfinished).toMatchObject([{ runId, procedure: 'work_lamp', revision: '1', events: 2 }]);
  const resumed = await editor.request<RunOpenResult>('faultwright/runOpen', { folder, runId });
  expect(resumed.events).toHaveLength(2);
  expect(resumed.document.contentHash).toBe(contentHash);

  await expect(editor.request('faultwright/runFinish', { folder, runId })).rejects.toThrow(/not come to an end/);
  await append({ kind: 'remedy', at, carriedOut: true });
  await append({ kind: 'answer', at, step: 'prove', typed: 'yes' });
  await append({ kind: 'finished', at });
  const finished = await editor.request<RunFinishResult>('faultwright/runFinish', { folder, runId });
  const record = JSON.parse(readFileSync(finished.path, 'utf8')) as {
    outcome: { kind: string; fault: string };
    walk: unknown[];
    people: string[];
  };
  expect(record.outcome).toMatchObject({ kind: 'repaired', fault: 'supply' });
  expect(record.people).toEqual(['Technician 7']);
  expect(existsSync(journal)).toBe(false);
  expect(await editor.request('faultwright/runsUnfinished', { folder })).toEqual([]);
  expect(await editor.request('faultwright/records', { uri: editor.uri(FILE) })).toMatchObject([
    { procedure: 'work_lamp', path: finished.path },
  ]);
});

test('a run outlives the server', async () => {
  const { folder, runId, checklist, append } = await begin();
  await append({
    kind: 'started',
    at,
    person: 'Technician 7',
    procedure: 'work_lamp',
    revision: '1',
    contentHash: checklist.document.contentHash,
    facts: {},
  });
  await append({ kind: 'reading', at, step: 'feed', typed: '24.1' });
  const kept = readFileSync(join(folder, 'records', 'unfinished', `${runId}.jsonl`), 'utf8');
  const files = { ...LIBRARY, [`records/unfinished/${runId}.jsonl`]: kept };
  await editor.stop();
  editor = await startEditor({ files });
  const resumed = await editor.request<RunOpenResult>('faultwright/runOpen', { folder: editor.folder, runId });
  expect(resumed.events.map((event) => event.kind)).toEqual(['started', 'reading']);
});

test('a run that is given up leaves no record and keeps its journal', async () => {
  const { folder, runId } = await begin();
  expect(await editor.request('faultwright/runDiscard', { folder, runId })).toBeNull();
  expect(await editor.request('faultwright/runsUnfinished', { folder })).toEqual([]);
  expect(readdirSync(join(folder, 'records', 'discarded'))).toEqual([`${runId}.jsonl`]);
});
