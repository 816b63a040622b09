/**
 * Takes the names of people out of a record and leaves it whole: each name is replaced by a pseudonym, and the salt that the names
 * were sealed with is removed (seal-people.ts). What people wrote in their own words is left as it is, and said.
 */
import { checkRecord } from './check-record.ts';
import type { RunRecord } from './record-shape.ts';
import { renamed, saltOf } from './seal-people.ts';

export type Pseudonymised =
  | {
    readonly record: RunRecord;
    /** What was taken out: enough to prove later whose pseudonym it was. */
    readonly removed: { readonly run: string; readonly salt: string; readonly people: readonly { readonly person: string; readonly pseudonym: string }[] };
    /** Where a removed name still stands in free words: 'note 2', 'the reason of event 9'. */
    readonly stillNamed: readonly string[];
  }
  /** Nothing to do. */
  | { readonly already: true }
  | { readonly problem: string };

/** `pseudonymFor` gives each person one of the form `Person 3`, the same for the same person; those of one record must differ. */
export function pseudonymise(record: RunRecord, pseudonymFor: (person: string) => string): Pseudonymised {
  const problems = checkRecord(record);
  if (problems[0] !== undefined) return { problem: `The record is not whole, and stays as it is: ${problems[0].message}` };
  const salt = saltOf(record.events.map((link) => link.event));
  if (salt === undefined) {
    if (record.identities !== undefined || record.people.length === 0) return { already: true };
    return { problem: 'Its names are not sealed: they stand in its chain as they are, and taking them out would break it. It stays as it is.' };
  }
  const people = record.people.map((person) => ({ person, pseudonym: pseudonymFor(person) }));
  const pseudonyms = new Map(people.map((one) => [one.person, one.pseudonym]));
  if (new Set(pseudonyms.values()).size !== pseudonyms.size) return { problem: 'Two people of this record would have the same pseudonym. It stays as it is.' };
  const named = renamed(record, (person) => pseudonyms.get(person) ?? person);
  const events = named.events.map((link, index) => {
    if (index > 0 || link.event.kind !== 'started') return link;
    const event: Record<string, unknown> = { ...link.event };
    delete event['salt'];
    return { ...link, event: event as unknown as typeof link.event };
  });
  const made = { ...named, events };
  const wrong = checkRecord(made)[0];
  if (wrong !== undefined) return { problem: `The names could not be taken out: ${wrong.message} It stays as it is.` };
  return { record: made, removed: { run: record.run, salt, people }, stillNamed: placesThatName(made, people.map((one) => one.person)) };
}

/** Fields of an event that hold a person's name as such, or nothing that anyone wrote. */
const NO_FREE_WORDS = ['kind', 'at', 'person', 'to', 'who', 'contentHash', 'was', 'digest'];

function placesThatName(record: RunRecord, people: readonly string[]): string[] {
  const found: string[] = [];
  record.events.forEach(({ number, event }) => {
    const words = JSON.stringify(Object.entries(event).filter(([key]) => !NO_FREE_WORDS.includes(key)).map(([, value]) => value)).toLowerCase();
    // As it stands within a JSON text.
    const written = (person: string): string => JSON.stringify(person.trim().toLowerCase()).slice(1, -1);
    const names = people.filter((person) => person.trim().length > 1 && words.includes(written(person)));
    if (names.length > 0) found.push(`event ${number} (${event.kind.replace(/_/g, ' ')})`);
  });
  return found;
}
