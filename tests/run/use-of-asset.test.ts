/** What an inspection says about the use of the asset. Grades as Directive 2014/45/EU, Article 7 (from memory). */
import { describe, expect, it } from 'vitest';
import { currentView } from '../../server/src/run/engine.ts';
import { buildRecord } from '../../server/src/run/record.ts';
import { AT, begin, checklistOf, enter, ready, take } from './fixtures.ts';

const document = (): ReturnType<typeof checklistOf> => checklistOf(`procedure: walk_round
title: Walk round
revision: 1
status: released
purpose: inspection
faults:
  horn: {title: Horn silent, grade: minor}
  lamp: {title: Stop lamp dark, grade: major}
  brake: {title: Brake hose split, grade: dangerous}
  strap: {title: Strap frayed}
steps:
  - {step: horn_check, ask: Horn?, results: [{when: yes}, {when: no, raises: horn}]}
  - {step: lamp_check, ask: Lamp?, results: [{when: yes}, {when: no, raises: lamp}]}
  - {step: brake_check, ask: Brake?, results: [{when: yes}, {when: no, raises: brake}]}
  - {step: strap_check, ask: Strap?, results: [{when: yes}, {when: no, raises: strap}]}
  - {step: oil, ask: Oil?, results: [{when: yes, passes: true}, {when: no, refer: Top up and begin again.}]}
`);

function walked(answers: readonly string[]): ReturnType<typeof begin> {
  return answers.reduce((run, answer) => enter(run, answer), ready(begin(document())));
}

describe('an inspection says what may be used', () => {
  it.each([
    [['yes', 'yes', 'yes', 'yes', 'yes'], 'no_defect', 'No defect found by this inspection. It speaks of what it looked at, and of nothing else.'],
    [['no', 'yes', 'yes', 'yes', 'yes'], 'minor', 'Minor: horn silent. The asset may be used; repair is due.'],
    [['no', 'no', 'yes', 'yes', 'yes'], 'major', 'Major: stop lamp dark. The asset is not to be used or driven until this is repaired. Minor: horn silent. By this alone it might be used; repair is due.'],
    [['yes', 'yes', 'no', 'yes', 'yes'], 'dangerous', 'Dangerous: brake hose split. The asset must not be used or driven until this is repaired.'],
    [['yes', 'yes', 'yes', 'no', 'yes'], 'major', 'Without a grade: strap frayed. The asset is not to be used until the person responsible has graded it.'],
  ])('%j: %s', (answers, verdict, words) => {
    expect(currentView(walked(answers)).ending).toMatchObject({ kind: 'passed', verdict, disposition: words });
  });

  it('gives no verdict where it was referred, though nothing was wrong, and keeps what was found', () => {
    const clean = currentView(walked(['yes', 'yes', 'yes', 'yes', 'no'])).ending;
    expect(clean?.kind).toBe('referred');
    expect(clean).not.toHaveProperty('verdict');
    expect(clean?.disposition).toMatch(/^Referred, not passed\. .* does not show that the asset is safe/);
    const found = currentView(walked(['yes', 'yes', 'no', 'yes', 'no'])).ending;
    expect(found).not.toHaveProperty('verdict');
    expect(found?.disposition).toMatch(/^Dangerous: brake hose split\. The asset must not be used .* Referred, not passed\./);
  });

  it('gives none where it was stopped, in the record either', () => {
    const record = buildRecord(take(walked(['yes', 'yes', 'no']), { kind: 'stopped', reason: 'Rain.', at: AT }), 'run-1');
    expect(record.outcome).not.toHaveProperty('verdict');
    expect(record.outcome.disposition).toBe('Dangerous: brake hose split. The asset must not be used or driven until this is repaired. The inspection did not come to its end: it does not show that the asset is safe to use or to work on.');
  });
});
