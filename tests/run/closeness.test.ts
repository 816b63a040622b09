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
      expect(remarks[0]).toBe(`Too close to call with this instrument, which reads to ±0.096\u202fV: it may also be ${other} 12.60\u202fV.`);
      expect(view.judgement).toContain(remarks[0]);
    }
  });
});
