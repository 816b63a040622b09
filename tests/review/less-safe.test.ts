/** Whatever kept people safe and is less than it was stands under 'Less safe than before', in plain words, with both places. */
import { describe, expect, it } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { compareRevisions } from '../../server/src/review/compare.ts';
import type { Comparison } from '../../server/src/review/change.ts';
import { textChange } from '../../server/src/review/weaker-texts.ts';
import { reviewSections } from '../../server/src/render/review-words.ts';
import { edited, effects, released, reviewOf, shopFile } from './depot-revisions.ts';

const SHOP = `shop: Depot
states:
  disconnect:
    title: Service disconnect
    values: [fitted, removed]
    at_start: fitted
    at_end: fitted
    changes:
      - {to: removed, do: [Remove the disconnect., Lock it away.], time: 1 min, cautions: [arc]}
      - {to: fitted, do: [Fit the disconnect.], time: 1 min}
  lockout: {values: [removed, applied], at_start: removed}
  lever: {values: [released, pulled], at_start: released, held: [pulled]}
instruments:
  tester: {title: Tester, category: CAT III 1000 V, measures: {dc_voltage: {up_to: 1000 V, resolution: 1 V}}}
  meter: {title: Meter, category: CAT II 300 V, measures: {dc_voltage: {up_to: 300 V, resolution: 1 V}}}
hazards:
  arc_flash: {title: Arc, arises_from: {words: [pull the plug], sets: [{disconnect: removed}]}, repeat: every_step, qualified: electrical}
cautions:
  arc: {signal: danger, hazard: Stored charge., consequence: It will kill you., avoid: Wait. Wear gloves., wear: [gloves], covers: [arc_flash]}
  arc_too: {signal: danger, hazard: Stored charge here., consequence: It will kill you., avoid: Keep away., covers: [arc_flash]}
  noise: {signal: notice, hazard: Noise., consequence: Your ears ring., avoid: Wear plugs.}
qualifications:
  electrical: {title: Electrician}
`;

const PROCEDURE = `procedure: prove
title: Traction proved dead
purpose: inspection
qualified: [electrical]
circuits:
  traction: {nominal: 400 V, category: CAT III, dead_when: {disconnect: removed, lockout: applied}, discharge_wait: 10 min}
faults:
  worn: {title: Brush worn, grade: dangerous}
steps:
  - step: isolate
    do:
      - Remove the disconnect.
      - Fit your lock and tag.
    sets: {disconnect: removed, lockout: applied}
    cautions: [arc]
  - step: bleed
    do: [Leave it alone.]
    wait: 10 min
    cautions:
      - {signal: warning, hazard: The cover is hot., consequence: It can burn you., avoid: Do not touch it.}
  - step: tester_before
    ask: Does the tester show the voltage of the proving unit?
    results:
      - when: yes
      - when: no
        refer: Fetch another.
  - step: dead
    measure: dc_voltage
    circuit: traction
    with: tester
    range: 1000 V
    at_each:
      one: {title: Plus to minus, at: {red: plus, black: minus}}
      two: {title: Plus to chassis, at: {red: plus, black: chassis}}
    judge: highest
    proves_dead: traction
    needs: {lockout: applied}
    cautions: [arc]
    hazards: [arc_flash]
    people: 2
    qualified: [electrical]
    results:
      - when: at most 5 V
      - when: above 5 V
        refer: Stop. Nobody touches it.
  - step: hold
    ask: Does the brush spark?
    during: {lever: pulled}
    max_time: 10 s
    rest: 5 min
    results:
      - when: no
      - when: yes
        refer: Stop.
  - step: brush
    measure: length
    results:
      - when: at least 10 mm
        passes: true
      - when: below 10 mm
        raises: worn
        passes: true
`;

function reviewed(change: (text: string) => string, changeShop: (text: string) => string = (text) => text): Comparison {
  const [before, after] = [new Workspace(), new Workspace()];
  before.setFile('/d/shop.yaml', SHOP);
  before.setFile('/d/prove.procedure.yaml', PROCEDURE);
  after.setFile('/d/shop.yaml', changeShop(SHOP));
  after.setFile('/d/prove.procedure.yaml', change(PROCEDURE));
  const file = '/d/prove.procedure.yaml';
  return compareRevisions(before.analyse(file), after.analyse(file), { before: (path) => before.textOf(path), after: (path) => after.textOf(path) });
}

const same = (text: string): string => text;
const to = (from: string | RegExp, now: string) => (text: string): string => edited(text, from, now);

/** What is changed, in the procedure or in the shop's file, and what the review says of it. */
const WEAKER: readonly (readonly [name: string, procedure: (text: string) => string, shop: (text: string) => string, says: string])[] = [
  ['a state that is no longer needed', to('    needs: {lockout: applied}\n', ''), same, "'dead' no longer needs lockout applied."],
  ['a state that may be another as well', to('needs: {lockout: applied}', 'needs: {lockout: [applied, removed]}'), same, "'dead' now does with lockout applied or removed; it needed applied."],
  ['the lock that is no longer asked for', to('      - Fit your lock and tag.\n', ''), same, "'isolate' no longer says: Fit your lock and tag. It brings disconnect to removed and lockout to applied."],
  ['an action turned round', to('- Remove the disconnect.', '- Fit the disconnect.'), same, "An action of 'isolate' may now say the contrary. It brings disconnect to removed and lockout to applied."],
  ['a wait cut', to('    wait: 10 min', '    wait: 1 min'), same, "'bleed' waits only 1 min; it was 10 min."],
  ['a wait that is gone', to('    wait: 10 min\n', ''), same, "'bleed' no longer waits 10 min."],
  ['a discharge wait cut', to('discharge_wait: 10 min', 'discharge_wait: 60 s'), same, 'The discharge wait of the circuit traction is now 60 s; it was 10 min.'],
  ['a longest time raised', to('max_time: 10 s', 'max_time: 2 min'), same, "'hold' may now be held for 2 min; it was at most 10 s."],
  ['a rest cut', to('rest: 5 min', 'rest: 5 s'), same, "'hold' rests only 5 s before it is done again; it was 5 min."],
  ['one person less', to('    people: 2\n', ''), same, "'dead' asks for no number of people; it asked for 2."],
  ['a qualification', to('qualified: [electrical]\n', ''), same, 'The procedure no longer asks for the qualification electrical.'],
  ['a caution not given', to('    cautions: [arc]\n  - step: bleed', '  - step: bleed'), same, "'isolate' no longer gives the caution arc (danger)."],
  ['a caution written in place, gone', to(/ {4}cautions:\n {6}- \{signal: warning.*\n/u, ''), same, "'bleed' no longer gives a caution that was written there."],
  ['a caution written in place, with a lower signal word', to('signal: warning', 'signal: notice'), same, "The signal word of the caution of 'bleed' is now 'notice'; it was 'warning'."],
  ['a hazard no longer named', to('    hazards: [arc_flash]\n', ''), same, "'dead' no longer names the hazard arc flash."],
  ['the instrument of a proof', to('    with: tester\n', ''), same, "'dead' no longer says which instrument is used; it was tester."],
  ['a lesser instrument', to('with: tester', 'with: meter'), same, "'dead' is now read with meter; it was tester."],
  ['a range', to('    range: 1000 V\n', ''), same, "The range of 'dead' is no longer given; it was 1000 V."],
  ['the circuit of a reading', to('    circuit: traction\n    with', '    with'), same, "'dead' no longer says that traction is read: nothing is checked of it there."],
  ['a point', to(/ {6}two: .*\n/u, ''), same, "'dead' no longer reads at two (Plus to chassis): that point is not proved dead."],
  ['a probe put elsewhere', to('black: chassis', 'black: plus'), same, "The black probe of the proof at 'dead' at two now goes to 'plus'; it went to 'chassis'."],
  ['the judge of a proof', to('judge: highest', 'judge: lowest'), same, "The proof at 'dead' now judges the lowest of its readings; it judged the highest. A high reading at one point can go unseen."],
  ['the limit of a proof', (text) => text.replaceAll('5 V\n', '55 V\n'), same, "The proof that traction is dead takes more than it did. A reading above 5 V up to 55 V at 'dead' now goes on; before, it referred the case."],
  ['the proof itself', to('    proves_dead: traction\n', ''), same, "'dead' no longer proves that traction is dead."],
  ['an answer that stopped the work', to('        refer: Fetch another.\n', '        says: It is fine.\n'), same, "The answer 'no' at 'tester_before' no longer stops the work; it stopped the work: Fetch another."],
  ['a step that could stop the work', to(/ {2}- step: tester_before[\s\S]*?(?= {2}- step: dead)/u, ''), same, "The step 'tester_before' is no longer there. Its answer 'no' stopped the work: Fetch another."],
  ['a step that waited', to(/ {2}- step: bleed[\s\S]*?(?= {2}- step: tester)/u, ''), same, "The step 'bleed' is no longer there. It waited 10 min."],
  ['a defect that is no longer recorded', to('        raises: worn\n', ''), same, "A reading below 10 mm at 'brush' now passes; before, it recorded worn and passed."],
  ['a defect graded lower', to('grade: dangerous', 'grade: minor'), same, 'The defect worn is now graded minor; it was dangerous.'],
  ['a nominal voltage', to('nominal: 400 V', 'nominal: 48 V'), same, 'The nominal voltage of the circuit traction is now 48 V; it was 400 V. What a high voltage asks for may no longer be asked for.'],
  ['the category of a circuit', to('category: CAT III', 'category: CAT II'), same, 'The circuit traction is now CAT II; it was CAT III. A lesser instrument is let through.'],
  ['a circuit dead by less', to('dead_when: {disconnect: removed, lockout: applied}', 'dead_when: {disconnect: removed}'), same, 'The circuit traction is now taken for dead when disconnect is removed; it was when disconnect is removed and lockout is applied.'],
  ['the shop: a signal word', same, to('arc: {signal: danger', 'arc: {signal: caution'), "The signal word of the caution arc is now 'caution'; it was 'danger'."],
  ['the shop: what a caution says', same, to('consequence: It will kill you., avoid: Wait.', 'consequence: It could hurt., avoid: Wait.'), 'The caution arc says what happens in other words; whether they warn as those did, a person must read.'],
  ['the shop: what a caution covers', same, to(', wear: [gloves], covers: [arc_flash]', ', wear: [gloves]'), 'The caution arc no longer covers the hazard arc flash.'],
  ['the shop: what is worn', same, to(', wear: [gloves]', ''), 'The caution arc no longer asks to wear gloves.'],
  ['the shop: a caution that is gone', same, to(/ {2}arc: .*\n/u, ''), 'The caution arc is no longer declared.'],
  ['the shop: how a state is brought about', same, to('Remove the disconnect., Lock it away.', 'Remove the disconnect.'), 'How to bring the state disconnect to removed is written otherwise; whether it protects as it did, a person must read.'],
  ['the shop: how a state is brought about, turned round', same, to('do: [Remove the disconnect.,', 'do: [Fit the disconnect.,'), 'How to bring the state disconnect to removed may now say the contrary.'],
  ['the shop: the caution of a change', same, to(', cautions: [arc]}', '}'), 'To bring the state disconnect to removed no longer gives the caution arc.'],
  ['the shop: a state to be left', same, to('    at_end: fitted\n', ''), 'The state disconnect may now be left as it is at the end; it had to be fitted.'],
  ['the shop: a state that is held', same, to(', held: [pulled]', ''), 'lever pulled is no longer one that someone must hold: its time is not limited any longer.'],
  ['the shop: a category of an instrument', same, to('CAT III 1000 V', 'CAT III 600 V'), 'The instrument tester is now CAT III 600 V; it was CAT III 1000 V. Only what is printed on it counts.'],
  ['the shop: a hazard seen less', same, to('words: [pull the plug], ', ''), 'The hazard arc flash is no longer seen in: pull the plug.'],
  ['the shop: a hazard warned of once', same, to('repeat: every_step', 'repeat: once_before'), 'The hazard arc flash asks for its caution only once; it was at every step.'],
  ['the shop: a hazard for anyone', same, to(', qualified: electrical', ''), 'The hazard arc flash no longer asks for the qualification electrical.'],
];

describe('what is less safe', () => {
  it.each(WEAKER)('%s', (_, procedure, shop, says) => {
    const comparison = reviewed(procedure, shop);
    const risk = comparison.effects.filter(({ kind }) => kind === 'risk').find(({ message }) => message === says);
    expect(effects(comparison, 'risk')).toContain(says);
    expect(risk?.before?.line ?? risk?.after?.line).toBeGreaterThan(0);
    expect(reviewSections(comparison)[0]?.title).toBe('Less safe than before');
  });

  it('is nothing of the kind the other way round: what protects more, in other words or elsewhere', () => {
    const none = (change: (text: string) => string, shop: (text: string) => string = same): void => expect(effects(reviewed(change, shop), 'risk')).toEqual([]);
    none(same);
    none(to('    wait: 10 min', '    wait: 600 s'));
    none(to('    wait: 10 min', '    wait: 20 min'));
    none(to('max_time: 10 s', 'max_time: 5 s'));
    none((text) => text.replaceAll('5 V\n', '4 V\n'));
    none(to('      - Fit your lock and tag.', '      - Fit your own lock and tag to it.'));
    none(to('people: 2', 'people: 3'));
    none(to('nominal: 400 V', 'nominal: 800 V'));
    none(to('cautions: [arc]\n  - step: bleed', 'cautions: [arc_too]\n  - step: bleed'));
    none(same, to('avoid: Wait. Wear gloves.', 'avoid: Wait. Wear gloves. Keep others away.'));
    none(same, to('signal: notice', 'signal: warning'));
    none(to('    do: [Leave it alone.]\n', '    do: [Leave it quite alone.]\n'));
    // Moved to a step of its own, word for word.
    none(to('      - Fit your lock and tag.\n    sets: {disconnect: removed, lockout: applied}\n    cautions: [arc]\n', '    sets: {disconnect: removed}\n    cautions: [arc]\n  - step: lock\n    do: [Fit your lock and tag.]\n    sets: {lockout: applied}\n'));
    // A declaration of the shop that this procedure does not use is nothing to it.
    none(same, to('noise: {signal: notice, hazard: Noise.', 'noise: {signal: notice, hazard: Din.'));
  });

  it('names steps that lose the same together, and points rather than what is written of them', () => {
    const comparison = reviewed((text) => edited(edited(text, '    cautions: [arc]\n  - step: bleed', '  - step: bleed'), '    cautions: [arc]\n    hazards', '    hazards'));
    expect(effects(comparison, 'risk')).toContain("'isolate' and 'dead' no longer give the caution arc (danger).");
    const points = reviewed(to(/ {6}two: .*\n/u, ''));
    expect(points.changes.map(({ message, before }) => [message, before])).toEqual([["'dead' no longer reads at two (Plus to chassis).", undefined]]);
    const step = reviewed(to(/ {2}- step: tester_before[\s\S]*?(?= {2}- step: dead)/u, ''));
    expect(step.changes.map(({ before }) => before)).toEqual(['ask: Does the tester show the voltage of the proving unit?']);
  });

  it('a shop file compared by itself tells of all that it declares', () => {
    const [before, after] = [new Workspace(), new Workspace()];
    before.setFile('/d/shop.yaml', SHOP);
    after.setFile('/d/shop.yaml', edited(SHOP, 'hazard: Noise., consequence: Your ears ring.', 'hazard: Noise., consequence: Nothing.'));
    const comparison = compareRevisions(before.analyse('/d/shop.yaml'), after.analyse('/d/shop.yaml'));
    expect(effects(comparison, 'risk')).toEqual(['The caution noise says what happens in other words; whether they warn as those did, a person must read.']);
  });

  it('in the depot: a caution of the catalogue or the shop that a procedure gives', () => {
    const comparison = reviewOf('tail_lift_no_raise', released('tail_lift_no_raise'), edited(shopFile(), 'signal: danger', 'signal: caution'));
    expect(effects(comparison, 'risk')).toContain("The signal word of the caution moving platform is now 'caution'; it was 'danger'.");
    expect(effects(reviewOf('no_crank', released('no_crank'), edited(shopFile(), 'signal: danger', 'signal: caution')), 'risk')).toEqual([]);
  });
});

describe('two texts', () => {
  it.each([
    ['Turn the isolator off.', 'Turn the isolator off', 'same'], ['Turn the isolator off.', 'turn isolator off', 'same'], ['Turn the isolator off.', 'Turn the main isolator off.', 'added'],
    ['Turn the isolator off.', 'Turn the isolator on.', 'reversed'], ['Touch the terminals.', 'Do not touch the terminals.', 'reversed'], ['Do not touch it.', 'Touch it.', 'reversed'],
    ['Connect the lead.', 'Disconnect the lead.', 'reversed'], ['Turn the isolator off.', 'Turn the switch off.', 'changed'], ['Den Trenner ausschalten.', 'Den Trenner einschalten.', 'reversed'],
  ] as const)('%s / %s: %s', (before, after, expected) => {
    expect(textChange(before, after)).toBe(expected);
  });
});
