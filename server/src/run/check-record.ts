/** Signs that a record was altered after it was written. It knows no files. */
import { buildRecord } from './build-record.ts';
import { chainProblems, type ChainLink } from './chain.ts';
import type { ChecklistDocument } from './checklist-document.ts';
import { canonicalJson, valueDigest } from './digest.ts';
import { replayRun } from './engine.ts';
import type { RecordProblem, RecordProcedure, RunRecord } from './record-shape.ts';

/**
 * Every sign that a record was altered since it was written. Empty: its chain and its digest are whole. With the checklist that the
 * run was made by, it is also checked that the walk follows from the events. It cannot tell a record that was made up whole.
 */
export function checkRecord(record: unknown, document?: ChecklistDocument): RecordProblem[] {
  if (!looksLikeRecord(record)) return [{ kind: 'not_a_record', message: 'This is no record of a run: fields that every record has are missing.' }];
  const problems: RecordProblem[] = [];
  const opening = { run: record.run, procedure: record.procedure.name, contentHash: record.contentHash };
  for (const problem of chainProblems(opening, record.events)) {
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
  const { digest, ...body } = record;
  if (digest !== valueDigest(body) && problems.length === 0) {
    problems.push({ kind: 'altered', message: 'The events are whole, but something else in the record was altered: its digest does not fit.' });
  }
  if (document !== undefined && problems.length === 0) problems.push(...problemsOfWalk(record, document));
  return problems;
}

function problemsOfWalk(record: RunRecord, document: ChecklistDocument): RecordProblem[] {
  if (document.contentHash !== record.contentHash) {
    return [{ kind: 'does_not_follow', message: 'The record was made by another text of the procedure than this one.' }];
  }
  const { run, refused } = replayRun(document, record.events.map((link) => link.event));
  const first = refused[0];
  if (first !== undefined) {
    return [{ kind: 'does_not_follow', event: first.index + 1, message: `Event ${first.index + 1} cannot have been taken: ${first.problem}` }];
  }
  const again = buildRecord(run, record.run);
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
    && Array.isArray(record.events) && record.events.every(looksLikeLink);
}

function looksLikeLink(value: unknown): boolean {
  const link = value as Partial<ChainLink> | null;
  return typeof link === 'object' && link !== null && typeof link.number === 'number' && typeof link.digest === 'string'
    && typeof link.event === 'object' && link.event !== null;
}
