import { describe, expect, it } from 'vitest';
import { applyEvent, currentView } from '../../server/src/run/engine.ts';
import { AT, begin, checklistOf, enter, entry, minutes, ready, tailLift, take } from './fixtures.ts';
import { HEAD } from './small.ts';

describe('the example of the format', () => {
  const toCoil = ['', 'click_only', '', '25.3', '25,1', '0.12', '0.3 V', '100 mV', '24', ''];

  it('is walked to a repair that is proved', () => {
    let run = ready(begin(tailLift()));
    for (const typed of toCoil) run = enter(run, typed);
    expect(currentView(run).position).toBe('step 9 of about 11');
    expect(currentView(run).step?.limits.map((limit) => limit.words)).toEqual(['between 18\u202fΩ (coil_low) and 26\u202fΩ (coil_high)', 'anything else']);
    run = enter(run, '31');
    let view = currentView(run);
    expect(view.stage).toBe('remedy');
    expect(view.judgement).toBe('31\u202fΩ is not between 18\u202fΩ (coil_low) and 26\u202fΩ (coil_high): contactor coil out of range.');
    expect(view.remedy).toMatchObject({ fault: 'contactor', remedy: 'Replace the contactor.', expectedSeconds: 2400, proof: true });
    run = enter(run, 'Fitted a new contactor.');
    run = enter(run, '');
    run = enter(run, 'yes');
    view = currentView(run);
    expect(view.stage).toBe('ended');
    expect(view.ending).toMatchObject({ kind: 'repaired', fault: 'contactor', words: 'Found and repaired: contactor coil out of range. The repair is proved.' });
    expect(currentView(take(run, entry(view.field, ''))).stage).toBe('finished');
  });

  it('says which faults are left after each result', () => {
    let run = ready(begin(tailLift()));
    run = enter(run, '');
    expect(currentView(run).faultsLeft).toHaveLength(8);
    run = enter(run, 'motor_runs');
    expect(currentView(run).faultsLeft.map((fault) => fault.name)).toEqual(['low_oil', 'relief_valve']);
    expect(currentView(run).judgement).toBe('The pump motor runs and the platform stays down: leaves oil level too low or relief valve opens too early.');
  });

  it('computes a limit from an earlier reading', () => {
    let run = ready(begin(tailLift()));
    for (const typed of toCoil.slice(0, 8)) run = enter(run, typed);
    expect(currentView(run).step?.limits[0]?.words).toBe('at least 23.6\u202fV (supply - 1.5 V)');
    expect(currentView(enter(run, '23,6')).step?.name).toBe('isolate');
    expect(currentView(enter(run, '23.59')).step?.name).toBe('fuse');
  });

  it('judges a lamp at two points together', () => {
    let run = ready(begin(tailLift()));
    for (const typed of [...toCoil.slice(0, 8), '20 V', 'LIT', 'dark']) run = enter(run, typed);
    expect(currentView(run).stage).toBe('remedy');
    expect(currentView(run).judgement).toBe('Fuse in lit and Fuse out dark: control fuse open.');
  });

  it('begins a new search with all faults when the repair fails', () => {
    let run = ready(begin(tailLift()));
    for (const typed of [...toCoil, '31', 'done', '', 'no']) run = enter(run, typed);
    const view = currentView(run);
    expect(view.step?.name).toBe('listen');
    expect(view.faultsLeft).toHaveLength(8);
    expect(view.step?.doneBefore).toBe(1);
    // The readings stay: the limit at the coil is still computed from the supply.
    for (const typed of ['silent', '', '25.3', '25.1', '0.1', '0.1', '0.1']) run = enter(run, typed);
    expect(currentView(run).step?.limits[0]?.words).toContain('23.6');
  });

  it('takes what the procedure run there finds, and refers', () => {
    const otherwise = tailLift();
    let run = ready(begin(otherwise));
    for (const typed of ['', 'silent', '', '24.1 V']) run = enter(run, typed);
    expect(currentView(run).stage).toBe('remedy');
    expect(currentView(run).remedy?.fault).toBe('low_battery');
    expect(currentView(run).inside).toEqual(['Tail lift platform does not rise']);
    expect(currentView(run).walked.map((line) => `${line.inside.length} ${line.step}`)).toEqual(['1 make_safe', '1 listen', '2 rest', '2 voltage', '1 battery']);
  });

  it('asks for the data of an asset that nobody gave', () => {
    let run = ready(begin(tailLift('none')));
    for (const typed of toCoil) run = enter(run, typed);
    expect(currentView(run)).toMatchObject({ stage: 'fact', field: { kind: 'fact', fact: 'coil_low', from: 'Data sheet of the contactor', unit: 'Ω' } });
    const refused = applyEvent(run, { kind: 'reading', typed: '20', at: AT });
    expect(refused.problem).toBe('Coil low must be known first: see Data sheet of the contactor.');
    expect(refused.events).toBe(run.events);
    run = enter(run, '18 ohm');
    run = enter(run, '26');
    expect(currentView(run).step?.limits[0]?.words).toBe('between 18\u202fΩ (coil_low) and 26\u202fΩ (coil_high)');
    expect(currentView(enter(run, '20')).remedy?.fault).toBe('pump_motor');
  });
});

describe('a fault that is found', () => {
  const document = checklistOf(`${HEAD}
steps:
  - {step: look, ask: Is it whole?, results: [{when: yes, passes: true}, {when: no, finds: fuse}]}
`);

  it('ends the run with its remedy where no proof is given, also after the checklist has been a file', () => {
    for (const given of [document, JSON.parse(JSON.stringify(document)) as typeof document]) {
      const run = enter(begin(given), 'no');
      expect(currentView(run).remedy?.proof).toBe(false);
      expect(currentView(enter(run, 'New fuse.')).ending).toMatchObject({
        kind: 'found', fault: 'fuse', words: 'Found: fuse open. The remedy was carried out; the procedure gives no proof of it.',
      });
      expect(currentView(enter(run, 'left')).ending?.words).toBe('Found: fuse open. The remedy has not been carried out.');
    }
  });
});

describe('before an entry', () => {
  it('wants the cautions read first, each time where the hazard says so', () => {
    let run = begin(tailLift());
    expect(currentView(run).field).toEqual({ kind: 'acknowledge', cautions: ['moving_platform'] });
    expect(applyEvent(run, { kind: 'done', at: AT }).problem).toBe('Read and acknowledge the cautions of this step first.');
    run = take(run, { kind: 'acknowledged', cautions: ['moving_platform'], at: AT }, { kind: 'done', at: AT });
    expect(currentView(run).step?.name).toBe('listen');
    expect(currentView(run).field?.kind).toBe('acknowledge');
    expect(applyEvent(run, { kind: 'acknowledged', cautions: ['mains'], at: AT }).problem).toBe('This step has no caution mains.');
  });

  it('wants the states that it needs brought about, and says how', () => {
    const document = checklistOf(`${HEAD}
steps:
  - step: look
    ask: Is it dry?
    needs: {isolator: off}
    results:
      - {when: yes, passes: true}
      - {when: no, refer: Dry it.}
`);
    let run = begin(document);
    expect(currentView(run).step?.needs).toEqual([expect.objectContaining({
      words: 'Isolator: off', holds: 'no', changes: [expect.objectContaining({ to: 'off', do: ['Turn the isolator off and lock it.'] })],
    })]);
    expect(applyEvent(run, { kind: 'answer', typed: 'yes', at: AT }).problem).toBe('Bring about the states that this step needs, and confirm them, first.');
    expect(applyEvent(run, { kind: 'states_confirmed', states: { isolator: 'on' }, at: AT }).problem).toBe('Say that isolator is off.');
    expect(applyEvent(run, { kind: 'states_confirmed', states: { isolator: 'sideways' }, at: AT }).problem).toBe('isolator is on or off, never sideways.');
    run = take(run, { kind: 'states_confirmed', states: { isolator: 'off' }, at: AT });
    expect(currentView(run).field?.kind).toBe('answer');
    expect(currentView(run).step?.needs[0]?.holds).toBe('yes');
  });

  it('warns where a resistance is to be read on a circuit that may be live', () => {
    const text = (setUp: string): string => `${HEAD}
circuits: {lamps: {nominal: 24 V, dead_when: {isolator: off}}}
steps:
${setUp}  - step: wire_end
    measure: resistance
    circuit: lamps
    with: multimeter
    results: [{when: below 5 ohm, passes: true}, {when: otherwise, finds: wire}]
`;
    const live = currentView(begin(checklistOf(text(''))));
    expect(live.step?.circuit?.condition).toBe('live');
    expect(live.step?.warnings[0]).toBe('By what was done so far, lamps is live. Do not connect the instrument: isolate it first.');
    const dead = currentView(enter(begin(checklistOf(text('  - {step: off, do: Turn it off., sets: {isolator: off}}\n'))), ''));
    expect(dead.step?.circuit?.condition).toBe('dead');
    expect(dead.step?.warnings).toEqual([]);
  });
});

describe('a text that shows a value', () => {
  const document = checklistOf(`${HEAD}
facts: {label_time: {title: Time on the label, quantity: time, from: Label of the inverter}}
steps:
  - {step: near, measure: dc_voltage, with: multimeter}
  - {step: hold, do: 'Wait for {label_time}. It was {near}.', wait: 10 min}
  - {step: end, ask: Done?, results: [{when: yes, passes: true}]}
`, { asset: 'A-1', assets: 'assets:\n  A-1: {equipment: tractor}\n' });

  it('has it filled in, and a fact that nobody knows is asked for first', () => {
    let run = enter(begin(document), '380');
    expect(currentView(run).field).toMatchObject({ kind: 'fact', fact: 'label_time', from: 'Label of the inverter', unit: 's' });
    run = enter(run, '12 min');
    expect(currentView(run).step?.actions).toEqual(['Wait for 12 min. It was 380\u202fV.']);
  });
});

describe('ways through the steps', () => {
  it('passes over a step whose facts do not fit, and says why', () => {
    const document = checklistOf(`${HEAD}
facts: {tilt_sensor: {choices: [fitted, not_fitted], from: WD-7}}
steps:
  - {step: sensor, ask: Is it clean?, only_if: {tilt_sensor: fitted}, results: [{when: yes}, {when: no, finds: wire}]}
  - {step: rest, ask: Does it work?, results: [{when: yes, passes: true}, {when: no, finds: motor}]}
`, { assets: 'assets:\n  A-1: {tilt_sensor: fitted}\n  A-2: {tilt_sensor: not_fitted}\n', asset: 'A-2' });
    const run = begin(document);
    expect(currentView(run).step?.name).toBe('rest');
    expect(currentView(run).walked[0]?.entered).toBe('passed over: tilt sensor is not fitted');
    expect(currentView(begin({ ...document, asset: { id: 'A-1', facts: [{ name: 'tilt_sensor', value: 'fitted' }], unknown: [], applies: true } })).step?.name).toBe('sensor');
    const asked = begin({ ...document, asset: undefined });
    expect(currentView(asked).field).toMatchObject({ kind: 'fact', fact: 'tilt_sensor', choices: ['fitted', 'not_fitted'] });
    expect(applyEvent(asked, { kind: 'fact', fact: 'tilt_sensor', typed: 'perhaps', at: AT }).problem).toBe('Tilt sensor is fitted or not fitted, never \'perhaps\'.');
    expect(currentView(take(asked, { kind: 'fact', fact: 'tilt_sensor', typed: 'Not fitted', at: AT })).step?.name).toBe('rest');
  });

  it('decides by a fact and by an expression, and asks nobody', () => {
    const document = checklistOf(`${HEAD}
facts: {drive: {choices: [belt, chain]}}
steps:
  - {step: near_end, measure: dc_voltage, with: multimeter}
  - {step: far_end, measure: dc_voltage, with: multimeter}
  - step: loss
    decide: near_end - far_end
    results: [{when: at most 0.5 V}, {when: above 0.5 V, finds: wire}]
  - step: which
    decide: drive
    results: [{when: belt, finds: fuse}, {when: chain, finds: motor}]
`, { assets: 'assets:\n  A-1: {drive: chain}\n', asset: 'A-1' });
    const lossy = enter(enter(begin(document), '12.6'), '12.0');
    expect(currentView(lossy).remedy?.fault).toBe('wire');
    expect(currentView(lossy).judgement).toBe('Loss, 0.6\u202fV, is above 0.5\u202fV: wire broken.');
    const sound = enter(enter(begin(document), '12.6'), '12.5');
    expect(currentView(sound).remedy?.fault).toBe('motor');
    expect(sound.events.map((event) => event.kind)).toEqual(['started', 'reading', 'reading']);
  });

  it('searches the points in turn until one meets the band, and keeps the point', () => {
    const document = checklistOf(`${HEAD}
steps:
  - step: pull
    measure: dc_current
    with: multimeter
    at_each: [f1, f2, f3]
    seek: below 50 mA
    results: [{when: found, says: 'The draw ends at {pull.point}.', refer: 'Follow the wiring of {pull.point}.'}, {when: not_found, finds: motor}]
`);
    let run = enter(begin(document), '0.4 A');
    expect(applyEvent(run, { kind: 'reading', point: 'f3', typed: '1 mA', at: AT }).problem).toBe('The points are taken in turn: F2 comes next.');
    run = enter(run, '20 mA');
    expect(currentView(run).stage).toBe('ended');
    expect(currentView(run).ending?.words).toBe('Follow the wiring of F2.');
    expect(currentView(enter(enter(enter(begin(document), '1 A'), '1 A'), '1 A')).remedy?.fault).toBe('motor');
  });

  it('ends a loop at repeat_at_most', () => {
    const document = checklistOf(`${HEAD}
steps:
  - {step: again, ask: Did it start?, repeat_at_most: 2, results: [{when: yes, passes: true}, {when: no, go: again}]}
  - {step: after, ask: Is there a smell?, results: [{when: yes, finds: motor}, {when: no, finds: wire}]}
`);
    const run = enter(enter(begin(document), 'no'), 'no');
    expect(currentView(run).step?.name).toBe('after');
    expect(currentView(run).walked.at(-1)?.entered).toBe('passed over: it was done 2 times, which is as often as it may be');
  });

  it('goes on by answers in free words, numbers in words or case, and refuses others with the choices', () => {
    const document = checklistOf(`${HEAD}
steps:
  - {step: look, ask: What is it?, results: [{when: burnt_smell, finds: motor}, {when: otherwise}]}
  - {step: sure, ask: Sure?, results: [{when: yes, finds: wire}, {when: no, passes: true}]}
`);
    expect(currentView(enter(begin(document), ' Burnt  smell ')).remedy?.fault).toBe('motor');
    const other = enter(begin(document), 'a whistle');
    expect(currentView(other).step?.name).toBe('sure');
    expect(applyEvent(other, { kind: 'answer', typed: 'maybe', at: AT }).problem).toBe('\'maybe\' is none of the answers here: yes or no.');
  });

  it('asks how a procedure ended that nobody has here', () => {
    const document = checklistOf(`${HEAD}
steps:
  - {step: elsewhere, run: not_here, results: [{when: passed, passes: true}, {when: finds weak, finds: motor}]}
`);
    expect(document.missing).toEqual(['not_here']);
    const run = begin(document);
    expect(currentView(run).field).toMatchObject({ kind: 'answer', label: 'How did Not here end?' });
    expect(currentView(enter(run, 'finds weak')).remedy?.fault).toBe('motor');
    expect(currentView(enter(run, 'referred')).ending?.kind).toBe('no_way_on');
    expect(applyEvent(run, { kind: 'answer', typed: 'fine', at: AT }).problem).toBe('Say how Not here ended: passed or finds weak.');
  });

  it('says so when a step has no way on', () => {
    const document = checklistOf(`${HEAD}
steps:
  - {step: only, do: Look at it.}
`);
    const run = enter(begin(document), '');
    expect(currentView(run).ending).toMatchObject({ kind: 'no_way_on', words: 'Step 1, Only, does not say how to go on.' });
    expect(currentView(take(run, { kind: 'finished', at: AT })).stage).toBe('finished');
  });

  it('says so when steps that nobody is asked about go round in circles', () => {
    const document = checklistOf(`${HEAD}
facts: {drive: {choices: [belt, chain]}}
steps:
  - {step: one, decide: drive, results: [{when: otherwise, go: two}]}
  - {step: two, decide: drive, results: [{when: otherwise, go: one}]}
`, { assets: 'assets:\n  A-1: {drive: chain}\n', asset: 'A-1' });
    expect(currentView(begin(document)).ending?.words).toBe('The procedure goes round in circles without asking for anything.');
  });

  it('remarks where a fault is found by elimination though others are left', () => {
    const document = checklistOf(`${HEAD}
steps:
  - {step: look, ask: Is the fuse whole?, results: [{when: yes, rules_out: [fuse], by_elimination: motor}, {when: no, finds: fuse}]}
`);
    const run = enter(begin(document), 'yes');
    expect(run.walk.lines[0]?.remarks).toEqual(['Found by elimination, though not ruled out: wire broken.']);
  });
});

describe('what was read', () => {
  const banded = (first: string, second: string) => checklistOf(`${HEAD}
steps:
  - step: reading
    measure: dc_voltage
    with: multimeter
    results: [{when: ${first}, passes: true}, {when: ${second}, finds: wire}]
`);

  it('is refused where it meets no result', () => {
    const run = begin(banded('below 12 V', 'above 12.4 V'));
    const refused = applyEvent(run, { kind: 'reading', typed: '12.2', at: AT });
    expect(refused.problem).toMatch(/^12\.2\u202fV meets no result of this step \(below 12 V; above 12\.4 V\)\./);
    expect(refused.walk).toBe(run.walk);
  });

  it('is refused where it meets several', () => {
    const refused = applyEvent(begin(banded('below 13 V', 'above 12 V')), { kind: 'reading', typed: '12.5', at: AT });
    expect(refused.problem).toMatch(/^12\.5\u202fV meets 2 results of this step \(below 13 V; above 12 V\)\./);
  });

  it('is refused at another step than the one at hand', () => {
    const run = begin(banded('below 13 V', 'at least 13 V'));
    expect(applyEvent(run, { kind: 'reading', step: 'other', typed: '12', at: AT }).problem).toBe('The entry is for step other, and the step at hand is reading.');
    expect(applyEvent(run, { kind: 'answer', typed: 'yes', at: AT }).problem).toBe('Step 1, Reading, wants a reading.');
    expect(applyEvent(run, { kind: 'done', at: AT }).problem).toBe('Step 1, Reading, wants an entry.');
  });

  it('proves a circuit dead by its magnitude', () => {
    const document = checklistOf(`${HEAD}
circuits: {hv: {nominal: 400 V, dead_when: {isolator: off}}}
steps:
  - {step: off, do: Turn it off., sets: {isolator: off}}
  - step: proof
    measure: dc_voltage
    circuit: hv
    proves_dead: hv
    with: multimeter
    results: [{when: below 60 V, passes: true}, {when: otherwise, refer: Keep away.}]
`);
    const run = enter(begin(document), '');
    expect(currentView(enter(run, '-380 V')).ending?.kind).toBe('referred');
    expect(currentView(enter(run, '-0.2 V')).ending?.kind).toBe('passed');
  });
});

describe('an inspection', () => {
  const document = checklistOf(`procedure: walk_round
title: Daily walk-round
revision: 2
status: released
purpose: inspection
faults:
  lamp: {title: Lamp out, grade: minor, remedy: Replace the bulb.}
  nut: {title: Wheel nut loose, grade: dangerous, remedy: Tighten it.}
steps:
  - {step: lamps, ask: Do all lamps light?, results: [{when: yes}, {when: no, raises: lamp}]}
  - step: torque
    measure: torque
    with: wrench
    at_each: [left, right]
    judge: each
    results: [{when: at least 300 N·m}, {when: otherwise, raises: nut}]
  - {step: over, do: Sign the sheet., go: end}
  - {step: end, ask: Complete?, results: [{when: yes, passes: true}]}
`);

  it('records defects, goes on, and ends with the worst grade', () => {
    let run = begin(document);
    run = enter(run, 'no');
    expect(currentView(run).judgement).toBe('No: lamp out, minor defect.');
    run = enter(run, '310');
    run = enter(run, '250 Nm');
    expect(currentView(run).judgement).toBe('Left, 310\u202fN·m, is at least 300\u202fN·m. Right, 250\u202fN·m, is not at least 300\u202fN·m: wheel nut loose, dangerous defect.');
    run = enter(run, '');
    run = enter(run, 'yes');
    const view = currentView(run);
    expect(view.ending).toMatchObject({ kind: 'passed', verdict: 'dangerous', words: 'Inspection complete. 2 defects found.' });
    expect(view.defects.map((defect) => [defect.fault, defect.grade])).toEqual([['lamp', 'minor'], ['nut', 'dangerous']]);
    expect(view.faultsLeft).toEqual([]);
  });

  it('passes where nothing was found', () => {
    let run = begin(document);
    for (const typed of ['yes', '310', '320', '', 'yes']) run = enter(run, typed);
    expect(currentView(run).ending).toMatchObject({ kind: 'passed', verdict: 'no_defect', words: 'Inspection complete. No defect found.' });
  });

  it('ends for its caller as raised, with the worst defect that the caller speaks of', () => {
    const caller = checklistOf(`procedure: morning
title: Morning
revision: 1
status: released
purpose: fault_finding
faults: {bad: {title: Not fit for the road}, small: {title: Small matter}}
steps:
  - step: round
    run: walk_round
    results:
      - {when: passed, passes: true}
      - {when: raised lamp, finds: small}
      - {when: raised nut, finds: bad}
      - {when: otherwise, refer: Ask.}
`, { others: { 'walk_round.procedure.yaml': `procedure: walk_round
title: Daily walk-round
revision: 2
status: released
purpose: inspection
faults:
  lamp: {title: Lamp out, grade: minor}
  nut: {title: Wheel nut loose, grade: dangerous}
steps:
  - {step: lamps, ask: Do all lamps light?, results: [{when: yes}, {when: no, raises: lamp}]}
  - {step: nuts, ask: Are the nuts tight?, results: [{when: yes, passes: true}, {when: no, raises: nut, passes: true}]}
` } });
    expect(currentView(enter(enter(begin(caller), 'no'), 'no')).remedy?.fault).toBe('bad');
    expect(currentView(enter(enter(begin(caller), 'no'), 'yes')).remedy?.fault).toBe('small');
    expect(currentView(enter(enter(begin(caller), 'yes'), 'yes')).ending?.kind).toBe('passed');
  });
});

describe('states', () => {
  it('that every ending should leave are asked to be put back', () => {
    const document = checklistOf(`${HEAD}
states: {cover: {values: [on, off], at_start: on, at_end: [on], changes: [{to: on, do: Fit the cover.}]}}
steps:
  - {step: open, do: Take the cover off., sets: {cover: off}}
  - {step: look, ask: Is it dry?, results: [{when: yes, passes: true}, {when: no, refer: Dry it.}]}
`);
    const open = take(take(begin(document), { kind: 'done', at: AT }), { kind: 'answer', typed: 'yes', at: AT });
    expect(currentView(open).field).toEqual({ kind: 'confirm_states', states: [{ state: 'cover', title: 'Cover', values: ['on'] }] });
    expect(currentView(open).ending?.putBack[0]?.changes[0]?.do).toEqual(['Fit the cover.']);
    const back = take(open, { kind: 'states_confirmed', states: { cover: 'on' }, at: AT });
    expect(currentView(back).field).toEqual({ kind: 'finish' });
    expect(currentView(back).ending?.putBack).toEqual([]);
  });
});

describe('the instrument in the hand', () => {
  it('is named in the record, with a remark where its calibration has ended', () => {
    let run = ready(begin(tailLift()));
    for (const typed of ['', 'silent', '']) run = enter(run, typed);
    run = enter(take(run, { kind: 'instrument', instrument: 'multimeter', id: 'M-12', calibratedUntil: '2026-11-24', at: AT }), '25.3');
    const line = run.walk.lines.find((one) => one.step === 'voltage');
    expect(line?.instrument).toBe('M-12');
    expect(line?.remarks).toEqual(['The calibration of the instrument ended on 2026-11-24.']);
  });
});

describe('pauses, times and hands', () => {
  it('counts time without pauses, and notes a clock set back', () => {
    let run = take(ready(begin(tailLift())), { kind: 'note', text: 'begun', at: minutes(10) }, { kind: 'paused', at: minutes(10) });
    expect(applyEvent(run, { kind: 'done', at: minutes(11) }).problem).toBe('The run is paused. Resume it first.');
    expect(currentView(run, minutes(30))).toMatchObject({ elapsedSeconds: 600, paused: true, field: { kind: 'resume' } });
    run = take(run, { kind: 'resumed', at: minutes(60) });
    expect(currentView(run, minutes(65)).elapsedSeconds).toBe(900);
    run = take(run, { kind: 'note', text: 'clock', at: minutes(50) });
    expect(run.walk.clockRemarks).toHaveLength(1);
    expect(currentView(run).elapsedSeconds).toBe(600);
    expect(applyEvent(run, { kind: 'note', text: 'x', at: 'yesterday' }).problem).toMatch(/^The time of the event/);
  });

  it('remarks where a wait or a rest was not kept', () => {
    const document = tailLift();
    let run = ready(begin(document));
    for (const typed of ['', 'silent']) run = enter(run, typed);
    expect(currentView(run).step).toMatchObject({ name: 'rest', waitSeconds: 180 });
    run = take(run, { kind: 'done', at: minutes(1) });
    expect(run.walk.lines.at(-1)?.remarks).toEqual(['Entered 1 min after the step came up; the wait is 3 min.']);
  });

  it('counts a wait from its own event, by the clock, also through a pause', () => {
    let run = ready(begin(tailLift()));
    for (const typed of ['', 'silent']) run = enter(run, typed);
    expect(applyEvent(run, { kind: 'wait_started', step: 'listen', at: minutes(1) }).problem).toMatch(/^The entry is for step listen/);
    run = take(run, { kind: 'wait_started', step: 'rest', at: minutes(1) });
    expect(currentView(run).step).toMatchObject({ name: 'rest', waitSeconds: 180, waitSince: minutes(1) });
    expect(take(run, { kind: 'done', at: minutes(3) }).walk.lines.at(-1)?.remarks).toEqual(['Entered 2 min after the wait began; the wait is 3 min.']);
    run = take(run, { kind: 'paused', at: minutes(1) }, { kind: 'resumed', at: minutes(4) }, { kind: 'done', at: minutes(4) });
    expect(run.walk.lines.at(-1)?.remarks).toEqual([]);
    expect(currentView(run).step).not.toHaveProperty('waitSince');
  });

  it('remarks where a wait was said to have been kept before', () => {
    let run = ready(begin(tailLift()));
    for (const typed of ['', 'silent']) run = enter(run, typed);
    run = take(run, { kind: 'wait_started', at: AT, already: true });
    expect(currentView(run).step).toMatchObject({ waitKept: true });
    run = take(run, { kind: 'done', at: AT });
    expect(run.walk.lines.at(-1)?.remarks).toEqual(['The wait of 3 min was said to have been kept before; it was not counted here.']);
    expect(applyEvent(ready(begin(tailLift())), { kind: 'wait_started', at: AT }).problem).toMatch(/has no wait\.$/);
  });

  it('hands over, and stops with a reason', () => {
    let run = take(ready(begin(tailLift())), { kind: 'handed_over', to: 'Technician 7', at: AT });
    run = enter(run, '');
    expect(currentView(run).walked.at(-1)?.person).toBe('Technician 7');
    expect(applyEvent(run, { kind: 'stopped', reason: ' ', at: AT }).problem).toBe('Say why the run is stopped.');
    run = take(run, { kind: 'stopped', reason: 'Shift over', at: AT });
    expect(currentView(run)).toMatchObject({ stage: 'stopped', ending: { kind: 'stopped', words: 'Stopped before an ending: Shift over' } });
    expect(applyEvent(run, { kind: 'note', text: 'late', at: AT }).problem).toBe('The run is over. Begin a new one.');
  });

  it('refuses to begin on another text, and a photo with a path', () => {
    const document = tailLift();
    const run = begin(document);
    const other = { ...document, contentHash: '0'.repeat(64) };
    const started = run.events[0];
    expect(started && applyEvent({ ...run, document: other, events: [], counted: [], walk: { ...run.walk, document: other, stage: 'not_started', frames: [] } }, started).problem).toMatch(/has been changed since/);
    expect(applyEvent(run, { kind: 'photo', name: '../../etc/passwd', at: AT }).problem).toBe('A photo is given by its file name alone, without a folder.');
    expect(applyEvent(run, { kind: 'finished', at: AT }).problem).toMatch(/^The run has not come to an ending/);
  });
});
