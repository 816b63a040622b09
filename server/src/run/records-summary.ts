/**
 * What was found, over all records: by asset, by procedure, by finding, by month. What stands against an asset is computed by one rule: what a
 * run found stands until a later run of the same procedure on that asset comes to its end without it. It knows no files and prints nothing.
 */
import type { RecordOutcome, RunRecord } from './record-shape.ts';

/** What is read of a record. */
export type SummarisedRecord = Pick<RunRecord, 'procedure' | 'asset' | 'endedAt' | 'workedSeconds' | 'defects' | 'outcome' | 'walk'>;

export interface RecordsSummary {
  readonly runs: number;
  /** Days of the first and last end of a run, as its own place has them; undefined without a run. */
  readonly from?: string;
  readonly to?: string;
  readonly assets: readonly AssetLine[];
  readonly procedures: readonly ProcedureLine[];
  readonly findings: readonly FindingLine[];
  readonly months: readonly MonthLine[];
}

export interface AssetLine {
  /** Empty: runs on nothing that has a number. */
  readonly asset: string;
  readonly runs: number;
  /** The latest run: when it ended (ISO 8601), of which procedure, and what it came to. */
  readonly last: string;
  readonly procedure: string;
  readonly result: RecordOutcome['kind'] | NonNullable<RecordOutcome['verdict']>;
  /** The gravest first. */
  readonly stands: readonly Standing[];
}

/** Something found on an asset that no later run has shown to be gone. */
export interface Standing {
  /** `ungraded`: a defect without a grade. `not_repaired`, `not_proved`: a fault. `referred`: the cause is not found. */
  readonly how: 'dangerous' | 'major' | 'ungraded' | 'not_repaired' | 'not_proved' | 'referred' | 'minor';
  readonly title: string;
  readonly procedure: string;
  /** When the run that found it ended. */
  readonly since: string;
}

export interface ProcedureLine extends Endings {
  readonly procedure: string;
  readonly title: string;
  /** Of the latest run. */
  readonly revision: string;
  readonly runs: number;
  readonly assets: number;
  /** Runs of an inspection that came to its end and recorded a defect. */
  readonly withDefects: number;
  /** Minutes worked: the median of the runs that came to an ending. */
  readonly minutes: number;
  /** Runs in which something is remarked at a step: a wait not kept, a reading too close to its limit. */
  readonly remarked: number;
}

/** How many runs ended how. */
export interface Endings {
  readonly passed: number;
  readonly repaired: number;
  readonly found: number;
  readonly referred: number;
  readonly stopped: number;
  readonly no_way_on: number;
}

export interface FindingLine {
  readonly procedure: string;
  readonly fault: string;
  readonly title: string;
  /** Of a defect. */
  readonly grade: string;
  readonly times: number;
  readonly assets: number;
  /** Times that it was repaired and the repair proved, in the run that found it. */
  readonly repaired: number;
  readonly first: string;
  readonly last: string;
}

export interface MonthLine extends Endings {
  /** `2026-11`. */
  readonly month: string;
  readonly runs: number;
  readonly assets: number;
  readonly defects: number;
}

export function summariseRecords(records: readonly SummarisedRecord[]): RecordsSummary {
  const inOrder = [...records].sort((a, b) => timeOf(a) - timeOf(b));
  const [first, last] = [inOrder[0], inOrder[inOrder.length - 1]];
  return {
    runs: inOrder.length,
    ...(first === undefined || last === undefined ? {} : { from: first.endedAt.slice(0, 10), to: last.endedAt.slice(0, 10) }),
    assets: assetLines(inOrder), procedures: procedureLines(inOrder), findings: findingLines(inOrder), months: monthLines(inOrder),
  };
}

const GRAVITY: readonly Standing['how'][] = ['dangerous', 'major', 'ungraded', 'not_repaired', 'not_proved', 'referred', 'minor'];

/** Those that something grave stands against first, then the latest. */
function assetLines(inOrder: readonly SummarisedRecord[]): AssetLine[] {
  const lines = [...grouped(inOrder, (record) => record.asset ?? '')].map(([asset, own]): AssetLine => {
    const latest = own[own.length - 1] as SummarisedRecord;
    return {
      asset, runs: own.length, last: latest.endedAt, procedure: latest.procedure.name, result: latest.outcome.verdict ?? latest.outcome.kind,
      stands: asset === '' ? [] : standing(own),
    };
  });
  const gravity = (line: AssetLine): number => (line.stands[0] === undefined ? GRAVITY.length : GRAVITY.indexOf(line.stands[0].how));
  return lines.sort((a, b) => gravity(a) - gravity(b) || Date.parse(b.last) - Date.parse(a.last) || a.asset.localeCompare(b.asset));
}

/** Of the runs on one asset, in order. */
function standing(own: readonly SummarisedRecord[]): Standing[] {
  const all = [...grouped(own, (record) => record.procedure.name).values()].flatMap((runs) => {
    const stands = new Map<string, Standing>();
    for (const record of runs) takeRun(stands, record);
    return [...stands.values()];
  });
  return all.sort((a, b) => GRAVITY.indexOf(a.how) - GRAVITY.indexOf(b.how) || Date.parse(b.since) - Date.parse(a.since));
}

/** What stands by a procedure on an asset after one more run of it. A run that was broken off shows nothing to be gone. */
function takeRun(stands: Map<string, Standing>, record: SummarisedRecord): void {
  const { outcome, endedAt } = record;
  const procedure = record.procedure.name;
  const add = (key: string, how: Standing['how'], title: string): void => void stands.set(key, { how, title, procedure, since: endedAt });
  switch (outcome.kind) {
    case 'passed':
    case 'repaired':
      stands.clear();
      break;
    case 'found':
      // One fault is taken to cause the complaint: this one, and no other of before.
      stands.clear();
      add(`fault ${outcome.fault ?? ''}`, outcome.remedies.at(-1)?.carriedOut === true ? 'not_proved' : 'not_repaired', outcome.faultTitle ?? outcome.fault ?? '');
      break;
    case 'referred':
      if (record.procedure.purpose !== 'inspection') stands.clear();
      add('referred', 'referred', outcome.words);
      break;
    case 'stopped':
    case 'no_way_on':
      break;
  }
  for (const defect of record.defects) add(`defect ${defect.procedure}/${defect.fault}`, defect.grade ?? 'ungraded', defect.title);
}

function procedureLines(inOrder: readonly SummarisedRecord[]): ProcedureLine[] {
  return [...grouped(inOrder, (record) => record.procedure.name)].map(([procedure, own]): ProcedureLine => {
    const latest = own[own.length - 1] as SummarisedRecord;
    const ended = own.filter(({ outcome }) => outcome.kind !== 'stopped' && outcome.kind !== 'no_way_on');
    return {
      procedure, title: latest.procedure.title, revision: latest.procedure.revision ?? '', runs: own.length, assets: assetsOf(own), ...endings(own),
      withDefects: own.filter(({ outcome, defects }) => outcome.kind === 'passed' && defects.length > 0).length,
      minutes: Math.round(median(ended.map((record) => record.workedSeconds)) / 60),
      remarked: own.filter((record) => record.walk.some((line) => line.remarks.length > 0)).length,
    };
  }).sort((a, b) => b.runs - a.runs || a.procedure.localeCompare(b.procedure));
}

interface Found {
  readonly record: SummarisedRecord;
  readonly procedure: string;
  readonly fault: string;
  readonly title: string;
  readonly grade: string;
}

/** The most frequent first. */
function findingLines(inOrder: readonly SummarisedRecord[]): FindingLine[] {
  const found = inOrder.flatMap((record): Found[] => {
    const { outcome, defects, procedure } = record;
    return [
      ...(outcome.fault === undefined ? [] : [{ record, procedure: procedure.name, fault: outcome.fault, title: outcome.faultTitle ?? outcome.fault, grade: '' }]),
      ...defects.map((defect) => ({ record, procedure: defect.procedure, fault: defect.fault, title: defect.title, grade: defect.grade ?? 'ungraded' })),
    ];
  });
  return [...grouped(found, (one) => `${one.procedure}\n${one.fault}`).values()].map((own): FindingLine => {
    const latest = own[own.length - 1] as Found;
    return {
      procedure: latest.procedure, fault: latest.fault, title: latest.title, grade: latest.grade, times: own.length, assets: assetsOf(own.map(({ record }) => record)),
      repaired: own.filter(({ record, fault }) => record.outcome.kind === 'repaired' && record.outcome.fault === fault).length,
      first: (own[0] as Found).record.endedAt, last: latest.record.endedAt,
    };
  }).sort((a, b) => b.times - a.times || Date.parse(b.last) - Date.parse(a.last));
}

/** The latest first; a month without a run is left out. */
function monthLines(inOrder: readonly SummarisedRecord[]): MonthLine[] {
  return [...grouped(inOrder, (record) => record.endedAt.slice(0, 7))].map(([month, own]): MonthLine => ({
    month, runs: own.length, assets: assetsOf(own), ...endings(own), defects: own.reduce((sum, record) => sum + record.defects.length, 0),
  })).sort((a, b) => (a.month < b.month ? 1 : -1));
}

function endings(own: readonly SummarisedRecord[]): Endings {
  const count = (kind: RecordOutcome['kind']): number => own.filter(({ outcome }) => outcome.kind === kind).length;
  return {
    passed: count('passed'), repaired: count('repaired'), found: count('found'), referred: count('referred'), stopped: count('stopped'), no_way_on: count('no_way_on'),
  };
}

function assetsOf(own: readonly SummarisedRecord[]): number {
  return new Set(own.flatMap((record) => record.asset ?? [])).size;
}

function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  if (sorted.length % 2 === 1) return sorted[middle] ?? 0;
  return ((sorted[middle - 1] ?? 0) + (sorted[middle] ?? 0)) / 2;
}

/** In the order in which the keys first come up. */
function grouped<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [item]);
    else group.push(item);
  }
  return groups;
}

function timeOf(record: SummarisedRecord): number {
  return Date.parse(record.endedAt) || 0;
}
