/** From a procedure to numbers: what the planner may move, what it may not, and that the two orders are costed alike. */
import { describe, expect, test } from 'vitest';
import { minutesOf, type OrderTree } from '../../server/src/diagnosis/best-order.ts';
import { changedReport, diagnose, type DiagnosisReport } from '../../server/src/diagnosis/report.ts';
import { bestOfSheet } from '../../server/src/diagnosis/what-if.ts';
import { writtenTree } from '../../server/src/diagnosis/written-order.ts';
import { alone, analysed, depot, fileOf, PROCEDURES } from './depot.ts';

function reportOf(text: string, options: Parameters<typeof diagnose>[2] = {}): DiagnosisReport {
  const { procedure, exploration } = alone(text).analyse();
  return diagnose(procedure, exploration, options);
}

/** The tests on every way through an order, in order. */
function ways(report: DiagnosisReport, tree: OrderTree = report.numbers.best.tree): string[][] {
  if (tree.kind === 'leaf') return [[]];
  const name = report.sheet.problem.tests[tree.test]?.name ?? '';
  return tree.branches.flatMap((branch) => ways(report, branch.tree).map((rest) => [name, ...rest]));
}

const CHAIN = `procedure: horn_silent
title: Horn silent
faults:
  relay: {title: Relay failed, weight: 10, remedy: Replace it.}
  button: {title: Button worn, weight: 20, remedy: Replace it.}
  fuse: {title: Fuse open, weight: 70, remedy: Find the overload.}
steps:
  - step: swap_relay
    ask: Does it sound with another relay?
    time: 15 min
    results:
      - {when: yes, finds: relay}
      - {when: no, rules_out: [relay]}
  - step: look_at_fuse
    ask: Is the wire of the fuse whole?
    time: 2 min
    results:
      - {when: whole, rules_out: [fuse], by_elimination: button}
      - {when: parted, finds: fuse}
`;

describe('a chain of two checks, worked by hand', () => {
  const report = reportOf(CHAIN);
  test('as written: 15 minutes for the relay, 17 for the others', () => {
    expect(report.numbers.written.minutes).toBeCloseTo(0.1 * 15 + 0.9 * 17, 10);
    expect(report.numbers.written.planned).toBeCloseTo(report.numbers.written.minutes, 10);
    expect(report.numbers.written.faults.map(({ minutes }) => minutes)).toEqual([15, 17, 17]);
  });
  test('best: the fuse first, 2 minutes for it, 17 for the others', () => {
    expect(report.numbers.best.minutes).toBeCloseTo(0.7 * 2 + 0.3 * 17, 10);
    expect(report.numbers.best.firstMove).toEqual({ after: [], test: 'look_at_fuse', insteadOf: 'swap_relay' });
  });
  test('kept first, whatever the numbers say', () => {
    const kept = reportOf(CHAIN.replace('time: 15 min', 'time: 15 min\n    keep_first: true'));
    expect(ways(kept)[0]?.[0]).toBe('swap_relay');
    expect(kept.numbers.best.minutes).toBeCloseTo(kept.numbers.written.minutes, 10);
  });
  test('the relay replaced to see whether it helps, where that is quicker', () => {
    const repaired = reportOf(CHAIN.replace('remedy: Replace it.}', 'remedy: Replace it., time: 1 min}'), { repairs: true });
    expect(ways(repaired).flat()).toContain('repair relay');
    expect(repaired.numbers.best.minutes).toBeLessThan(report.numbers.best.minutes);
  });
  test('two people count twice where minutes are counted for each', () => {
    const each = reportOf(CHAIN.replace('time: 2 min', 'time: 2 min\n    people: 2'), { perPerson: true });
    expect(each.numbers.written.minutes).toBeCloseTo(0.1 * 15 + 0.9 * 19, 10);
  });
  test('a step without a time counts one minute, and that is said', () => {
    const untimed = reportOf(CHAIN.replace('    time: 2 min\n', ''));
    expect(untimed.numbers.written.minutes).toBeCloseTo(0.1 * 15 + 0.9 * 16, 10);
    expect(untimed.assumptions.join(' ')).toContain('look_at_fuse');
  });
});

describe('what stays in its place', () => {
  test('the proof that a circuit is dead, and the proof of the tester, stand before every reading that had them', () => {
    const { procedure, exploration } = analysed(depot().analyse(fileOf('compressor_no_start')));
    const report = diagnose(procedure, exploration);
    const fuse = report.sheet.problem.tests.find(({ name }) => name === 'fuse');
    expect(Object.keys(fuse?.states ?? {})).toEqual(expect.arrayContaining(['step tester_before', 'step prove_dead', 'step tester_after', 'isolator', 'lockout']));
  });

  test('a missing supply says something only where what feeds it was found good', () => {
    const { procedure, exploration } = analysed(depot().analyse(fileOf('no_crank')));
    const order = ['switch_feed', 'switch_output', 'neutral_output', 'body_switch_output', 'relay_coil_signal', 'relay_output', 'solenoid_signal'];
    for (const way of ways(diagnose(procedure, exploration))) {
      const met = way.filter((name) => order.includes(name));
      expect(met).toEqual(order.filter((name) => met.includes(name)));
    }
  });

  test('a test of a branch is not taken out of it', () => {
    const { procedure, exploration } = analysed(depot().analyse(fileOf('interlock_chain')));
    for (const way of ways(diagnose(procedure, exploration))) {
      if (way.includes('hand_control_input')) expect(way.indexOf('hand_control_output')).toBeLessThan(way.indexOf('hand_control_input'));
      if (way.includes('hand_control_input')) expect(way).toContain('hand_control_output');
    }
  });

  test('a fault that only a result may show is not concluded', () => {
    const report = reportOf(CHAIN.replace(', by_elimination: button', '') + `  - step: press
    ask: Does the button feel worn?
    time: 1 min
    results:
      - {when: yes, finds: button}
      - {when: no, refer: Trace the wiring.}
`);
    for (const way of ways(report)) expect(way.length).toBeGreaterThan(0);
    expect(report.sheet.problem.faults.every(({ confirm }) => confirm)).toBe(true);
    // The last fault left still costs the test that shows it.
    expect(report.numbers.best.minutes).toBeCloseTo(0.7 * 2 + 0.2 * 3 + 0.1 * 18, 10);
  });
});

describe('what a writer knew and did not write down', () => {
  const head = `procedure: made_up
title: Made up
states:
  engine: {values: [stopped, running], at_start: stopped}
  cover: {values: [fitted, removed], at_start: fitted}
faults:
  rare: {title: Rare, weight: 1, remedy: Repair it.}
  common: {title: Common, weight: 99, remedy: Repair it.}
steps:
`;
  const ask = (name: string, fault: string, minutes: number, rest = '', way = ''): string => `  - step: ${name}
    ask: Is it good?
${rest}    time: ${minutes} min
    results:
      - {when: good, rules_out: [${fault}]${way}}
      - {when: bad, finds: ${fault}}
`;
  const slowFirst = (between: string, last = ''): string => `${head}${ask('slow', 'rare', 10)}${between}${ask('quick', 'common', 1, last, ', refer: Ask the maker.')}`;
  const best = (text: string): { readonly first: string | undefined; readonly minutes: number; readonly written: number } => {
    const report = reportOf(text);
    expect(report.numbers.best.sound).toBe(true);
    return { first: ways(report)[0]?.[0], minutes: report.numbers.best.minutes, written: report.numbers.written.minutes };
  };

  test('nothing in between: the quick test of the common fault comes first', () => {
    expect(best(slowFirst(''))).toEqual({ first: 'quick', minutes: expect.closeTo(0.99 * 1 + 0.01 * 11, 10) as number, written: expect.closeTo(0.01 * 10 + 0.99 * 11, 10) as number });
  });

  test('instructions that set no state: nobody can tell what they change, so both tests stay where they are', () => {
    const { first, minutes, written } = best(slowFirst('  - step: disconnect\n    do: [Disconnect the pump.]\n    time: 1 min\n'));
    expect(first).toBe('slow');
    expect(minutes).toBeCloseTo(written, 10);
  });

  test('a state of the machine: each fault is found in the one in which it is found now, and getting there and back counts', () => {
    const start = '  - step: start\n    do: [Start the engine.]\n    sets: {engine: running}\n    time: 2 min\n';
    // Start, look; the rare fault then costs a stop that nobody described (1 minute).
    expect(best(slowFirst(start))).toMatchObject({ first: 'quick', minutes: expect.closeTo(0.99 * 3 + 0.01 * (3 + 1 + 10), 10) as number });
  });

  test('a reading that is stored while the machine is left as it was: the next goes on where it left off', () => {
    const text = `${head}  - step: first_reading
    measure: pressure
    at: {port: a}
    time: 5 min
  - step: second_reading
    measure: pressure
    at: {port: b}
    text: Keep the lamps on.
    time: 1 min
  - step: judge_first
    decide: first_reading
    results:
      - {when: at least 1 bar, rules_out: [rare]}
      - {when: below 1 bar, finds: rare}
  - step: judge_second
    decide: second_reading
    results:
      - {when: at least 1 bar, rules_out: [common], refer: Ask the maker.}
      - {when: below 1 bar, finds: common}
`;
    // The second alone would take 1 minute.
    expect(best(text).minutes).toBeCloseTo(0.01 * 5 + 0.99 * 6, 10);
  });

  test('a second test of a fault is for what the first one missed', () => {
    const text = `${head}${ask('long_look', 'common', 10)}${ask('short_look', 'common', 1)}${ask('other', 'rare', 1, '', ', refer: Ask the maker.')}`;
    expect(best(text).minutes).toBeCloseTo(0.99 * 10 + 0.01 * 11, 10);
    for (const way of ways(reportOf(text))) if (way.includes('short_look')) expect(way.indexOf('long_look')).toBeLessThan(way.indexOf('short_look'));
  });

  test('the same reading by the same limits is compared with the first', () => {
    const measure = (name: string, good: string, bad: string): string => `  - step: ${name}
    measure: insulation_resistance
    at: {red: terminal, black: chassis}
    time: ${name === 'whole' ? 10 : 1} min
    results:
      - {when: at least 1 Mohm, ${good}}
      - {when: below 1 Mohm, ${bad}}
`;
    const unplug = '  - step: unplug\n    do: [Unplug it.]\n    sets: {cover: removed}\n    time: 1 min\n';
    const text = `${head}${measure('whole', 'finds: rare', 'rules_out: [rare]')}${unplug}${measure('without', 'finds: common', 'rules_out: [common], refer: Ask the maker.')}`;
    expect(best(text).first).toBe('whole');
    expect(best(text.replace('at: {red: terminal, black: chassis}', 'at: {red: another terminal, black: chassis}')).first).toBe('without');
  });

  test('what stands behind a test that may pass the machine as sound is for those that it does not pass', () => {
    const symptom = '  - step: symptom\n    ask: Does it happen now?\n    time: 10 min\n    results:\n      - {when: no, passes: true}\n      - {when: yes}\n';
    const text = `${head}${symptom}${ask('slow', 'rare', 10)}${ask('quick', 'common', 1, '', ', refer: Ask the maker.')}`;
    // To the symptom's ten minutes each: the quick test first, the slow one behind it.
    expect(best(text).minutes).toBeCloseTo(10 + 0.99 * 1 + 0.01 * 11, 10);
  });

  test('a conclusion that its test may still refute needs the test', () => {
    const { procedure, exploration } = analysed(depot().analyse(fileOf('charging')));
    const { sheet } = diagnose(procedure, exploration);
    expect(sheet.problem.faults.find(({ name }) => name === 'alternator')?.confirm).toBe(true);
    const text = `${head}${ask('quick', 'common', 1)}  - step: long
    ask: Does it fail overnight?
    time: 600 min
    results:
      - {when: no, refer: Nothing was found.}
      - {when: yes, by_elimination: rare}
`;
    expect(best(text).minutes).toBeCloseTo(0.99 * 1 + 0.01 * 601, 10);
    // Where the other result finds the other fault, being the only one left is enough.
    expect(best(text.replace('refer: Nothing was found.', 'finds: common')).minutes).toBeCloseTo(1, 10);
  });

  test('a pause counts with its step', () => {
    expect(best(slowFirst('').replace('time: 10 min', 'wait: 5 min\n    time: 10 min')).written).toBeCloseTo(0.01 * 15 + 0.99 * 16, 10);
  });
});

describe('the library', () => {
  const workspace = depot();
  test.each(PROCEDURES)('%s: the best order is never dearer than the written one, and no order beats the bound', (name) => {
    const { procedure, exploration } = analysed(workspace.analyse(fileOf(name)));
    const { numbers: { written, best }, procedure: { inspection }, tests, faults } = diagnose(procedure, exploration);
    if (inspection) return;
    expect(best.sound).toBe(true);
    expect(written.isolated.weighted).toBeCloseTo(1, 6);
    expect(best.minutes).toBeLessThanOrEqual(written.planned + 1e-6);
    expect(best.lowerBound).toBeLessThanOrEqual(best.minutes + 1e-9);
    expect(best.exact).toBe(true);
    for (const { results } of tests) for (const { cells } of results) expect(cells).toHaveLength(faults.length);
  });

  test.each(PROCEDURES)('%s: the order as written, put as a tree, costs what following the text costs; and where the search has to stop, it stands in', (name) => {
    const { procedure, exploration } = analysed(workspace.analyse(fileOf(name)));
    const { numbers: { written }, procedure: { inspection }, sheet } = diagnose(procedure, exploration);
    if (inspection || sheet.problem.faults.length === 0) return;
    const tree = writtenTree(sheet);
    expect(minutesOf(tree)).toBeCloseTo(written.minutes, 6);
    expect(bestOfSheet(sheet, { places: 0 }).minutes).toBeLessThanOrEqual(written.minutes + 1e-6);
  });

  test('other weights and times in the page are the same as in the text', () => {
    const path = fileOf('no_crank');
    const before = analysed(workspace.analyse(path));
    const report = changedReport(diagnose(before.procedure, before.exploration), { weights: { poor_feed: 30 }, minutes: { listen: 7, make_safe: 9 } });
    const text = before.text.replace('weight: 9\n    remedy: Clean and tighten the positive', 'weight: 30\n    remedy: Clean and tighten the positive')
      .replace(/(step: listen[^]*?time: )1 min/, '$17 min').replace(/(step: make_safe[^]*?time: )5 min/, '$19 min');
    const other = depot();
    other.setFile(path, text);
    const { procedure, exploration } = analysed(other.analyse(path));
    const wanted = diagnose(procedure, exploration);
    expect(report.numbers.written.minutes).toBeCloseTo(wanted.numbers.written.minutes, 10);
    expect(report.numbers.written.planned).toBeCloseTo(wanted.numbers.written.planned, 10);
    expect(report.numbers.best.minutes).toBeCloseTo(wanted.numbers.best.minutes, 10);
    expect(report.faults.map(({ share }) => share)).toEqual(wanted.faults.map(({ share }) => share));
  });

  test('the faults still possible are those of each walk', () => {
    const { procedure, exploration } = analysed(workspace.analyse(fileOf('tail_lift_no_raise')));
    const { possible, faults } = diagnose(procedure, exploration);
    const at = (step: string): string[][] | undefined => possible.find((one) => one.step === step)?.sets.map((set) => set.faults.map((fault) => faults[fault]?.name ?? ''));
    expect(at('fuse')).toEqual([['open_fuse', 'open_interlock']]);
    expect(at('pressure')).toEqual([['relief_valve']]);
    expect(possible.find((one) => one.step === 'coil')?.sets[0]?.walk.at(-2)).toEqual({ step: 'coil_signal', result: 'at least supply - 1.5 V' });
  });
});
