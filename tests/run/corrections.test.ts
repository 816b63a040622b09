import { describe, expect, it } from 'vitest';
import { applyEvent, currentView, replayRun, type Run } from '../../server/src/run/engine.ts';
import { AT, begin, checklistOf, enter, minutes, ready, tailLift, take } from './fixtures.ts';
import { HEAD } from './small.ts';

/** Index of the event that holds the last entry at a step. */
function entryAt(run: Run, step: string): number {
  const line = currentView(run).walked.filter((one) => one.step === step && one.entry !== undefined).at(-1);
  if (line?.entry === undefined) throw new Error(`No entry at ${step}.`);
  return line.entry;
}

function toCoilSignal(): Run {
  let run = ready(begin(tailLift()));
  for (const typed of ['', 'silent', '', '25.3', '25.1', '0.1', '0.1', '0.1']) run = enter(run, typed);
  return run;
}

describe('a correction', () => {
  it('with a new value judges the later walk again and keeps both', () => {
    const before = enter(toCoilSignal(), '23.5');
    expect(currentView(before).step?.name).toBe('fuse');
    const of = entryAt(before, 'supply');
    const after = take(before, { kind: 'correction', of, typed: '24.9 V', at: AT });
    // 23.5 V is now at least 24.9 V - 1.5 V: the later entry stands and leads elsewhere.
    expect(currentView(after).step?.name).toBe('isolate');
    expect(after.events.slice(0, -1)).toEqual(before.events);
    const supply = currentView(after).walked.find((line) => line.step === 'supply');
    expect(supply).toMatchObject({ entered: '24.9\u202fV', original: '25.1' });
  });

  it('that turns the walk elsewhere sets aside what no longer belongs to it', () => {
    const before = toCoilSignal();
    const after = take(before, { kind: 'correction', of: entryAt(before, 'listen'), typed: 'motor_runs', at: AT });
    expect(currentView(after).step?.name).toBe('oil_level');
    expect(currentView(after).walked.map((line) => line.step)).toEqual(['make_safe', 'listen']);
    expect(currentView(after).faultsLeft.map((fault) => fault.name)).toEqual(['low_oil', 'relief_valve']);
  });

  it('that cannot be understood is refused and changes nothing', () => {
    const before = toCoilSignal();
    const refused = applyEvent(before, { kind: 'correction', of: entryAt(before, 'supply'), typed: 'about right', at: AT });
    expect(refused.problem).toBeDefined();
    expect(refused.events).toBe(before.events);
    expect(refused.walk).toBe(before.walk);
    expect(applyEvent(before, { kind: 'correction', of: entryAt(before, 'listen'), typed: 'a whistle', at: AT }).problem)
      .toBe('\'a whistle\' is none of the answers here: motor runs, click only or silent.');
  });

  it('may be corrected again; the latest counts', () => {
    let run = toCoilSignal();
    const of = entryAt(run, 'supply');
    run = take(run, { kind: 'correction', of, typed: '24', at: AT }, { kind: 'correction', of, typed: '26', at: AT });
    expect(currentView(run).step?.limits[0]?.words).toContain('24.5');
    expect(currentView(run).walked.find((line) => line.step === 'supply')?.original).toBe('25.1');
  });

  it('of an entry at a point that is not complete, and of one already judged', () => {
    let run = ready(begin(tailLift()));
    for (const typed of ['', 'silent', '', '25.3', '25.1', '4']) run = enter(run, typed);
    const of = entryAt(run, 'return_drop');
    run = take(run, { kind: 'correction', of, typed: '0.4', at: AT });
    expect(currentView(run).step?.points[0]).toMatchObject({ name: 'motor_case', typed: '0.4', current: false });
    run = enter(enter(run, '0.1'), '0.1');
    expect(currentView(run).step?.name).toBe('coil_signal');
    run = take(run, { kind: 'correction', of, typed: '0.41', at: AT });
    expect(currentView(run).remedy?.fault).toBe('poor_return');
  });

  it('without a value takes back that entry and all after it, and asks again', () => {
    const before = toCoilSignal();
    const after = take(before, { kind: 'correction', of: entryAt(before, 'supply'), at: AT });
    expect(currentView(after).step?.name).toBe('supply');
    expect(currentView(after).walked.at(-1)?.step).toBe('battery');
    expect(after.events).toHaveLength(before.events.length + 1);
    expect(applyEvent(after, { kind: 'correction', of: entryAt(before, 'return_drop'), typed: '1', at: AT }).problem)
      .toBe('There is no entry there that still counts, so there is nothing to correct.');
    expect(currentView(enter(after, '25')).step?.name).toBe('return_drop');
  });

  it('that takes back a step leaves the states it had set uncertain', () => {
    const document = checklistOf(`${HEAD}
circuits: {lamps: {nominal: 24 V, dead_when: {isolator: off}}}
steps:
  - {step: look, ask: Is it clean?, results: [{when: yes}, {when: no, finds: fuse}]}
  - {step: turn_off, do: Turn it off., sets: {isolator: off}}
  - {step: wire_end, measure: resistance, circuit: lamps, with: multimeter, results: [{when: below 5 ohm, passes: true}, {when: otherwise, go: live_end}]}
  - {step: live_end, measure: dc_voltage, circuit: lamps, with: multimeter, needs: {isolator: on}, results: [{when: above 5 V, passes: true}, {when: otherwise, finds: wire}]}
`);
    let run = enter(enter(begin(document), 'yes'), '');
    expect(currentView(run).step?.circuit?.condition).toBe('dead');
    run = take(run, { kind: 'correction', of: 1, at: AT });
    expect(currentView(run).step?.name).toBe('look');
    expect(run.walk.frames[0]?.states[document.procedure.program.states.findIndex((state) => state.name === 'isolator')]).toBe(0b11);
    // Done again, it is certain again.
    run = enter(enter(run, 'yes'), '');
    expect(currentView(run).step?.circuit?.condition).toBe('dead');
  });

  it('does not touch notes, and is refused once the run is over', () => {
    let run = take(toCoilSignal(), { kind: 'note', text: 'Smells of oil.', at: minutes(3) });
    run = take(run, { kind: 'correction', of: entryAt(run, 'listen'), at: minutes(4) });
    expect(run.walk.notes.map((note) => note.text)).toEqual(['Smells of oil.']);
    run = take(run, { kind: 'stopped', reason: 'Enough.', at: minutes(5) });
    expect(applyEvent(run, { kind: 'correction', of: 2, typed: 'silent', at: AT }).problem).toBe('The run is over. Nothing in it can be corrected.');
  });

  it('of a thing done can only take it back', () => {
    const run = toCoilSignal();
    expect(applyEvent(run, { kind: 'correction', of: entryAt(run, 'make_safe'), typed: 'done twice', at: AT }).problem)
      .toBe('This can be taken back, but not entered anew in its place.');
    expect(applyEvent(run, { kind: 'correction', of: 0, at: AT }).problem).toMatch(/^There is no entry there/);
    expect(applyEvent(run, { kind: 'correction', of: 999, at: AT }).problem).toMatch(/^There is no entry there/);
  });

  it('of a fact asks no more and judges anew', () => {
    const document = tailLift('none');
    let run = ready(begin(document));
    for (const typed of ['', 'silent', '', '25.3', '25.1', '0.1', '0.1', '0.1', '24', '', '18', '26', '17']) run = enter(run, typed);
    expect(currentView(run).remedy?.fault).toBe('contactor');
    const of = run.events.findIndex((event) => event.kind === 'fact' && event.fact === 'coil_low');
    run = take(run, { kind: 'correction', of, typed: '16 ohm', at: AT });
    expect(currentView(run).remedy?.fault).toBe('pump_motor');
  });

  it('is the same run when its events are taken again', () => {
    let run = toCoilSignal();
    run = take(run, { kind: 'correction', of: entryAt(run, 'supply'), typed: '24', at: AT }, { kind: 'correction', of: entryAt(run, 'return_drop'), at: AT });
    run = enter(run, '0.2');
    const again = replayRun(run.document, run.events);
    expect(again.refused).toEqual([]);
    expect(again.run.walk).toEqual(run.walk);
    expect(again.run.counted).toEqual(run.counted);
  });
});
