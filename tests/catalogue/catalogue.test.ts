/** The built-in catalogue: complete cautions, every hazard covered and sourced, triggers that name what exists. */
import { describe, expect, it } from 'vitest';
import { loadCatalogue } from '../../server/src/catalogue/load-catalogue.ts';
import type { Hazard, StateCondition } from '../../server/src/procedure/model.ts';
import { QUANTITY_WORDS } from '../../server/src/quantity/quantity-words.ts';

const catalogue = loadCatalogue();
const hazardNames = catalogue.hazards.map((hazard) => hazard.name.value);
const cautionNames = catalogue.cautions.map((caution) => caution.name.value);
const namedHazards = catalogue.hazards.map((hazard) => [hazard.name.value, hazard] as const);
const namedCautions = catalogue.cautions.map((caution) => [caution.name.value, caution] as const);
const namedStates = catalogue.states.map((state) => [state.name.value, state] as const);

describe('the built-in catalogue', () => {
  it('is read without a problem, once', () => {
    expect(catalogue.problems.map((problem) => problem.message)).toEqual([]);
    expect(loadCatalogue()).toBe(catalogue);
  });

  it('holds what a shop expects to find', () => {
    expect(catalogue.states.map((state) => state.name.value)).toEqual(expect.arrayContaining([
      'isolator', 'lockout', 'negative_lead', 'parking_brake', 'wheels', 'guard', 'engine', 'ignition', 'load', 'vehicle_support',
      'hydraulic_pressure', 'air_pressure', 'fuel_pressure', 'capacitors', 'service_disconnect', 'restraint_system', 'refrigerant',
    ]));
    expect(hazardNames).toEqual(expect.arrayContaining([
      'battery_acid', 'battery_gas', 'battery_short_circuit', 'moving_parts', 'raised_load', 'spring_energy', 'stored_pressure',
      'capacitor_charge', 'hot_surface', 'scalding_coolant', 'fuel_fire', 'refrigerant_release', 'restraint_deployment',
      'hazardous_dc_voltage', 'hazardous_ac_voltage', 'fluid_injection', 'tyre_burst', 'compressed_air', 'cranking',
    ]));
  });

  it('declares each name once', () => {
    const stateNames = catalogue.states.map((state) => state.name.value);
    const valueNames = catalogue.values.map((value) => value.name.value);
    for (const names of [hazardNames, cautionNames, stateNames, valueNames]) expect(new Set(names).size).toBe(names.length);
  });
});

describe('states of the catalogue', () => {
  it.each(namedStates)('%s speaks only of its own values', (_, state) => {
    const values = state.values.map((value) => value.value);
    expect(state.title?.value).toBeTruthy();
    expect(values.length).toBeGreaterThan(1);
    const spoken = [state.atStart, ...(state.atEnd ?? []), ...state.held, ...state.changes.map((change) => change.to)];
    for (const value of spoken) if (value) expect(values).toContain(value.value);
    // Where a value must be left at the end, the usual value at the start is one of those, so that doing nothing is safe.
    if (state.atEnd && state.atStart) expect(state.atEnd.map((value) => value.value)).toContain(state.atStart.value);
  });

  it('says for each change what to do, how long it takes, and the caution by name', () => {
    for (const change of catalogue.states.flatMap((state) => state.changes)) {
      expect(change.do.length).toBeGreaterThan(0);
      expect(change.time).toBeDefined();
      for (const use of change.cautions) expect(use.kind === 'named' && cautionNames.includes(use.name.value)).toBe(true);
    }
  });
});

describe('hazards of the catalogue', () => {
  it.each(namedHazards)('%s is titled, sourced, covered and can arise', (name, hazard) => {
    expect(hazard.title?.value).toBeTruthy();
    expect(hazard.from?.value).toBeTruthy();
    expect(catalogue.cautions.some((caution) => caution.covers.some((covered) => covered.value === name))).toBe(true);
    expect(triggerCount(hazard)).toBeGreaterThan(0);
    if (hazard.qualified) expect(catalogue.qualifications.map((one) => one.name.value)).toContain(hazard.qualified.value);
  });

  it('names only states, values and quantities that exist', () => {
    for (const hazard of catalogue.hazards) {
      for (const condition of conditionsOf(hazard)) {
        const state = catalogue.states.find((candidate) => candidate.name.value === condition.state.value);
        expect(state, `${hazard.name.value}: ${condition.state.value}`).toBeDefined();
        for (const value of condition.values) expect(state?.values.map((one) => one.value)).toContain(value.value);
      }
      for (const quantity of hazard.arisesFrom.quantities) expect(QUANTITY_WORDS).toContain(quantity.value);
    }
  });

  it('asks for a qualified person where the law or the trade does', () => {
    const qualified = catalogue.hazards.flatMap(({ name, qualified: wanted }) => (wanted ? [[name.value, wanted.value]] : []));
    expect(Object.fromEntries(qualified)).toEqual({
      refrigerant_release: 'refrigerant',
      restraint_deployment: 'restraint_systems',
      hazardous_dc_voltage: 'high_voltage',
      hazardous_ac_voltage: 'electrical',
      tyre_burst: 'tyre_service',
      confined_space: 'confined_space',
    });
  });

  // ISO 6469-3 and UN Regulation No. 100: voltage class B begins above 60 V DC and above 30 V AC rms (from memory).
  it('puts the hazardous voltages where the standards put them', () => {
    const dc = catalogue.hazards.find((hazard) => hazard.name.value === 'hazardous_dc_voltage')?.arisesFrom.dcAbove?.value;
    const ac = catalogue.hazards.find((hazard) => hazard.name.value === 'hazardous_ac_voltage')?.arisesFrom.acAbove?.value;
    expect(dc?.text).toBe('60 V');
    expect(ac?.text).toBe('30 V');
  });
});

describe('cautions of the catalogue', () => {
  // ANSI Z535.6 (from memory): signal word, hazard, consequence, avoidance.
  it.each(namedCautions)('%s is complete', (_, caution) => {
    expect(['danger', 'warning', 'caution', 'notice']).toContain(caution.signal?.value);
    expect(caution.hazard?.value).toMatch(/\.$/u);
    expect(caution.consequence?.value).toMatch(/\.$/u);
    expect(caution.avoid?.value).toMatch(/^(Keep|Do not|Stand|Stop|Point|Run|Wear|Lift)\b.*\.$/u);
    expect(caution.from?.value).toBeTruthy();
    expect(caution.covers.length).toBeGreaterThan(0);
    for (const covered of caution.covers) expect(hazardNames).toContain(covered.value);
    // No procedural step inside: MIL-STD-38784 (from memory).
    expect(caution.avoid?.value).not.toMatch(/\b(turn the|turn off|remove the|disconnect|measure|record|go to step|step)\b/iu);
  });

  // ANSI Z535.4-2007, 4.14.1 to 4.14.3: danger will, warning could, caution could injure in a minor or moderate way.
  it.each(namedCautions)('%s has the signal word of its consequence', (_, caution) => {
    const consequence = caution.consequence?.value ?? '';
    const signal = caution.signal?.value;
    if (signal === 'danger') expect(consequence).toMatch(/\bwill\b.*\b(kill|killed|death)\b/u);
    if (signal === 'warning') expect(consequence).toMatch(/\bcould\b.*\b(serious|death|blind|fatal|limb|frostbite)/u);
    if (signal === 'caution') expect(consequence).toMatch(/\bcould\b.*\b(minor|moderate)\b/u);
  });

  it('keeps sentences short: at most 25 words (ASD-STE100 Issue 9, rule 6.3)', () => {
    for (const caution of catalogue.cautions) {
      for (const text of [caution.hazard, caution.consequence, caution.avoid]) {
        const sentences = (text?.value ?? '').split(/(?<=\.)\s+/u);
        for (const sentence of sentences) expect(sentence.split(/\s+/u).length, sentence).toBeLessThanOrEqual(25);
      }
    }
  });

  it('names protection only where a person can put it on', () => {
    const known = new Set([
      'face_shield', 'safety_glasses', 'acid_gloves', 'gloves', 'fuel_gloves', 'insulating_gloves', 'apron', 'safety_shoes', 'hard_hat',
      'close_fitting_clothes', 'hearing_protection', 'respirator', 'welding_helmet',
    ]);
    for (const caution of catalogue.cautions) for (const worn of caution.wear) expect([...known]).toContain(worn.value);
  });
});

describe('values of the catalogue', () => {
  it('gives each value with its published source', () => {
    for (const value of catalogue.values) {
      expect(value.is, value.name.value).toBeDefined();
      expect(value.from?.value).toBeTruthy();
    }
  });

  // TM 5-3805-262-20 (US Army) p. 5-142; 29 CFR 393.51 and the state CDL manuals; TM 9-2320-211-20.
  it.each([
    ['battery_full_rest', '12.6 V'], ['battery_usable_rest', '12.4 V'], ['battery_half_rest', '12.2 V'], ['battery_flat_rest', '11.7 V'],
    ['cranking_ground_drop', '0.1 V'], ['cranking_cable_drop', '0.2 V'], ['air_build_up_limit', '45 s'], ['air_warning_minimum', '60 psi'],
    ['air_leak_single', '2 psi'], ['air_leak_single_applied', '3 psi'], ['air_leak_combination', '3 psi'], ['air_leak_combination_applied', '4 psi'],
    ['hazardous_voltage_dc', '60 V'], ['hazardous_voltage_ac', '30 V'],
  ])('%s is %s', (name, text) => {
    expect(catalogue.values.find((value) => value.name.value === name)?.is?.value.text).toBe(text);
  });
});

function conditionsOf(hazard: Hazard): StateCondition[] {
  const { during, states, sets } = hazard.arisesFrom;
  return [...during, ...states, ...sets].flat();
}

function triggerCount(hazard: Hazard): number {
  const { words, quantities, tools, dcAbove, acAbove } = hazard.arisesFrom;
  return conditionsOf(hazard).length + words.length + quantities.length + tools.length + (dcAbove ? 1 : 0) + (acAbove ? 1 : 0);
}
