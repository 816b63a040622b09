/** What a review says of edits as people make them, on the depot's own procedures. */
import { describe, expect, it } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { compareRevisions, saysNothing } from '../../server/src/review/compare.ts';
import { PROCEDURES } from '../diagnosis/depot.ts';
import { SPOILING_EDITS } from '../mutation/edits.ts';
import { changes, edited, effects, released, reviewOf, shopFile } from './depot-revisions.ts';

describe('what is no change', () => {
  it.each(PROCEDURES)('%s against itself', (name) => {
    expect(saysNothing(reviewOf(name, released(name)))).toBe(true);
  });

  it('comments, blank lines, line ends, the order of keys, quotes and symbols', () => {
    let text = released('tail_lift_no_raise');
    text = edited(text, 'steps:\n', '# The walk begins here.\n\nsteps:\n').replaceAll('\n', '\r\n');
    text = edited(text, /when: at most 0\.4 V/u, 'when: "<= 0.4 V"');
    text = edited(text, /title: Tail lift platform does not rise/u, 'title: "Tail lift platform does not rise"');
    const comparison = reviewOf('tail_lift_no_raise', text);
    expect(changes(comparison)).toEqual([]);
    expect(comparison.effects).toEqual([]);
  });

  it('a step that only has another name, and the ways that lead to it', () => {
    const comparison = reviewOf('no_crank', released('no_crank').replaceAll('switch_feed', 'feed_of_switch'));
    expect(changes(comparison)).toEqual(["wording: The step 'switch_feed' is now called 'feed_of_switch'."]);
    expect([comparison.effects, comparison.appeared, comparison.gone]).toEqual([[], [], []]);
  });
});

describe('how a change is put', () => {
  it('a whole sentence stands under its change, not inside its sentence', () => {
    const comparison = reviewOf('air_pressure', edited(released('air_pressure'), 'finds: warning_switch', 'refer: Ask the workshop foreman.'));
    const [change] = comparison.changes.filter(({ message }) => message.includes('`refer`'));
    expect(change?.message).toBe("`refer` of 'warning_pressure', 'below air_warning_minimum' is new.");
    expect(change?.after).toBe('Ask the workshop foreman.');
  });
});

describe('what makes a procedure less safe', () => {
  it('a caution that is dropped: the line, and the finding with its walk', () => {
    const comparison = reviewOf('no_crank', edited(released('no_crank'), / {4}cautions: \[cranking\]\n(?= {4}people: 2\n {4}time: 1 min)/u, ''));
    expect(changes(comparison)).toEqual(["safety: 'listen' no longer gives the caution cranking."]);
    expect(comparison.appeared.map(({ check, step }) => [check, step])).toContainEqual(['missing-caution', 'listen']);
  });

  it('a circuit that is no longer dead where ohms are read; one of two ways to make it dead is enough', () => {
    const both = edited(released('tail_lift_no_raise'), / {4}sets: \{isolator: off, contactor_lead: unplugged\}\n/u, '');
    const comparison = reviewOf('tail_lift_no_raise', both);
    expect(effects(comparison, 'risk')).toContain("The circuit lift control was dead on every walk to 'coil'. Now it is not.");
    expect(comparison.effects.find(({ kind }) => kind === 'risk')?.witness?.at(-1)?.step).toBe('coil');
    const one = edited(released('tail_lift_no_raise'), 'sets: {isolator: off, contactor_lead: unplugged}', 'sets: {contactor_lead: unplugged}');
    expect(effects(reviewOf('tail_lift_no_raise', one), 'risk')).toEqual([]);
  });

  it('a proof of death that is taken away, for every step that relied on it', () => {
    const comparison = reviewOf('insulation_warning', edited(released('insulation_warning'), / {4}proves_dead: traction\n/u, ''));
    expect(effects(comparison, 'risk')).toEqual([
      "'prove_dead_here' no longer proves that traction is dead.",
      "'whole_system' can now be reached without proof that traction is dead.",
      "'without_heater' can now be reached without proof that traction is dead.",
      "'without_inlet' can now be reached without proof that traction is dead.",
    ]);
    expect(changes(comparison)).toEqual(["safety: `proves_dead` of 'prove_dead_here' is gone; it was traction."]);
  });

  it('a change of the shop file alone, seen at the procedure that nobody touched', () => {
    const shop = edited(shopFile(), /platform:\n(.|\n)*?at_start: stowed\n/u, 'platform:\n    title: Platform of the tail lift\n    values: [stowed, grounded, raised]\n    at_start: raised\n');
    const comparison = reviewOf('tail_lift_no_raise', released('tail_lift_no_raise'), shop);
    expect(comparison.changes).toEqual([]);
    expect(effects(comparison, 'other').join('\n')).toMatch(/platform raised/u);
  });
});

describe('what leads elsewhere', () => {
  it('names the readings between the old limit and the new one, and nothing else', () => {
    const text = edited(edited(released('no_crank'), 'at least 20 V', 'at least 21 V'), 'below 20 V', 'below 21 V');
    expect(effects(reviewOf('no_crank', text), 'other')).toEqual([
      "A reading from 20 V to below 21 V at 'solenoid_signal' now finds solenoid_wire; before, it ruled out solenoid_wire and found solenoid_coil by elimination.",
    ]);
  });

  it('tells "at least" from "above": one reading alone', () => {
    const text = edited(edited(released('no_crank'), 'at least 20 V', 'above 20 V'), 'below 20 V', 'at most 20 V');
    expect(effects(reviewOf('no_crank', text), 'other')).toEqual([
      "A reading of exactly 20 V at 'solenoid_signal' now finds solenoid_wire; before, it ruled out solenoid_wire and found solenoid_coil by elimination.",
    ]);
  });

  it('the same limit in another unit leads nowhere else', () => {
    const text = edited(edited(released('no_crank'), 'at least 20 V', 'at least 20000 mV'), 'below 20 V', 'below 20000 mV');
    const comparison = reviewOf('no_crank', text);
    expect(comparison.effects).toEqual([]);
    expect(comparison.changes.map(({ bearing }) => bearing)).toEqual(['course', 'course']);
  });

  it('a fault that no walk finds any longer', () => {
    const text = edited(released('no_crank'), /- when: below 20 V\n {8}finds: solenoid_wire/u, '- when: below 20 V\n        refer: Ask the electrician.');
    expect(effects(reviewOf('no_crank', text), 'other')).toContain('No walk finds solenoid wire any longer.');
  });

  it('a step that moved, one that is new and one that is gone', () => {
    const steps = ['a', 'b', 'c', 'd'].map((name) => `  - step: ${name}\n    do: [Look at ${name}.]\n`);
    const text = (order: readonly string[]): string => `procedure: order\ntitle: Order\nsteps:\n${order.join('')}`;
    expect(changes(compared(text(steps), text([steps[0], steps[2], steps[3], steps[1]] as string[])))).toEqual(["course: The step 'b' now stands after 'd'."]);
    const other = '  - step: e\n    ask: Is it there?\n    results:\n      - {when: yes, passes: true}\n';
    expect(changes(compared(text(steps), text([steps[0], other, steps[2], steps[3]] as string[])))).toEqual(["course: The step 'b' is no longer there.", "course: New step 'e'."]);
  });
});

describe('every edit that spoils a procedure', () => {
  it.each(['tail_lift_no_raise', 'isolate_high_voltage', 'wheel_torque', 'daily_walk_round'])('is seen in a review of %s', (name) => {
    const workspace = new Workspace();
    workspace.setFile('/depot/shop.yaml', shopFile());
    workspace.setFile('/depot/a.procedure.yaml', released(name));
    const before = workspace.analyse('/depot/a.procedure.yaml');
    let seen = 0;
    for (const { name: edit, apply } of SPOILING_EDITS) {
      for (const { text, where } of [...apply(before)].slice(0, 3)) {
        if (text === before.text) continue;
        workspace.setFile('/depot/a.procedure.yaml', text);
        const comparison = compareRevisions(before, workspace.analyse('/depot/a.procedure.yaml'));
        expect(comparison.changes, `${edit}: ${where}`).not.toEqual([]);
        seen++;
      }
    }
    expect(seen).toBeGreaterThan(20);
  });
});

function compared(before: string, after: string): ReturnType<typeof compareRevisions> {
  const analyse = (text: string): ReturnType<Workspace['analyse']> => {
    const workspace = new Workspace();
    workspace.setFile('/a.procedure.yaml', text);
    return workspace.analyse('/a.procedure.yaml');
  };
  return compareRevisions(analyse(before), analyse(after));
}
