/**
 * Names of people, sealed: wherever a digest covers a name, it covers the name's seal in its place, SHA-256 over the run's salt and
 * the name. With the salt, the names of a record can be proved; without it, names can be replaced by pseudonyms and the salt be
 * removed, and the chain and the digest stay whole. A run whose first event holds no salt is chained over the names themselves.
 */
import { textDigest } from './digest.ts';
import type { RunEvent } from './events.ts';
import type { RecordIdentity, RunRecord } from './record-shape.ts';

/** A name → its seal; undefined for a name that has none. */
export type Seal = (person: string) => string | undefined;

/**
 * Whether a name has the form of a pseudonym: `Person 3`. Where the salt was removed no name can be proved, so nothing else may stand there: else
 * whoever removes it could put anyone's name in.
 */
export function isPseudonym(name: string): boolean {
  return /^Person [1-9]\d{0,6}$/.test(name);
}

/** Lower-case hex. */
export function sealOfPerson(salt: string, person: string): string {
  return textDigest(`${salt}\n${person}`);
}

/** How the names of a run are sealed: by the salt of its first event, else by the identities that a record kept, else not at all. */
export function sealFor(events: readonly RunEvent[], identities?: readonly RecordIdentity[]): Seal {
  const salt = saltOf(events);
  if (salt !== undefined) return (person) => sealOfPerson(salt, person);
  if (identities === undefined) return (person) => person;
  const seals = new Map(identities.map((identity) => [identity.person, identity.seal]));
  return (person) => seals.get(person);
}

export function saltOf(events: readonly RunEvent[]): string | undefined {
  const first = events[0];
  return first?.kind === 'started' ? first.salt : undefined;
}

/** The event as the chain covers it: names as seals, without the salt. A name without a seal becomes null, which fits no digest. */
export function sealedEvent(event: RunEvent, seal: Seal): unknown {
  const sealed: Record<string, unknown> = { ...event };
  if (typeof event.person === 'string') sealed['person'] = sealOrNull(event.person, seal);
  if (event.kind === 'handed_over') sealed['to'] = sealOrNull(event.to, seal);
  if (event.kind === 'helper' && event.who.trim() !== '') sealed['who'] = sealOrNull(event.who, seal);
  if (event.kind === 'started') delete sealed['salt'];
  return sealed;
}

/** The record as its digest covers it. */
export function sealedRecord(record: Omit<RunRecord, 'digest'>, seal: Seal): unknown {
  const named = mapPeople(record, (person) => sealOrNull(person, seal) as string);
  return {
    ...named,
    ...(record.identities === undefined ? {} : { identities: record.identities.map((identity) => identity.seal) }),
    events: record.events.map((link) => ({ ...link, event: sealedEvent(link.event, seal) })),
  };
}

/** A record with every name of a person put through `change`: in its fields, its events and its identities. */
export function renamed(record: RunRecord, change: (person: string) => string): RunRecord {
  return {
    ...mapPeople(record, change),
    ...(record.identities === undefined ? {} : { identities: record.identities.map((one) => ({ ...one, person: change(one.person) })) }),
    events: record.events.map((link) => {
      return { ...link, event: renamedEvent(link.event, change) };
    }),
  };
}

function renamedEvent(event: RunEvent, change: (person: string) => string): RunEvent {
  const named = withPerson(event, change);
  if (named.kind === 'handed_over') return { ...named, to: change(named.to) };
  return named.kind === 'helper' && named.who.trim() !== '' ? { ...named, who: change(named.who) } : named;
}

/** Every field that names a person, but for events and identities. */
function mapPeople<R extends Omit<RunRecord, 'digest'>>(record: R, change: (person: string) => string): R {
  const each = <T extends { readonly person?: string }>(items: readonly T[]): T[] => items.map((item) => withPerson(item, change));
  return {
    ...record,
    people: record.people.map(change),
    walk: record.walk.map((line) => ({ ...withPerson(line, change), ...(line.helper === undefined ? {} : { helper: change(line.helper) }), entries: each(line.entries) })),
    corrections: each(record.corrections), acknowledged: each(record.acknowledged), notes: each(record.notes), photos: each(record.photos),
    outcome: { ...record.outcome, remedies: each(record.outcome.remedies) },
    ...(record.carriedOver === undefined ? {} : { carriedOver: each(record.carriedOver) }),
  };
}

function withPerson<T extends { readonly person?: string }>(item: T, change: (person: string) => string): T {
  return item.person === undefined ? item : { ...item, person: change(item.person) };
}

function sealOrNull(person: string, seal: Seal): string | null {
  return seal(person) ?? null;
}
