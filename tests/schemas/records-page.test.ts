/** The page on records says of every event and entry what the schema has, and of a changed procedure what the engine does. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { checklistOf, fixture } from '../pages/checklist-fixture.ts';
import { carryOver } from '../../server/src/run/carry-over.ts';
import { applyEvent, startedEvent } from '../../server/src/run/engine.ts';
import { emptyRun, type RunEvent } from '../../server/src/run/engine.ts';

const file = new URL('../../server/docs/records.md', import.meta.url);
const page = readFileSync(file, 'utf8');
interface Part { readonly properties: Record<string, { readonly const?: string }> }
const schema = JSON.parse(readFileSync(new URL('../../schemas/record.schema.json', import.meta.url), 'utf8')) as {
  readonly $defs: { readonly event: { readonly oneOf: readonly Part[] }; readonly line: { readonly properties: { readonly entries: { readonly items: Part } } } };
};

const section = (title: string): string => page.split(`## ${title}\n`)[1]?.split('\n## ')[0] ?? '';
const rows = (title: string): string[][] => section(title).split('\n').filter((line) => /^\| `/.test(line)).map((line) => line.slice(1, -1).split('|').map((cell) => cell.trim()));
const marked = (text: string): string[] => [...text.matchAll(/`([^`]+)`/g)].map(([, word]) => word ?? '');

test('every event of the schema stands there once, with all of its fields and no other', () => {
  const described = rows('Events').map(([event = '', , fields = '']) => ({ kind: marked(event)[0], fields: [...new Set(marked(fields))].sort() }));
  const there = schema.$defs.event.oneOf.map(({ properties }) => ({
    kind: properties['kind']?.const, fields: Object.keys(properties).filter((key) => !['kind', 'at', 'person'].includes(key)).sort(),
  }));
  const byKind = (one: { readonly kind: string | undefined }, other: { readonly kind: string | undefined }) => String(one.kind).localeCompare(String(other.kind));
  expect(described.sort(byKind)).toEqual(there.sort(byKind));
  expect(described.map(({ kind }) => kind)).toContain('wait_started');
});

test('what of a reading is kept is in the schema', () => {
  const fields = Object.keys(schema.$defs.line.properties.entries.items.properties);
  const described = rows('A reading').map(([field = '']) => marked(field)[0] ?? '');
  expect(described.length).toBeGreaterThan(3);
  expect(described.filter((field) => !fields.includes(field))).toEqual([]);
});

test('links lead somewhere', () => {
  for (const [, link = ''] of page.matchAll(/\]\(([^)#]+)(?:#[^)]*)?\)/g)) expect(existsSync(new URL(link, file)), link).toBe(true);
});

describe('a run and a changed procedure', () => {
  const text = fixture('spinner.procedure.yaml');
  const before = checklistOf(text, 'GR-02');
  const at = '2026-11-25T09:30:00+01:00';
  const events: RunEvent[] = [startedEvent(before, { at, person: 'T-14' }), { kind: 'done', at }, { kind: 'acknowledged', cautions: ['salt_dust'], at }];
  const allowed = (change: (written: string) => string): boolean => {
    const changed = change(text);
    expect(changed).not.toBe(text);
    return !('problem' in carryOver(before, checklistOf(changed, 'GR-02'), [...events, { kind: 'states_confirmed', states: { isolator: 'off', spinner_guard: 'open' }, at }, { kind: 'answer', typed: 'free', at }], { at }));
  };

  // Of the step 'turn_by_hand', which was walked.
  test.each([
    ['title', (written: string) => written.replace('title: Turn the disc by hand', 'title: Disc by hand')],
    ['`why`', (written: string) => written.replace('why: Separates grit', 'why: Tells grit')],
    ['`time`', (written: string) => written.replace('    time: 3 min\n    results:\n      - when: free', '    time: 5 min\n    results:\n      - when: free')],
    ['every step that was not walked', (written: string) => written.replaceAll('23.6 V', '23 V')],
    ['how a state is brought about', (written: string) => written.replace('[Take out the two pins., Lift the guard off.]', '[Take out both pins., Lift the guard off.]')],
  ])('may differ: %s', (named, change) => {
    expect(section('A run and a changed procedure')).toContain(named);
    expect(allowed(change)).toBe(true);
  });

  test.each([
    ['question', (written: string) => written.replace('Does the disc turn freely by hand?', 'Does the disc turn both ways?')],
    ['cautions, word for word', (written: string) => written.replace('It may irritate eyes and skin.', 'It may irritate the eyes.')],
    ['`people`', (written: string) => written.replace('    why: Separates', '    people: 2\n    why: Separates')],
    ['rule out', (written: string) => written.replace('        rules_out: [jammed]\n', '        says: Nothing is jammed.\n').replace('        says: It turns freely.\n', '')],
    ['needed, held and set states', (written: string) => written.replace('needs: {isolator: off, spinner_guard: open}', 'needs: {isolator: off}')],
  ])('must be the same: %s', (named, change) => {
    expect(section('A run and a changed procedure')).toContain(named);
    expect(allowed(change)).toBe(false);
  });
});

test('what is taken while a run is paused', () => {
  const document = checklistOf(undefined, 'GR-02');
  const at = '2026-11-25T09:30:00+01:00';
  const paused = [startedEvent(document, { at, person: 'T-14' }), { kind: 'paused', at } as const].reduce(applyEvent, emptyRun(document));
  const tried: RunEvent[] = [
    { kind: 'resumed', at }, { kind: 'note', text: 'x', at }, { kind: 'photo', name: 'photo-01.jpg', at }, { kind: 'helper', who: 'T-02', at }, { kind: 'handed_over', to: 'T-02', at },
    { kind: 'stopped', reason: 'x', at }, { kind: 'done', at }, { kind: 'instrument', instrument: 'multimeter', id: 'M-1', at }, { kind: 'paused', at }, { kind: 'finished', at },
  ];
  const taken = tried.filter((event) => applyEvent(paused, event).problem === undefined).map(({ kind }) => kind);
  const sentence = /After `paused` only (.*) are taken\./s.exec(page)?.[1] ?? '';
  // Only a changed text makes the last one possible.
  expect(taken).toEqual(marked(sentence).filter((kind) => kind !== 'carried_over'));
});
