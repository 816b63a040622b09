/** Makes the record of a run: everything in it is computed from the run's events and the checklist they were taken by. */
import { fromBase } from '../quantity/quantity.ts';
import { rationalToNumber } from '../quantity/rational.ts';
import { toUcum } from '../quantity/ucum.ts';
import { chainEvents } from './chain.ts';
import type { ChecklistDocument, ProcedureSheet } from './checklist-document.ts';
import { valueDigest } from './digest.ts';
import { applyEvent, emptyRun } from './engine.ts';
import type { CorrectionEvent, RunEvent } from './events.ts';
import { calibrationOf, instrumentInHand } from './instrument-in-hand.ts';
import type {
  RecordAttachment, RecordCorrection, RecordEntry, RecordInstrument, RecordLine, RecordOutcome, RecordProcedure, RecordQuantity, RunRecord,
} from './record-shape.ts';
import type { Run } from './run-state.ts';
import { saltOf, sealedRecord, sealFor, sealOfPerson } from './seal-people.ts';
import { useOfAsset, verdictOf } from './use-of-asset.ts';
import { statesNotPutBack } from './view-of-run.ts';
import { framesWithStates } from './walk-questions.ts';
import { frameAtHand, sheetNamed, stateWords, stepSheetAtHand, type PointEntry, type Understood, type Walk, type WalkLine } from './walk-state.ts';

/**
 * The record of a run that has finished or was stopped, with the pictures themselves where they are handed over. `quantities: false`: as earlier
 * versions wrote it, to hold one of theirs against it. Throws where it is still under way.
 */
export function buildRecord(run: Run, runId: string, attachments: readonly RecordAttachment[] = [], { quantities = true }: { readonly quantities?: boolean } = {}): RunRecord {
  const { document, walk, events } = run;
  if (walk.stage !== 'finished' && walk.stage !== 'stopped') throw new Error('The run is under way: it has no record yet.');
  const { procedure } = document;
  const history = historyOf(run);
  const people = peopleOf(events);
  const salt = saltOf(events);
  const started = events[0];
  // A run that was carried over is chained to the text that it began with.
  const begunWith = started?.kind === 'started' ? started.contentHash : document.contentHash;
  const body: Omit<RunRecord, 'digest'> = {
    format: 1,
    run: runId,
    procedure: { ...recordProcedure(procedure), purpose: procedure.purpose, ...given('status', procedure.status) },
    called: Object.values(document.called).map(recordProcedure),
    contentHash: begunWith,
    ...(walk.carriedOver.length === 0 ? {} : { carriedOver: walk.carriedOver }),
    standing: {
      errors: document.standing.errors, warnings: document.standing.warnings, accepted: document.standing.accepted.length,
      remarks: document.standing.remarks,
    },
    ...given('asset', walk.asset), ...given('shop', document.shop),
    facts: [...walk.facts].map(([name, fact]) => ({ name, value: fact.text, source: fact.source })),
    people,
    ...(salt === undefined ? {} : { identities: people.map((person) => ({ person, seal: sealOfPerson(salt, person) })) }),
    startedAt: walk.startedAt ?? '',
    endedAt: walk.lastAt ?? '',
    workedSeconds: Math.floor(walk.workedMilliseconds / 1000),
    instruments: instrumentsOf(document, walk),
    walk: walk.lines.map((line) => recordLine(events, line, quantities)),
    corrections: events.flatMap((event, index) => (event.kind === 'correction' ? [recordCorrection(events, event, index, history)] : [])),
    acknowledged: events.flatMap((event, index) => (event.kind === 'acknowledged'
      ? [{ cautions: event.cautions, step: history[index]?.step ?? '', at: event.at, ...given('person', history[index]?.person) }]
      : [])),
    defects: walk.defects.map((defect) => ({
      fault: defect.fault, title: defect.title, ...given('grade', defect.grade), step: defect.step, procedure: defect.procedure,
      ...given('remedy', defect.remedy),
    })),
    outcome: recordOutcome(walk),
    statesAtEnd: Object.assign({}, ...framesWithStates(walk).map(stateWords)) as Record<string, string[]>,
    notPutBack: statesNotPutBack(walk).map((need) => need.words),
    notes: walk.notes.map((note) => ({ text: note.text, step: note.step, at: note.at, ...given('person', note.person) })),
    photos: walk.photos.map((photo) => ({
      name: photo.name, ...given('digest', photo.digest), ...given('caption', photo.caption), step: photo.step, at: photo.at,
      ...given('person', photo.person),
    })),
    ...given('attachments', attachments.length === 0 ? undefined : attachments),
    clock: walk.clockRemarks,
    closing: document.closing,
    count: events.length,
    events: chainEvents({ run: runId, procedure: procedure.name, contentHash: begunWith }, events),
  };
  return { ...body, digest: valueDigest(sealedRecord(body, sealFor(events))) };
}

function recordProcedure(sheet: ProcedureSheet): RecordProcedure {
  return { name: sheet.name, title: sheet.title, ...given('revision', sheet.revision), textHash: sheet.textHash };
}

function recordLine(events: readonly RunEvent[], line: WalkLine, quantities: boolean): RecordLine {
  return {
    kind: line.kind, inside: line.inside, procedure: line.procedure, ...given('section', line.section), step: line.step, title: line.title,
    number: line.number, entries: line.entries.map((entry) => recordEntry(events, entry, quantities)), words: plain(line.words),
    limits: line.limits.map(plain), results: line.results, ...given('judgement', line.judgement && plain(line.judgement)),
    remarks: line.remarks.map(plain), startedAt: line.startedAt, endedAt: line.endedAt,
    ...given('person', line.person), ...given('helper', line.helper), ...given('instrument', line.instrument), ...given('calibratedUntil', line.calibratedUntil),
  };
}

function recordEntry(events: readonly RunEvent[], entry: PointEntry, quantities: boolean): RecordEntry {
  const event = events[entry.event];
  const original = event && 'typed' in event ? event.typed : undefined;
  return {
    event: entry.event + 1, ...given('point', entry.point), typed: entry.typed, understood: plain(entry.words),
    ...given('quantity', quantities ? recordQuantity(entry.understood) : undefined), at: entry.at,
    ...given('person', entry.person), ...(original === undefined || original === entry.typed ? {} : { original }),
  };
}

function recordQuantity(understood: Understood): RecordQuantity | undefined {
  if (understood.kind !== 'quantity') return undefined;
  const { base, unit } = understood.quantity;
  const ucum = toUcum(unit);
  const value = rationalToNumber(unit === undefined ? base : fromBase(base, unit));
  return ucum === undefined || !Number.isFinite(value) ? undefined : { value, ucum };
}

function recordCorrection(events: readonly RunEvent[], event: CorrectionEvent, index: number, history: readonly EventHistory[]): RecordCorrection {
  const of = events[event.of];
  return {
    event: index + 1, of: event.of + 1, ...(of && 'typed' in of ? given('original', of.typed) : {}), ...given('typed', event.typed),
    setAside: history[index]?.setAside ?? [], at: event.at, ...given('person', history[index]?.person), ...given('reason', event.reason),
  };
}

interface EventHistory {
  /** The step at hand when it was taken. */
  readonly step: string;
  readonly person: string | undefined;
  /** Numbers of entries that counted before it and no longer after it. */
  readonly setAside: readonly number[];
}

/** What was so when each event was taken, those that later ceased to count included. */
function historyOf(whole: Run): EventHistory[] {
  let run = emptyRun(whole.document, whole.walk.former);
  return whole.events.map((event) => {
    const frame = frameAtHand(run.walk);
    const step = (frame && stepSheetAtHand(frame)?.name) ?? '';
    const person = event.person ?? run.walk.person;
    const before = run.counted;
    run = applyEvent(run, event);
    const counts = new Set(run.counted.map((counted) => counted.index));
    return { step, person, setAside: before.filter((counted) => !counts.has(counted.index)).map((counted) => counted.index + 1) };
  });
}

function peopleOf(events: readonly RunEvent[]): string[] {
  const people = new Set<string>();
  for (const event of events) {
    if (event.person !== undefined && event.person !== '') people.add(event.person);
    if (event.kind === 'handed_over') people.add(event.to);
    if (event.kind === 'helper' && event.who.trim() !== '') people.add(event.who);
  }
  return [...people];
}

/** Those that steps of the walk were done with, and those whose number was given. */
function instrumentsOf(document: ChecklistDocument, walk: Walk): RecordInstrument[] {
  const found = new Map<string, RecordInstrument>();
  for (const line of walk.lines) {
    const sheet = sheetNamed(document, line.procedure)?.steps.find((step) => step.name === line.step)?.instrument;
    if (sheet === undefined || line.kind !== 'step') continue;
    const numbered = walk.instruments.filter((one) => one.instrument === sheet.name);
    const base = { instrument: sheet.name, title: sheet.title, ...given('category', sheet.category), ...given('accuracy', sheet.accuracy) };
    if (numbered.length === 0) {
      const inHand = instrumentInHand(walk, sheet.name);
      found.set(sheet.name, { ...base, ...given('id', inHand?.id), ...given('calibratedUntil', inHand?.calibratedUntil) });
    }
    for (const one of numbered) found.set(`${sheet.name} ${one.id}`, { ...base, id: one.id, ...given('calibratedUntil', calibrationOf(walk, one)) });
  }
  return [...found.values()];
}

function recordOutcome(walk: Walk): RecordOutcome {
  const outcome = walk.outcome as NonNullable<Walk['outcome']>;
  const main = walk.frames[0];
  const fault = main?.sheet.faults.find((one) => one.name === outcome.fault);
  const inspection = main?.sheet.purpose === 'inspection';
  const left = inspection || outcome.fault !== undefined || outcome.kind === 'passed' || main === undefined
    ? []
    : main.sheet.faults.filter((_, index) => (main.possible >> BigInt(index)) & 1n).map((one) => one.name);
  return {
    kind: outcome.kind, words: plain(outcome.words), ...given('fault', outcome.fault), ...given('faultTitle', fault?.title), faultsLeft: left,
    ...given('verdict', verdictOf(walk)),
    remedies: walk.remedies.map((remedy) => {
      const sheet = main?.sheet.faults.find((one) => one.name === remedy.fault);
      return {
        fault: remedy.fault, title: sheet?.title ?? remedy.fault, ...given('remedy', sheet?.remedy), carriedOut: remedy.carriedOut,
        ...given('text', remedy.text), at: remedy.at, ...given('person', remedy.person),
      };
    }),
    proof: outcome.kind === 'repaired' ? proofLines(walk) : [],
    disposition: useOfAsset(walk),
  };
}

/** The steps after the last remedy. */
function proofLines(walk: Walk): string[] {
  const remedy = walk.lines.map((line) => line.kind).lastIndexOf('remedy');
  return walk.lines.slice(remedy + 1).filter((line) => line.section === 'after_repair' && line.kind !== 'passed_over')
    .map((line) => `Step ${line.number}, ${line.title}: ${plain(line.judgement ?? line.words)}`);
}

/** A file holds ordinary spaces and hyphens: it is searched and compared. */
function plain(text: string): string {
  return text.replace(/\u202f/g, ' ').replace(/\u2212/g, '-');
}

function given<K extends string, V>(key: K, value: V | undefined): Partial<Record<K, V>> {
  return value === undefined ? {} : ({ [key]: value } as Record<K, V>);
}
