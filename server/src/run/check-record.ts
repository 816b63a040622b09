/** Signs that a record was altered after it was written. It knows no files. */
import { buildRecord } from './build-record.ts';
import { chainProblems, type ChainLink } from './chain.ts';
import type { ChecklistDocument } from './checklist-document.ts';
import { bytesDigest, canonicalJson, valueDigest } from './digest.ts';
import { replayRun } from './engine.ts';
import type { RecordOutcome, RecordProblem, RecordProcedure, RunRecord } from './record-shape.ts';
import { isPseudonym, saltOf, sealedRecord, sealFor, sealOfPerson } from './seal-people.ts';

/**
 * Every sign that a record was altered since it was written. Empty: its chain and its digest are whole. With the checklist that the
 * run was made by, it is also checked that the walk follows from the events. It cannot tell a record that was made up whole.
 */
export function checkRecord(record: unknown, document?: ChecklistDocument): RecordProblem[] {
  try {
    return problemsOf(record, document);
  } catch {
    // Nested deeper than anything that was ever written: there is no end to what a file can hold.
    return [{ kind: 'not_a_record', message: 'This is no record of a run: it is not built as any record was.' }];
  }
}

function problemsOf(record: unknown, document: ChecklistDocument | undefined): RecordProblem[] {
  if (!looksLikeRecord(record)) return [{ kind: 'not_a_record', message: 'This is no record of a run: fields that every record has are missing, or are not as they should be.' }];
  const problems: RecordProblem[] = [];
  const opening = { run: record.run, procedure: record.procedure.name, contentHash: record.contentHash };
  const events = record.events.map((link) => link.event);
  const seal = sealFor(events, record.identities);
  for (const problem of chainProblems(opening, record.events, seal)) {
    problems.push({ kind: problem.kind, event: problem.number, message: problem.message });
  }
  if (record.events.length < record.count) {
    const lost = record.count - record.events.length;
    problems.push({ kind: 'missing', message: `${lost === 1 ? '1 event is' : `${lost} events are`} missing: the record counts ${record.count} and holds ${record.events.length}.` });
  } else if (record.events.length > record.count) {
    problems.push({ kind: 'altered', message: `The record counts ${record.count} events and holds ${record.events.length}.` });
  }
  const last = record.events[record.events.length - 1]?.event.kind;
  if (last !== 'finished' && last !== 'stopped') problems.push({ kind: 'not_complete', message: 'The last event is neither the end of the run nor its stop.' });
  problems.push(...problemsOfIdentities(record, saltOf(events)));
  const { digest, ...body } = record;
  if (problems.length === 0 && digest !== digestOfBody(body, seal)) {
    problems.push({ kind: 'altered', message: 'The events are whole, but something else in the record was altered: its digest does not fit.' });
  }
  if (problems.length === 0) problems.push(...problemsOfAttachments(record));
  if (document !== undefined && problems.length === 0) problems.push(...problemsOfWalk(record, document));
  return problems;
}

/** Undefined where the body is of a shape that no digest was ever made of. */
function digestOfBody(body: Omit<RunRecord, 'digest'>, seal: ReturnType<typeof sealFor>): string | undefined {
  try {
    return valueDigest(sealedRecord(body, seal));
  } catch {
    return undefined;
  }
}

/** Names and their seals must belong together: by the salt while it is there, one to one when it has been removed. */
function problemsOfIdentities(record: RunRecord, salt: string | undefined): RecordProblem[] {
  const { identities } = record;
  const altered = (message: string): RecordProblem[] => [{ kind: 'altered', message }];
  if (identities === undefined) return salt === undefined ? [] : altered('The seals of the people named in it are missing.');
  if (!Array.isArray(identities) || !Array.isArray(record.people) || !identities.every((one) => typeof one?.person === 'string' && typeof one.seal === 'string')) {
    return altered('The seals of the people named in it are not as they were written.');
  }
  if (new Set(identities.map((one) => one.person)).size !== identities.length || new Set(identities.map((one) => one.seal)).size !== identities.length) {
    return altered('Two people in it have one name, or one seal.');
  }
  const stranger = salt === undefined ? identities.find((one) => !isPseudonym(one.person)) : undefined;
  if (stranger !== undefined) return altered(`Its names were taken out, and '${stranger.person}' is no pseudonym: what proves a name is missing.`);
  const wrong = salt === undefined ? undefined : identities.find((one) => one.seal !== sealOfPerson(salt, one.person));
  if (wrong !== undefined) return altered(`The name '${wrong.person}' is not the one that the record was written with.`);
  const unsealed = record.people.find((person) => !identities.some((one) => one.person === person));
  return unsealed === undefined ? [] : altered(`'${unsealed}' is named in it and has no seal.`);
}

/** A picture inside the record must be the one that its event was written with. */
function problemsOfAttachments(record: RunRecord): RecordProblem[] {
  const { attachments = [] } = record;
  if (!Array.isArray(attachments)) return [{ kind: 'altered', message: 'Its attachments are not as they were written.' }];
  return attachments.flatMap((one): RecordProblem[] => {
    const named = record.events.some(({ event }) => event.kind === 'photo' && event.name === one.name && (event.digest === undefined || event.digest === one.digest));
    if (!named) return [{ kind: 'altered', message: `The attachment ${String(one.name)} is named by no event of the run.` }];
    return bytesDigest(one.data) === one.digest ? [] : [{ kind: 'altered', message: `The attachment ${one.name} is not the picture that was taken: its digest does not fit.` }];
  });
}

function problemsOfWalk(record: RunRecord, document: ChecklistDocument): RecordProblem[] {
  const last = record.carriedOver?.[record.carriedOver.length - 1]?.contentHash ?? record.contentHash;
  if (document.contentHash !== last) {
    return [{ kind: 'does_not_follow', message: 'The record was made by another text of the procedure than this one.' }];
  }
  const { run, refused } = replayRun(document, record.events.map((link) => link.event));
  const first = refused[0];
  if (first !== undefined) {
    return [{ kind: 'does_not_follow', event: first.index + 1, message: `Event ${first.index + 1} cannot have been taken: ${first.problem}` }];
  }
  const quantities = record.walk.some((line) => line.entries.some((entry) => entry.quantity !== undefined));
  const again = buildRecord(run, record.run, [], { quantities });
  for (const part of ['walk', 'outcome', 'defects', 'facts', 'statesAtEnd', 'corrections', 'acknowledged'] as const) {
    if (canonicalJson(again[part]) !== canonicalJson(record[part])) {
      return [{ kind: 'does_not_follow', message: `What the record says under '${part}' does not follow from its events.` }];
    }
  }
  return [];
}

function looksLikeRecord(value: unknown): value is RunRecord {
  if (typeof value !== 'object' || value === null) return false;
  const record = value as Partial<Record<keyof RunRecord, unknown>>;
  const procedure = record.procedure as Partial<RecordProcedure> | null | undefined;
  return record.format === 1 && typeof record.run === 'string' && typeof procedure === 'object' && typeof procedure?.name === 'string'
    && typeof record.contentHash === 'string' && typeof record.count === 'number' && typeof record.digest === 'string'
    && Array.isArray(record.events) && record.events.every(looksLikeLink) && hasWhatIsRead(record);
}

/** What lists and summaries read: of these shapes, or it is no record that could be shown. */
function hasWhatIsRead(record: Partial<Record<keyof RunRecord, unknown>>): boolean {
  const outcome = record.outcome as Partial<RecordOutcome> | null | undefined;
  const objects = (value: unknown): boolean => Array.isArray(value) && value.every((one) => typeof one === 'object' && one !== null);
  return typeof record.startedAt === 'string' && typeof record.endedAt === 'string' && typeof record.workedSeconds === 'number'
    && (record.asset === undefined || typeof record.asset === 'string') && objects(record.defects) && objects(record.walk)
    && Array.isArray(record.people) && record.people.every((person) => typeof person === 'string')
    && typeof outcome === 'object' && outcome !== null && typeof outcome.kind === 'string' && typeof outcome.words === 'string'
    && typeof outcome.disposition === 'string' && objects(outcome.remedies);
}

function looksLikeLink(value: unknown): boolean {
  const link = value as Partial<ChainLink> | null;
  return typeof link === 'object' && link !== null && typeof link.number === 'number' && typeof link.digest === 'string'
    && typeof link.event === 'object' && link.event !== null;
}
