/** Files and texts made to do harm: nothing hangs, nothing crashes, nothing moves the cursor, and nothing leads out of the records folder. */
import { deflateRawSync } from 'node:zlib';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { runCommandLine } from '../../server/src/edge/command-line.ts';
import { readJournal } from '../../server/src/edge/journal.ts';
import { keepPictureFile } from '../../server/src/edge/picture-files.ts';
import { readTextFile } from '../../server/src/edge/read-text-file.ts';
import { checkRecordFile, writeRecord } from '../../server/src/edge/record-files.ts';
import { checkedRecord } from '../../server/src/edge/records-command.ts';
import { runCommand } from '../../server/src/edge/run-terminal.ts';
import { base45 } from '../../server/src/render/record-scan.ts';
import { valueDigest } from '../../server/src/run/digest.ts';
import { emptyRun, startedEvent } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord, type RunRecord } from '../../server/src/run/record.ts';
import { sealedRecord, sealFor } from '../../server/src/run/seal-people.ts';
import { AT, checklistOf, tailLift, take } from '../run/fixtures.ts';

const HOSTILE = '\u001b[2J\u001b]0;owned\u0007\u202e\u2066\u0000\u200b<b>__proto__';
// eslint-disable-next-line no-control-regex
const HARMFUL = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u200b\u202a-\u202e\u2066-\u2069]/;

let depot = '';
let records = '';
beforeEach(() => {
  depot = mkdtempSync(join(tmpdir(), 'faultwright-hostile-'));
  records = join(depot, 'records');
});
afterEach(() => rmSync(depot, { recursive: true, force: true }));

async function command(...words: string[]): Promise<{ code: number | undefined; out: string; error: string }> {
  let out = '';
  let error = '';
  const code = await runCommandLine(words, { cwd: depot, out: (text) => (out += text), error: (text) => (error += text), columns: 100, colours: false });
  return { code, out, error };
}

/** A record of a run in which all that can be typed is hostile. */
function hostileRecord(run = 'run-00001'): RunRecord {
  const document = tailLift();
  const made = take(emptyRun(document), { ...startedEvent(document, { at: AT, person: HOSTILE, salt: '00112233445566778899aabbccddeeff' }), asset: HOSTILE },
    { kind: 'note', text: HOSTILE, at: AT }, { kind: 'helper', who: `${HOSTILE}2`, at: AT }, { kind: 'instrument', instrument: HOSTILE, id: HOSTILE, at: AT },
    { kind: 'photo', name: 'a\u202egpj.exe', caption: HOSTILE, at: AT }, { kind: 'stopped', reason: HOSTILE, at: AT });
  return JSON.parse(JSON.stringify(buildRecord(made, run))) as RunRecord;
}

/** As a forger does who knows how digests are made. */
function sealedAnew(record: RunRecord): RunRecord {
  const { digest: _, ...body } = record;
  return { ...body, digest: valueDigest(sealedRecord(body, sealFor(record.events.map((link) => link.event), record.identities))) };
}

describe('hostile text in records', () => {
  it('moves no cursor and hides nothing, in any view', async () => {
    const path = writeRecord(records, hostileRecord());
    expect(checkedRecord(path).problems).toEqual([]);
    for (const words of [['list'], ['check'], ['summary'], ['show', path], ['list', '--format', 'json'], ['summary', '--format', 'json'], ['pseudonymise'], ['list', '--asset', HOSTILE]]) {
      const { out, error } = await command('records', ...words);
      expect(`${out}${error}`.replace(/\n/g, ''), words.join(' ')).not.toMatch(words.includes('json') ? /[\u0000-\u001f]/ : HARMFUL); // eslint-disable-line no-control-regex
    }
  });

  it('in a field that names something every object has is a text', async () => {
    for (const name of ['__proto__', 'constructor', 'toString', 'hasOwnProperty']) {
      const record = hostileRecord(`run-${name.replace(/_/g, '')}`);
      const odd = sealedAnew({
        ...record, defects: [{ fault: name, title: name, grade: name as 'minor', step: name, procedure: name }],
        outcome: { ...record.outcome, kind: name as 'passed', verdict: name as 'minor', fault: name }, asset: name,
      });
      expect(checkRecord(odd)).toEqual([]);
      const path = writeRecord(records, odd);
      expect(checkedRecord(path).problems.length, name).toBeGreaterThan(0);
    }
    for (const words of [['list'], ['check'], ['summary'], ['summary', '--format', 'json'], ['pseudonymise'], ['list', '--format', 'csv']]) {
      expect((await command('records', ...words)).error, words.join(' ')).not.toContain('This should not have happened');
    }
  });

  it('of another shape than any record, with digests that fit, is named and never makes a view fail', async () => {
    const record = hostileRecord();
    const shapes: Record<string, unknown>[] = [
      { walk: [{}] }, { walk: [{ remarks: 5 }] }, { defects: [{}] }, { outcome: { ...record.outcome, remedies: [{}] } }, { outcome: { kind: '', words: '', disposition: '', remedies: [] } },
      { people: [] }, { startedAt: '' }, { endedAt: 'never' }, { workedSeconds: -1e308 }, { notes: 5 }, { photos: [5] }, { standing: null }, { statesAtEnd: [] }, { facts: {} }, { procedure: { name: 'x' } },
      { asset: 'x'.repeat(3_000_000) }, { closing: [HOSTILE] }, { instruments: [null] }, { corrections: 'x' }, { acknowledged: [{}] }, { called: [{}] },
    ];
    shapes.forEach((shape, index) => {
      let made: RunRecord;
      try {
        made = sealedAnew({ ...record, run: `run-${String(index).padStart(5, '0')}`, ...shape } as unknown as RunRecord);
      } catch {
        made = { ...record, ...shape } as unknown as RunRecord;
      }
      mkdirSync(join(records, '2026'), { recursive: true });
      writeFileSync(join(records, '2026', `odd-${index}.json`), JSON.stringify(made));
    });
    for (const words of [['list'], ['summary'], ['summary', '--by', 'asset', '--format', 'csv'], ['check'], ['pseudonymise'], ['show', join('records', '2026', 'odd-1.json')]]) {
      const { code, error } = await command('records', ...words);
      expect(error, words.join(' ')).not.toContain('This should not have happened');
      expect(code, words.join(' ')).toBeGreaterThan(0);
    }
    expect((await command('records', 'import', '--altered', join('records', '2026', 'odd-2.json'))).error).toBe('');
  });

  it('of ten megabytes is read in its time', async () => {
    const record = sealedAnew({ ...hostileRecord(), closing: ['x'.repeat(10_000_000)] });
    writeRecord(records, record);
    const began = performance.now();
    expect((await command('records', 'check')).code).toBe(0);
    expect((await command('records', 'list')).code).toBe(0);
    expect(performance.now() - began).toBeLessThan(20_000);
  });
});

describe('hostile files', () => {
  it('that are links to a device without end are not read', async () => {
    for (const name of ['shop.yaml', 'x.procedure.yaml', 'records/2026/x.json', 'records/unfinished/x.jsonl', '.gitignore']) {
      mkdirSync(join(depot, name, '..'), { recursive: true });
      symlinkSync('/dev/zero', join(depot, name));
    }
    expect(await readTextFile(join(depot, 'shop.yaml'))).toEqual({ unreadable: 'It is a device or a pipe; a file is expected.' });
    expect(checkRecordFile(join(depot, 'records/2026/x.json')).problems).toEqual([{ kind: 'not_a_record', message: 'It is no file.' }]);
    expect(() => readJournal(join(depot, 'records/unfinished/x.jsonl'))).toThrow('holds no run: it is no file');
    expect(keepPictureFile(records, 'run-0001', join(depot, 'shop.yaml'))).toBeUndefined();
    writeFileSync(join(depot, 'y.procedure.yaml'), 'procedure: y\n');
    expect((await command('check', 'y.procedure.yaml')).out).toContain('It is a device or a pipe; a file is expected.');
    expect((await command('records', 'import', 'shop.yaml')).out).toBe('shop.yaml: refused. It is no file.\n');
  }, 20_000);

  it('that unpack to more than any record has are refused', async () => {
    const bomb = `FAULTWRIGHT RECORD 1 ${base45(deflateRawSync(Buffer.alloc(13_000_000, 0x20)))}`;
    expect(bomb.length).toBeLessThan(25_000);
    writeFileSync(join(depot, 'bomb.txt'), bomb);
    expect((await command('records', 'import', 'bomb.txt')).out).toMatch(/^bomb\.txt: refused\. (The scanned record is damaged|It is longer than any code): scan it again\.\n$/);
    writeFileSync(join(depot, 'long.txt'), `FAULTWRIGHT RECORD 1 ${'A'.repeat(5_000_000)}`);
    expect((await command('records', 'import', 'long.txt')).out).toBe('long.txt: refused. It is longer than any code: scan it again.\n');
  });

  it('of names that hold anything but names and pseudonyms are refused, and nothing is changed', async () => {
    const path = writeRecord(records, hostileRecord());
    const before = readFileSync(path, 'utf8');
    for (const text of ['{"format":1,"people":[null],"runs":[]}', '{"format":1,"people":[{"person":"x","pseudonym":"The Boss"}],"runs":[]}', '{"format":1,"people":[],"runs":[5]}', 'null', '[]', '{']) {
      writeFileSync(join(depot, 'names.json'), text);
      expect(await command('records', 'pseudonymise', '--names', 'names.json'), text).toMatchObject({ code: 2, error: expect.stringContaining('is no file of names') as string });
      expect(readFileSync(path, 'utf8')).toBe(before);
    }
  });

  it('that are pictures with such names are kept under harmless ones, in their folder', () => {
    const picture = (name: string): string => {
      const path = join(depot, name);
      writeFileSync(path, 'abc');
      return path;
    };
    const names = ['CON.jpg', 'a\u202egpj.png', '-rf.jpg', '..jpg', 'x'.repeat(200) + '.jpeg', 'a b.JPG', 'ü.webp', 'a.jpg.exe'].map((name) => keepPictureFile(records, 'run-0001', picture(name))?.name ?? '');
    for (const name of names) expect(name).toMatch(/^[A-Za-z0-9][A-Za-z0-9_-]*(\.[A-Za-z0-9]{1,5})?$/);
    expect(names[0]).toBe('CON-name.jpg');
    expect(readdirSync(join(records, 'photos', 'run-0001')).sort()).toEqual([...new Set(names)].sort());
    // Another picture of the same name does not take its place.
    writeFileSync(join(depot, 'a b.JPG'), 'abcd');
    expect(keepPictureFile(records, 'run-0001', join(depot, 'a b.JPG'))?.name).toMatch(/^a-b-[0-9a-f]{8}\.JPG$/);
    expect(() => keepPictureFile(records, '../../x', join(depot, 'a b.JPG'))).toThrow('That is not the id of a run.');
  });
});

describe('hostile procedures', () => {
  it('that run what every object has are put together in their time', () => {
    const document = checklistOf('procedure: b\ntitle: B\nrevision: 1\nsteps: [{step: x, run: __proto__, results: [{when: passed, passes: true}]}, {step: y, run: constructor}]\n', {
      others: { 'proto.procedure.yaml': 'procedure: __proto__\ntitle: P\nrevision: 1\nsteps: [{step: x, run: __proto__}]\n' },
    });
    expect(Object.keys(document.called)).toEqual(['__proto__']);
    expect(document.missing).toEqual(['constructor']);
    expect(Object.getPrototypeOf(document.called)).toBe(Object.prototype);
  });

  it.each(['en', 'de'] as const)('in every text move no cursor of a terminal that speaks %s', async (language) => {
    const quoted = JSON.stringify(HOSTILE);
    const document = checklistOf(`procedure: hostile
title: ${quoted}
revision: ${quoted}
status: constructor
complaint: ${quoted}
purpose: inspection
facts: {${'size'}: {choices: [${quoted}, b], from: ${quoted}}}
faults: {f: {title: ${quoted}, grade: constructor, remedy: ${quoted}}}
states: {guard: {title: ${quoted}, values: [${quoted}, off], at_start: off, changes: [{to: ${quoted}, do: ${quoted}}]}}
steps:
  - step: first
    title: ${quoted}
    do: [${quoted}]
    why: ${quoted}
    note: ${quoted}
    text: ${quoted}
    tools: [${quoted}]
    photo: ${quoted}
    figure: ${quoted}
    cautions: [{signal: constructor, hazard: ${quoted}, consequence: ${quoted}, avoid: ${quoted}, wear: [${quoted}]}]
  - step: second
    ask: ${quoted}
    results: [{when: ${quoted}, says: ${quoted}, raises: f}, {when: otherwise}]
  - step: third
    measure: dc_voltage
    at: {${quoted}: ${quoted}}
    results: [{when: at least 1 V, passes: true}, {when: otherwise, refer: ${quoted}}]
`);
    const output = new PassThrough();
    let shown = '';
    output.on('data', (text: Buffer) => (shown += text.toString()));
    const answers = join(depot, 'answers.txt');
    writeFileSync(answers, ['read', '', 'help', 'fact', 'note x', '1', 'correct', 'show', '0', 'instrument x', 'back', '2', '', ''].join('\n'));
    await runCommand({ document, records, person: HOSTILE, answers, language }, { input: new PassThrough(), output, now: () => new Date(AT), colours: false });
    expect(shown.length).toBeGreaterThan(1_000);
    expect(shown).not.toMatch(HARMFUL);
    expect(shown).not.toMatch(/native code|\[object/);
  });
});

describe('answers as long as a book', () => {
  it('are refused one by one, and the run goes on', async () => {
    cpSync(fileURLToPath(new URL('../run/fixtures/', import.meta.url)), depot, { recursive: true });
    writeFileSync(join(depot, 'answers.txt'), ['x'.repeat(10_000_000), `note ${'y'.repeat(10_000_000)}`, 'read', 'stop x'].join('\n'));
    const output = new PassThrough();
    output.resume();
    const code = await runCommand({ document: tailLift(), records, person: 'T', answers: join(depot, 'answers.txt') }, { input: new PassThrough(), output, now: () => new Date(AT), colours: false });
    expect(code).toBe(0);
    const path = join(records, '2026', readdirSync(join(records, '2026'))[0] ?? '');
    expect(readFileSync(path, 'utf8').length).toBeLessThan(50_000);
  });
});
