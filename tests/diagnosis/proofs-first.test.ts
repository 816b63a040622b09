/** No order that costs less overtakes a proof that a circuit is dead, what is asked of the tester, or the lock; and the advice names the test that is overtaken. */
import { describe, expect, test } from 'vitest';
import { proposeOrder } from '../../server/src/diagnosis/propose-order.ts';
import { diagnosisSheet } from '../../server/src/diagnosis/report.ts';
import { testContexts } from '../../server/src/diagnosis/test-context.ts';
import { bestOfSheet } from '../../server/src/diagnosis/what-if.ts';
import { alone } from './depot.ts';

const LIVE = '        refer: Do not touch anything.\n';

/** A quick test behind a slow one, both behind the isolation. `proof` and `before` are the results of the proof and of the question before it. */
function tractor({ proof = '      - when: at most 5 V\n      - when: above 5 V\n' + LIVE, before = '      - when: yes\n      - when: no\n        refer: Fetch another tester.\n', after = '', fetch = '' } = {}): string {
  return `procedure: tractor
title: Tractor heater cold
qualified: high_voltage
circuits:
  traction: {nominal: 400 V, category: CAT III, dead_when: {service_disconnect: removed}}
instruments:
  tester: {title: Tester, category: CAT III 1000 V, measures: {dc_voltage: {up_to: 1000 V}, resistance: {up_to: 1 Mohm}}}
faults:
  relay: {title: Relay open, weight: 50, remedy: Replace the relay.}
  heater: {title: Heater open, weight: 10, remedy: Replace the heater.}
  cable: {title: Cable open, weight: 40, remedy: Replace the cable.}
steps:
  - step: isolate
    do: [Remove the service disconnect., Fit your lock and tag.]
    sets: {service_disconnect: removed, lockout: applied}
    cautions: [high_voltage_dc]
    time: 5 min
${fetch}  - step: tester_before
    ask: Does the tester show the voltage of the proving unit?
    time: 5 min
    results:
${before}  - step: prove
    measure: dc_voltage
    circuit: traction
    with: tester
    proves_dead: traction
    cautions: [high_voltage_dc]
    time: 5 min
    results:
${proof}${after}  - step: slow
    measure: resistance
    circuit: traction
    with: tester
    time: 20 min
    results:
      - when: at most 50 ohm
        rules_out: [heater]
      - when: above 50 ohm
        finds: heater
  - step: quick
    measure: resistance
    circuit: traction
    with: tester
    time: 1 min
    results:
      - when: at most 50 ohm
        rules_out: [relay]
        by_elimination: cable
      - when: above 50 ohm
        finds: relay
after_repair:
  - step: back
    do: [Remove your lock and tag., Fit the service disconnect.]
    sets: {service_disconnect: fitted, lockout: removed}
    cautions: [high_voltage_dc]
  - step: warm
    ask: Is the heater warm?
    results:
      - when: yes
        passes: true
      - when: no
        go: isolate
`;
}

const AFTER = `  - step: tester_after
    ask: Does the tester still show the voltage of the proving unit?
    time: 5 min
    results:
      - when: yes
      - when: no
        refer: The proof does not count.
`;
const FETCH = `  - step: fetch
    do: [Fetch a tester.]
    time: 1 min
`;

const VARIANTS: readonly (readonly [string, string])[] = [
  ['as it is usually written', tractor()],
  ['with the tester checked again', tractor({ after: AFTER })],
  ['where the proof also tells of a fault', tractor({ proof: `      - when: at most 5 V\n        rules_out: [relay]\n      - when: above 5 V\n${LIVE}` })],
  ['where a live circuit shows a fault', tractor({ proof: '      - when: at most 5 V\n      - when: above 5 V\n        finds: relay\n' })],
  ['where another tester is fetched', tractor({ fetch: FETCH, before: '      - when: yes\n      - when: no\n        go: fetch\n' })],
];

describe('an order that costs less', () => {
  test.each(VARIANTS)('leaves the proof and its tester ahead: %s', (_, text) => {
    const made = alone(text);
    const before = made.analyse();
    const { procedure, exploration } = before;
    const names = procedure.steps.map((step) => step.name?.value ?? '');
    const first = names.filter((name) => !['slow', 'quick'].includes(name));
    const contexts = testContexts(procedure, exploration, new Set([0]));
    for (const test of ['slow', 'quick']) {
      const gates = (contexts.get(names.indexOf(test))?.gates ?? []).map((gate) => names[gate]);
      expect(gates, test).toEqual(expect.arrayContaining(first.filter((name) => name !== 'isolate' && name !== 'fetch')));
    }
    const { proposal } = proposeOrder(before, (other) => made.analyse(other));
    if (proposal) expect(proposal.steps.after.slice(0, first.length)).toEqual(first);
  });

  test('moves the quick test ahead of the slow one alone, and leaves the results of other steps as they are', () => {
    const made = alone(tractor({ after: AFTER }));
    const { proposal, obstacles } = proposeOrder(made.analyse(), (other) => made.analyse(other));
    expect(obstacles).toEqual([]);
    expect(proposal?.steps.after).toEqual(['isolate', 'tester_before', 'prove', 'tester_after', 'quick', 'slow']);
    expect(proposal?.text).toContain(AFTER);
  });

  test('is told by the test that it overtakes, not by the proof before both', () => {
    const { procedure, exploration } = alone(tractor({ after: AFTER })).analyse();
    expect(bestOfSheet(diagnosisSheet(procedure, exploration)).firstMove).toEqual({
      after: [{ test: 'tester_before', when: 'yes' }, { test: 'prove', when: 'at most 5 V' }, { test: 'tester_after', when: 'yes' }], test: 'quick', insteadOf: 'slow',
    });
    const hint = alone(tractor({ after: AFTER })).analyse().findings.find(({ check }) => check === 'costly-order') as { help?: string } | undefined;
    expect(hint?.help).toContain("After 'tester_after' (yes), do 'quick' before 'slow'.");
  });
});
