/** The checks on quantities, on steps as workshops write them. */
import { describe, expect, test } from 'vitest';
import { fixed, said } from './said.ts';

const QUANTITY_CHECKS = [
  'unit-missing', 'unit-unknown', 'unit-ambiguous', 'unit-mismatch', 'scale-slip', 'implausible-limit', 'instrument-cannot-read', 'beyond-range',
  'resolution-too-coarse', 'uncertain-verdict', 'paired-units-disagree', 'text-disagrees',
];

const SHOP = `shop: Workshop
instruments:
  multimeter:
    title: Digital multimeter
    measures:
      dc_voltage: {up_to: 600 V, resolution: 0.01 V, accuracy: 0.5 % + 2 counts}
      resistance: {up_to: 40 Mohm, resolution: 0.1 ohm, accuracy: 0.9 % + 3 counts}
  test_lamp: {title: Test lamp, shows: {dc_voltage: [lit, dark]}}
  gauge: {title: Hydraulic gauge, measures: {pressure: {up_to: 250 bar, resolution: 5 bar, accuracy: 1 %}}}
  wrench: {title: Torque wrench, measures: {torque: {from: 100 N·m, up_to: 1000 N·m, resolution: 1 N·m, accuracy: 2 %}}}
  thermometer: {title: Thermometer, measures: {temperature: {from: -30 °C, up_to: 400 °C, resolution: 0.1 °C, accuracy: 1 °C}}}
values:
  full_rest: {is: 25.3 V, from: Battery handbook}
`;

/** One step that measures; `results` are bands, the first passes. */
function measuring(step: string, bands: readonly string[], before = ''): string {
  const results = bands.map((band, index) => `      - when: ${band}\n        ${index === 0 ? 'passes: true' : 'refer: Look for the cause.'}\n`).join('');
  return `procedure: test\ntitle: Test\n${before}steps:\n  - step: reading\n${step.split('\n').map((line) => `    ${line}\n`).join('')}    results:\n${results}`;
}

function found(step: string, bands: readonly string[], before = ''): string[] {
  return said(measuring(step, bands, before), QUANTITY_CHECKS, { shop: SHOP }).map((line) => line.replace(/^\d+ /u, ''));
}

const CIRCUIT = 'circuits:\n  feed: {nominal: 24 V}\n';
const TWELVE = 'circuits:\n  feed: {nominal: 12 V}\n';

describe('units and kinds', () => {
  test('a limit without a unit is missing it once, and is no mismatch', () => {
    expect(found('measure: dc_voltage', ['at least 12.4', 'otherwise'])).toEqual(['unit-missing: The limit 12.4 has no unit.']);
  });

  test('the fix writes the usual unit', () => {
    expect(fixed(measuring('measure: dc_voltage', ['at least 12.4', 'otherwise']), 'unit-missing')).toContain('when: at least 12.4 V\n');
  });

  test.each([
    ['resistance', 'at least 18 V', 'unit-mismatch: The limit 18 V is a voltage, but resistance is judged.'],
    ['torque', 'at least 35 J', 'unit-mismatch: The limit 35 J is an energy, but torque is judged.'],
    ['temperature_difference', 'at most 12 °C', 'unit-mismatch: The limit 12 °C is a temperature, but temperature difference is judged.'],
    ['temperature', 'at most 12 Δ°C', 'unit-mismatch: The limit 12 Δ°C is a temperature difference, but temperature is judged.'],
    ['dc_voltage', 'at least 24 V AC', 'unit-mismatch: The limit 24 V AC does not fit DC voltage.'],
  ])('%s %s', (quantity, band, message) => {
    expect(found(`measure: ${quantity}`, [band, 'otherwise'])).toEqual([message]);
  });

  test('gauge and absolute pressure in one step', () => {
    expect(found('measure: pressure', ['at least 30 psi gauge', 'below 30 psi gauge and above 20 psi abs', 'otherwise']).filter((line) => line.startsWith('unit-mismatch'))).toHaveLength(1);
  });

  test('every limit of another kind is one mistake: what is measured', () => {
    expect(found('measure: dc_current', ['at least 27 V', 'below 27 V'])).toEqual(["unit-mismatch: 'reading' measures DC current, and its limit is 27 V."]);
  });

  test('a range and an expression of another kind', () => {
    expect(found('measure: dc_voltage\nwith: multimeter\nrange: 60 A', ['at least 12 V', 'otherwise'])).toEqual(['unit-mismatch: The range 60 A is a current, but DC voltage is read.']);
    const text = `procedure: test\ntitle: Test\nsteps:\n  - step: supply\n    measure: dc_voltage\n  - step: judge\n    decide: supply - 5 A\n    results:\n      - when: at least 1 V\n        passes: true\n      - when: otherwise\n        refer: Test.\n`;
    expect(said(text, QUANTITY_CHECKS)).toEqual(['7 unit-mismatch: A voltage and a current cannot be subtracted.']);
  });

  test('the limits of a decide are of the kind of its expression', () => {
    const text = `procedure: test\ntitle: Test\nsteps:\n  - step: supply\n    measure: dc_voltage\n  - step: judge\n    decide: supply\n    results:\n      - when: at least 18 ohm\n        passes: true\n      - when: otherwise\n        refer: Test.\n`;
    expect(said(text, QUANTITY_CHECKS)).toEqual(['9 unit-mismatch: The limit 18 ohm is a resistance, but a voltage is judged.']);
  });

  test('an instrument of the shop that reads volts in amperes is reported where it is used', () => {
    const shop = 'shop: Workshop\ninstruments:\n  meter: {title: Meter, measures: {dc_voltage: {up_to: 600 A}}}\n';
    expect(said(measuring('measure: dc_voltage\nwith: meter', ['at least 12 V', 'otherwise']), QUANTITY_CHECKS, { shop }))
      .toEqual(['6 unit-mismatch: Meter reads DC voltage, and its `up_to` is 600 A.']);
  });
});

describe('the size of a limit', () => {
  test.each([
    ['a prefix lost on both limits', ['at most 400 V', 'above 400 V'], CIRCUIT, 'scale-slip: The limit 400 V is 17 times the voltage of its circuit: feed has 24 V.'],
    ['a point lost', ['at least 126 V', 'below 126 V'], TWELVE, 'scale-slip: The limit 126 V is 11 times the voltage of its circuit: feed has 12 V.'],
    ['millivolt for volt', ['at least 12.4 mV', 'below 12.4 mV'], TWELVE, 'scale-slip: The limit 12.4 mV is a thousandth of what its circuit has: feed has 12 V.'],
    ['far above the circuit', ['at most 30 V', 'above 30 V'], TWELVE, 'implausible-limit: The limit 30 V is far above the 12 V of feed.'],
  ])('%s', (_title, bands, circuits, message) => {
    expect(found('measure: dc_voltage\ncircuit: feed', bands, circuits)).toEqual([message]);
  });

  test('bounds of one step three decades apart', () => {
    expect(found('measure: dc_voltage', ['at most 500 mV', 'above 500 V', 'otherwise'])).toEqual(['scale-slip: The limits 500 mV and 500 V of one step lie 1000 times apart.']);
  });

  test.each([
    ['a voltage drop in millivolt on a 24 V circuit', 'measure: dc_voltage\ncircuit: feed', ['at most 25 mV', 'above 25 mV'], CIRCUIT],
    ['a charging voltage above the nominal one', 'measure: dc_voltage\ncircuit: feed', ['between 27 V and 29.4 V', 'otherwise'], CIRCUIT],
    ['continuity with an open circuit in megohm', 'measure: resistance', ['at most 2 ohm', 'above 2 ohm and below 1 Mohm', 'at least 1 Mohm'], ''],
    ['a pressure in psi on a gauge in bar', 'measure: pressure\nwith: gauge', ['at least 2000 psi', 'below 2000 psi'], ''],
    ['a frost limit', 'measure: temperature\nwith: thermometer', ['at most -20 °C', 'above -20 °C'], ''],
    ['zero', 'measure: dc_voltage\nwith: multimeter', ['above 0 V', 'at most 0 V'], ''],
    ['millivolt on a display in hundredths of a volt', 'measure: dc_voltage\nwith: multimeter', ['at most 450 mV', 'above 450 mV'], ''],
    ['a value of the shop', 'measure: dc_voltage\nwith: multimeter', ['at least full_rest - 0.3 V', 'below full_rest - 0.3 V'], ''],
    ['a wheel torque', 'measure: torque\nwith: wrench', ['at least 600 N·m', 'below 600 N·m'], ''],
  ])('silent: %s', (_title, step, bands, before) => {
    expect(found(step, bands, before)).toEqual([]);
  });

  test.each([
    ['duty_cycle', ['at most 120 %', 'above 120 %'], 'No duty cycle is above 100 %, and the limit is 120 %.'],
    ['temperature', ['at least -300 °C', 'otherwise'], 'The limit -300 °C is below absolute zero.'],
    ['temperature', ['at least 2700 °C', 'otherwise'], 'A temperature of 2700 °C does not come up in a workshop.'],
    ['vacuum', ['at least 3 bar', 'otherwise'], 'A vacuum of 3 bar is deeper than none: the air itself has about 1 bar.'],
    ['resistance', ['between -5 ohm and 10 ohm', 'otherwise'], 'No resistance is below zero, and the limit is -5 ohm.'],
    ['count', ['at most 2.5', 'above 2.5'], 'A count is a whole number, and the limit is 2.5.'],
  ])('implausible: %s %s', (quantity, bands, message) => {
    expect(found(`measure: ${quantity}`, bands)).toEqual([`implausible-limit: ${message}`]);
  });

  test('a result that no reading can meet has its own finding, and the limit none', () => {
    const text = measuring('measure: resistance', ['above 10 ohm', 'below -5 ohm', 'otherwise']);
    expect(said(text, [...QUANTITY_CHECKS, 'result-never-met'])).toEqual(["9 result-never-met: No reading can select the result 'below -5 ohm' of 'reading'."]);
  });

  test.each([
    ['beyond the range set', 'measure: dc_voltage\nwith: multimeter\nrange: 6 V', ['at least 12.4 V', 'below 12.4 V'], 'beyond-range: The limit 12.4 V is beyond the range of 6 V that the step sets.'],
    ['beyond the instrument', 'measure: pressure\nwith: gauge', ['at least 300 bar', 'below 300 bar'], 'beyond-range: The limit 300 bar is more than Hydraulic gauge reads: up to 250 bar.'],
    ['below the instrument', 'measure: torque\nwith: wrench', ['at least 35 N·m', 'below 35 N·m'], 'beyond-range: The limit 35 N·m is less than Torque wrench reads: from 100 N·m.'],
    ['between steps of the display', 'measure: pressure\nwith: gauge', ['at least 182 bar', 'below 182 bar'], 'resolution-too-coarse: The limit 182 bar lies between two steps of the display: Hydraulic gauge shows steps of 5 bar.'],
    // facts.md F7: 0.5 V at 200 A is 2.5 mΩ, which a meter with steps of 0.1 Ω cannot see.
    ['2.5 mΩ on an ohmmeter', 'measure: resistance\nwith: multimeter', ['at most 2.5 mohm', 'above 2.5 mohm'], 'resolution-too-coarse: The limit 2.5 mohm lies between two steps of the display: Digital multimeter shows steps of 0.1 ohm.'],
  ])('%s', (_title, step, bands, message) => {
    expect(found(step, bands)).toEqual([message]);
  });

  test('a fact of one asset is beyond the gauge', () => {
    const text = measuring('measure: pressure\nwith: gauge', ['at least relief', 'below relief'], 'applies_to: {equipment: lift}\nfacts:\n  relief: {quantity: pressure, from: Data plate}\n');
    const files = { 'assets.yaml': 'assets:\n  TL-03: {equipment: lift, relief: 180 bar}\n  TL-09: {equipment: lift, relief: 290 bar}\n  GR-01: {equipment: gritter, relief: 400 bar}\n' };
    expect(said(text, QUANTITY_CHECKS, { shop: SHOP, files })).toEqual(['11 beyond-range: The limit relief (290 bar on TL-09) is more than Hydraulic gauge reads: up to 250 bar.']);
  });

  test('accuracy against tolerance: JCGM 106 ratio of four to one', () => {
    // ±(1 % of 100 bar) = 1 bar against half a width of 5 bar: 20 %, against 2.5 bar: 40 %.
    expect(found('measure: pressure\nwith: gauge', ['between 90 bar and 100 bar', 'otherwise'])).toEqual([]);
    expect(found('measure: pressure\nwith: gauge', ['between 95 bar and 100 bar', 'otherwise'])).toEqual(['uncertain-verdict: Hydraulic gauge may be off by 1.0 bar here: 40 % of the tolerance.']);
  });

  test('a thermometer of ±1 °C and four kelvin between the limits', () => {
    expect(found('measure: temperature\nwith: thermometer', ['between 80 °C and 84 °C', 'otherwise'])).toEqual(['uncertain-verdict: Thermometer may be off by 1.0 K here: 50 % of the tolerance.']);
    expect(found('measure: temperature\nwith: thermometer', ['between 70 °C and 90 °C', 'otherwise'])).toEqual([]);
  });

  test('a slip that leaves a gap is said once, by the gap', () => {
    const text = measuring('measure: dc_voltage\ncircuit: feed', ['at most 400 mV', 'above 400 V'], CIRCUIT);
    expect(said(text, [...QUANTITY_CHECKS, 'reading-gap', 'reading-overlap'])).toEqual(["9 reading-gap: 'reading' has no result for a reading above 400 mV and at most 400 V."]);
  });

  test('the fix of a slip changes every limit of the step that has it', () => {
    const after = fixed(measuring('measure: dc_voltage\ncircuit: feed', ['at most 400 V', 'above 400 V'], CIRCUIT), 'scale-slip');
    expect(after).toContain('when: at most 400 mV\n');
    expect(after).toContain('when: above 400 mV\n');
    expect(fixed(measuring('measure: dc_voltage\ncircuit: feed', ['at least 126 V', 'below 126 V'], TWELVE), 'scale-slip')).toContain('when: at least 12.6 V\n');
  });
});

describe('bands that do not say what they judge', () => {
  const clear = (step: string, bands: readonly string[]): string[] => said(measuring(step, bands), ['band-unclear']).map((line) => line.replace(/^\d+ /u, ''));

  test('no point, a point too many, a limit without a value', () => {
    expect(clear('measure: dc_voltage\nat_each: [fuse_in, fuse_out]', ['at least 20 V', 'below 20 V'])).toEqual(["band-unclear: This condition of 'reading' does not say which of its points it judges."]);
    expect(clear('measure: dc_voltage\nat_each: [fuse_in, fuse_out]\njudge: lowest', ['at least 20 V at fuse_in', 'otherwise'])).toEqual(['band-unclear: The band names the point fuse_in, but one value is judged.']);
    expect(clear('measure: dc_voltage', ['at least 20 V / 0', 'otherwise'])).toEqual(['band-unclear: The expression divides by zero.']);
    expect(clear('measure: dc_voltage\nat_each: [fuse_in, fuse_out]', ['at least 20 V at fuse_in and at least 20 V at fuse_out', 'otherwise'])).toEqual([]);
  });
});

describe('instruments', () => {
  test('the fix takes an instrument that reads it', () => {
    const shop = `${SHOP.replace('values:', '  insulation_tester: {title: Insulation tester, measures: {insulation_resistance: {up_to: 2 Gohm}}}\nvalues:')}`;
    expect(fixed(measuring('measure: insulation_resistance\nwith: multimeter', ['at least 1 Mohm', 'otherwise']), 'instrument-cannot-read', { shop })).toContain('with: insulation_tester\n');
  });

  test.each([
    ['insulation with a multimeter', 'measure: insulation_resistance\nwith: multimeter', ['at least 1 Mohm', 'otherwise'], ['instrument-cannot-read: Digital multimeter does not read insulation resistance.']],
    ['a number from a lamp', 'measure: dc_voltage\nwith: test_lamp', ['at least 20 V', 'otherwise'], ['instrument-cannot-read: Test lamp shows lit or dark, no number.']],
    ['a word that the lamp does not show', 'measure: dc_voltage\nwith: test_lamp', ['glows', 'otherwise'], ["instrument-cannot-read: Test lamp does not show 'glows'."]],
    ['continuity with the resistance function', 'measure: continuity\nwith: multimeter', ['at most 2 ohm', 'above 2 ohm'], []],
    ['a lamp', 'measure: dc_voltage\nwith: test_lamp', ['lit', 'dark'], []],
  ])('%s', (_title, step, bands, messages) => {
    expect(found(step, bands)).toEqual(messages);
  });
});

describe('quantities in texts', () => {
  const withText = (text: string, bands: readonly string[] = ['at least 12.6 V', 'below 12.6 V']): string[] => found(`measure: dc_voltage\nwith: multimeter\nrange: 60 V\ntext: ${text}`, bands);

  test.each([
    ['The voltage must be at least 12.4 V.', 'text-disagrees: The text says 12.4 V, and the limit of the step is 12.6 V.'],
    ['Check that the voltage is at least 12.4 V.', 'text-disagrees: The text says 12.4 V, and the limit of the step is 12.6 V.'],
    ['It should read between 12.0 and 12.6 V.', 'text-disagrees: The text says 12.0 V, and the limit of the step is 12.6 V.'],
  ])('%s', (text, message) => expect(withText(text)).toEqual([message]));

  test.each([
    'The voltage must be at least 12.6 V.',
    'The voltage must be at least 12600 mV.',
    'Set the meter to the 60 V range.',
    'Turn the headlamps on until the voltage has fallen by 0.2 V.',
    'A 12 V battery is rested when it stood for 4 hours.',
    'Keep the engine above 1500 rpm.',
    'Use the range below 60 V.',
    'Stop the test when the voltage falls below 8 V.',
    'If it is above 15 V, switch the engine off at once.',
    'Charge the battery to at least 13.2 V first.',
  ])('silent: %s', (text) => expect(withText(text)).toEqual([]));

  test('what a result says is compared with its own limit', () => {
    const text = measuring('measure: dc_voltage', ['at least 12.6 V', 'below 12.6 V']).replace('refer:', 'says: The voltage is below 12.4 V.\n        refer:');
    expect(said(text, QUANTITY_CHECKS)).toEqual(['10 text-disagrees: The text says 12.4 V, and the limit of the result is 12.6 V.']);
  });

  test('times of the text against those of the step', () => {
    const held = measuring('measure: dc_voltage\nduring: {control: raise}\nmax_time: 5 s\ntext: Hold the control for 10 seconds.', ['at least 12 V', 'below 12 V'], 'states:\n  control: {values: [released, raise], at_start: released, held: [raise]}\n');
    expect(said(held, QUANTITY_CHECKS)).toEqual(['10 text-disagrees: The text asks for 10 seconds, and `max_time` is 5 s.']);
    expect(said(held.replace('10 seconds', '3 seconds'), QUANTITY_CHECKS)).toEqual([]);
    const waits = measuring('measure: dc_voltage\nwait: 5 min\ntext: Wait 10 minutes.', ['at least 12 V', 'below 12 V']);
    expect(said(waits, QUANTITY_CHECKS)).toEqual(['7 text-disagrees: The text asks to wait 10 minutes, and `wait` is 5 min.']);
    expect(said(waits.replace('10 minutes', '300 s'), QUANTITY_CHECKS)).toEqual([]);
    expect(said(waits.replace('10 minutes', 'at least 3 minutes'), QUANTITY_CHECKS)).toEqual([]);
  });

  // NIST SP 811 appendix B: 1 lbf·ft = 1.355818 N·m, 1 psi = 6.894757 kPa, °C = (°F - 32)/1.8.
  test.each([
    ['Tighten the nuts to 35 N·m (26 lb·ft).', []],
    ['Tighten the nuts to 600 N·m (443 lb·ft).', []],
    ['Pump the tyre up to 8 bar (116 psi).', []],
    ['Warm it to 88 °C (190 °F).', []],
    ['Rest the starter for 1 h (30 min each side).', []],
    ['Pull 5 m (50 mm for each turn) of hose off the reel.', []],
    ['Fit a fuse of 20 A / 250 mA.', []],
    ['Tighten the nuts to 35–40 N·m (26–30 lb·ft).', []],
    ['Tighten the nuts to 35–40 N·m (26–40 lb·ft).', ['paired-units-disagree: 40 N·m is 30 lb·ft, not 40 lb·ft.']],
    ['Tighten the nuts to 35 N·m (36 lb·ft).', ['paired-units-disagree: 35 N·m is 26 lb·ft, not 36 lb·ft.']],
    ['Pump the tyre up to 8 bar (161 psi).', ['paired-units-disagree: 8 bar is 116 psi, not 161 psi.']],
  ])('%s', (action, messages) => {
    const text = `procedure: test\ntitle: Test\nsteps:\n  - step: act\n    do:\n      - ${action}\n  - step: look\n    ask: Is it done?\n    results:\n      - when: yes\n        passes: true\n      - when: no\n        refer: Start again.\n`;
    expect(said(text, QUANTITY_CHECKS).map((line) => line.replace(/^\d+ /u, ''))).toEqual(messages);
  });

  test('the fix writes the converted number', () => {
    const text = 'procedure: test\ntitle: Test\nsteps:\n  - step: act\n    do: [Tighten the nuts to 35 N·m (36 lb·ft).]\n';
    expect(fixed(text, 'paired-units-disagree')).toContain('35 N·m (26 lb·ft)');
  });
});

describe('one mistake, one finding', () => {
  const BANDS = [...QUANTITY_CHECKS, 'reading-gap', 'reading-overlap', 'result-never-met', 'limits-undecided', 'band-unclear', 'wrong-kind'];

  test('limits of two kinds are not compared, where an expression is decided too', () => {
    const text = `procedure: test
title: Test
steps:
  - step: warm
    measure: temperature
  - step: cold
    measure: temperature
  - step: fall
    decide: warm - cold
    results:
      - when: above 40 °C
        passes: true
      - when: at most 40 K
        refer: Look for the cause.
`;
    expect(said(text, BANDS)).toEqual(['11 unit-mismatch: The limit 40 °C is a temperature, but a temperature difference is judged.']);
  });

  test('a judge that cannot be read may be any', () => {
    const text = measuring('measure: dc_voltage\nat_each: [left, right]\njudge: maximum', ['at most 0.3 V', 'above 0.3 V']);
    expect(said(text, BANDS)).toHaveLength(1);
  });

  test('a range below the voltage of the circuit is reported once, at the range', () => {
    expect(said(measuring('measure: dc_voltage\ncircuit: feed\nrange: 6 V', ['at least 22 V', 'below 22 V'], CIRCUIT), BANDS))
      .toEqual(['9 beyond-range: The range 6 V is below the 24 V of feed, and the limit 22 V is beyond it.']);
    // A drop is read on a small range.
    expect(found('measure: dc_voltage\ncircuit: feed\nrange: 6 V', ['at most 0.4 V', 'above 0.4 V'], CIRCUIT)).toEqual([]);
  });
});

describe('slips', () => {
  test('the figure of a supply in another prefix', () => {
    expect(found('measure: dc_voltage\ncircuit: feed', ['at least 20 mV', 'below 20 mV'], CIRCUIT)).toEqual(['scale-slip: The limit 20 mV is a thousandth of what its circuit has: feed has 24 V.']);
  });

  test.each([
    ['a drop has an upper limit', ['at most 20 mV', 'above 20 mV'], ''],
    ['a drop is read on a small range', ['at least 20 mV', 'below 20 mV'], '\nrange: 200 mV'],
    ['a shunt', ['at least 75 mV', 'below 75 mV'], ''],
  ])('%s', (_, bands, more) => {
    expect(found(`measure: dc_voltage\ncircuit: feed${more}`, bands, CIRCUIT)).toEqual([]);
  });

  test('a relative density in thousands', () => {
    const text = measuring('measure: relative_density', ['at least 1250', 'below 1250']);
    expect(said(text, QUANTITY_CHECKS)).toEqual(['7 implausible-limit: A relative density of 1250 does not come up: water has 1, and no liquid of a workshop has 3.']);
    expect(fixed(text, 'implausible-limit')).toContain('at least 1.250\n');
    expect(found('measure: relative_density', ['at least 1.25', 'below 1.25'])).toEqual([]);
  });
});

describe('limits that a text states', () => {
  test.each([
    ['at least 500 lb·ft', 'torque', 'text: Set the wrench to 475 lb·ft. Pull evenly.', '475 lb·ft'],
    ['at most 42 mm', 'length', 'note: The jaw is worn out when the opening is above 45 mm.', '45 mm'],
    ['at most 42 mm', 'length', 'text: Replace the jaw if it is over 45 mm.', '45 mm'],
    ['at least 21 V', 'dc_voltage', 'text: 12 V or more is right.', '12 V'],
    ['at least 21 V', 'dc_voltage', 'note: It has 12 V minimum.', '12 V'],
  ])('%s: %s %s', (band, quantity, text, saidThere) => {
    expect(found(`measure: ${quantity}\n${text}`, [band, 'otherwise'])).toEqual([`text-disagrees: The text says ${saidThere}, and the limit of the step is ${band.replace('at least ', '').replace('at most ', '')}.`]);
  });

  test.each([
    ['at least 500 lb·ft', 'torque', 'text: Set the wrench to 500 lb·ft (678 N·m). Pull evenly.'],
    ['between 440 N·m and 460 N·m', 'torque', 'text: Set the wrench to 450 N·m.'],
    ['at least 500 lb·ft', 'torque', 'text: Set the stop of the press to 300 lb·ft.'],
    ['at least 21 V', 'dc_voltage', 'text: Set the meter to 60 V.'],
    ['at most 95 °C', 'temperature', 'note: The thermostat opens when the coolant is above 82 °C.'],
    ['at most 95 °C', 'temperature', 'text: Stop the engine when the gauge shows over 110 °C.'],
    ['at least 21 V', 'dc_voltage', 'text: Wait until the charger shows 27 V or more.'],
    ['at least 21 V', 'dc_voltage', 'text: Charge it to 25 V or more first.'],
    ['at most 42 mm', 'length', 'note: The jaw is worn out when the opening is above 42 mm.'],
  ])('says nothing of %s: %s %s', (band, quantity, text) => {
    expect(found(`measure: ${quantity}\n${text}`, [band, 'otherwise'])).toEqual([]);
  });
});
