/** Hazards and cautions on what workshops write: what endangers is found where it is said, and what does not is left alone. */
import { describe, expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { analyseText } from '../../server/scripts/example-workspace.ts';
import { INNOCENT_SENTENCES } from './innocent-sentences.ts';
import { fixed, said } from './said.ts';

const END = `  - step: end
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`;
const SAFETY = ['missing-caution', 'late-caution', 'qualified-person', 'said-not-set', 'caution-too-weak', 'hazard-weakened', 'held-too-long', 'alone', 'left-unsafe'];

function procedure(steps: string, before = ''): string {
  return `procedure: test\ntitle: Test\n${before}steps:\n${steps}`;
}

function doing(sentence: string): string {
  return procedure(`  - step: work\n    ${sentence.endsWith('?') ? `ask: ${JSON.stringify(sentence)}\n    results:\n      - when: yes\n      - when: no` : `do:\n      - ${JSON.stringify(sentence)}`}\n${END}`);
}

/** The hazards that a sentence raises, as their titles begin in the findings. */
function raised(sentence: string): string {
  return said(doing(sentence), ['missing-caution']).map((line) => line.split('without a caution: ')[1] ?? '').join(' ');
}

describe('a dangerous instruction is found', () => {
  test.each([
    ['Open the control cabinet.', 'above 30 V AC'],
    ['Work on the live panel.', 'above 30 V AC'],
    ['Take out the mains fuses.', 'above 30 V AC'],
    ['Remove the terminal box cover of the motor.', 'above 30 V AC'],
    ['Measure across L1 and L2.', 'above 30 V AC'],
    ['Pull the MSD.', 'above 60 V DC'],
    ['Bypass the safety relay.', 'safety device is put out of action'],
    ['Bridge the seat switch with a piece of wire.', 'safety device is put out of action'],
    ['Bridge out the emergency stop.', 'safety device is put out of action'],
    ['Override the interlock of the cabinet door.', 'safety device is put out of action'],
    ['Tie the dead-man lever down with a strap.', 'safety device is put out of action'],
    ['Bridge the starter terminals with a screwdriver.', 'engine is cranked'],
    ['Short out the starter solenoid with a screwdriver.', 'engine is cranked'],
    ['Bridge terminal 30 and terminal 50 with a screwdriver.', 'engine is cranked'],
    ['Have someone crank it.', 'engine is cranked'],
    ['Put your hand into the auger to clear the blockage.', 'runs under power'],
    ['Reach into the spinner.', 'runs under power'],
    ['Switch the spinner on and look into the chute.', 'runs under power'],
    ['Turn the broom motor on.', 'runs under power'],
    ['Let the brush rotate.', 'runs under power'],
    ['Press the start button while a colleague watches the fan.', 'runs under power'],
    ['Start the machine and watch the belt.', 'runs under power'],
    ['Start the sweeper.', 'moving parts and carbon monoxide'],
    ['Let the diesel tick over.', 'moving parts and carbon monoxide'],
    ['Rev the engine to 2000 rpm.', 'moving parts and carbon monoxide'],
    ['Enter the hopper.', 'bad air or buried'],
    ['Go into the tank.', 'bad air or buried'],
    ['Clean the vacuum hopper from inside.', 'bad air or buried'],
    ['Weld the bracket to the chassis.', 'welding, cutting and grinding'],
    ['Heat the nut with a torch.', 'welding, cutting and grinding'],
    ['Grind the weld off.', 'welding, cutting and grinding'],
    ['Feel for leaks with your hand.', 'enters the body'],
    ['Run your hand along the hose.', 'enters the body'],
    ['Check for leaks at full pressure.', 'enters the body'],
    ['Open the high-pressure washer hose.', 'enters the body'],
    ['Open the drain cock on the air receiver.', 'compressed air'],
    ['Undo the safety valve of the air receiver.', 'compressed air'],
    ['Crawl under the platform.', 'raised load'],
    ['Remove the prop from under the body.', 'raised load'],
    ['Drive out the pin of the lift ram.', 'raised load'],
    ['Spray cold-start spray into the intake.', 'fire of spilled fuel'],
    ['Loosen the valve block bolts.', 'hydraulic pressure'],
    ['Connect a slave battery.', 'hydrogen'],
    ['Reset the overload and stand by the motor.', 'starts by itself'],
  ])('%s', (sentence, hazard) => {
    expect(raised(sentence).toLowerCase()).toContain(hazard.toLowerCase());
  });

  // What stands before it in the sentence forbids, keeps or tells of something else.
  test.each([
    ['Look at the belt and remove the radiator cap.', 'hot coolant'],
    ['Check that the cap is cool, then remove the radiator cap.', 'hot coolant'],
    ['If the lamps do not light, remove the radiator cap.', 'hot coolant'],
    ['Do not wait. Remove the radiator cap.', 'hot coolant'],
    ['Ask your helper to start the engine.', 'moving parts'],
    ['Leave the workshop and start the engine.', 'moving parts'],
    ['Make sure that nobody is near and start the engine.', 'moving parts'],
    ['Read the gauge with the engine running.', 'moving parts'],
    ['Leave the engine running.', 'moving parts'],
    ['Look under the raised body.', 'raised load'],
    ['Look at the radiator cap and take it off.', 'hot coolant'],
    ['Look at the radiator cap. Unscrew it.', 'hot coolant'],
    ['Find the radiator cap.', 'hot coolant'],
    ['Without a helper, remove the radiator cap.', 'hot coolant'],
    ['Do not smoke while you drain the fuel.', 'fire of spilled fuel'],
    ['Do not stop the pump before you open the hydraulic line.', 'hydraulic pressure'],
    ['Stay clear of the fan while the engine runs.', 'moving parts'],
    ['Report how it sounds with the engine running.', 'moving parts'],
    ['Tell your helper to watch that the hose is clear when you start the engine.', 'moving parts'],
    ['Keep your hand under the raised body.', 'raised load'],
  ])('also behind other words: %s', (sentence, hazard) => {
    expect(raised(sentence).toLowerCase()).toContain(hazard);
  });
});

describe('an innocent sentence', () => {
  test('there are many of them', () => {
    expect(new Set(INNOCENT_SENTENCES).size).toBe(INNOCENT_SENTENCES.length);
    expect(INNOCENT_SENTENCES.length).toBeGreaterThanOrEqual(150);
  });

  test.each(INNOCENT_SENTENCES)('%s', (sentence) => {
    expect(said(doing(sentence), SAFETY)).toEqual([]);
  });
});

describe('a state brought about by a step', () => {
  const steps = (sets: string): string => procedure(`  - step: fire_up
    do: [Turn the key until the diesel runs.]
${sets}  - step: look
    ask: Is the belt tight?
    results:
      - when: yes
      - when: no
  - step: halt
    do: [Stop the engine.]
    sets: {engine: stopped}
${END}`);

  test('raises its hazards at that step, and the fix puts the caution there', () => {
    const text = steps('    sets: {engine: running}\n');
    expect(said(text, SAFETY)).toEqual(["6 missing-caution: 'fire_up' has a hazard without a caution: drawing in or crushing by moving parts and carbon monoxide from an engine."]);
    const mended = fixed(text, 'missing-caution') ?? '';
    expect(mended).toContain('- step: fire_up\n    cautions: [running_engine]\n');
    expect(said(mended, SAFETY)).toEqual([]);
  });

  test('does so for a hazard of the shop that lasts while the state is held', () => {
    const around = { shop: `shop: Test
states:
  drum: {values: [still, turning], at_start: still}
hazards:
  caught: {title: Clothes caught by the drum, arises_from: {states: [{drum: turning}]}}
` };
    const text = procedure(`  - step: turn\n    do: [Push the lever.]\n    sets: {drum: turning}\n${END}`);
    expect(said(text, ['missing-caution'], around)).toEqual(["6 missing-caution: 'turn' has a hazard without a caution: clothes caught by the drum."]);
  });
});

describe('a value that someone must hold', () => {
  const states = 'states:\n  control: {values: [released, raise], at_start: released, held: [raise]}\n';
  const HELD = ['held-too-long', 'alone', 'left-unsafe'];

  test('is not left behind by `sets`, held alone, or held at the end', () => {
    const text = procedure(`  - step: up
    do: [Hold the control until the bar is up.]
    sets: {control: raise}
  - step: sag
    measure: length
    results:
      - when: at least 5 mm
        refer: Tighten the bar.
      - when: below 5 mm
        passes: true
`, states);
    expect(said(text, HELD)).toEqual([
      "8 held-too-long: 'up' leaves control at raise, which someone must go on holding, and nothing says for how long.",
      "9 alone: 'sag' asks one person to hold control and to take a reading.",
      "13 left-unsafe: This ending of 'sag' leaves control raise.",
    ]);
  });

  test('by a result too; and what is held with `during` is let go', () => {
    const text = (key: string): string => procedure(`  - step: up\n    ask: Does the bar rise?\n${key}    results:\n      - when: yes\n      - when: no\n${END}`, states);
    expect(said(text('    during: {control: raise}\n    max_time: 5 s\n'), HELD)).toEqual([]);
    expect(said(text('').replace('- when: yes\n', '- when: yes\n        sets: {control: raise}\n'), ['held-too-long'])).toHaveLength(1);
  });

  test('does not outlast its longest time by the pause of the step', () => {
    const text = (wait: string): string => procedure(`  - step: up\n    do: [Hold the control.]\n    during: {control: raise}\n    max_time: 5 s\n    wait: ${wait}\n${END}`, states);
    expect(said(text('10 min'), HELD)).toEqual(["10 held-too-long: 'up' may hold control for 5 s at most, and waits 10 min meanwhile."]);
    expect(said(text('5 s'), HELD)).toEqual([]);
  });

  test('a pause while it is held is no rest', () => {
    const text = (rest: string): string => procedure(`  - step: up
    ask: Does the bar rise?
    during: {control: raise}
    max_time: 5 s
    ${rest}
    repeat_at_most: 5
    results:
      - when: yes
        passes: true
      - when: no
        go: up
`, states);
    expect(said(text('wait: 3 s'), ['held-too-long'])).toEqual(["8 held-too-long: A loop holds control at 'up' again and again without a rest."]);
    expect(said(text('rest: 2 min'), ['held-too-long'])).toEqual([]);
  });
});

describe('what a step says and what it sets', () => {
  const isolated = (work: string): string => procedure(`  - step: off
    do: [Turn the isolator off., Fit your lock and tag to the isolating device.]
    sets: {isolator: off, lockout: applied}
  - step: work
${work}  - step: look
    ask: Is the contact clean?
    needs: {isolator: off, lockout: applied}
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the contact.
`);
  const SAID = ['said-not-set'];

  test('the supply is switched on in words alone', () => {
    expect(said(isolated('    do: [Remove your lock and tag., Turn the isolator on.]\n'), SAID)).toEqual([
      "8 said-not-set: 'work' says 'Remove your lock and tag' and does not set lockout to removed.",
      "8 said-not-set: 'work' says 'Turn the isolator on' and does not set isolator to on.",
    ]);
    expect(said(isolated('    do: Remove the lock and turn the isolator on!\n'), SAID)).toHaveLength(1);
    expect(said(isolated('    do: Turn the  ISOLATOR on\n'), SAID)).toHaveLength(1);
    expect(said(isolated('    do: Wipe the contact.\n    text: Turn the isolator on.\n'), SAID)).toHaveLength(1);
  });

  test('or against what is set', () => {
    const text = isolated('    do: Wipe the contact.\n').replace('Turn the isolator off.', 'Turn the isolator on.');
    expect(said(text, SAID)).toEqual(["5 said-not-set: 'off' says 'Turn the isolator on' and sets isolator to off."]);
  });

  test.each([
    'Wipe the contact.',
    'Turn the isolator off.',
    'Turn the isolator on and off again.',
    'Do not turn the isolator on.',
    'Turn the isolator on, then turn the isolator off.',
    'Lock the isolator and keep the key.',
    'Turn the lamp on.',
    'Apply the parking brake.',
  ])('leaves alone: %s', (action) => {
    expect(said(isolated(`    do:\n      - ${action}\n`), SAID)).toEqual([]);
  });

  test('what is set, held or set by a result is right', () => {
    expect(said(isolated('    do: Turn the isolator on.\n    sets: {isolator: on}\n').replace(/ {4}needs.*\n/u, ''), SAID)).toEqual([]);
    expect(said(isolated('    do: Turn the isolator on.\n    during: {isolator: on}\n'), SAID)).toEqual([]);
  });
});

describe('while a text is being edited', () => {
  const before = procedure(`  - step: off
    do: [Turn the isolator off.]
    sets: {isolator: off}
  - step: work
    do:
      - Wipe the contact.
  - step: look
    ask: Is the contact clean?
    needs: {isolator: off}
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the contact.
`);

  test.each([
    ['Wipe the contact.', 'Turn the isolator on.', 'said-not-set'],
    ['Replace the contact.', 'Measure at the live terminals.', 'missing-caution'],
    ['Wipe the contact.', 'Leave the radiator cap off.', ''],
    ['Wipe the contact.', 'Take the radiator cap off.', ''],
  ])('what is told follows it: %s to %s', (from, to, check) => {
    const workspace = new Workspace();
    const told = (text: string, where = workspace): string[] => {
      where.setFile('a/test.procedure.yaml', text);
      return where.analyse('a/test.procedure.yaml').findings.map((finding) => `${finding.span.start} ${finding.check}: ${finding.message}`);
    };
    const first = told(before);
    const edited = told(before.replace(from, to));
    expect(edited).toEqual(told(before.replace(from, to), new Workspace()));
    if (check) expect(edited.join('\n')).toContain(check);
    expect(told(before)).toEqual(first);
  });
});

describe('the fix that puts a state back', () => {
  const shop = `shop: Test
states:
  platform:
    values: [stowed, grounded, raised]
    at_start: stowed
    at_end: [stowed, grounded]
    changes:
      - to: grounded
        do: [Lower the deck to the ground.]
        cautions:
          - crush
          - {signal: warning, hazard: The deck is heavy., consequence: It could crush a foot and cause serious injury., avoid: Keep your feet away., covers: [foot]}
hazards:
  crush: {title: Crushing by the deck, arises_from: {words: [lower the deck]}, repeat: every_step}
  foot: {title: Crushed foot, arises_from: {words: [deck to the ground]}, repeat: every_step}
cautions:
  crush: {signal: danger, hazard: The deck moves., consequence: It will crush and kill a person under it., avoid: Keep out from under it., covers: [crush]}
`;
  const text = procedure(`  - step: up
    do: [Bring the deck up.]
    sets: {platform: raised}
  - step: look
    ask: Is the seal dry?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the seal.
`);

  test('takes the value that the shop says how to reach, with its cautions, and lets no answer end in nothing', () => {
    const mended = fixed(text, 'left-unsafe', { shop }) ?? '';
    expect(mended).toContain('sets: {platform: grounded}');
    expect(mended).toContain('- Lower the deck to the ground.');
    expect(mended).toMatch(/cautions:\n\s+- crush\n\s+- signal: warning\n/u);
    expect(mended).toMatch(/when: no\n\s+refer: Stay with the machine\. Report that platform is not grounded\./u);
    const { findings } = analyseText(mended, { shop });
    expect(findings.filter(({ severity }) => severity === 'error').map(({ check, message }) => `${check}: ${message}`)).toEqual([]);
  });
});

describe('a released procedure that leads into another', () => {
  const called = (status: string): string => `procedure: inner\ntitle: Inner\n${status}steps:\n${END}`;
  const caller = (status: string): string => `procedure: test
title: Test
revision: 1
status: ${status}
approved: {by: Workshop standards group, on: 2026-09-14}
faults:
  dark: {title: Lamp dark, remedy: Follow the sheet of the lamp., procedure: inner}
steps:
  - step: inner
    run: inner
    results:
      - when: passed
        finds: dark
      - when: otherwise
        refer: See the diagram.
`;
  const findings = (status: string, of: string): string[] => {
    const workspace = new Workspace();
    workspace.setFile('a/inner.procedure.yaml', called(of));
    workspace.setFile('a/test.procedure.yaml', caller(status));
    return workspace.analyse('a/test.procedure.yaml').findings.filter(({ check }) => check.startsWith('runs-')).map(({ severity, check, message }) => `${severity} ${check}: ${message}`);
  };

  test('may lead into a released one, and into no other', () => {
    expect(findings('released', 'revision: 1\nstatus: released\n')).toEqual([]);
    for (const status of ['', 'status: draft\n', 'status: in_review\n']) {
      expect(findings('released', status)).toEqual([
        "warning runs-unreleased: The fault 'dark' leads into 'inner', which is not released, and this procedure is.",
        "warning runs-unreleased: 'inner' leads into 'inner', which is not released, and this procedure is.",
      ]);
      expect(findings('draft', status)).toEqual([]);
    }
  });

  test('never into a withdrawn one', () => {
    for (const status of ['released', 'in_review', 'draft']) {
      expect(findings(status, 'status: withdrawn\n')).toEqual([
        "error runs-withdrawn: The fault 'dark' leads into 'inner', which is withdrawn.", "error runs-withdrawn: 'inner' leads into 'inner', which is withdrawn.",
      ]);
    }
    expect(findings('withdrawn', 'status: withdrawn\n')).toEqual([]);
  });

  test('is judged anew when the other is withdrawn', () => {
    const workspace = new Workspace();
    workspace.setFile('a/inner.procedure.yaml', called('status: released\n'));
    workspace.setFile('a/test.procedure.yaml', caller('released'));
    const count = (): number => workspace.analyse('a/test.procedure.yaml').findings.filter(({ check }) => check === 'runs-withdrawn').length;
    expect(count()).toBe(0);
    workspace.setFile('a/inner.procedure.yaml', called('status: withdrawn\n'));
    expect(count()).toBe(2);
  });
});

describe('a hazard of the catalogue declared anew', () => {
  test.each([
    ['raised_load: {title: Heavy}', ["4 hazard-weakened: The hazard 'raised_load' of the catalogue is declared anew and loses its words, its states and the caution at every step."]],
    ['insulation_test_voltage: {title: Test voltage, arises_from: {quantities: [insulation_resistance], tools: [insulation_tester]}, repeat: once_before}',
      ["4 hazard-weakened: The hazard 'insulation_test_voltage' of the catalogue is declared anew and loses the caution at every step."]],
    ['insulation_test_voltage: {title: Test voltage, arises_from: {quantities: [insulation_resistance], tools: [insulation_tester], words: [test voltage]}, repeat: every_step}', []],
    ['hot_soup: {title: Hot soup, arises_from: {words: [eat the soup]}}', []],
  ])('%s', (hazard, expected) => {
    expect(said(procedure(END, `hazards:\n  ${hazard}\n`), ['hazard-weakened'])).toEqual(expected);
  });

  test('the fix gives it a name of its own', () => {
    expect(fixed(procedure(END, 'hazards:\n  raised_load: {title: Heavy}\n'), 'hazard-weakened')).toContain('  raised_load_here: {title: Heavy}');
  });
});

describe('a caution under too weak a signal word', () => {
  const text = (signal: string, covers: string): string => procedure(`  - step: work
    do: [Wipe the contact.]
    cautions:
      - {signal: ${signal}, hazard: There may be voltage., consequence: You may feel a tingle., avoid: Keep your hands away., covers: [${covers}]}
${END}`);

  test.each([
    ['notice', 'hazardous_dc_voltage', 1], ['caution', 'scalding_coolant', 1], ['warning', 'scalding_coolant', 0], ['warning', 'hazardous_dc_voltage', 0],
    ['notice', 'hot_surface', 1], ['caution', 'hot_surface', 0],
  ])('%s over %s', (signal, covers, count) => {
    expect(said(text(signal, covers), ['caution-too-weak'])).toHaveLength(count);
  });

  test('declared in the procedure or the shop, and used', () => {
    const weak = 'cautions:\n  tingle: {signal: notice, hazard: There may be voltage., consequence: Paint may chip., avoid: Keep away., covers: [hazardous_dc_voltage]}\n';
    const use = procedure(`  - step: work\n    do: [Wipe the contact.]\n    cautions: [tingle]\n${END}`);
    expect(said(use.replace('steps:', `${weak}steps:`), ['caution-too-weak'])).toEqual(["4 caution-too-weak: The caution 'tingle' says 'notice' over a hazard that asks for 'danger': shock and arc from a circuit above 60 V DC."]);
    expect(said(use, ['caution-too-weak'], { shop: `shop: Test\n${weak}` })).toHaveLength(1);
  });
});

describe('remedies and what a result refers to', () => {
  const faulty = (fault: string, refer = 'Replace the lamp.'): string => procedure(`  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        finds: worn
      - when: no
        refer: ${refer}
`, `faults:\n  worn: ${fault}\n`);

  test('a remedy needs the caution of its work, and the fix gives it', () => {
    const text = faulty('{title: Worn, remedy: Remove the radiator cap.}');
    expect(said(text, SAFETY)).toEqual(["4 missing-caution: The remedy of 'worn' has a hazard without a caution: hot coolant and steam."]);
    const mended = fixed(text, 'missing-caution') ?? '';
    expect(mended).toContain('worn: {title: Worn, cautions: [scalding_coolant], remedy: Remove the radiator cap.}');
    expect(said(mended, [...SAFETY, 'unused-name', 'unknown-key'])).toEqual([]);
    const block = text.replace('{title: Worn, remedy: Remove the radiator cap.}', '\n    title: Worn\n    remedy: Remove the radiator cap.');
    expect(fixed(block, 'missing-caution')).toContain('    title: Worn\n    cautions: [scalding_coolant]\n    remedy: Remove');
  });

  test('once before is enough where the hazard says so', () => {
    const text = faulty('{title: Worn, remedy: Drain the fuel.}');
    expect(said(text, SAFETY)).toHaveLength(1);
    expect(said(text.replace('  - step: look\n', '  - step: look\n    cautions: [fuel_fire]\n'), SAFETY)).toEqual([]);
    expect(said(faulty('{title: Worn, remedy: Remove the radiator cap.}').replace('  - step: look\n', '  - step: look\n    cautions: [scalding_coolant]\n'), SAFETY)).toHaveLength(1);
  });

  test('and the qualified person', () => {
    const text = faulty('{title: Worn, remedy: Recover the refrigerant., cautions: [refrigerant_release]}');
    expect(said(text, SAFETY)).toEqual([
      "4 qualified-person: The remedy of 'worn' needs a person who is qualified (Certified technician for vehicle air conditioning), and nothing says so.",
    ]);
    expect(said(fixed(text, 'qualified-person') ?? '', SAFETY)).toEqual([]);
    expect(said(text.replace('title: Test', 'title: Test\nqualified: refrigerant'), SAFETY)).toEqual([]);
  });

  test('a text that a result refers to is work at its step', () => {
    const text = faulty('{title: Worn, remedy: Replace it.}', 'Remove the lock. Measure at the live terminals.');
    expect(said(text, SAFETY)).toEqual([
      "12 missing-caution: 'look' has a hazard without a caution: shock and arc from a circuit above 30 V AC.",
      expect.stringContaining("12 qualified-person: 'look' needs a person who is qualified"),
    ]);
    expect(said(text.replace('  - step: look\n', '  - step: look\n    cautions: [mains_voltage]\n    qualified: [electrical]\n'), SAFETY)).toEqual([]);
  });

  test('the cautions of a remedy are held to their form, and names in them are known', () => {
    const text = faulty('{title: Worn, remedy: Replace it., cautions: [no_such]}');
    expect(said(text, ['unknown-name'])).toHaveLength(1);
    const written = faulty('{title: Worn, remedy: Replace it., cautions: {signal: notice, hazard: It is heavy., consequence: It will kill., avoid: Keep away., covers: [raised_load]}}');
    expect(said(written, ['caution-form', 'caution-too-weak']).map((line) => line.split(':')[0])).toEqual(['4 caution-form', '4 caution-too-weak']);
  });
});
