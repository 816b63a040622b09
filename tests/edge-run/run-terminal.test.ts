import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { readJournal } from '../../server/src/edge/journal.ts';
import { beginRun, checkRecordFile, readRecords, unfinishedRuns } from '../../server/src/edge/record-files.ts';
import { localTime, runCommand, type RunTerminal } from '../../server/src/edge/run-terminal.ts';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';
import { startedEvent } from '../../server/src/run/engine.ts';
import { checklistOf, tailLift } from '../run/fixtures.ts';
import { HEAD } from '../run/small.ts';
import { bundleRunner, TAIL_LIFT, type RunnerBundle } from './bundle-runner.ts';

let bundle: RunnerBundle;
let records = '';
beforeAll(async () => {
  bundle = await bundleRunner();
});
afterAll(() => bundle.remove());
beforeEach(() => {
  records = join(bundle.folder, 'records');
});
afterEach(() => rmSync(records, { recursive: true, force: true }));

/** Runs with answers from a file; returns the exit code and what was shown. */
async function answered(
  lines: readonly string[], document: ChecklistDocument = tailLift(), person = 'Technician 4', more: { carryOver?: boolean; language?: 'de' } = {},
  now = (): Date => new Date('2026-11-25T08:30:00Z'),
): Promise<{ code: number; shown: string }> {
  const answers = join(bundle.folder, 'answers.txt');
  writeFileSync(answers, `${lines.join('\n')}\n`);
  const output = new PassThrough();
  let shown = '';
  output.on('data', (text: Buffer) => (shown += text.toString()));
  const terminal: RunTerminal = { input: new PassThrough(), output, now, colours: false };
  const code = await runCommand({ document, records, person, answers, ...more }, terminal);
  return { code, shown };
}

const TO_THE_END = [
  'read', '', 'read', '2', '', '25,3', '25.1V', 'read', '0.12', '0.3 V', '100 mV', 'read', '24', '', '31', 'done new contactor fitted', '', 'read', 'yes', '',
];

describe('a run on the terminal', () => {
  it('goes from the first caution to the record', async () => {
    const { code, shown } = await answered(TO_THE_END);
    expect(code).toBe(0);
    expect(shown).toContain(' DANGER  The platform moves while the control is held.');
    expect(shown).toContain('= 31 Ω is not between 18 Ω (coil_low) and 26 Ω (coil_high): contactor coil out');
    expect(shown).toContain('Found and repaired: contactor coil out of range. The repair is proved.');
    const { records: files, problems } = readRecords(records);
    expect(problems).toEqual([]);
    expect(files[0]?.record).toMatchObject({ asset: 'TL-07', people: ['Technician 4'], outcome: { kind: 'repaired', fault: 'contactor' } });
    expect(readdirSync(join(records, 'unfinished'))).toEqual([]);
    // The caution comes before the step that it is for, and the step only once it was read.
    expect(shown.indexOf('DANGER')).toBeLessThan(shown.indexOf('Park on level ground'));
    expect(shown.indexOf('Type \'read\'')).toBeLessThan(shown.indexOf('Park on level ground'));
  });

  it('refuses what it does not understand, and asks again', async () => {
    const { shown } = await answered(['', 'read', 'maybe', '', 'read', '7', 'silent', '', 'much', '25 A', '25']);
    expect(shown).toContain('Read the cautions, then type \'read\'.');
    expect(shown).toContain('Press Enter when the step is done, or type \'help\'.');
    expect(shown).toContain('\'7\' is none of the answers here: motor runs, click only or silent.');
    expect(shown).toMatch(/A is not a unit of dc voltage/i);
    expect(shown).toContain('The input has ended before the run did.');
  });

  it('goes back, corrects, notes, hands over and stops', async () => {
    const { code, shown } = await answered([
      'read', '', 'read', 'silent', '', '25,3', '25.1', 'read', 'help', 'correct', 'correct 5 24.8', 'back', '25', 'read', 'note Smells of oil.', 'photo stud.jpg',
      'instrument M-12 until 2027-03-31', 'hand over Technician 7', 'correct 1 x', 'correct 99 x', 'stop Rain',
    ]);
    expect(code).toBe(0);
    expect(shown).toContain('takes back the last entry; its step is open again');
    expect(shown).toContain('  5  step 4, Supply: 25.1 V');
    expect(shown).toContain('Corrected. The first entry, 25.1 V, stays in the record.');
    expect(shown).toContain('Taken back: step 4, Supply, 24.8 V. It stays in the record.');
    expect(shown).toContain('That was done, not typed.');
    const record = readRecords(records).records[0]?.record;
    expect(record).toMatchObject({
      people: ['Technician 4', 'Technician 7'], outcome: { kind: 'stopped', words: 'Stopped before an ending: Rain' },
      notes: [{ text: 'Smells of oil.', step: 'return_drop' }], photos: [{ name: 'stud.jpg' }],
    });
    expect(record?.corrections).toHaveLength(2);
    expect(record?.walk.find((line) => line.step === 'supply')?.entries).toEqual([expect.objectContaining({ typed: '25' })]);
  });

  it('pauses, and offers to resume where it was', async () => {
    const paused = await answered(['read', '', 'read', 'pause']);
    expect(paused.code).toBe(0);
    expect(paused.shown.replace(/\n/g, ' ')).toContain('Everything entered is kept. To resume: run the same procedure on the same asset again.');
    expect(unfinishedRuns(records).runs).toHaveLength(1);
    const resumed = await answered(['resume', 'silent', 'pause']);
    expect(resumed.shown).toContain('A run of this procedure on TL-07 is unfinished: begun 2026-11-25');
    expect(resumed.shown).toMatch(/The work goes on as .+\. Somebody else types: handover NAME/);
    expect(resumed.shown).toContain('2. Listen');
    expect(unfinishedRuns(records).runs[0]?.events).toBe(8);
    const other = await answered(['new', 'read', 'pause']);
    expect(other.code).toBe(0);
    expect(unfinishedRuns(records).runs).toHaveLength(2);
    const gone = await answered(['discard', 'read', 'pause']);
    expect(gone.shown).toMatch(/Its journal is kept in\s.*discarded/);
  });

  it('does not resume against a changed text, and says what can be done', async () => {
    const text = (revision: number, limit: string): string => `${HEAD.replace('revision: 1', `revision: ${revision}`)}
steps:
  - {step: reading, measure: dc_voltage, with: multimeter, results: [{when: at least ${limit}, passes: true}, {when: otherwise, finds: wire}]}
`;
    await answered(['pause'], checklistOf(text(1, '12 V')));
    const refused = await answered(['resume', 'stop', '12.2', 'done', ''], checklistOf(text(2, '12.4 V')));
    expect(refused.shown.replace(/\n/g, ' ')).toContain('The run was begun with revision 1 of Small procedure, which has been changed since (now revision 2). Its readings were judged by the old text: stop the run and begin a new one.');
    const outcomes = readRecords(records).records.map(({ record }) => [record.procedure.revision, record.outcome.kind]);
    expect(outcomes).toContainEqual(['1', 'stopped']);
    expect(outcomes).toContainEqual(['2', 'found']);
  });

  it('carries a run over to a changed text when asked, where what was walked is the same', async () => {
    const text = (revision: number, question: string, last: string): ChecklistDocument => checklistOf(`${HEAD.replace('revision: 1', `revision: ${revision}`)}
steps:
  - {step: look, ask: ${question}, results: [{when: yes}, {when: no, finds: wire}]}
  - {step: last, ask: ${last}, results: [{when: yes, passes: true}, {when: no, finds: motor}]}
`);
    await answered(['yes', 'pause'], text(1, 'Clean?', 'Runs?'));
    const told = await answered(['new', 'stop x'], text(2, 'Clean?', 'Runs well?'));
    expect(told.shown.replace(/\s+/g, ' ')).toContain('Where the steps walked so far are the same in both texts, it can be carried over: --carry-over');
    const refused = await answered(['new', 'stop x'], text(3, 'Dirty?', 'Runs?'), 'T', { carryOver: true });
    expect(refused.shown.replace(/\s+/g, ' ')).toContain('It cannot be carried over. Step 1, Look, was done and has been changed since: its question.');
    const carried = await answered(['yes', ''], text(2, 'Clean?', 'Runs well?'), 'Technician 9', { carryOver: true });
    expect(carried.shown.replace(/\s+/g, ' ')).toContain('Carried over from revision 1 to revision 2 on 2026-11-25');
    expect(carried.shown).toContain('Runs well?');
    const whole = readRecords(records);
    expect(whole.problems).toEqual([]);
    expect(whole.records.find(({ record }) => record.carriedOver !== undefined)?.record).toMatchObject({
      procedure: { revision: '2' }, outcome: { kind: 'passed' }, carriedOver: [{ wasRevision: '1', revision: '2', person: 'Technician 9' }], people: ['Technician 4', 'Technician 9'],
    });
    expect(unfinishedRuns(records).runs).toEqual([]);
  });

  it('takes facts before they are asked for, hands over, and records a picture with its digest', async () => {
    const picture = join(bundle.folder, 'stud.jpg');
    writeFileSync(picture, 'abc');
    const { shown } = await answered(['read', 'fact', 'fact tilt sensor', 'fact tilt_sensor fitted', 'fact coil_low 17 ohm', 'fact height 3 m', 'handover', 'Technician 8', `photo ${picture}`, 'photo gone.jpg', 'stop Rain'], tailLift('none'));
    expect(shown).toMatch(/ {2}tilt_sensor \(Tilt sensor\): not known; see WD-7/);
    expect(shown).toContain('There is no fact of that name.');
    expect(shown).toContain('From here on: Technician 8.');
    expect(shown).toContain('There is no file gone.jpg here');
    const record = readRecords(records).records[0]?.record;
    expect(record?.facts).toContainEqual({ name: 'tilt_sensor', value: 'fitted', source: 'given' });
    expect(record?.facts).toContainEqual({ name: 'coil_low', value: '17 Ω', source: 'given' });
    expect(record?.people).toContain('Technician 8');
    // FIPS 180-4 example: SHA-256 of 'abc'.
    expect(record?.photos).toMatchObject([{ name: 'stud.jpg', digest: 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad' }, { name: 'gone.jpg' }]);
  });

  it('says at the ending of an inspection what may be used', async () => {
    const document = checklistOf(`procedure: round
title: Walk round
revision: 1
status: released
purpose: inspection
faults: {hose: {title: Brake hose split, grade: dangerous}}
steps: [{step: look, ask: Hose?, results: [{when: yes, passes: true}, {when: no, raises: hose, passes: true}]}]
`);
    const { shown } = await answered(['no', ''], document);
    expect(shown).toContain('Verdict: dangerous');
    expect(shown.replace(/\s+/g, ' ')).toContain('Dangerous: brake hose split. The asset must not be used or driven until this is repaired.');
  });

  it('tells a word of the step from a command', async () => {
    const document = checklistOf(`${HEAD}
steps:
  - {step: look, ask: What does it do?, results: [{when: stop}, {when: otherwise, finds: wire}]}
  - {step: sure, ask: Sure?, results: [{when: yes, passes: true}, {when: otherwise, finds: motor}]}
`);
    const { shown } = await answered(['stop', 'back window broken', 'done', ''], document);
    expect(shown).toContain('2. Sure');
    expect(readRecords(records).records[0]?.record.walk.map((line) => line.words)).toEqual(['stop', 'back window broken', 'remedy carried out']);
    const forced = await answered([':stop Enough'], document);
    expect(forced.code).toBe(0);
  });

  it('shows hostile text as text', async () => {
    const document = checklistOf(`${HEAD.replace('Small procedure', '"\\e[31mSmall\\u202e procedure\\a"')}
steps:
  - {step: look, ask: "Is it \\e]0;owned\\a wet?", results: [{when: yes, passes: true}, {when: otherwise, finds: wire}]}
`);
    const { shown } = await answered(['note \u001b[2J', 'pause'], document);
    // eslint-disable-next-line no-control-regex
    expect(shown.replace('note \u001b[2J', '')).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202e]/);
  });

  it('needs a terminal, or answers', async () => {
    const run = spawnSync(process.execPath, [bundle.program, TAIL_LIFT, records, '--asset', 'TL-07'], { encoding: 'utf8', input: '' });
    expect(run.status).toBe(2);
    expect(run.stdout).toBe('A run needs a terminal to ask at, and there is none here. Start it in a terminal, or give a file of answers: --answers FILE.\n');
    expect(existsSync(records)).toBe(false);
    const piped = spawnSync(process.execPath, [bundle.program, TAIL_LIFT, records, '--asset', 'TL-07', '--person', 'T', '--answers', '-'], { encoding: 'utf8', input: `${TO_THE_END.join('\n')}\n` });
    expect(piped.status).toBe(0);
    expect(piped.stdout).toContain('Record: ');
  });

  it('speaks German where it is asked to, and its record stays as it is', async () => {
    const { code, shown } = await answered([
      'gelesen', '', 'read', 'hilfe', 'mit Technician 7', 'notiz Öl', 'messgerät M-1', 'zurück', 'getan', 'gelesen', 'silent', '', '25,3', '25,1', 'berichtigen 5 24,8', 'angabe tilt_sensor', 'abbruch Regen',
    ], tailLift(), 'Technician 4', { language: 'de' });
    expect(code).toBe(0);
    expect(shown).toContain(' GEFAHR  The platform moves while the control is held.');
    for (const words of [
      '\'gelesen\' eingeben, wenn die Warnung gelesen ist: ', 'nimmt den letzten Eintrag zurück; sein Schritt ist wieder offen', 'Mit dabei: Technician 7', 'Vermerkt.', 'Dieser Schritt braucht kein Messgerät.',
      'Zurückgenommen: Schritt 1, Make safe, Getan. Es bleibt im Protokoll.', 'Berichtigt. Der erste Eintrag, 25,1 V, bleibt im Protokoll.', 'Vor einem Ende abgebrochen: Regen', 'Protokoll: ',
    ]) expect(shown).toContain(words);
    // Nothing of the runner's own is left in English.
    expect(shown).not.toMatch(/Press Enter|Type '|Still possible|Only while|Measure:|Step \d|Wear:|The machine:/);
    const [file] = readRecords(records).records;
    expect(file?.record).toMatchObject({ people: ['Technician 4', 'Technician 7'], outcome: { words: 'Stopped before an ending: Regen' } });
    expect(readRecords(records).problems).toEqual([]);
  });

  it('records who was with the person at a step for two', async () => {
    const { shown } = await answered(['read', '', 'read', 'with Technician 4', 'with Technician 7', 'silent', 'with', '', '25,3', '25.1', 'read', 'stop Rain']);
    expect(shown).toContain('Say who is with you: with NAME');
    expect(shown).toContain('The second person is someone else than the one who does the work.');
    expect(shown).toContain('From here on you are alone.');
    const record = readRecords(records).records[0]?.record;
    expect(record?.walk.flatMap((line) => (line.helper === undefined ? [] : [[line.step, line.helper]]))).toEqual([['listen', 'Technician 7']]);
    expect(record?.people).toEqual(['Technician 4', 'Technician 7']);
    expect(checkRecordFile(readRecords(records).records[0]?.path ?? '').problems).toEqual([]);
  });

  it('asks before a second run is begun on an asset that is being worked on, and leaves it where that is not meant', async () => {
    const other = beginRun(records, checklistOf(`${HEAD}\nsteps: [{step: look, ask: Well?, results: [{when: yes, passes: true}]}]\n`, { asset: 'TL-07' }), 'run-0007');
    other.journal.append({ ...startedEvent(other.document, { at: '2026-11-25T08:20:00Z', person: 'Technician 9' }) });
    other.journal.close();
    utimesSync(other.journal.path, new Date('2026-11-25T08:20:00Z'), new Date('2026-11-25T08:20:00Z'));
    const asked = await answered(['']);
    expect(asked.code).toBe(2);
    expect(asked.shown.replace(/\s+/g, ' ')).toContain('Another run is under way on TL-07: Small procedure, begun 2026-11-25 08:20 by Technician 9. Its last entry was 10 min ago: TL-07 is being worked on. A second run on it would not know what the first has done to it.');
    expect(unfinishedRuns(records).runs).toHaveLength(1);
    const meant = await answered(['begin', 'read', 'pause']);
    expect(meant.code).toBe(0);
    expect(unfinishedRuns(records).runs).toHaveLength(2);
  });

  it('says that a clock was set back, and the record does', async () => {
    let calls = 0;
    const { shown } = await answered(['read', 'stop Rain'], tailLift(), 'T', {}, () => new Date(++calls < 5 ? '2026-11-25T09:00:00Z' : '2026-11-25T08:00:00Z'));
    expect(shown.replace(/\s+/g, ' ')).toMatch(/! Event \d is dated 3600 s before the one it follows: a clock was set back\./);
    expect(readRecords(records).records[0]?.record.clock).toHaveLength(1);
  });

  it('refuses a line of megabytes at once, and does not give up a run over an answer in free words', async () => {
    const document = checklistOf(`${HEAD}\nsteps:\n  - {step: look, ask: What is dark?, results: [{when: otherwise, finds: wire}]}\n`);
    const { shown } = await answered([`instrument ${' '.repeat(2_000_000)}x`, 'x'.repeat(2_000_000), 'stop lamp', 'later', ''], document);
    expect(shown).toContain('The text is longer than 10000 characters.');
    expect(readRecords(records).records[0]?.record).toMatchObject({ outcome: { kind: 'found' }, walk: [{ entries: [{ typed: 'stop lamp' }] }, {}] });
  });

  it('puts the journal back where its folder was removed while it ran', async () => {
    let calls = 0;
    const now = (): Date => {
      // Some time after the run has begun, between two entries.
      if (++calls === 12) rmSync(records, { recursive: true, force: true });
      return new Date('2026-11-25T08:30:00Z');
    };
    const { shown } = await answered(['read', '', 'read', 'note a', 'note b', 'stop Rain'], tailLift(), 'T', {}, now);
    expect(shown.replace(/\s+/g, ' ')).toContain('had been removed or moved while the run was under way. It was put back with everything entered.');
    expect(readRecords(records).records[0]?.record.events.length).toBeGreaterThan(4);
  });

  it('says so where the records folder is no folder', async () => {
    mkdirSync(bundle.folder, { recursive: true });
    writeFileSync(records, 'a file');
    const { code, shown } = await answered(TO_THE_END);
    expect(code).toBe(2);
    expect(shown.replace(/\n/g, ' ')).toContain('something of that name is in the way');
  });
});

const script = spawnSync('script', ['--version'], { encoding: 'utf8' });

describe.skipIf(script.status !== 0)('on a pseudo-terminal', () => {
  const lift = (): string => [process.execPath, bundle.program, TAIL_LIFT, records, '--asset', 'TL-07'].map((word) => `'${word}'`).join(' ');

  /** Types each answer once its prompt has been shown. */
  function typed(answers: readonly (readonly [prompt: string, answer: string])[], environment: Record<string, string> = {}, command = lift()): Promise<{ code: number | null; shown: string }> {
    return new Promise((resolve) => {
      const child = spawn('script', ['-qefc', command, '/dev/null'], { env: { ...process.env, TERM: 'xterm', ...environment } });
      let shown = '';
      let unread = '';
      const left = [...answers];
      child.stdout.on('data', (text: Buffer) => {
        shown += text.toString();
        unread += text.toString();
        for (let next = left[0]; next !== undefined && unread.includes(next[0]); next = left[0]) {
          unread = unread.slice(unread.indexOf(next[0]) + next[0].length);
          left.shift();
          child.stdin.write(next[1]);
        }
      });
      child.on('close', (code) => resolve({ code, shown }));
    });
  }

  it('asks for a name, shows cautions first, and pauses', async () => {
    const { code, shown } = await typed([
      ['Your name or number: ', 'Technician 9\r'], ['have read the caution: ', 'read\r'], ['when it is done: ', '\r'], ['have read the caution: ', 'pause\r'],
    ]);
    expect(shown).toContain('Park on level ground');
    expect(code).toBe(0);
    expect(unfinishedRuns(records).runs[0]).toMatchObject({ person: 'Technician 9', asset: 'TL-07', events: 4 });
  });

  it('leaves the journal whole on Ctrl-C, and says how to resume', async () => {
    const { code, shown } = await typed([['Your name or number: ', 'T\r'], ['have read the caution: ', 'read\r'], ['when it is done: ', '\u0003']]);
    expect(shown).toContain('Everything entered is kept. To resume:');
    expect(code).toBe(130);
    expect(unfinishedRuns(records)).toMatchObject({ runs: [{ events: 2 }], problems: [] });
  });

  it('leaves with 130 on Ctrl-C at a question beside the entries, and before a run is begun', async () => {
    const beside = await typed([['Your name or number: ', 'T\r'], ['have read the caution: ', 'stop\r'], ['Why is it stopped? ', '\u0003']]);
    expect(beside.code).toBe(130);
    expect(beside.shown).toContain('Everything entered is kept. To resume:');
    expect(unfinishedRuns(records).runs).toMatchObject([{ events: 1 }]);
    const before = await typed([['discard\': ', '\u0003']]);
    expect(before.code).toBe(130);
    expect(before.shown).not.toContain('Everything entered is kept');
  });

  /** A procedure of our own, run on the pseudo-terminal. */
  function ownProcedure(name: string, steps: string): string {
    const file = join(bundle.folder, `${name}.procedure.yaml`);
    writeFileSync(file, `${HEAD}\nsteps:\n${steps}`);
    return [process.execPath, bundle.program, file, records, '--person', 'T'].map((word) => `'${word}'`).join(' ');
  }

  it('counts a wait down before the cursor once it is begun, keeps what is being typed, and rings when it is over', async () => {
    const command = ownProcedure('wait', '  - {step: settle, do: Let it settle., wait: 3 s}\n  - {step: look, ask: Well?, results: [{when: yes, passes: true}, {when: no, finds: wire}]}\n');
    const { code, shown } = await typed([['Enter to begin the wait: ', '\r'], ['[0:02 left]', 'do'], ['The wait is over.', 'ne\r'], ['Number or answer: ', 'pause\r']], {}, command);
    expect(code).toBe(0);
    expect(shown).toContain('[0:01 left]');
    expect(shown).toContain('\u0007');
    // 'do' and 'ne' came to 'done': what was typed during the wait was kept.
    const [run] = unfinishedRuns(records).runs;
    expect(readJournal(run?.path ?? '').events.map((event) => event.kind)).toEqual(['started', 'wait_started', 'done', 'paused']);
  });

  it('warns once of a wait that is not kept, and takes the word that it was kept before', async () => {
    const command = ownProcedure('waits', '  - {step: settle, do: Let it settle., wait: 3 min}\n  - {step: again, ask: Well?, wait: 2 min, results: [{when: yes, passes: true}, {when: no, finds: wire}]}\n');
    const { code, shown } = await typed([
      ['Enter to begin the wait: ', 'done\r'], ['has not begun. Press', ''], ['Enter to begin the wait: ', 'done\r'], ['Enter to begin the wait: ', 'kept\r'], ['Number or answer: ', 'yes\r'], ['write the record: ', '\r'],
    ], {}, command);
    expect(code).toBe(0);
    expect(shown.replace(/\s+/g, ' ')).toContain('! Entered 0 s after the step came up; the wait is 3 min.');
    const remarks = readRecords(records).records[0]?.record.walk.map((line) => line.remarks);
    expect(remarks).toEqual([[expect.stringMatching(/^Entered \d s after the step came up; the wait is 3 min\.$/)], ['The wait of 2 min was said to have been kept before; it was not counted here.']]);
  });

  it('counts the longest time and a rest, and rings at their ends', async () => {
    const command = ownProcedure('hold', `  - {step: hold, ask: Does it hold?, during: {control: raise}, max_time: 2 s, rest: 4 s, results: [{when: yes, passes: true}, {when: no}]}
  - {step: again, do: Oil it., go: hold}
states: {control: {values: [released, raise], at_start: released, held: [raise]}}
`);
    const { code, shown } = await typed([
      ['Number or answer: ', 'clock\r'], ['The longest time is over: let go.', 'no\r'], ['when it is done: ', '\r'], ['Rest 4 s since it was last done', ''], ['of rest left]', 'yes\r'], ['The rest is over.', 'yes\r'], ['write the record: ', '\r'],
    ], {}, command);
    expect(code).toBe(0);
    expect(shown).toMatch(/\[0:0[12] to hold\]/);
    expect(shown.replace(/\s+/g, ' ')).toMatch(/The rest is 4 s, and \d s have passed\. Rest, or enter it again to have it recorded so\./);
    // The rest was kept in the end: nothing is to be remarked.
    expect(readRecords(records).records[0]?.record.walk.flatMap((line) => line.remarks)).toEqual([]);
  });

  it('works on a dumb terminal', async () => {
    const { code, shown } = await typed([['Your name or number: ', 'T\r'], ['have read the caution: ', 'read\r'], ['when it is done: ', 'pause\r']], { TERM: 'dumb' });
    expect(code).toBe(0);
    // eslint-disable-next-line no-control-regex
    expect(shown).not.toMatch(/\u001b\[/);
  });
});

describe('the time of an event', () => {
  it('bears the offset of the place', () => {
    expect(localTime(new Date('2026-11-25T08:30:00Z'))).toMatch(/^2026-11-2[45]T\d{2}:\d{2}:00[+-]\d{2}:\d{2}$/);
    expect(Date.parse(localTime(new Date('2026-11-25T08:30:00Z')))).toBe(Date.parse('2026-11-25T08:30:00Z'));
  });
});
