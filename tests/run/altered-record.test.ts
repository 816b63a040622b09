/** Whatever is changed in a record, anywhere in it and in whatever way, is found; and no change makes the check throw. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkRecordText } from '../../server/src/edge/record-files.ts';
import { schemaProblems } from '../../server/src/edge/record-schema.ts';
import { emptyRun, startedEvent, type Run } from '../../server/src/run/engine.ts';
import { pseudonymise } from '../../server/src/run/pseudonymise.ts';
import { buildRecord, checkRecord, type RunRecord } from '../../server/src/run/record.ts';
import { AT, enter, minutes, ready, tailLift, take } from './fixtures.ts';

/** SHA-256 of the two letters 'hi', by another tool. */
const HI = { data: 'aGk=', digest: '8f434346648f6b96df89dda901c5176b10a6d83961dd3c1ac88b59b2dc327aa4' };

/** A run with something of everything: two people, a helper, a correction, an instrument, a note, a picture, a repair. */
function everything(): Run {
  const document = tailLift();
  let run = ready(take(emptyRun(document), startedEvent(document, { at: AT, person: 'Technician 4', salt: '00112233445566778899aabbccddeeff' })));
  run = take(run, { kind: 'helper', who: 'Technician 9', at: AT });
  for (const typed of ['', 'silent', '', '25.3', '25,1', '0.1', '0.3', '0.1']) run = enter(run, typed);
  run = take(run,
    { kind: 'correction', of: run.events.findIndex((event) => event.kind === 'reading' && event.typed === '25,1'), typed: '24.9', reason: 'Misread', at: minutes(2) },
    { kind: 'instrument', instrument: 'multimeter', id: 'M-12', calibratedUntil: '2027-03-31', at: AT }, { kind: 'note', text: 'Wet.', at: AT },
    { kind: 'photo', name: 'stud.jpg', digest: HI.digest, caption: 'The stud', at: AT }, { kind: 'handed_over', to: 'Technician 7', at: AT },
    { kind: 'paused', at: AT }, { kind: 'resumed', at: AT });
  for (const typed of ['24', '', '31', 'New contactor.', '', 'yes']) run = enter(run, typed, minutes(5));
  return take(run, { kind: 'finished', at: minutes(6) });
}

const whole = JSON.parse(JSON.stringify(buildRecord(everything(), 'run-1', [{ name: 'stud.jpg', type: 'image/jpeg', ...HI }]))) as RunRecord;
const nameless = ((): RunRecord => {
  const made = pseudonymise(whole, (person) => `Person ${whole.people.indexOf(person) + 1}`);
  if (!('record' in made)) throw new Error(JSON.stringify(made));
  return made.record;
})();

type Place = readonly (string | number)[];
type Json = Record<string | number, unknown>;

/** Every place in a value, the value's own left out. */
function places(value: unknown, at: Place = []): Place[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, part]) => {
    const place = [...at, Array.isArray(value) ? Number(key) : key];
    return [place, ...places(part, place)];
  });
}

function at(value: unknown, place: Place): unknown {
  return place.reduce<unknown>((part, key) => (part as Json)[key], value);
}

/** The record with one place changed; undefined where that changes nothing. */
function changed(record: RunRecord, place: Place, change: (holder: Json, key: string | number) => void): RunRecord | undefined {
  const copy = structuredClone(record);
  change(at(copy, place.slice(0, -1)) as Json, place[place.length - 1] as string | number);
  return JSON.stringify(copy) === JSON.stringify(record) ? undefined : copy;
}

const CHANGES: Readonly<Record<string, (holder: Json, key: string | number) => void>> = {
  'is another value': (holder, key) => {
    const old = holder[key];
    if (typeof old === 'string') holder[key] = `${old}x`;
    else if (typeof old === 'number') holder[key] = old + 1;
    else if (typeof old === 'boolean') holder[key] = !old;
    else if (Array.isArray(old)) holder[key] = [...(old as unknown[]), structuredClone(old[0] ?? 'x')];
    else holder[key] = { ...(old as object), more: 'x' };
  },
  'is of another kind': (holder, key) => void (holder[key] = typeof holder[key] === 'object' ? 'x' : { x: 1 }),
  'is null': (holder, key) => void (holder[key] = null),
  'is empty': (holder, key) => void (holder[key] = typeof holder[key] === 'string' ? '' : Array.isArray(holder[key]) ? [] : {}),
  'is missing': (holder, key) => {
    if (Array.isArray(holder)) holder.splice(Number(key), 1);
    else delete holder[key];
  },
  'is there twice': (holder, key) => void (Array.isArray(holder) && holder.splice(Number(key), 0, structuredClone(holder[Number(key)]))),
  'changes places with the next': (holder, key) => {
    const next = Number(key) + 1;
    if (Array.isArray(holder) && next < holder.length) [holder[Number(key)], holder[next]] = [holder[next], holder[Number(key)]];
  },
};

/** As `faultwright records check` does; the schema is asked where nothing else was found. */
function problems(record: RunRecord): string[] {
  const found = checkRecord(record).map((problem) => problem.message);
  return found.length > 0 ? found : schemaProblems(record);
}

describe.each([['as it was written', whole], ['with its names taken out', nameless]] as const)('a record %s', (_, record) => {
  it('is whole', () => expect(problems(record)).toEqual([]));

  it.each(Object.keys(CHANGES))('of which anything %s is found out', (name) => {
    const all = places(record);
    expect(all.length).toBeGreaterThan(500);
    const kept = all.filter((place) => {
      const altered = changed(record, place, CHANGES[name] as (holder: Json, key: string | number) => void);
      return altered !== undefined && problems(altered).length === 0;
    });
    expect(kept).toEqual([]);
  }, 120_000);
});

describe('what a forger would try', () => {
  it('removing the salt and putting another name in everywhere is found out', () => {
    const bare = structuredClone(whole);
    delete (bare.events[0]?.event as { salt?: string }).salt;
    expect(checkRecord(bare)[0]?.message).toBe('Its names were taken out, and \'Technician 4\' is no pseudonym: what proves a name is missing.');
    const renamed = JSON.parse(JSON.stringify(bare).replaceAll('Technician 4', 'Technician 5')) as RunRecord;
    expect(checkRecord(renamed)).not.toEqual([]);
    const framed = JSON.parse(JSON.stringify(nameless).replaceAll('Person 1', 'Technician 5')) as RunRecord;
    expect(checkRecord(framed)[0]?.message).toBe('Its names were taken out, and \'Technician 5\' is no pseudonym: what proves a name is missing.');
  });

  it('a text with other spelling of its letters is another text', () => {
    const begun = ready(take(emptyRun(tailLift()), startedEvent(tailLift(), { at: AT, person: 'T' })));
    const run = take(begun, { kind: 'note', text: 'caf\u00e9', at: AT }, { kind: 'stopped', reason: 'x', at: AT });
    const record = JSON.parse(JSON.stringify(buildRecord(run, 'run-2'))) as RunRecord;
    expect(checkRecord(record)).toEqual([]);
    for (const other of ['cafe\u0301', 'caf\u0435\u0301', 'caf\u00e9\u200b', 'caf\ud800']) {
      expect(checkRecord(JSON.parse(JSON.stringify(record).replaceAll('caf\u00e9', JSON.stringify(other).slice(1, -1)))), other).not.toEqual([]);
    }
  });

  it('a field written twice in the file is found out, of which readers see one or the other', () => {
    const text = JSON.stringify(whole, null, 2);
    expect(checkRecordText(text).problems).toEqual([]);
    const twice = text.replace('"asset": "TL-07"', '"asset": "TL-99",\n  "asset": "TL-07"');
    expect(twice).not.toBe(text);
    expect((JSON.parse(twice) as RunRecord).asset).toBe('TL-07');
    expect(checkRecordText(twice).problems).toEqual([{ kind: 'altered', message: 'A field stands in it twice: one program reads the one, another the other.' }]);
    const deep = text.replace('"typed": "24.9"', '"typed": "12.0", "typed": "24.9"');
    expect(checkRecordText(deep).problems).toHaveLength(1);
  });

  it('spacing, and the way letters are escaped, change nothing', () => {
    expect(checkRecordText(JSON.stringify(whole)).problems).toEqual([]);
    expect(checkRecordText(JSON.stringify(whole, null, '\t').replace(/\n/g, '\r\n')).problems).toEqual([]);
    expect(checkRecordText(JSON.stringify(whole).replace(/Ω/g, '\\u03a9')).problems).toEqual([]);
  });

  it('no value whatever makes the check throw, nor passes for a record', () => {
    const deep = `${'['.repeat(50_000)}${']'.repeat(50_000)}`;
    const event = JSON.stringify(whole).replace('"kind":"paused"', `"kind":"paused","more":${deep}`);
    for (const text of ['', '{', 'null', '[]', deep, event, JSON.stringify({ ...whole, __proto__: 1, constructor: 2 }), '{"__proto__":{"format":1}}']) {
      expect(checkRecordText(text).problems.length, text.slice(0, 40)).toBeGreaterThan(0);
    }
    fc.assert(fc.property(fc.jsonValue(), (value) => checkRecord(value).length > 0 && checkRecordText(JSON.stringify(value)).problems.length > 0), { numRuns: 300 });
    // A record with any of its fields exchanged for anything.
    fc.assert(fc.property(fc.constantFrom(...Object.keys(whole)), fc.jsonValue(), (key, value) => {
      const altered = { ...whole, [key]: value } as unknown as RunRecord;
      return JSON.stringify(value) === JSON.stringify((whole as unknown as Json)[key]) || checkRecord(altered).length > 0;
    }), { numRuns: 300 });
  });
});
