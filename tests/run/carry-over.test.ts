/** When a run may go on by another text of its procedure (schemas/format.md, 'Records'). */
import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { carryOver } from '../../server/src/run/carry-over.ts';
import { applyEvent, currentView, replayRun, type Run } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord } from '../../server/src/run/record.ts';
import { AT, begin, checklistOf, enter, minutes, ready, take } from './fixtures.ts';

const TEXT = `procedure: lamp
title: Lamp dark
revision: 1
status: released
purpose: fault_finding
complaint: The lamp stays dark.
faults:
  bulb: {title: Bulb burnt out, remedy: Fit a bulb.}
  wire: {title: Wire broken, remedy: Repair the wire.}
steps:
  - {step: look, ask: Is the bulb whole?, results: [{when: yes, rules_out: [bulb]}, {when: no, finds: bulb}]}
  - {step: volts, measure: dc_voltage, with: multimeter, at_each: [plug, lamp_side], judge: lowest, results: [{when: at least 12 V}, {when: below 12 V, finds: wire}]}
  - {step: last, ask: Does it light?, results: [{when: yes, passes: true}, {when: no, refer: Ask the electrician.}]}
`;

function walked(...entries: string[]): Run {
  return entries.reduce((run, entry) => enter(run, entry), ready(begin(checklistOf(TEXT))));
}

const carry = (run: Run, text: string): ReturnType<typeof carryOver> => carryOver(run.document, checklistOf(text), run.events, { at: minutes(3), person: 'Technician 4' });
const second = TEXT.replace('revision: 1', 'revision: 2');

describe('a run is carried over', () => {
  it.each<[string, (text: string) => string]>([
    ['a step that was not walked is changed', (text) => text.replace('Does it light?', 'Does it light now?')],
    ['a step is added behind', (text) => text.replace('  - {step: last', '  - {step: wipe, do: Wipe the glass.}\n  - {step: last')],
    ['a title, a reason, a note, a time differ', (text) => text.replace('{step: look,', '{step: look, title: Look at it, why: It is quick, note: Gloves, time: 1 min,')],
    ['a fault is added', (text) => text.replace('steps:', '  fuse: {title: Fuse open, remedy: Fit a fuse.}\nsteps:')],
    ['the limit of a step that was not walked is changed', (text) => text.replaceAll('12 V', '11.5 V')],
  ])('where %s', (_, change) => {
    const carried = carry(walked('yes'), change(second));
    if ('problem' in carried) throw new Error(carried.problem);
    expect(currentView(carried.run).carriedOver).toEqual(['Carried over from revision 1 to revision 2 on 2026-11-25 09:33 by Technician 4. The steps walked before are the same in both.']);
  });

  it('and its record says so, is whole, validates and follows from its events by the new text', () => {
    const carried = carry(walked('yes', '12.4'), second.replace('Does it light?', 'Does it light now?'));
    if ('problem' in carried) throw new Error(carried.problem);
    let run = enter(enter(carried.run, '12.3'), 'yes');
    // A correction of an entry from before computes the walk again, by the new text.
    run = take(run, { kind: 'correction', of: 2, typed: '12.6', at: minutes(4) });
    run = take(run, { kind: 'finished', at: minutes(5) });
    const record = JSON.parse(JSON.stringify(buildRecord(run, 'run-1'))) as ReturnType<typeof buildRecord>;
    const validate = new Ajv2020({ strict: true }).compile(JSON.parse(readFileSync(new URL('../../schemas/record.schema.json', import.meta.url), 'utf8')) as object);
    expect(validate(record), JSON.stringify(validate.errors)).toBe(true);
    expect(record).toMatchObject({
      contentHash: checklistOf(TEXT).contentHash, procedure: { revision: '2' },
      carriedOver: [{ wasRevision: '1', revision: '2', was: checklistOf(TEXT).contentHash, contentHash: run.document.contentHash, person: 'Technician 4' }],
    });
    expect(checkRecord(record, run.document)).toEqual([]);
    expect(checkRecord(record, checklistOf(TEXT))[0]?.kind).toBe('does_not_follow');
    expect(checkRecord({ ...record, carriedOver: [] })[0]?.kind).toBe('altered');
  });

  it('twice', () => {
    const once = carry(walked('yes'), second.replace('Does it light?', 'Does it light now?'));
    if ('problem' in once) throw new Error(once.problem);
    const twice = carryOver(once.run.document, checklistOf(TEXT.replace('revision: 1', 'revision: 3')), once.run.events, { at: minutes(4) });
    if ('problem' in twice) throw new Error(twice.problem);
    expect(twice.run.walk.carriedOver.map((one) => one.revision)).toEqual(['2', '3']);
    expect(replayRun(twice.run.document, twice.run.events).refused).toEqual([]);
  });
});

describe('a run is not carried over', () => {
  it.each<[string, string[], (text: string) => string, RegExp]>([
    ['the question that was answered is another', ['yes'], (text) => text.replace('Is the bulb whole?', 'Is the bulb burnt?'), /^Step 1, Look, was done and has been changed since: its question\.$/],
    ['a limit that was judged by is another', ['yes', '13', '13'], (text) => text.replaceAll('12 V', '12.1 V'), /^Step 2, Volts, was done and has been changed since: its results\.$/],
    ['what a result proves is another', ['yes'], (text) => text.replace('rules_out: [bulb]', 'rules_out: [wire]'), /its results\.$/],
    ['a step that was done is gone', ['yes'], (text) => text.replace(/ {2}- \{step: look.*\n/, ''), /^Step 1, Look, was done and is no longer there\.$/],
    ['a step with an entry at one of its points has another point', ['yes', '13'], (text) => text.replace('[plug, lamp_side]', '[plug, socket]'), /its points\.$/],
    ['a caution was added to a step that was done', ['yes'], (text) => text.replace('{step: look,', '{step: look, cautions: [moving_platform],'), /its cautions\.$/],
    ['a step was put in before the one at hand', ['yes', '13', '13'], (text) => text.replace('  - {step: volts', '  - {step: wipe, do: Wipe it.}\n  - {step: volts'), /^By the new text, what was entered leads elsewhere at step 2/],
  ])('where %s', (_, entries, change, message) => {
    const refused = carry(walked(...entries), change(second));
    expect('problem' in refused ? refused.problem : 'carried over').toMatch(message);
  });

  it('to the same text, to another procedure, or when it is over', () => {
    expect(carry(walked('yes'), TEXT)).toEqual({ problem: 'The procedure has not changed: the run goes on as it is.' });
    expect(carry(walked('yes'), second.replace('procedure: lamp', 'procedure: horn'))).toEqual({ problem: 'The run is of lamp, and this is horn.' });
    expect(carry(take(walked('yes'), { kind: 'stopped', reason: 'x', at: AT }), second)).toEqual({ problem: 'The run is over.' });
  });

  it('by an event that is sent in the middle of it', () => {
    const run = walked('yes');
    const { contentHash } = run.document;
    for (const was of [contentHash, 'f'.repeat(64)]) {
      expect(applyEvent(run, { kind: 'carried_over', was, contentHash, at: AT }).problem).toBe('A run is carried over to another text of its procedure only when it is opened.');
    }
  });
});
