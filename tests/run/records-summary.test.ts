/** What was found over all records: counted by hand on a few. */
import { describe, expect, it } from 'vitest';
import { summariseRecords, type SummarisedRecord } from '../../server/src/run/records-summary.ts';

interface Given {
  readonly asset?: string;
  readonly procedure?: string;
  readonly inspection?: boolean;
  readonly kind: SummarisedRecord['outcome']['kind'];
  readonly fault?: string;
  readonly carriedOut?: boolean;
  readonly defects?: readonly (readonly [fault: string, grade?: 'minor' | 'major' | 'dangerous'])[];
  readonly minutes?: number;
  readonly remarked?: boolean;
}

function record(endedAt: string, given: Given): SummarisedRecord {
  const name = given.procedure ?? (given.inspection ? 'walk_round' : 'lift');
  return {
    procedure: { name, title: name.toUpperCase(), revision: '1', textHash: '', purpose: given.inspection ? 'inspection' : 'fault_finding' },
    ...(given.asset === undefined ? {} : { asset: given.asset }), endedAt, workedSeconds: (given.minutes ?? 10) * 60,
    defects: (given.defects ?? []).map(([fault, grade]) => ({ fault, title: `The ${fault}`, ...(grade === undefined ? {} : { grade }), step: 'look', procedure: name })),
    outcome: {
      kind: given.kind, words: `Words of ${given.kind}.`, ...(given.fault === undefined ? {} : { fault: given.fault, faultTitle: `The ${given.fault}` }), faultsLeft: [],
      remedies: given.carriedOut === undefined ? [] : [{ fault: given.fault ?? '', title: '', carriedOut: given.carriedOut, at: endedAt }], proof: [], disposition: '',
      ...(given.inspection && given.kind === 'passed' ? { verdict: given.defects?.some(([, grade]) => grade === 'dangerous') ? 'dangerous' as const : 'no_defect' as const } : {}),
    },
    walk: given.remarked ? [{ remarks: ['A wait not kept.'] } as unknown as SummarisedRecord['walk'][number]] : [],
  };
}

const day = (number: number, month = 11): string => `2026-${String(month).padStart(2, '0')}-${String(number).padStart(2, '0')}T09:00:00+01:00`;
const stands = (...records: SummarisedRecord[]): string[] => summariseRecords(records).assets.flatMap((line) => line.stands.map((one) => `${one.how}: ${one.title}`));

describe('what stands against an asset', () => {
  it('is what the latest inspection recorded, the gravest first', () => {
    const first = record(day(1), { asset: 'A', inspection: true, kind: 'passed', defects: [['lamp', 'minor'], ['hose', 'dangerous'], ['seat']] });
    expect(stands(first)).toEqual(['dangerous: The hose', 'ungraded: The seat', 'minor: The lamp']);
    expect(stands(first, record(day(2), { asset: 'A', inspection: true, kind: 'passed', defects: [['lamp', 'minor']] }))).toEqual(['minor: The lamp']);
    // The order in which records are found does not matter: the time of the run does.
    expect(stands(record(day(2), { asset: 'A', inspection: true, kind: 'passed' }), first)).toEqual([]);
  });

  it('stays where a later inspection was broken off or referred', () => {
    const first = record(day(1), { asset: 'A', inspection: true, kind: 'passed', defects: [['hose', 'dangerous']] });
    expect(stands(first, record(day(2), { asset: 'A', inspection: true, kind: 'stopped' }))).toEqual(['dangerous: The hose']);
    expect(stands(first, record(day(2), { asset: 'A', inspection: true, kind: 'no_way_on' }))).toEqual(['dangerous: The hose']);
    expect(stands(first, record(day(2), { asset: 'A', inspection: true, kind: 'referred', defects: [['lamp', 'minor']] }))).toEqual(['dangerous: The hose', 'referred: Words of referred.', 'minor: The lamp']);
    // What was broken off, and had recorded something until then, counts all the same.
    expect(stands(record(day(2), { asset: 'A', inspection: true, kind: 'stopped', defects: [['hose', 'dangerous']] }))).toEqual(['dangerous: The hose']);
  });

  it('is a fault that was not repaired, or whose repair was not proved', () => {
    const left = record(day(1), { asset: 'A', kind: 'found', fault: 'fuse', carriedOut: false });
    expect(stands(left)).toEqual(['not_repaired: The fuse']);
    expect(stands(record(day(1), { asset: 'A', kind: 'found', fault: 'fuse', carriedOut: true }))).toEqual(['not_proved: The fuse']);
    expect(stands(left, record(day(2), { asset: 'A', kind: 'repaired', fault: 'motor', carriedOut: true }))).toEqual([]);
    expect(stands(left, record(day(2), { asset: 'A', kind: 'passed' }))).toEqual([]);
    expect(stands(left, record(day(2), { asset: 'A', kind: 'found', fault: 'motor', carriedOut: false }))).toEqual(['not_repaired: The motor']);
    expect(stands(left, record(day(2), { asset: 'A', kind: 'stopped' }))).toEqual(['not_repaired: The fuse']);
  });

  it('is not taken away by another procedure, or by a run on another asset', () => {
    const left = record(day(1), { asset: 'A', kind: 'found', fault: 'fuse', carriedOut: false });
    expect(stands(left, record(day(2), { asset: 'A', procedure: 'other', kind: 'passed' }))).toEqual(['not_repaired: The fuse']);
    expect(stands(left, record(day(2), { asset: 'B', kind: 'passed' }))).toEqual(['not_repaired: The fuse']);
    // Nothing stands against what has no number.
    expect(stands(record(day(1), { kind: 'found', fault: 'fuse', carriedOut: false }))).toEqual([]);
  });
});

describe('what was found', () => {
  const records = [
    record(day(3, 9), { asset: 'A', kind: 'repaired', fault: 'fuse', carriedOut: true, minutes: 20 }),
    record(day(4, 9), { asset: 'B', kind: 'found', fault: 'fuse', carriedOut: false, minutes: 30, remarked: true }),
    record(day(5), { asset: 'A', kind: 'found', fault: 'motor', carriedOut: true, minutes: 90 }),
    record(day(6), { asset: 'A', kind: 'stopped', minutes: 1 }),
    record(day(7), { asset: 'C', inspection: true, kind: 'passed', defects: [['hose', 'dangerous'], ['lamp', 'minor']], minutes: 15 }),
    record(day(8), { kind: 'no_way_on', minutes: 2 }),
  ];
  const summary = summariseRecords(records);

  it('is counted by asset, the gravest first, then the latest', () => {
    expect(summary).toMatchObject({ runs: 6, from: '2026-09-03', to: '2026-11-08' });
    expect(summary.assets.map((line) => [line.asset, line.runs, line.result, line.stands.length])).toEqual([
      ['C', 1, 'dangerous', 2], ['B', 1, 'found', 1], ['A', 3, 'stopped', 1], ['', 1, 'no_way_on', 0],
    ]);
  });

  it('is counted by procedure, with the median of the minutes of those that ended', () => {
    expect(summary.procedures).toEqual([
      { procedure: 'lift', title: 'LIFT', revision: '1', runs: 5, assets: 2, passed: 0, repaired: 1, found: 2, referred: 0, stopped: 1, no_way_on: 1, withDefects: 0, minutes: 30, remarked: 1 },
      { procedure: 'walk_round', title: 'WALK_ROUND', revision: '1', runs: 1, assets: 1, passed: 1, repaired: 0, found: 0, referred: 0, stopped: 0, no_way_on: 0, withDefects: 1, minutes: 15, remarked: 0 },
    ]);
  });

  it('is counted by finding, the most frequent first', () => {
    expect(summary.findings.map((line) => [line.fault, line.grade, line.times, line.assets, line.repaired, line.first.slice(0, 10), line.last.slice(0, 10)])).toEqual([
      ['fuse', '', 2, 2, 1, '2026-09-03', '2026-09-04'], ['hose', 'dangerous', 1, 1, 0, '2026-11-07', '2026-11-07'],
      ['lamp', 'minor', 1, 1, 0, '2026-11-07', '2026-11-07'], ['motor', '', 1, 1, 0, '2026-11-05', '2026-11-05'],
    ]);
  });

  it('is counted by month, the latest first', () => {
    expect(summary.months.map((line) => [line.month, line.runs, line.assets, line.repaired, line.found, line.defects])).toEqual([['2026-11', 4, 2, 0, 1, 2], ['2026-09', 2, 2, 1, 1, 0]]);
  });

  it('is nothing of no record', () => {
    expect(summariseRecords([])).toEqual({ runs: 0, assets: [], procedures: [], findings: [], months: [] });
  });
});
