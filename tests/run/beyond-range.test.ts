/** A reading that no instrument at the step could have shown is taken, and remarked at once: to the person, and in the record. */
import { describe, expect, it } from 'vitest';
import { sentenceInGerman } from '../../server/src/render/run-in-german-sentences.ts';
import { applyEvent, currentView } from '../../server/src/run/engine.ts';
import { buildRecord } from '../../server/src/run/record.ts';
import { AT, begin, checklistOf, minutes, take } from './fixtures.ts';
import { HEAD } from './small.ts';

const stepOf = (rest: string) => begin(checklistOf(`${HEAD}
steps:
  - {step: reading, ${rest}}
  - {step: last, ask: Is it done?, results: [{when: yes, passes: true}, {when: no, finds: wire}]}
`));
const again = (run: ReturnType<typeof begin>): string[] => currentView(run).walked.flatMap(({ remarks }) => remarks).filter((remark) => remark.startsWith('Look again'));
const reading = (typed: string, point?: string) => ({ kind: 'reading', typed, at: AT, ...(point === undefined ? {} : { point }) }) as const;

describe('a reading', () => {
  it.each([
    ['measure: dc_voltage, with: multimeter, range: 60 V', '126', 'Look again at 126\u202fV: it is more than this range shows, 60 V. Correct it where the decimal point or the unit was mistyped.'],
    ['measure: dc_voltage, with: multimeter, range: 60 V', '-126', 'Look again at \u2212126\u202fV: it is more than this range shows, 60 V. Correct it where the decimal point or the unit was mistyped.'],
    ['measure: dc_voltage, with: multimeter, range: 600 mV', '0.7 V', 'Look again at 0.7\u202fV: it is more than this range shows, 600 mV. Correct it where the decimal point or the unit was mistyped.'],
    ['measure: dc_voltage, with: multimeter', '1260', 'Look again at 1260\u202fV: it is more than the instrument shows, 600 V. Correct it where the decimal point or the unit was mistyped.'],
  ])('of %s as %s', (step, typed, remark) => {
    const run = applyEvent(stepOf(step), reading(typed));
    expect(run.problem).toBeUndefined();
    expect(again(run)).toEqual([remark]);
    expect(sentenceInGerman(remark)).toMatch(/^.*noch einmal ansehen: Das ist mehr, als (dieser Messbereich|das Messgerät) anzeigt, /);
    const record = buildRecord(take(run, { kind: 'stopped', reason: 'Enough.', at: minutes(1) }), 'run-1');
    expect(record.walk[0]?.remarks.join(' ')).toContain('Look again at');
  });

  it.each([
    ['measure: dc_voltage, with: multimeter, range: 60 V', '60 V'],
    ['measure: dc_voltage, with: multimeter, range: 60 V', '12600 mV'],
    ['measure: resistance, with: multimeter', 'OL'],
    ['measure: dc_voltage, with: test_lamp', 'lit'],
    ['measure: temperature', '900 °C'],
  ])('of %s as %s is not doubted', (step, typed) => {
    const run = applyEvent(stepOf(step), reading(typed));
    expect(run.problem).toBeUndefined();
    expect(again(run)).toEqual([]);
  });

  it('at a point is doubted before the other points are read, and named', () => {
    let run = applyEvent(stepOf('measure: dc_voltage, with: multimeter, range: 60 V, at_each: [front, rear], judge: lowest'), reading('126', 'front'));
    expect(again(run)).toEqual([expect.stringContaining('126\u202fV (front): it is more than this range shows, 60 V')]);
    run = applyEvent(run, reading('12.6', 'rear'));
    expect(again(run)).toEqual([expect.stringContaining('(front)')]);
  });
});
