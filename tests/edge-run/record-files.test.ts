import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, relative } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { JournalError } from '../../server/src/edge/journal.ts';
import {
  beginRun, checkRecordFile, discardRun, finishRun, journalPath, newRunId, readRecords, recordName, resumeRun, safeName, unfinishedRuns, writeRecord,
} from '../../server/src/edge/record-files.ts';
import type { RunEvent } from '../../server/src/run/engine.ts';
import { buildRecord } from '../../server/src/run/record.ts';
import { AT, begin, enter, minutes, ready, tailLift, take } from '../run/fixtures.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'faultwright-records-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function stopped(): ReturnType<typeof begin> {
  return take(enter(ready(begin(tailLift())), ''), { kind: 'stopped', reason: 'Called away.', at: minutes(1) });
}

function journalled(events: readonly RunEvent[], runId = 'run-0001'): ReturnType<typeof beginRun> {
  const open = beginRun(folder, tailLift(), runId);
  for (const event of events) open.journal.append(event);
  return open;
}

describe('records', () => {
  it('are written once, beside their year, and read back', () => {
    const open = journalled(stopped().events);
    const { path, record } = finishRun(open);
    expect(relative(folder, path)).toBe(join('2026', '2026-11-25T0930_tail_lift_no_raise_TL-07_run-0001.json'));
    expect(existsSync(open.journal.path)).toBe(false);
    expect(checkRecordFile(path).problems).toEqual([]);
    expect(readRecords(folder).records.map((one) => one.record)).toEqual([JSON.parse(JSON.stringify(record))]);
    expect(readFileSync(path, 'utf8').endsWith('}\n')).toBe(true);
    expect(readdirSync(dirname(path))).toEqual([basename(path)]);
  });

  it('written twice, as after a power cut before the journal was put away, are there once', () => {
    const open = journalled(stopped().events);
    const record = buildRecord(stopped(), 'run-0001');
    const early = writeRecord(folder, record);
    expect(finishRun(open).path).toBe(early);
    expect(readRecords(folder).records).toHaveLength(1);
  });

  it('that were altered are named, with what is wrong', () => {
    const { path } = finishRun(journalled(stopped().events));
    writeFileSync(path, readFileSync(path, 'utf8').replace('Called away.', 'Done.'));
    writeFileSync(join(dirname(path), 'other.json'), 'not json');
    const { records, problems } = readRecords(folder);
    expect(records).toHaveLength(1);
    expect(problems.map((one) => [basename(one.path), one.problems[0]?.kind])).toEqual([
      ['2026-11-25T0930_tail_lift_no_raise_TL-07_run-0001.json', 'altered'], ['other.json', 'not_a_record'],
    ]);
    expect(checkRecordFile(join(folder, 'none.json')).problems[0]?.kind).toBe('not_a_record');
  });

  it('are not written of a run that has not ended', () => {
    const open = journalled(ready(begin(tailLift())).events);
    expect(() => finishRun(open)).toThrow('The run has not come to an end');
    expect(existsSync(open.journal.path)).toBe(true);
    open.journal.close();
  });

  it('keep the run when the record cannot be written', () => {
    const open = journalled(stopped().events);
    writeFileSync(join(folder, '2026'), 'in the way');
    expect(() => finishRun(open)).toThrow(/could not be written: .*in the way\. Nothing is lost/);
    expect(existsSync(open.journal.path)).toBe(true);
    rmSync(join(folder, '2026'));
    expect(existsSync(finishRun(open).path)).toBe(true);
  });
});

describe('names', () => {
  it.each([
    ['TL-07', 'TL-07'], ['../../etc/passwd', 'etc-passwd'], ['a/b\\c:d*e', 'a-b-c-d-e'], ['', 'unnamed'], ['...', 'unnamed'], ['CON', 'CON-name'], ['lpt1', 'lpt1-name'], ['console', 'console'],
    ['Müller 7', 'Muller-7'], ['\u202e\u0000\n', 'unnamed'], ['漢字', 'unnamed'], ['x'.repeat(300), 'x'.repeat(40)], ['-rf', 'rf'],
  ])('%j becomes %j', (name, safe) => expect(safeName(name)).toBe(safe));

  it('of assets and procedures never lead out of the folder', () => {
    const record = { ...buildRecord(stopped(), 'run-0001'), asset: '../../../tmp/x', startedAt: '../../..' };
    const named = recordName({ ...record, procedure: { ...record.procedure, name: '/etc/passwd' } });
    expect(named).toBe('undated_etc-passwd_tmp-x_run-0001.json');
    expect(relative(folder, writeRecord(folder, record)).startsWith('..')).toBe(false);
  });

  it('of runs that are none reach no path', () => {
    for (const id of ['../x', 'a/b', '', '.', 'x'.repeat(100), 'a\u0000bcd', '__proto__x!']) expect(() => journalPath(folder, id)).toThrow(JournalError);
    const ids = new Set(Array.from({ length: 1000 }, () => newRunId(new Date())));
    expect(ids.size).toBe(1000);
    for (const id of ids) expect(() => journalPath(folder, id)).not.toThrow();
  });
});

describe('runs under way', () => {
  it('are listed with what they are of, the latest first', () => {
    journalled(ready(begin(tailLift())).events, 'run-0001').journal.close();
    journalled([...ready(begin(tailLift())).events, { kind: 'note', text: 'later', at: minutes(20) }], 'run-0002').journal.close();
    writeFileSync(join(folder, 'unfinished', 'broken.jsonl'), '{"journal":1');
    writeFileSync(join(folder, 'unfinished', 'renamed.jsonl'), readFileSync(journalPath(folder, 'run-0001')));
    const { runs, problems } = unfinishedRuns(folder);
    expect(runs.map((run) => run.runId)).toEqual(['run-0002', 'run-0001']);
    expect(runs[0]).toMatchObject({ procedure: 'tail_lift_no_raise', asset: 'TL-07', person: 'Technician 4', revision: '4', startedAt: AT, lastAt: minutes(20) });
    expect(problems[0]).toMatch(/holds no run: its first line is not whole/);
    expect(problems[1]).toMatch(/the file has been renamed/);
    expect(unfinishedRuns(join(folder, 'none'))).toEqual({ runs: [], problems: [] });
  });

  it('go on where they were', () => {
    const run = enter(ready(begin(tailLift())), '');
    journalled(run.events).journal.close();
    const open = resumeRun(folder, 'run-0001');
    expect(open.events).toEqual(run.events);
    open.journal.append({ kind: 'stopped', reason: 'x', at: AT });
    finishRun(open);
    expect(unfinishedRuns(folder).runs).toEqual([]);
  });

  it('given up are kept out of the way, damaged ones too', () => {
    journalled(ready(begin(tailLift())).events).journal.close();
    expect(relative(folder, discardRun(folder, 'run-0001'))).toBe(join('discarded', 'run-0001.jsonl'));
    writeFileSync(join(folder, 'unfinished', 'broken.jsonl'), 'x');
    expect(existsSync(discardRun(folder, 'broken'))).toBe(true);
    expect(unfinishedRuns(folder)).toEqual({ runs: [], problems: [] });
    expect(() => discardRun(folder, 'run-0009')).toThrow('There is no run under way');
  });
});
