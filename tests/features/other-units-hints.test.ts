/** Quantities in the other system, as hints beside the text and as hover over it. */
import { describe, expect, it } from 'vitest';
import { hoverAt } from '../../server/src/features/hover.ts';
import { otherUnitHints } from '../../server/src/features/other-units-hints.ts';
import { quantityHover } from '../../server/src/features/quantity-hover.ts';
import { DEPOT, fixture } from './fixture.ts';

/** The hints of a text, each as the words it stands behind and its label. */
function hintsOf(text: string): string[] {
  const { analysis } = fixture(text + DEPOT);
  return otherUnitHints(analysis, { start: 0, end: analysis.text.length })
    .map(({ offset, label }) => `${/\S*(?: \S+)?$/.exec(analysis.text.slice(0, offset))?.[0] ?? ''} ${label}`);
}

const says = (sentence: string): string[] => hintsOf(`procedure: lift\nsteps:\n  - step: one\n    do:\n      - '${sentence.replaceAll("'", "''")}'\n`);
const measured = (lines: string): string[] => hintsOf(`procedure: lift\nsteps:\n  - step: one\n${lines}\n`);

describe('hints in the other system', () => {
  it.each([
    ['Torque to 35 N·m.', ['35 N·m ≈ 25.8 lb·ft']],
    ['Torque to 85 lb·ft.', ['85 lb·ft ≈ 115 N·m']],
    ['Torque to 35 ± 5 N·m.', ['5 N·m ≈ 25.8 ± 3.7 lb·ft']],
    ['Torque to 35 N·m ± 5 %.', ['5 % ≈ 25.8 lb·ft ± 5 %']],
    ['Set 18–26 N·m.', ['18–26 N·m ≈ 13.3 to 19.2 lb·ft']],
    ['Keep it between 4 bar and 6 bar.', ['6 bar ≈ 58 to 87 psi']],
    ['Warm it to 80 °C.', ['80 °C = 176 °F']],
    ['Warm it to 82 °C ± 2 °C.', ['2 °C = 179.6 ± 3.6 °F']],
    // A change is a difference: 10 °C is 18 of Fahrenheit, not 50 °F.
    ['It rises by 10 °C.', ['10 °C = 18 Δ°F']],
    ['Both sides are within 5 °C of each other.', ['5 °C = 9 Δ°F']],
    ['It is 15 °C above ambient.', ['15 °C = 27 Δ°F']],
    ['A difference of more than 20 °F means a blockage.', ['20 °F ≈ 11.1 K']],
    ['Below -40 °C.', ['-40 °C = -40 °F']],
    ['Cut off 7/16 in.', ['7/16 in ≈ 11.1 mm']],
    ['Pull 25 inHg vac.', ['inHg vac ≈ 85 kPa vac']],
    ['Use 2/0 AWG cable.', []],
    ['The lead is 2/0 AWG.', ['2/0 AWG ≈ 67.4 mm²']],
  ])('%s', (sentence, expected) => expect(says(sentence)).toEqual(expected));

  it.each([
    // Both systems use the unit.
    'Apply 12 V for 5 s.', 'At 1800 rpm and 50 %.', 'The lamp takes 55 W.', 'Use 35 mm² of copper.', 'It has 90 ohm.', 'A 7.5 kW motor.',
    // The writer gives both.
    'Torque 35 N·m (26 lb·ft).', 'Set 30 psi/200 kPa.', 'Warm it to 20 °C (68 °F).', 'Set 18–26 N·m (13–19 lb·ft).',
    // A size by name is not converted.
    'Use a 10 mm socket.', 'Use a 1/2" drive.', 'Fit a 3 in. hose.', 'Use a 10-mm spanner.',
    // It could mean several things, or nothing.
    'Fill 5 gal.', 'Put 2 in the box.', 'Use diagram WD-7 of 2026-10-30.',
  ])('none at: %s', (sentence) => expect(says(sentence)).toEqual([]));

  it('reads bands, with the readings of differences as differences', () => {
    expect(measured('    measure: pressure\n    results:\n      - when: at least 180 bar\n      - when: between 20 and 25 inHg')).toEqual(['180 bar ≈ 2610 psi', '25 inHg ≈ 68 to 85 kPa']);
    expect(measured('    measure: temperature\n    results:\n      - when: at least 80 °C')).toEqual(['80 °C = 176 °F']);
    expect(measured('    measure: temperature_difference\n    results:\n      - when: at most 5 °C\n        says: It stays at 80 °C.')).toEqual(['5 °C = 9 Δ°F', '80 °C = 176 °F']);
    expect(measured('    measure: temperature\n    at_each: [a, b]\n    judge: spread\n    results:\n      - when: at most 5 °C')).toEqual(['5 °C = 9 Δ°F']);
  });

  it('takes a resolution and an accuracy as amounts', () => {
    const shop = 'shop: Brackwater depot\ninstruments:\n  probe: {title: Probe, measures: {temperature: {up_to: 150 °C, resolution: 0.5 °C, accuracy: 2 °C}}}\n';
    const { analysis } = fixture(`==> shop.yaml\n${shop}`);
    const labels = otherUnitHints(analysis, { start: 0, end: shop.length }).map(({ label }) => label);
    expect(labels).toEqual(['= 302 °F', '= 0.9 Δ°F', '= 3.6 Δ°F']);
  });

  it('speaks of what lies in the range alone, and says more in its tooltip', () => {
    const { analysis } = fixture(`procedure: lift\nsteps:\n  - step: one\n    do:\n      - Set 8 bar.\n      - Set 9 bar.\n${DEPOT}`);
    const from = analysis.text.indexOf('Set 9');
    const hints = otherUnitHints(analysis, { start: from, end: from + 20 });
    expect(hints).toEqual([{ offset: from + 'Set 9 bar'.length, label: '≈ 131 psi', tooltip: 'Rounded to the figures written. 9 bar is 130.534 psi. What is written is what counts.' }]);
  });

  it('stands behind the quantity in folded and quoted text', () => {
    const text = 'procedure: lift\nsteps:\n  - step: one\n    text: >\n      Torque the nuts\n      to 35 N·m,\n      then wait.\n';
    const { analysis } = fixture(text + DEPOT);
    const [hint] = otherUnitHints(analysis, { start: 0, end: text.length });
    expect(text.slice(0, hint?.offset)).toMatch(/to 35 N·m$/);
  });

  it('takes half-typed and empty files', () => {
    for (const text of ['', 'steps:', 'procedure: x\nsteps:\n  - do: [Set 8 b', 'a: {b: 5 bar, c', '5 bar', '- 5 bar\n-']) {
      const { analysis } = fixture(`==> main.procedure.yaml\n${text || '\n'}`);
      expect(() => otherUnitHints(analysis, { start: 0, end: text.length })).not.toThrow();
    }
  });
});

describe('hover over a quantity', () => {
  const hover = (line: string): string | undefined => {
    const { analysis, offset } = fixture(`procedure: lift\nsteps:\n  - step: one\n    do:\n      - '${line}'\n${DEPOT}`);
    return quantityHover(analysis, offset)?.markdown;
  };

  it('gives the other units of its kind to the significance written', () => {
    expect(hover('Torque to 35 $0N·m.')).toBe('**35 N·m**, a torque\n\n≈ 25.8 lb·ft\n\n≈ 310 lb·in\n\nUCUM: `N.m`');
    expect(hover('Set 1$080 bar.')).toBe('**180 bar**, a pressure\n\n= 18000 kPa\n\n= 18.0 MPa\n\n≈ 2610 psi\n\n≈ 5320 inHg\n\nUCUM: `bar`');
  });

  it('takes a tolerance as a whole, and a change as a difference', () => {
    expect(hover('Torque to 35 ± 5$0 N·m.')).toMatch(/^\*\*35 ± 5 N·m\*\*, a torque\n\n≈ 25\.8 ± 3\.7 lb·ft/);
    expect(hover('It rises by 10$0 °C.')).toBe('**10 °C**, a temperature difference\n\n= 18 Δ°F\n\nUCUM: `K`');
  });

  it('says the class of a voltage, and how far to keep away', () => {
    expect(hover('Apply 24$0 V.')).toBe('**24 V**, a voltage\n\nUCUM: `V`');
    expect(hover('It carries 400$0 V DC.')).toContain('Voltage class B as DC. *From: ISO 6469-3, UN R100 (from memory)*');
    // 1 ft is 0.3048 m: a distance to keep is never rounded down.
    expect(hover('It carries 480$0 V AC.')).toContain('a qualified person keeps 0.31 m away from exposed live parts');
  });

  it('finds nothing beside a quantity', () => expect(hover('Torque$0 to 35 N·m.')).toBeUndefined());
});

describe('hover over an instrument', () => {
  it.each([
    ['number: M-12, calibrated_until: 2027-03-01, ', 'Calibrated until 2027-03-01 (M-12)'],
    ['numbers: {M-12: 2027-03-01, M-14: 2026-01-31}, ', 'Calibrated until 2027-03-01 (M-12), 2026-01-31 (M-14)'],
    ['calibrated_until: 2027-03-01, ', 'Calibrated until 2027-03-01'],
  ])('says until when it is calibrated: %s', (calibration, says) => {
    const shop = `shop: Brackwater depot\ninstruments:\n  probe: {title: Probe, ${calibration}measures: {temperature: {up_to: 150 °C}}}\n`;
    const { workspace, analysis, offset } = fixture(`procedure: lift\nsteps:\n  - step: one\n    measure: temperature\n    with: pro$0be\n==> shop.yaml\n${shop}`);
    expect(hoverAt(workspace, analysis, offset)?.markdown.endsWith(says)).toBe(true);
  });
});

describe('hover over a limit', () => {
  const limit = (lines: string): string | undefined => {
    const { analysis, offset } = fixture(`procedure: lift\nsteps:\n  - step: one\n    measure: dc_voltage\n${lines}\n${DEPOT}`);
    return quantityHover(analysis, offset)?.markdown;
  };

  it('says which readings the instrument cannot tell from it', () => {
    // 12.60 V at ±(0.5 % + 2 counts of 0.01 V): a = 0.083 V, U = 2a/√3 = 0.096 V (JCGM 100, computed).
    expect(limit('    with: multimeter\n    results:\n      - when: at least 12.6$00 V')).toContain(
      'Digital multimeter reads this to ±0.096 V (±(0.5 % + 2 counts), k = 2): too close to call from 12.51 V to 12.69 V.');
  });

  it.each([
    ['no instrument', '    results:\n      - when: at least 12.6$00 V'], ['a lamp', '    with: test_lamp\n    results:\n      - when: at least 12.6$00 V'],
    ['another kind', '    with: multimeter\n    results:\n      - when: at least 5$0 ohm'], ['prose', '    with: multimeter\n    text: About 12.6$00 V.'],
  ])('says nothing of it with %s', (_, lines) => expect(limit(lines)).not.toContain('too close'));
});
