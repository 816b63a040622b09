/** `faultwright records …`, through the command line, on records that runs have written. */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { runCommandLine } from '../../server/src/edge/command-line.ts';
import { beginRun, discardRun, writeRecord } from '../../server/src/edge/record-files.ts';
import { csvTable } from '../../server/src/edge/text-table.ts';
import { ageStart } from '../../server/src/edge/records-command.ts';
import { recordScanText } from '../../server/src/render/record-scan.ts';
import { emptyRun, startedEvent, type Run } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord, type RunRecord } from '../../server/src/run/record.ts';
import { AT, enter, minutes, ready, tailLift, take } from '../run/fixtures.ts';

let depot = '';
let records = '';
beforeEach(() => {
  depot = mkdtempSync(join(tmpdir(), 'faultwright-records-'));
  records = join(depot, 'records');
  cpSync(fileURLToPath(new URL('../run/fixtures/', import.meta.url)), depot, { recursive: true });
});
afterEach(() => rmSync(depot, { recursive: true, force: true }));

const SALT = '00112233445566778899aabbccddeeff';

function begun(person: string, at = AT): Run {
  const document = tailLift();
  return take(emptyRun(document), startedEvent(document, { at, person, salt: SALT }));
}

function stopped(person: string, runId: string, day = '2026-11-25'): RunRecord {
  const at = (text: string): string => text.replace('2026-11-25', day);
  const run = take(enter(ready(begun(person, at(AT)), at(AT)), '', at(AT)), { kind: 'note', text: 'Wet; "loose"', at: at(AT) }, { kind: 'stopped', reason: 'Called away.', at: at(minutes(9)) });
  return JSON.parse(JSON.stringify(buildRecord(run, runId))) as RunRecord;
}

function repaired(runId: string): RunRecord {
  let run = ready(begun('Technician 4'));
  for (const typed of ['', 'silent', '', '25.3', '25.1', '0.1', '0.3', '0.1', '24', '', '31', 'New contactor.', '', 'yes']) run = enter(run, typed);
  run = take(run, { kind: 'handed_over', to: 'Technician 7', at: minutes(5) }, { kind: 'finished', at: minutes(6) });
  return JSON.parse(JSON.stringify(buildRecord(run, runId))) as RunRecord;
}

async function command(...words: string[]): Promise<{ code: number | undefined; out: string; error: string }> {
  let out = '';
  let error = '';
  const code = await runCommandLine(['records', ...words], { cwd: depot, out: (text) => (out += text), error: (text) => (error += text), columns: 100, colours: false });
  return { code, out, error };
}

function altered(path: string, change: (record: Record<string, unknown> & RunRecord) => void): void {
  const record = JSON.parse(readFileSync(path, 'utf8')) as Record<string, unknown> & RunRecord;
  change(record);
  writeFileSync(path, JSON.stringify(record));
}

describe('records check', () => {
  it('says that all is whole, with code 0, from the shop, a folder above, a year and a file', async () => {
    const path = writeRecord(records, repaired('run-00001'));
    for (const paths of [[], ['.'], ['..'].map(() => depot), [join('records', '2026')], [relative(depot, path)]]) {
      expect(await command('check', ...paths), paths.join()).toEqual({ code: 0, out: '1 record: all whole.\n', error: '' });
    }
  });

  it('finds nothing wrong where no run was ever made', async () => {
    expect(await command('check')).toEqual({ code: 0, out: 'There are no records here.\n', error: '' });
    expect((await command('list')).out).toBe('No records.\n');
  });

  it('names what is altered, missing, moved or not as the schema has it, with code 1, as text and JSON', async () => {
    const path = writeRecord(records, repaired('run-00001'));
    const whole = readFileSync(path, 'utf8');
    const cases: [RegExp, (record: Record<string, unknown> & RunRecord) => void][] = [
      [/Event 3 was altered/, (record) => ((record.events[2]?.event as { at: string }).at = minutes(1))],
      [/Event 4 is missing before event 5/, (record) => (record.events as unknown[]).splice(3, 1)],
      [/out of order/, (record) => (record.events as unknown[]).reverse()],
      [/its digest does not fit/, (record) => ((record as { shop?: string }).shop = 'Other')],
      [/Not as the schema has it: outcome must NOT have additional properties: 'safe'/, (record) => ((record.outcome as unknown as Record<string, unknown>)['safe'] = true)],
      [/The name 'Someone' is not the one/, (record) => ((record.identities?.[0] as { person: string }).person = 'Someone')],
    ];
    for (const [message, change] of cases) {
      writeFileSync(path, whole);
      altered(path, change);
      const text = await command('check');
      expect(text.code).toBe(1);
      expect(text.out).toMatch(message);
      const json = JSON.parse((await command('check', '--format', 'json')).out) as { wrong: number; records: { path: string; whole: boolean; problems: { message: string }[] }[] };
      expect(json).toMatchObject({ checked: 1, wrong: 1, records: [{ whole: false, path: relative(depot, path) }] });
      expect(json.records[0]?.problems.some((problem) => message.test(problem.message))).toBe(true);
    }
  });

  it('names a copy of a run, and a damaged journal', async () => {
    const path = writeRecord(records, repaired('run-00001'));
    writeFileSync(join(dirname(path), 'copy.json'), readFileSync(path));
    mkdirSync(join(records, 'unfinished'));
    writeFileSync(join(records, 'unfinished', 'x.jsonl'), 'nothing\n');
    const { code, out } = await command('check');
    expect(code).toBe(1);
    expect(out).toMatch(/The run run-00001 is there twice: a copy of /);
    expect(out).toMatch(/holds no run: its first line is not whole/);
  });

  it('ends with 2 where a path is not there, and never throws for what a file holds', async () => {
    expect(await command('check', 'nowhere')).toMatchObject({ code: 2, error: 'nowhere could not be read. There is nothing of that name. Name a record, or a folder that holds a records folder.\n' });
    mkdirSync(join(records, '2026'), { recursive: true });
    for (const text of ['', 'null', '[]', '{"format":1}', '{"format":1,"run":"x","procedure":{"name":"x"},"contentHash":"x","count":0,"digest":"x","events":[]}', '{"format":1,"run":"x","procedure":{"name":"x"},"contentHash":"x","count":1,"digest":"x","identities":5,"events":[{"number":1,"digest":"x","event":{}}]}']) {
      writeFileSync(join(records, '2026', 'odd.json'), text);
      expect((await command('check')).code, text).toBe(1);
      expect((await command('list')).code, text).toBe(1);
    }
  });
});

describe('records list', () => {
  it('shows what was found, the latest first, by asset, procedure and day', async () => {
    writeRecord(records, repaired('run-00001'));
    writeRecord(records, stopped('Technician 7', 'run-00002', '2026-12-01'));
    const all = await command('list');
    expect(all.code).toBe(0);
    expect(all.out).toBe([
      'Ended             Asset  Procedure           Rev.  Result    Found',
      '2026-12-01 09:39  TL-07  tail_lift_no_raise  4     stopped   -',
      '2026-11-25 09:36  TL-07  tail_lift_no_raise  4     repaired  Contactor coil out of range',
      '', '2 records.', '',
    ].join('\n'));
    expect((await command('list', '--from', '2026-11-26')).out).toContain('1 record.');
    expect((await command('list', '--to', '2026-11-25')).out).toContain('repaired');
    expect((await command('list', '--asset', 'TL-08')).out).toBe('No records.\n');
    expect((await command('list', '--procedure', 'battery_condition')).out).toBe('No records.\n');
    expect(await command('list', '--from', '25.11.2026')).toMatchObject({ code: 2, error: '--from wants a day, as 2026-11-25; found 25.11.2026.\n' });
    const json = JSON.parse((await command('list', '--format', 'json')).out) as { records: object[] };
    expect(json.records[1]).toMatchObject({ result: 'repaired', found: 'Contactor coil out of range', check: 'whole', use: 'Repaired, and the repair proved by the steps of the procedure.' });
  });

  it('writes CSV after RFC 4180, and no formula', async () => {
    const run = take(ready(begun('T')), { kind: 'stopped', reason: 'x', at: AT });
    const record = buildRecord({ ...run, walk: { ...run.walk, asset: '=HYPERLINK("http://x","a,b")\nnext' } }, 'run-00003');
    writeRecord(records, record);
    const { out } = await command('list', '--format', 'csv');
    const [header, ...rest] = out.split('\r\n');
    expect(header).toBe('ended,asset,procedure,revision,result,verdict,found,use,minutes,run,file,check');
    expect(rest.join('\r\n')).toContain(`"'=HYPERLINK(""http://x"",""a,b"")\nnext"`);
    for (const formula of ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', ' =1', '\u00a0=1', '\u200b=1', '\ufeff@x', '\uff1d1', '\n=1']) {
      expect(csvTable(['x'], [[formula]]).split('\r\n').slice(1).join('\r\n'), JSON.stringify(formula)).toMatch(/^"?'/);
    }
    expect(csvTable(['x'], [['TL-07'], ['a=b'], [-3]])).toBe('x\r\nTL-07\r\na=b\r\n-3\r\n');
    expect(out.endsWith('\r\n')).toBe(true);
  });
});

describe('records summary', () => {
  beforeEach(() => {
    writeRecord(records, repaired('run-00001'));
    writeRecord(records, stopped('Technician 7', 'run-00002', '2026-12-01'));
  });

  it('says what was found over all records, alone and by name, as tables', async () => {
    const { code, out } = await command('summary');
    expect(code).toBe(0);
    expect(out.split('\n').slice(0, 5)).toEqual([
      '2 runs on 1 asset, from 2026-11-25 to 2026-12-01.', '', 'By asset: what stands against it, the gravest first',
      'Asset  Runs  Last run          Result   Procedure', 'TL-07     2  2026-12-01 09:39  stopped  tail_lift_no_raise',
    ]);
    expect(out).toContain('Contactor coil out of range  -          1       1         1  2026-11-25  2026-11-25  tail_lift_no_raise');
    expect((await command()).out).toBe(`${out}\nMore: faultwright records --help\n`);
    expect(await command('sumary')).toMatchObject({ code: 2, error: 'There is no command records sumary. See: faultwright records --help\n' });
  });

  it('writes one table as CSV, and all or one as JSON', async () => {
    expect((await command('summary', '--by', 'month', '--format', 'csv')).out).toBe('month,runs,assets,passed,repaired,found,referred,stopped,no_way_on,defects\r\n2026-12,1,1,0,0,0,0,1,0,0\r\n2026-11,1,1,0,1,0,0,0,0,0\r\n');
    expect((await command('summary', '--by', 'asset', '--format', 'csv')).out).toBe('asset,runs,last,procedure,result,stands,since,what,found_by\r\nTL-07,2,2026-12-01T09:39:00+01:00,tail_lift_no_raise,stopped,,,,\r\n');
    expect(await command('summary', '--format', 'csv')).toMatchObject({ code: 2, error: 'CSV holds one table. Say which: --by asset, --by procedure, --by finding, --by month\n' });
    const json = JSON.parse((await command('summary', '--format', 'json')).out) as Record<string, unknown[]>;
    expect(json).toMatchObject({ format: 1, runs: 2, findings: [{ fault: 'contactor', repaired: 1 }] });
    expect(JSON.parse((await command('summary', '--format', 'json', '--by', 'finding', '--to', '2026-11-30')).out)).toEqual({
      format: 1, runs: 1, from: '2026-11-25', to: '2026-11-25', findings: json['findings'],
    });
  });

  it('says how many records are not whole', async () => {
    writeFileSync(join(records, '2026', 'odd.json'), '{}');
    expect(await command('summary')).toMatchObject({ code: 1, error: '1 record is not whole, or could not be read: faultwright records check\n' });
    expect(await command('summary', '--asset', 'TL-99')).toMatchObject({ out: 'No records.\n' });
  });
});

describe('records show', () => {
  it('shows a record by its file, or the end of its run', async () => {
    const path = writeRecord(records, repaired('run-00001'));
    const { code, out } = await command('show', relative(depot, path));
    expect(code).toBe(0);
    expect((await command('show', '00001')).out).toBe(out);
    for (const words of [
      'Record: Tail lift platform does not rise', 'Found and repaired: contactor coil out of range. The repair is proved.', 'People     Technician 4, Technician 7',
      '25.1, understood as 25.1 V (UCUM V)', 'Limits: between 18 Ω (coil_low) and 26 Ω (coil_high); anything else', 'Event', 'Digest', 'A clean check does not make a procedure safe by itself.',
    ]) expect(out.replace(/ {2,}/g, '     ').replace(/\s*\n\s*/g, ' ')).toContain(words.replace(/ {2,}/g, '     '));
    expect(await command('show', '99999')).toMatchObject({ code: 2, error: 'No run here ends in 99999. See: faultwright records list\n' });
    expect(await command('show', 'nowhere.json')).toMatchObject({ code: 2 });
    expect(await command('show', '00001', '-o', 'x.doc')).toMatchObject({ code: 2, error: 'The output file must end in .html, .pdf or .txt; found x.doc.\n' });
  });

  it('says first that a record is not whole, with code 1', async () => {
    const path = writeRecord(records, repaired('run-00001'));
    altered(path, (record) => ((record as { shop?: string }).shop = 'Other'));
    const { code, out } = await command('show', '00001');
    expect(code).toBe(1);
    expect(out.split('\n')[2]).toBe('! This record is not whole: The events are whole, but something else in the record was altered: its');
  });

  it('writes a page without a script, on which hostile text is text', async () => {
    const hostile = '<img src=x onerror=alert(1)>\u202e\u001b[31m';
    const run = take(ready(begun(hostile)), { kind: 'note', text: `</style><script>alert(1)</script>${hostile}`, at: AT }, { kind: 'stopped', reason: hostile, at: AT });
    writeRecord(records, buildRecord(run, 'run-00009'));
    expect(await command('show', '00009', '-o', 'sheet.html')).toMatchObject({ code: 0, out: '', error: 'Written: sheet.html\n' });
    const html = readFileSync(join(depot, 'sheet.html'), 'utf8');
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(html).not.toMatch(/<script|<img|onerror=[^a]|\u202e|\u001b/);
    expect(html).toMatch(/default-src 'none'; style-src 'sha256-[^']+'; base-uri 'none'; form-action 'none'/);
    const { out } = await command('show', '00009');
    // eslint-disable-next-line no-control-regex
    expect(out).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202e]/);
  });
});

describe('pictures beside a record', () => {
  const digest = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';

  it('are held against their digests, and go when the record goes', async () => {
    const run = take(ready(begun('T')), { kind: 'photo', name: 'stud.jpg', digest, at: AT }, { kind: 'stopped', reason: 'x', at: AT });
    writeRecord(records, buildRecord(run, 'run-00011'));
    expect((await command('check')).out).toContain('The picture stud.jpg is not there: it was kept as photos/run-00011/stud.jpg.');
    mkdirSync(join(records, 'photos', 'run-00011'), { recursive: true });
    // FIPS 180-4 example: SHA-256 of 'abc'.
    writeFileSync(join(records, 'photos', 'run-00011', 'stud.jpg'), 'abc');
    expect((await command('check')).out).toBe('1 record: all whole.\n');
    writeFileSync(join(records, 'photos', 'run-00011', 'stud.jpg'), 'abd');
    expect((await command('check')).out).toContain('is not the one that was taken: its digest does not fit.');
    mkdirSync(join(records, 'discarded'));
    const given = beginRun(records, tailLift(), 'run-00012');
    given.journal.append(startedEvent(tailLift(), { at: '2020-01-01T08:00:00Z', person: 'T' }));
    given.journal.close();
    discardRun(records, 'run-00012');
    const removed = await command('remove', '--older-than', '1 day', '--because', 'Kept long enough.');
    expect(removed.code).toBe(0);
    expect(readdirSync(join(records, 'discarded'))).toEqual([]);
    expect(JSON.parse(readFileSync(join(records, 'removed', 'run-00012.json'), 'utf8'))).toMatchObject({ discarded: true, procedure: 'tail_lift_no_raise', because: 'Kept long enough.' });
    rmSync(join(records, 'removed'), { recursive: true });
    for (const year of readdirSync(join(records, '2026'))) rmSync(join(records, '2026', year));
    const old = buildRecord(take(ready(begun('T', '2020-01-01T08:00:00Z'), '2020-01-01T08:00:00Z'), { kind: 'photo', name: 'stud.jpg', digest, at: '2020-01-01T08:00:00Z' }, { kind: 'stopped', reason: 'x', at: '2020-01-01T08:00:00Z' }), 'run-00011');
    writeRecord(records, old);
    await command('remove', '--older-than', '1 day', '--because', 'Kept long enough.');
    expect(existsSync(join(records, 'photos', 'run-00011'))).toBe(false);
    expect(existsSync(join(records, 'removed', 'run-00011.json'))).toBe(true);
  });
});

describe('records import', () => {
  it('takes records in once, refuses altered ones unless told, and overwrites nothing', async () => {
    const file = join(depot, 'tablet.record.json');
    writeFileSync(file, JSON.stringify(repaired('run-00001')));
    expect((await command('import', 'tablet.record.json')).out).toBe('tablet.record.json: taken in as records/2026/2026-11-25T0930_tail_lift_no_raise_TL-07_un-00001.json.\n');
    const path = join(records, '2026', readdirSync(join(records, '2026'))[0] ?? '');
    const before = readFileSync(path, 'utf8');
    expect(await command('import', 'tablet.record.json')).toMatchObject({ code: 0, out: expect.stringContaining('is there already') as string });
    altered(file, (record) => ((record as { shop?: string }).shop = 'Other'));
    expect(await command('import', 'tablet.record.json')).toMatchObject({ code: 1, out: expect.stringMatching(/refused\. .*To take it in all the same: --altered/) as string });
    expect(await command('import', '--altered', 'tablet.record.json')).toMatchObject({ code: 0, out: expect.stringContaining('is there already') as string });
    altered(file, (record) => ((record as { digest: string }).digest = 'f'.repeat(64)));
    expect(await command('import', '--altered', 'tablet.record.json')).toMatchObject({ code: 1, out: expect.stringContaining('differs. Neither was changed.') as string });
    altered(file, (record) => ((record as { run: string }).run = 'run-90001'));
    expect((await command('import', '--altered', 'tablet.record.json')).out).toMatch(/taken in as .*It is not whole/);
    expect(readFileSync(path, 'utf8')).toBe(before);
    expect((await command('check')).code).toBe(1);
    writeFileSync(file, 'x');
    expect((await command('import', 'tablet.record.json', 'none.json')).out).toBe('tablet.record.json: refused. It is no JSON text.\nnone.json: refused. There is no such file.\n');
  });

  it('takes a list of records, with hostile ids inside the folder alone', async () => {
    const hostile = { ...repaired('../../../../evil'), asset: '../../x' };
    writeFileSync(join(depot, 'list.json'), JSON.stringify([stopped('T', 'run-00002'), hostile]));
    await command('import', '--altered', 'list.json');
    expect(readdirSync(join(records, '2026'))).toHaveLength(2);
    expect(readdirSync(depot).sort()).toEqual(['assets.yaml', 'battery_condition.procedure.yaml', 'list.json', 'records', 'shop.yaml', 'tail_lift_no_raise.procedure.yaml']);
  });

  it('makes a record again from a scanned code', async () => {
    const { servedLibrary } = await import('../../server/src/edge/served-library.ts');
    const [procedure] = (await servedLibrary(depot, undefined).procedures()).filter((one) => one.name === 'tail_lift_no_raise');
    const document = procedure?.document('TL-07') ?? tailLift();
    const run = take(emptyRun(document), startedEvent(document, { at: AT, person: 'T', salt: SALT }), { kind: 'stopped', reason: 'Rain.', at: minutes(1) });
    writeFileSync(join(depot, 'scan.txt'), (await recordScanText(buildRecord(run, 'run-00005'))) ?? '');
    expect((await command('import', 'scan.txt')).out).toMatch(/^scan\.txt: taken in as records\/2026\//);
    expect((await command('check')).out).toBe('1 record: all whole.\n');
    writeFileSync(join(depot, 'scan.txt'), 'FAULTWRIGHT RECORD 1 %%%');
    expect(await command('import', 'scan.txt')).toMatchObject({ code: 1, out: expect.stringContaining('damaged') as string });
  });
});

describe('records pseudonymise', () => {
  it('takes every name out and leaves a record that is whole, and follows from its events', async () => {
    const path = writeRecord(records, repaired('run-00001'));
    expect(readFileSync(path, 'utf8')).toContain('Technician 7');
    const { code, out } = await command('pseudonymise');
    expect(code).toBe(0);
    expect(out).toContain('Names taken out of 1 record.');
    const text = readFileSync(path, 'utf8');
    expect(text).not.toMatch(/Technician [47]/);
    expect(text).not.toContain(SALT);
    const record = JSON.parse(text) as RunRecord;
    expect(record.people).toEqual(['Person 1', 'Person 2']);
    expect(checkRecord(record)).toEqual([]);
    expect(checkRecord(record, tailLift())).toEqual([]);
    expect((await command('check')).code).toBe(0);
    expect((await command('pseudonymise')).out).toContain('0 records; 1 had none');
    // What was altered before or after still shows.
    altered(path, (one) => ((one.events[1]?.event as { person?: string }).person = 'Person 2'));
    expect((await command('check')).out).toMatch(/Event 2 was altered/);
  });

  it('does not let pseudonyms be exchanged, or a name be put in anew', () => {
    const record = repaired('run-00001');
    const swapped = JSON.parse(JSON.stringify(record).replaceAll('Technician 4', '#').replaceAll('Technician 7', 'Technician 4').replaceAll('#', 'Technician 7')) as RunRecord;
    expect(checkRecord(swapped)[0]?.kind).toBe('altered');
    expect(checkRecord(JSON.parse(JSON.stringify(record).replaceAll('Technician 4', 'Technician 5')) as RunRecord)[0]?.kind).toBe('altered');
  });

  it('keeps whose pseudonym is whose in a file apart: the same in every record, and provable', async () => {
    const one = writeRecord(records, repaired('run-00001'));
    const two = writeRecord(records, stopped('Technician 7', 'run-00002', '2026-12-01'));
    await command('pseudonymise', '--names', 'names.json');
    const names = JSON.parse(readFileSync(join(depot, 'names.json'), 'utf8')) as { people: { person: string; pseudonym: string }[]; runs: { run: string; salt: string }[] };
    const pseudonym = names.people.find((person) => person.person === 'Technician 7')?.pseudonym ?? '';
    const read = (path: string): RunRecord => JSON.parse(readFileSync(path, 'utf8')) as RunRecord;
    expect(read(one).people).toContain(pseudonym);
    expect(read(two).people).toEqual([pseudonym]);
    const { sealOfPerson } = await import('../../server/src/run/seal-people.ts');
    const salt = names.runs.find((run) => run.run === 'run-00002')?.salt ?? '';
    expect(read(two).identities).toEqual([{ person: pseudonym, seal: sealOfPerson(salt, 'Technician 7') }]);
    // Unlinked: the same person has another seal in another run only where the salts differ.
    writeFileSync(join(depot, 'bad.json'), '[]');
    expect((await command('pseudonymise', '--names', 'bad.json')).code).toBe(2);
  });

  it('says where a name stands in free words, and leaves records with unsealed names alone', async () => {
    const run = take(begun('Technician 4'), { kind: 'note', text: 'Asked technician 4 again.', at: AT }, { kind: 'stopped', reason: 'x', at: AT });
    writeRecord(records, buildRecord(run, 'run-00006'));
    expect((await command('pseudonymise')).out).toContain('a name still stands in free words, which are left as they were written: event 2 (note).');
    const document = tailLift();
    const plain = take(emptyRun(document), startedEvent(document, { at: AT, person: 'T9' }), { kind: 'stopped', reason: 'x', at: AT });
    const path = writeRecord(records, buildRecord(plain, 'run-00007'));
    const before = readFileSync(path, 'utf8');
    expect(await command('pseudonymise')).toMatchObject({ code: 1, out: expect.stringContaining('Its names are not sealed') as string });
    expect(readFileSync(path, 'utf8')).toBe(before);
  });
});

describe('records remove', () => {
  it('removes what is old enough, with a reason, and leaves a note of each', async () => {
    const path = writeRecord(records, stopped('T', 'run-00001', '2020-01-15'));
    writeRecord(records, stopped('T', 'run-00002', new Date().toISOString().slice(0, 10)));
    expect((await command('list', '--older-than', '15 months')).out).toContain('1 record.');
    expect(await command('remove', '--older-than', '15 months')).toMatchObject({ code: 2, error: expect.stringContaining('--because') as string });
    expect((await command('remove', '--older-than', '15 months', '--because', ' ')).code).toBe(2);
    expect((await command('remove', '--older-than', 'long ago', '--because', 'x')).error).toBe('\'long ago\' is no age. Write it as: 15 months, 400 days, 2 years.\n');
    expect((await command('remove', '--older-than', '15 months', '--because', 'Kept for 15 months.', '--by', 'Fleet office')).code).toBe(0);
    expect(existsSync(path)).toBe(false);
    const notes = join(records, 'removed');
    expect(readdirSync(notes)).toEqual(['run-00001.json']);
    expect(JSON.parse(readFileSync(join(notes, 'run-00001.json'), 'utf8'))).toMatchObject({ run: 'run-00001', because: 'Kept for 15 months.', by: 'Fleet office', asset: 'TL-07' });
    expect((await command('check')).out).toBe('1 record: all whole.\n');
    expect((await command('remove', '--help')).out).toMatch(/396\.3\(c\), read\n.*396\.11, from a secondary source/);
  });

  it.each([
    ['15 months', '2026-11-30T12:00:00Z', '2025-08-30T12:00:00.000Z'],
    ['1 month', '2026-03-31T12:00:00Z', '2026-02-28T12:00:00.000Z'],
    ['2 years', '2028-02-29T12:00:00Z', '2026-02-28T12:00:00.000Z'],
    ['400 days', '2026-11-25T12:00:00Z', '2025-10-21T12:00:00.000Z'],
  ])('%s before %s is %s', (age, now, start) => expect(new Date(ageStart(age, new Date(now))).toISOString()).toBe(start));
});

const git = (...words: string[]): string => {
  const done = spawnSync('git', ['-c', 'user.name=T', '-c', 'user.email=t@example.invalid', '-c', 'commit.gpgsign=false', ...words], { cwd: depot, encoding: 'utf8' });
  if (done.status !== 0) throw new Error(`git ${words.join(' ')}: ${done.stderr}${done.stdout}`);
  return done.stdout;
};

describe.skipIf(spawnSync('git', ['--version']).status !== 0)('two branches', () => {
  it('with runs, removals and names taken out at the same time merge without conflict', async () => {
    writeRecord(records, stopped('T', 'run-00001', '2020-01-15'));
    writeRecord(records, stopped('T', 'run-00002', '2020-02-15'));
    git('init', '--quiet', '--initial-branch=main');
    git('add', '.');
    git('commit', '--quiet', '-m', 'first');
    git('checkout', '--quiet', '-b', 'tablet');
    writeRecord(records, repaired('run-aaaaaaaa'));
    await command('remove', '--older-than', '15 months', '--to', '2020-01-31', '--because', 'Kept long enough.');
    git('add', '-A');
    git('commit', '--quiet', '-m', 'tablet');
    git('checkout', '--quiet', 'main');
    // The same minute, procedure and asset.
    writeRecord(records, repaired('run-bbbbbbbb'));
    await command('pseudonymise', '--from', '2020-02-01', '--to', '2020-02-28');
    git('add', '-A');
    git('commit', '--quiet', '-m', 'depot');
    git('merge', '--quiet', '--no-edit', 'tablet');
    expect((await command('check')).out).toBe('3 records: all whole.\n');
    expect(readdirSync(join(records, 'removed')).map((name) => basename(name))).toEqual(['run-00001.json']);
  });
});
