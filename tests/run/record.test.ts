import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { canonicalJson, textDigest, valueDigest } from '../../server/src/run/digest.ts';
import { chainEvents } from '../../server/src/run/chain.ts';
import type { Run } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord, type RunRecord } from '../../server/src/run/record.ts';
import { AT, begin, checklistOf, enter, minutes, ready, tailLift, take } from './fixtures.ts';

const schema = JSON.parse(readFileSync(new URL('../../schemas/record.schema.json', import.meta.url), 'utf8')) as object;
const validate = new Ajv2020({ allErrors: true, strict: true }).compile(schema);

function repaired(): Run {
  let run = ready(begin(tailLift()));
  for (const typed of ['', 'silent', '', '25.3', '25,1', '0.1', '0.3', '0.1']) run = enter(run, typed);
  run = take(run, { kind: 'correction', of: run.events.findIndex((event) => event.kind === 'reading' && event.typed === '25,1'), typed: '24.9', reason: 'Misread', at: minutes(2) });
  run = take(run, { kind: 'instrument', instrument: 'multimeter', id: 'M-12', calibratedUntil: '2027-03-31', at: AT }, { kind: 'note', text: '<script>alert(1)</script>', at: AT });
  for (const typed of ['24', '', '31', 'New contactor.', '', 'yes']) run = enter(run, typed, minutes(5));
  return take(run, { kind: 'finished', at: minutes(6) });
}

const record = (): RunRecord => JSON.parse(JSON.stringify(buildRecord(repaired(), 'run-1'))) as RunRecord;

describe('digests', () => {
  it('are those of FIPS 180-4', () => {
    // NIST, SHA-256 example (FIPS 180-4), and the empty message.
    expect(textDigest('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
    expect(textDigest('')).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
    expect(textDigest('abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq')).toBe('248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1');
  });

  it('do not depend on the order of keys or on fields left out', () => {
    expect(canonicalJson({ b: 1, a: [undefined, { d: 2, c: 'ü' }], e: undefined })).toBe('{"a":[null,{"c":"ü","d":2}],"b":1}');
    expect(valueDigest({ x: 1, y: 2 })).toBe(valueDigest({ y: 2, x: 1 }));
  });
});

describe('the record', () => {
  it('holds what an auditor asks for, and validates', () => {
    const made = record();
    expect(validate(made), JSON.stringify(validate.errors)).toBe(true);
    expect(made).toMatchObject({
      run: 'run-1', asset: 'TL-07', people: ['Technician 4'],
      procedure: { name: 'tail_lift_no_raise', revision: '4', status: 'released' },
      called: [{ name: 'battery_condition', revision: '2' }],
      instruments: [{ instrument: 'multimeter', id: 'M-12', calibratedUntil: '2027-03-31', category: 'CAT III 600 V' }],
      outcome: {
        kind: 'repaired', fault: 'contactor', remedies: [{ fault: 'contactor', remedy: 'Replace the contactor.', carriedOut: true, text: 'New contactor.' }],
        proof: ['Step 12, Put back: done', 'Step 13, Prove: Yes.'], disposition: 'Repaired, and the repair proved by the steps of the procedure.',
      },
      notPutBack: [], startedAt: AT, endedAt: minutes(6),
    });
    expect(made.corrections).toEqual([expect.objectContaining({ original: '25,1', typed: '24.9', reason: 'Misread', person: 'Technician 4', setAside: [] })]);
    const supply = made.walk.find((line) => line.step === 'supply');
    expect(supply?.entries).toEqual([expect.objectContaining({ typed: '24.9', understood: '24.9 V', quantity: { value: 24.9, ucum: 'V' }, original: '25,1' })]);
    const signal = made.walk.find((line) => line.step === 'coil_signal');
    expect(signal).toMatchObject({
      limits: ['at least 23.4 V (supply - 1.5 V)', 'below 23.4 V (supply - 1.5 V)'], results: ['at least supply - 1.5 V'], instrument: 'M-12',
      judgement: '24 V is at least 23.4 V (supply - 1.5 V): rules out control fuse open and interlock chain open.',
    });
    expect(made.acknowledged.map((one) => one.step)).toEqual(['make_safe', 'listen', 'return_drop', 'coil_signal', 'prove']);
    expect(made.statesAtEnd).toMatchObject({ isolator: ['on'], contactor_lead: ['connected'] });
    expect(JSON.stringify(made)).not.toContain('\u202f');
  });

  it('says that a run was stopped, and that the procedure was a draft', () => {
    const document = tailLift();
    const draft = { ...document, standing: { ...document.standing, remarks: ['This procedure is a draft. It has not been released for work.'] } };
    const run = take(enter(ready(begin(draft)), ''), { kind: 'stopped', reason: 'Called away.', at: minutes(1) });
    const made = buildRecord(run, 'run-2');
    expect(validate(JSON.parse(JSON.stringify(made))), JSON.stringify(validate.errors)).toBe(true);
    expect(made.standing.remarks).toEqual(['This procedure is a draft. It has not been released for work.']);
    expect(made.outcome).toMatchObject({ kind: 'stopped', disposition: 'Not completed. Nothing was shown about its use.' });
    expect(made.outcome.faultsLeft).toHaveLength(8);
  });

  it('of a run that is stopped inside another procedure tells the states of all, and what none of them puts back', () => {
    const document = checklistOf(`procedure: outer
title: Outer
revision: 1
states: {guard: {values: [fitted, removed], at_start: fitted, at_end: [fitted]}, pump: {values: [off, on], at_start: off}}
steps:
  - {step: open, do: [Take the guard off.], sets: {guard: removed, pump: on}}
  - {step: inside, run: inner, results: [{when: passed, passes: true}]}
`, { others: { 'inner.procedure.yaml': 'procedure: inner\ntitle: Inner\nrevision: 1\nstates: {pump: {values: [off, on], at_start: off}}\nsteps: [{step: look, ask: Well?, sets: {pump: off}, results: [{when: yes, passes: true}]}, {step: more, ask: Well?, results: [{when: yes, passes: true}]}]\n' } });
    const made = buildRecord(take(enter(begin(document), ''), { kind: 'stopped', reason: 'Rain.', at: AT }), 'run-3');
    expect(made.statesAtEnd).toEqual({ guard: ['removed'], pump: ['on'] });
    expect(made.notPutBack).toEqual(['Guard: fitted']);
  });

  it('is not made of a run under way', () => {
    expect(() => buildRecord(ready(begin(tailLift())), 'run-3')).toThrow('under way');
  });

  it('is whole as it was written, and follows from its events', () => {
    expect(checkRecord(record())).toEqual([]);
    expect(checkRecord(record(), tailLift())).toEqual([]);
    // Through a file with other spacing, it is the same record.
    expect(checkRecord(JSON.parse(JSON.stringify(record(), null, 4)))).toEqual([]);
  });

  it('shows every event that was altered', () => {
    const whole = record();
    whole.events.forEach((_, index) => {
      const altered = record();
      (altered.events[index]?.event as { at: string }).at = '2026-11-25T10:00:00+01:00';
      expect(checkRecord(altered).map((problem) => [problem.kind, problem.event])).toContainEqual(['altered', index + 1]);
    });
  });

  it('shows every event that is missing', () => {
    const whole = record();
    whole.events.forEach((_, index) => {
      const cut = record();
      (cut.events as unknown[]).splice(index, 1);
      const problems = checkRecord(cut);
      expect(problems.length, `event ${index + 1}`).toBeGreaterThan(0);
      expect(problems.some((problem) => problem.kind === 'missing')).toBe(true);
      // Renumbered to hide it, the chain still breaks, or the count does.
      (cut.events as unknown as { number: number }[]).forEach((link, at) => (link.number = at + 1));
      (cut as { count: number }).count -= 1;
      expect(checkRecord(cut).length).toBeGreaterThan(0);
    });
  });

  it('shows every pair of events that changed places, and one that is there twice', () => {
    const whole = record();
    for (let index = 0; index + 1 < whole.events.length; index++) {
      const moved = record();
      const events = moved.events as unknown[];
      [events[index], events[index + 1]] = [events[index + 1], events[index]];
      expect(checkRecord(moved).some((problem) => problem.kind === 'moved'), `events ${index + 1}, ${index + 2}`).toBe(true);
      const twice = record();
      (twice.events as unknown[]).splice(index, 0, twice.events[index]);
      expect(checkRecord(twice).some((problem) => problem.kind === 'repeated')).toBe(true);
    }
  });

  it('shows any other field that was altered', () => {
    const fields = Object.keys(record()).filter((key) => key !== 'events');
    for (const field of fields) {
      const altered = record() as unknown as Record<string, unknown>;
      altered[field] = field === 'format' ? 1 : typeof altered[field] === 'string' ? `${String(altered[field])}x` : typeof altered[field] === 'number' ? (altered[field] as number) + 1 : { altered: true };
      if (field === 'format') continue;
      expect(checkRecord(altered).length, field).toBeGreaterThan(0);
    }
  });

  it('shows a walk made up with a chain and digest computed anew, given the checklist', () => {
    const forged = record() as unknown as Record<string, unknown> & RunRecord;
    const outcome = { ...forged.outcome, kind: 'passed', words: 'No fault found.' };
    const body: Record<string, unknown> = { ...forged, outcome };
    delete body['digest'];
    const made = { ...body, digest: valueDigest(body) };
    expect(checkRecord(made)).toEqual([]);
    expect(checkRecord(made, tailLift())).toEqual([{ kind: 'does_not_follow', message: 'What the record says under \'outcome\' does not follow from its events.' }]);
  });

  it('refuses what is no record, whatever it is', () => {
    for (const value of [null, 1, 'x', [], {}, { format: 1 }, { ...record(), events: [null] }, { ...record(), events: [{ number: 1 }] }]) {
      expect(checkRecord(value)[0]?.kind).toBe('not_a_record');
    }
    const empty = { ...record(), events: [], count: 0 };
    expect(checkRecord(empty).map((problem) => problem.kind)).toContain('not_complete');
  });

  it('has the chain that a journal of the same run has', () => {
    const run = repaired();
    const links = chainEvents({ run: 'run-1', procedure: 'tail_lift_no_raise', contentHash: run.document.contentHash }, run.events);
    expect(record().events).toEqual(JSON.parse(JSON.stringify(links)));
  });
});

describe('the schema', () => {
  it('describes every field with a title or a description', () => {
    const bare: string[] = [];
    const walk = (node: unknown, path: string): void => {
      if (typeof node !== 'object' || node === null) return;
      const properties = (node as { properties?: Record<string, Record<string, unknown>> }).properties;
      for (const [key, value] of Object.entries(properties ?? {})) {
        if (!('description' in value) && !('$ref' in value) && !('const' in value)) bare.push(`${path}/${key}`);
      }
      for (const [key, value] of Object.entries(node)) walk(value, `${path}/${key}`);
    };
    walk(schema, '');
    expect(bare).toEqual([]);
  });
});
