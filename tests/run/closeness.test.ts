import { describe, expect, it } from 'vitest';
import { currentView } from '../../server/src/run/engine.ts';
import { begin, checklistOf, enter } from './fixtures.ts';
import { HEAD } from './small.ts';

/** A meter of 6000 counts on its 60 V range, ±(0.5 % + 2 counts): a step of 0.01 V. */
const SHOP = `shop: Brackwater depot
format: 1
instruments:
  multimeter:
    title: Digital multimeter
    measures: {dc_voltage: {up_to: 60 V, resolution: 0.01 V, accuracy: 0.5 % + 2 counts}}
`;

const document = (): ReturnType<typeof checklistOf> => checklistOf(`${HEAD}
steps:
  - {step: reading, measure: dc_voltage, with: multimeter, results: [{when: at least 12.60 V, passes: true}, {when: below 12.60 V, finds: wire}]}
`, { shop: SHOP });

describe('a reading near its limit', () => {
  // Worked example: a = 0.083 V, u = a/√3 = 0.0479 V, U = 2u = 0.096 V (JCGM 100:2008, computed); guard band w = U (JCGM 106:2012).
  it.each([
    ['12.70', 'passed', false],
    ['12.60', 'passed', true],
    ['12.55', 'wire', true],
    ['12.50', 'wire', false],
  ])('of %s against at least 12.60 V', (typed, outcome, close) => {
    const run = enter(begin(document()), typed);
    const view = currentView(run);
    expect(view.remedy?.fault ?? view.ending?.kind).toBe(outcome);
    const remarks = run.walk.lines[0]?.remarks ?? [];
    expect(remarks.length > 0).toBe(close);
    if (close) {
      const other = outcome === 'wire' ? 'at least' : 'below';
      expect(remarks[0]).toBe(`Too close to call with this instrument, which reads to ±0.096\u202fV (k = 2): it may also be ${other} 12.60\u202fV.`);
      expect(view.judgement).toContain(remarks[0]);
    }
  });
});

describe('a temperature near its limit', () => {
  const thermometer = (accuracy: string): ReturnType<typeof checklistOf> => checklistOf(`${HEAD}
steps:
  - {step: hose, measure: temperature, with: thermometer, results: [{when: at least 82.0 °C, passes: true}, {when: below 82.0 °C, finds: wire}]}
`, { shop: `shop: Brackwater depot\nformat: 1\ninstruments:\n  thermometer: {title: Thermometer, measures: {temperature: {up_to: 150 °C, resolution: 0.1 °C, accuracy: ${accuracy}}}}\n` });
  // a = 0.02 × 80 °C + 0.1 °C = 1.7 K, u = a/√3 = 0.981 K, U = 2u = 1.963 K (JCGM 100:2008, computed): 80 °C is 2 K off, 80.5 °C is not.
  it.each([['80', false], ['80.5', true], ['84.1', false], ['83', true]])('%s °C against 82 °C, 2 %% + 1 count: close %s', (typed, close) => {
    const remarks = enter(begin(thermometer('2 % + 1 count')), typed).walk.lines[0]?.remarks ?? [];
    expect(remarks.length > 0, remarks.join()).toBe(close);
    if (typed === '80.5') expect(remarks[0]).toContain('±2.0\u202f°C');
  });
  it('is not close by a fixed accuracy that leaves room', () => {
    expect(enter(begin(thermometer('0.5 °C')), '80').walk.lines[0]?.remarks).toEqual([]);
    expect(enter(begin(thermometer('0.5 °C')), '81.7').walk.lines[0]?.remarks[0]).toContain('±0.58\u202f°C');
  });
});

describe('several readings near their limits', () => {
  const remarksOf = (steps: string, ...typed: string[]): readonly string[] => {
    const run = typed.reduce((now, each) => enter(now, each), begin(checklistOf(`${HEAD}\nsteps:\n${steps}`, { shop: SHOP })));
    return run.walk.lines.at(-1)?.remarks ?? [];
  };
  const U = '±0.096\u202fV (k = 2)';

  it('each point whose condition names it', () => {
    const step = '  - {step: tabs, measure: dc_voltage, with: multimeter, at_each: [fuse_in, fuse_out], results: [{when: at least 12.60 V at fuse_in and at least 12.60 V at fuse_out, passes: true}, {when: otherwise, finds: wire}]}\n';
    expect(remarksOf(step, '13.00', '13.00')).toEqual([]);
    expect(remarksOf(step, '13.00', '12.65')).toEqual([`Fuse out: Too close to call with this instrument, which reads to ${U}: it may also be anything else.`]);
    expect(remarksOf(step, '12.60', '12.65')).toHaveLength(2);
    // The other point decides: nothing that this one may be changes the result.
    expect(remarksOf(step, '10.00', '12.65')).toEqual([]);
  });

  it('a spread, between two readings that are both uncertain', () => {
    // U of each is 0.096 V, of their difference √2 × 0.096 V = 0.136 V (JCGM 100, 5.1.2, computed).
    const step = '  - {step: cells, measure: dc_voltage, with: multimeter, at_each: [one, two], judge: spread, results: [{when: at most 0.20 V, passes: true}, {when: above 0.20 V, finds: wire}]}\n';
    expect(remarksOf(step, '12.60', '12.55')).toEqual([]);
    expect(remarksOf(step, '12.60', '12.50')[0]).toContain('±0.14\u202fV (k = 2): it may also be above 0.20\u202fV');
    expect(remarksOf(step, '12.60', '12.00')).toEqual([]);
  });

  it('a search, at the point found and at those passed over', () => {
    const step = '  - {step: drop, measure: dc_voltage, with: multimeter, at_each: [one, two, three], seek: at least 12.60 V, results: [{when: found, finds: wire}, {when: not_found, passes: true}]}\n';
    expect(remarksOf(step, '10.00', '13.00')).toEqual([]);
    expect(remarksOf(step, '12.55', '13.00')).toEqual([`One: Too close to call with this instrument, which reads to ${U}: it may also be at least 12.60\u202fV.`]);
    expect(remarksOf(step, '10.00', '12.60')).toEqual([`Two: Too close to call with this instrument, which reads to ${U}: it may also be below 12.60\u202fV.`]);
    expect(remarksOf(step, '10.00', '11.00', '12.55')).toHaveLength(1);
  });

  it('a limit that was read itself is uncertain too', () => {
    // U of 12.60 V is 0.096 V, of 11.00 V (a = 0.075 V) 0.0866 V: together 0.129 V (JCGM 100, 5.1.2, computed).
    const steps = `  - {step: supply, measure: dc_voltage, with: multimeter}
  - {step: motor_end, measure: dc_voltage, with: multimeter, results: [{when: at least supply - 1.50 V, passes: true}, {when: below supply - 1.50 V, finds: wire}]}
`;
    expect(remarksOf(steps, '12.60', '11.24')).toEqual([]);
    expect(remarksOf(steps, '12.60', '11.22')[0]).toContain('±0.13\u202fV (k = 2)');
    expect(remarksOf(steps, '12.60', '10.98')[0]).toContain('at least 11.1\u202fV (supply - 1.50 V)');
    expect(remarksOf(steps, '12.60', '10.90')).toEqual([]);
  });
});
