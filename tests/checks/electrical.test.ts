/** Checks of electrical work on a circuit of hazardous voltage: what proves it dead, what is work on it, and what is left alone. */
import { describe, expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { said } from './said.ts';

const SHOP = `shop: Workshop
instruments:
  tester: {title: Two-pole tester, category: CAT III 1000 V, measures: {dc_voltage: {up_to: 1000 V}, ac_voltage: {up_to: 1000 V}}}
  small_tester: {title: Small tester, category: CAT III 600 V, measures: {dc_voltage: {up_to: 60 V}}}
  meter: {title: Meter, category: CAT III 600 V, measures: {resistance: {up_to: 40 Mohm}, dc_voltage: {up_to: 600 V}, ac_voltage: {up_to: 600 V}}}
`;

interface Parts { readonly circuits?: string; readonly before?: string; readonly isolate?: string; readonly proof?: string; readonly work?: string }

const CIRCUIT = '  traction: {nominal: 400 V, category: CAT III, dead_when: {service_disconnect: removed}}\n';
const ISOLATE = `  - step: isolate
    do: [Remove the service disconnect., Fit your lock and tag.]
    sets: {service_disconnect: removed, lockout: applied}
    cautions: [high_voltage_dc]
`;
const PROOF = `  - step: prove
    measure: dc_voltage
    circuit: traction
    with: tester
    at_each: [plus_minus, plus_frame]
    judge: highest
    proves_dead: traction
    cautions: [high_voltage_dc]
    results:
      - when: at most 5 V
      - when: above 5 V
        refer: It is live.
`;
const WORK = `  - step: heater
    measure: resistance
    circuit: traction
    with: meter
    results:
      - when: at most 50 ohm
        passes: true
      - when: above 50 ohm
        refer: Replace the heater.
`;

function tractor({ circuits = CIRCUIT, before = '', isolate = ISOLATE, proof = PROOF, work = WORK }: Parts): string {
  return `procedure: tractor
title: Tractor
qualified: high_voltage
circuits:
${circuits}steps:
${before}${isolate}${proof}${work}`;
}

const SAFETY = ['isolation-not-proved', 'circuit-not-named', 'circuit-always-dead', 'live-resistance-test', 'dead-voltage-test', 'instrument-category', 'beyond-range'];
const messages = (text: string, checks: readonly string[] = SAFETY): string[] => said(text, checks, { shop: SHOP }).map((line) => line.replace(/^\d+ /, ''));

describe('a proof that a circuit is dead', () => {
  test('judges the highest of its points, each of them, or bounds every one', () => {
    expect(messages(tractor({}))).toEqual([]);
    expect(messages(tractor({ proof: PROOF.replace('judge: highest', 'judge: each') }))).toEqual([]);
    expect(messages(tractor({
      proof: PROOF.replace('    judge: highest\n', '').replace('at most 5 V', 'at most 5 V at plus_minus and at most 5 V at plus_frame').replace('above 5 V', 'otherwise'),
    }))).toEqual([]);
  });

  const NOTHING = "isolation-not-proved: No result of 'prove' shows that traction is dead.";

  test.each(['lowest', 'mean', 'spread'])('proves nothing by the %s, and what follows is not told again', (judge) => {
    expect(messages(tractor({ proof: PROOF.replace('judge: highest', `judge: ${judge}`) }))).toEqual([NOTHING]);
  });

  test.each([
    ['one point of two', PROOF.replace('    judge: highest\n', '').replace('at most 5 V', 'at most 5 V at plus_minus').replace('above 5 V', 'otherwise')],
    ['the first point that is dead', PROOF.replace('judge: highest', 'seek: at most 5 V').replace('when: at most 5 V', 'when: found').replace('when: above 5 V', 'when: not_found')],
    ['an AC reading of a DC circuit', PROOF.replace('dc_voltage', 'ac_voltage')],
    ['a limit above 60 V', PROOF.replace(/5 V/g, '100 V')],
  ])('proves nothing by %s', (_, proof) => {
    expect(messages(tractor({ proof }))).toEqual([NOTHING]);
  });

  test('reads AC where the circuit has AC', () => {
    const circuits = '  traction: {nominal: 400 V AC, category: CAT III, dead_when: {service_disconnect: removed}}\n';
    expect(messages(tractor({ circuits }))).toEqual([NOTHING]);
    expect(messages(tractor({ circuits, proof: PROOF.replace('dc_voltage', 'ac_voltage') }))).toEqual([]);
  });

  test('names an instrument and a range that could show the whole voltage', () => {
    expect(messages(tractor({ proof: PROOF.replace('    with: tester\n', '') }))).toEqual(["instrument-category: 'prove' reads on traction (400 V), and nothing says with what."]);
    expect(messages(tractor({ proof: PROOF.replace('with: tester', 'with: tester\n    range: 60 V') }))).toEqual(["beyond-range: The range 60 V of 'prove' does not hold the voltage of its circuit."]);
    expect(messages(tractor({ proof: PROOF.replace('with: tester', 'with: small_tester') }))).toEqual(['beyond-range: Small tester reads up to 60 V, less than the voltage of its circuit.']);
  });

  test('is taken on a locked isolation, unless a plug was pulled', () => {
    const unlocked = ISOLATE.replace(', Fit your lock and tag.', ', Lock the key in the key safe.').replace(', lockout: applied', '');
    expect(messages(tractor({ isolate: unlocked }))).toEqual(["isolation-not-proved: 'prove' is to prove traction dead, and nothing has locked its isolation."]);
    expect(messages(tractor({ isolate: unlocked.replace('Lock the key in the key safe.', 'Lock the disconnect in the key safe.') }))).toEqual([]);
    const plug = { circuits: `  traction: {nominal: 400 V, dead_when: {plug: out}}\nstates: {plug: {values: [in, out], at_start: in}}\n`, isolate: '  - step: isolate\n    do: [Pull the plug.]\n    sets: {plug: out}\n' };
    expect(messages(tractor(plug))).toEqual([]);
  });

  test('needs to know the voltage of its circuit', () => {
    const unknown = (kept: string): string[] => messages(tractor({ circuits: `  traction: {${kept}dead_when: {service_disconnect: removed}}\n` }), ['isolation-not-proved']);
    expect(unknown('discharge_wait: 5 min, ')).toEqual(['isolation-not-proved: The circuit traction has a `discharge_wait`, and nothing says its voltage.']);
    expect(unknown('category: CAT III, ')).toEqual(['isolation-not-proved: The circuit traction is of CAT III, and nothing says its voltage.']);
    expect(unknown('')).toEqual(["isolation-not-proved: The circuit traction is proved dead by 'prove', and nothing says its voltage."]);
  });
});

describe('work on a circuit', () => {
  const step = (words: string, keys = ''): string => (words.endsWith('?')
    ? `  - step: here\n    ask: ${words}\n${keys}    cautions: [high_voltage_dc]\n    results:\n      - when: yes\n      - when: no\n`
    : `  - step: here\n    do: ['${words}']\n${keys}    cautions: [high_voltage_dc]\n`);
  const WORKS = "isolation-not-proved: 'here' works on traction (400 V) before a reading has proved it dead.";

  test.each([
    'Loosen the busbar bolts.', 'Unplug the orange connector of the converter.', 'Pull the high-voltage plug off the heater.', 'Unscrew the cover of the inverter.',
    'Disconnect the motor terminals.', 'Clean the contacts inside the cabinet.', 'Reach into the switchboard.', 'Tighten the three bolts of the busbar.',
    'Take off the lid of the junction box.', 'Are the busbar bolts tight when you try them with a spanner?', 'Replace the contactor.',
  ])('is told before the isolation, and between it and the proof: %s', (words) => {
    expect(messages(tractor({ before: step(words) }))).toEqual([WORKS]);
    expect(messages(tractor({ isolate: ISOLATE + step(words) }))).toEqual([WORKS]);
    expect(messages(tractor({ proof: PROOF + step(words) }))).toEqual([]);
  });

  test.each([
    'Turn the tractor off.', 'Lock the service disconnect in the key safe.', 'Put on the insulating gloves.', 'Inspect the insulating gloves for holes.', 'Unplug the charging cable.',
    'Look at the orange cable from outside.', 'Do not touch the orange connector.', 'Read the label on the inverter cover.', 'Disconnect the battery negative lead.',
    'Disconnect the terminal of the 12 V battery.', 'Is the orange cable chafed?', 'Are the busbar bolts tight?', 'Does the driver say that the heater was cold?', 'Wait for the discharge time.',
    'Ask the driver whether the contactor clicked.', 'Remove the wheel nuts.', 'Open the bonnet.', 'Mark off the area.', 'Fetch the key of the cabinet.', 'Fit the barrier in front of the inverter.',
    'Pull the charge plug.', 'Tighten the drain plug.', 'Remove the cover of the air filter.', 'Look through the window of the cabinet.', 'Does the lamp in the cabinet light?',
  ])('is not: %s', (words) => {
    expect(messages(tractor({ before: step(words) }))).toEqual([]);
  });

  const ON_IT = '    circuit: traction\n';

  test.each(['Unscrew the lid.', 'Loosen the bolts.', 'Does the cable move when you pull it by hand?'])('is told by the circuit that the step names: %s', (words) => {
    expect(messages(tractor({ before: step(words, ON_IT) }))).toEqual([WORKS]);
  });

  test.each(['Turn the main switch off.', 'What does the display show?', 'Put on your gloves.', 'Does the lamp of the contactor light?'])('is not, though the step names the circuit: %s', (words) => {
    expect(messages(tractor({ before: step(words, ON_IT) }))).toEqual([]);
  });

  test('is none where the step itself isolates or puts back, or names another circuit', () => {
    expect(messages(tractor({ isolate: ISOLATE.replace('Remove the service disconnect.', 'Unplug the orange service connector.') }))).toEqual([]);
    const circuits = `${CIRCUIT}  lamp: {nominal: 24 V}\n`;
    expect(messages(tractor({ circuits, before: step('Disconnect the heater terminals.', '    circuit: lamp\n') }))).toEqual([]);
  });

  test('is told once on a walk: what follows goes on as if it had been proved', () => {
    expect(messages(tractor({ proof: '' }))).toEqual(["isolation-not-proved: 'heater' works on traction (400 V) before a reading has proved it dead."]);
    expect(messages(tractor({ proof: '', work: step('Unplug the orange connector.') + WORK }))).toEqual([WORKS]);
  });
});

describe('a reading that names no circuit', () => {
  const phases = (keys: string): string => `procedure: phases\ntitle: Phase check\nqualified: electrical\nsteps:\n  - step: phases\n    measure: ac_voltage\n    with: meter\n${keys}`;
  const RESULTS = '    results:\n      - when: at least 360 V\n        passes: true\n      - when: below 360 V\n        refer: Repair the supply.\n';
  const LOW = RESULTS.replace(/360/g, '20');

  test('is told, and brings its hazard, where its limits or its range are hazardous', () => {
    const checks = ['circuit-not-named', 'missing-caution'];
    const both = [
      "circuit-not-named: 'phases' reads AC voltage and names no circuit.", "missing-caution: 'phases' has a hazard without a caution: shock and arc from a circuit above 30 V AC.",
    ];
    expect(messages(phases(RESULTS), checks)).toEqual(both);
    expect(messages(phases(`    range: 600 V\n${LOW}`), checks)).toEqual(both);
    expect(messages(phases(LOW), checks)).toEqual([]);
    // A circuit of known voltage is judged by that.
    expect(messages(phases(`    circuit: line\n    range: 600 V\n${LOW}`).replace('steps:', 'circuits: {line: {nominal: 24 V AC}}\nsteps:'), checks)).toEqual([]);
  });

  test('is told where its texts name a hazardous voltage, or another step reads one', () => {
    expect(messages(phases(`    text: The socket has 230 V.\n${LOW}`))).toEqual(["circuit-not-named: 'phases' reads AC voltage and names no circuit."]);
    const winding = '  - step: winding\n    measure: resistance\n    with: meter\n    results:\n      - when: at most 3 ohm\n        passes: true\n      - when: above 3 ohm\n        refer: Replace the motor.\n';
    expect(messages(phases(RESULTS.replace('\n        passes: true', '')) + winding)).toEqual([
      "circuit-not-named: 'phases' reads AC voltage and names no circuit.", "circuit-not-named: 'winding' reads resistance and names no circuit.",
    ]);
  });

  test('is told of a resistance wherever circuits are declared, and hinted at of a voltage', () => {
    const feed = (quantity: string, limit: string): string => `procedure: feed\ntitle: Feed\ncircuits: {feed: {nominal: 24 V, dead_when: {isolator: off}}}\nsteps:\n  - step: feed
    measure: ${quantity}\n    with: meter\n    results:\n      - when: at most ${limit}\n        passes: true\n      - when: above ${limit}\n        refer: Replace it.\n`;
    expect(messages(feed('resistance', '5 ohm'))).toEqual(["circuit-not-named: 'feed' reads resistance and names no circuit."]);
    expect(messages(feed('dc_voltage', '5 V'))).toEqual([]);
    expect(messages(feed('dc_voltage', '5 V'), ['circuit-left-out'])).toEqual(["circuit-left-out: 'feed' reads DC voltage and names no circuit."]);
    expect(messages(feed('pressure', '5 bar'), [...SAFETY, 'circuit-left-out'])).toEqual([]);
    expect(messages(feed('resistance', '5 ohm').replace(/circuits: .*\n/, ''))).toEqual([]);
  });
});

describe('what makes a circuit dead', () => {
  const lamp = (deadWhen: string, states = ''): string => `procedure: lamp\ntitle: Lamp\n${states}circuits:\n  lamp_line: {nominal: 24 V, dead_when: ${deadWhen}}\nsteps:\n  - step: coil
    measure: resistance\n    circuit: lamp_line\n    with: meter\n    results:\n      - when: at most 5 ohm\n        passes: true\n      - when: above 5 ohm\n        refer: Replace it.\n`;
  const ALWAYS = 'circuit-always-dead: By its `dead_when` the circuit lamp line is dead whatever is done.';

  test.each(['{}', '{isolator: [on, off]}', '[{isolator: on}, {isolator: off}]', '[{isolator: off}, {}]'])('is nothing that always holds: %s', (deadWhen) => {
    expect(messages(lamp(deadWhen))).toEqual([ALWAYS]);
  });

  test('may be several things, as long as some states leave it live', () => {
    expect(messages(lamp('[{isolator: off}, {negative_lead: disconnected}]'))).toEqual(["live-resistance-test: 'coil' reads resistance while the circuit lamp line is not dead."]);
  });

  test('is told once where a name in it is wrong', () => {
    const checks = [...SAFETY, 'unknown-name', 'wrong-kind'];
    expect(messages(lamp('{isolator: OFF}'), checks)).toEqual(["unknown-name: No value of 'isolator' is called 'OFF'."]);
    expect(messages(lamp('{izolator: off}'), checks)).toEqual(["unknown-name: No state is called 'izolator'."]);
    expect(messages(lamp('{isolator: }'), checks)).toEqual(["wrong-kind: 'isolator' in 'dead_when' of the circuit 'lamp_line' has no value."]);
    expect(messages(lamp('{isolator: OFF}').replace('resistance', 'dc_voltage').replaceAll('5 ohm', '5 V'), checks)).toEqual(["unknown-name: No value of 'isolator' is called 'OFF'."]);
  });
});

describe('while a text is being edited', () => {
  const shop = SHOP;
  const look = tractor({ before: '  - step: here\n    do: [Look at the busbar from outside.]\n    cautions: [high_voltage_dc]\n' });

  test.each([
    ['Look at the busbar from outside.', 'Loosen the bolts of the busbar.'], ['Loosen the bolts of the busbar.', 'Look at the busbar from outside.'],
    ['Fit your lock and tag.', 'Fetch your lock and tag.'],
  ])('what is told follows it: %s to %s', (from, to) => {
    const before = look.replace('Look at the busbar from outside.', from.includes('busbar') ? from : 'Look at the busbar from outside.').replaceAll(', lockout: applied', '');
    const after = before.replace(from, to);
    expect(after).not.toBe(before);
    const workspace = new Workspace();
    workspace.setFile('a/shop.yaml', shop);
    workspace.setFile('a/x.procedure.yaml', before);
    const told = (): string[] => workspace.analyse('a/x.procedure.yaml').findings.filter(({ check }) => check === 'isolation-not-proved').map(({ message }) => `isolation-not-proved: ${message}`);
    expect(told()).toEqual(messages(before, ['isolation-not-proved']));
    workspace.setFile('a/x.procedure.yaml', after);
    expect(told()).toEqual(messages(after, ['isolation-not-proved']));
    expect(messages(after, ['isolation-not-proved'])).not.toEqual(messages(before, ['isolation-not-proved']));
  });
});
