/** Calibration due dates: from the shop's file or from what was said, on record with each reading. */
import { describe, expect, it } from 'vitest';
import { buildShop } from '../../server/src/procedure/build-shop.ts';
import { currentView } from '../../server/src/run/engine.ts';
import { buildRecord } from '../../server/src/run/record.ts';
import { AT, begin, checklistOf, enter, take } from './fixtures.ts';
import { HEAD } from './small.ts';

const shop = (calibration: string): string => `shop: Brackwater depot
format: 1
instruments:
  multimeter: {title: Digital multimeter, ${calibration}measures: {dc_voltage: {up_to: 60 V, resolution: 0.01 V}}}
`;

const document = (calibration: string): ReturnType<typeof checklistOf> => checklistOf(`${HEAD}
steps:
  - {step: first, measure: dc_voltage, with: multimeter, results: [{when: at least 12 V}, {when: below 12 V, finds: wire}]}
  - {step: second, measure: dc_voltage, with: multimeter, results: [{when: at least 12 V, passes: true}, {when: below 12 V, finds: wire}]}
`, { shop: shop(calibration) });

describe('the calibration of an instrument', () => {
  it('is shown, and recorded with each reading', () => {
    const run = begin(document('number: M-12, calibrated_until: 2027-03-01, '));
    expect(currentView(run).step?.instrument).toMatchObject({ number: 'M-12', calibratedUntil: '2027-03-01', calibration: 'in_date' });
    const record = buildRecord(take(enter(enter(run, '13'), '13'), { kind: 'finished', at: AT }), 'run-1');
    expect(record.walk.map((line) => [line.instrument, line.calibratedUntil, line.remarks])).toEqual([['M-12', '2027-03-01', []], ['M-12', '2027-03-01', []]]);
    expect(record.instruments).toMatchObject([{ instrument: 'multimeter', id: 'M-12', calibratedUntil: '2027-03-01' }]);
  });

  it.each([['2026-11-24', 'overdue', 1], ['2026-11-25', 'due_soon', 0], ['2026-12-25', 'due_soon', 0], ['2026-12-26', 'in_date', 0]])('until %s is %s', (day, status, remarks) => {
    const run = begin(document(`calibrated_until: ${day}, `));
    expect(currentView(run).step?.instrument?.calibration).toBe(status);
    const after = enter(run, '13');
    expect(after.walk.lines[0]?.remarks).toEqual(remarks === 0 ? [] : [`The calibration of the instrument ended on ${day}.`]);
  });

  it('of one of several is that of the number given', () => {
    let run = begin(document('numbers: {M-12: 2027-03-01, M-14: 2026-01-31}, '));
    expect(currentView(run).step?.instrument).toMatchObject({ numbers: ['M-12', 'M-14'] });
    expect(enter(run, '13').walk.lines[0]?.remarks).toEqual(['It was not said which instrument this was (M-12 or M-14): its calibration is not on record.']);
    run = take(run, { kind: 'instrument', instrument: 'multimeter', id: 'M-14', at: AT });
    expect(currentView(run).step?.instrument).toMatchObject({ number: 'M-14', calibratedUntil: '2026-01-31', calibration: 'overdue', numbers: [] });
    run = enter(run, '13');
    expect(run.walk.lines[0]).toMatchObject({ instrument: 'M-14', calibratedUntil: '2026-01-31', remarks: ['The calibration of the instrument ended on 2026-01-31.'] });
    run = take(run, { kind: 'instrument', instrument: 'multimeter', id: 'M-99', calibratedUntil: '2027-01-01', at: AT });
    expect(enter(run, '13').walk.lines[1]).toMatchObject({ instrument: 'M-99', calibratedUntil: '2027-01-01', remarks: [] });
  });

  it('that changes leaves the checklist the same: a run under way goes on', () => {
    expect(document('calibrated_until: 2027-03-01, ').contentHash).toBe(document('').contentHash);
  });

  it.each(['2027-02-30', 'March 2027', '2027-3-1'])('%s is no day', (day) => {
    const { problems } = buildShop('shop.yaml', shop(`calibrated_until: ${day}, `)).shop;
    expect(problems.map((problem) => problem.message)).toEqual([`'${day}' is no date; the instrument 'multimeter' is calibrated until a day, as 2027-03-01.`]);
  });
});
