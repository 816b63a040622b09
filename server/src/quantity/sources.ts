/**
 * The published sources that units, computations and their tests rest on: one row each, from which the page of sources is made.
 * The tests in tests/quantity/standards/ name the row whose values they check.
 */
export type SourceBasis = 'read' | 'from memory' | 'common practice, no source';

export interface QuantitySource {
  /** What tests call it. */
  readonly id: string;
  readonly source: string;
  readonly edition: string;
  /** What is checked against it. */
  readonly checks: string;
  /** How the values came here: read in the text or a verbatim copy, remembered, or without a text. */
  readonly basis: SourceBasis;
}

export const QUANTITY_SOURCES: readonly QuantitySource[] = [
  {
    id: 'nist-sp-811',
    source: 'NIST Special Publication 811, Guide for the Use of the International System of Units, appendix B',
    edition: '2008',
    checks: 'Conversion factors of inch-pound and older units',
    basis: 'from memory',
  },
  {
    id: 'exact-definitions',
    source: 'International yard and pound agreement; SI Brochure; US and imperial gallon by law',
    edition: '1959; 9th edition 2019',
    checks: 'Factors that are exact by definition',
    basis: 'from memory',
  },
  {
    id: 'si-writing',
    source: 'NIST SP 811 chapters 6 and 7; ISO 80000-1',
    edition: '2008; 2022',
    checks: 'Space before the unit, no plural, milli and mega told apart',
    basis: 'from memory',
  },
  {
    id: 'ucum',
    source: 'Unified Code for Units of Measure, ucum-essence',
    edition: '2.2 (2024-06-17)',
    checks: 'Codes of units, and that each is valid',
    basis: 'read',
  },
  {
    id: 'ucum-functional-tests',
    source: 'UCUM functional tests, as npm package ucum 0.0.7 carries them',
    edition: '2014-06-18',
    checks: 'Codes that are none are refused; codes of units that a shop writes are read; conversions between them',
    basis: 'read',
  },
  {
    id: 'ucum-library',
    source: '@lhncbc/ucum-lhc, a general-purpose UCUM library',
    edition: '7.1',
    checks: 'Random conversions in all units that both know',
    basis: 'read',
  },
  {
    id: 'mathjs-library',
    source: 'mathjs, a general-purpose mathematics library',
    edition: '15',
    checks: 'Random conversions in all units that both know',
    basis: 'read',
  },
  {
    id: 'astm-b258',
    source: 'ASTM B258, Standard nominal diameters and cross-sectional areas of AWG sizes of solid round wires',
    edition: '2018',
    checks: 'Diameters and cross-sections of wire',
    basis: 'from memory',
  },
  {
    id: 'nbs-handbook-100',
    source: 'NBS Handbook 100, Copper Wire Tables',
    edition: '1966',
    checks: 'Resistance of copper wire, ohm for 1000 ft at 20 °C',
    basis: 'from memory',
  },
  {
    id: 'iec-60028',
    source: 'IEC 60028, International standard of resistance for copper',
    edition: '1925',
    checks: 'Resistivity of copper and its temperature coefficient',
    basis: 'from memory',
  },
  {
    id: 'iso-6722',
    source: 'ISO 6722-1 (now ISO 19642), road vehicle cables',
    edition: '2011',
    checks: 'Greatest resistance of cables by cross-section: ours must lie below',
    basis: 'from memory',
  },
  {
    id: 'tm-5-3805',
    source: 'US Army TM 5-3805-262-20, battery test table, p. 5-142',
    edition: 'as reprinted',
    checks: 'State of charge from the voltage at rest',
    basis: 'read',
  },
  {
    id: 'bci-load-test',
    source: 'Battery Council International, battery service manual',
    edition: 'not known',
    checks: 'Least voltage in a load test by temperature; voltage at rest by density',
    basis: 'from memory',
  },
  {
    id: 'gum',
    source: 'JCGM 100:2008, Guide to the expression of uncertainty in measurement',
    edition: '2008',
    checks: 'Standard and expanded uncertainty of a reading',
    basis: 'from memory',
  },
  {
    id: 'jcgm-106',
    source: 'JCGM 106:2012 and ISO 14253-1:2017, decision rules',
    edition: '2012; 2017',
    checks: 'Verdicts with guard bands',
    basis: 'from memory',
  },
  {
    id: 'en-837-1',
    source: 'EN 837-1, Bourdon tube pressure gauges: accuracy classes',
    edition: '1996',
    checks: 'What an accuracy of `class 1.6` comes to',
    basis: 'from memory',
  },
  {
    id: 'astm-e29',
    source: 'ASTM E29, Using significant digits in test data',
    edition: '2022',
    checks: 'Rounding half to even',
    basis: 'from memory',
  },
  {
    id: 'iso-6469-3',
    source: 'ISO 6469-3, UN R100, FMVSS 305: electric vehicles',
    edition: '2021',
    checks: 'Voltage classes and isolation resistance',
    basis: 'from memory',
  },
  {
    id: 'cfr-1910-333',
    source: '29 CFR 1910.333(c)(3), table S-5',
    edition: 'as in force',
    checks: 'Approach distances of a qualified person, AC',
    basis: 'from memory',
  },
  {
    id: 'fmvss-121',
    source: '49 CFR 571.121 (FMVSS 121) S5.1.1 and commercial driver manuals',
    edition: 'as in force',
    checks: 'Build-up time and leak rates of air brakes',
    basis: 'from memory',
  },
  {
    id: 'cdl-manuals',
    source: 'State commercial driver manuals, air brakes (they quote the federal rules)',
    edition: 'as in force',
    checks: 'Air build-up, leakage and low-air warning, as the catalogue ships them',
    basis: 'read',
  },
  {
    id: 'tm-9-2320',
    source: 'US Army TM 9-2320-211-20, starter circuit of a 24 V truck',
    edition: 'as reprinted',
    checks: 'Voltage drops while cranking, as the catalogue ships them',
    basis: 'read',
  },
  {
    id: 'iapws-if97',
    source: 'IAPWS-IF97, industrial formulation for water and steam, tables 35 and 36',
    edition: '1997, revised 2012',
    checks: 'Boiling point of water and pressure',
    basis: 'from memory',
  },
  {
    id: 'iso-17584',
    source: 'ISO 17584 and the equation of Tillner-Roth and Baehr (1994), refrigerant R134a',
    edition: '2005',
    checks: 'Pressure and temperature of R134a at saturation',
    basis: 'from memory',
  },
  {
    id: 'coolprop',
    source: 'CoolProp, a general-purpose library of fluid properties',
    edition: '8.0',
    checks: 'Saturation pressure of R134a and of water',
    basis: 'read',
  },
  {
    id: 'standard-atmosphere',
    source: 'ISO 2533, standard atmosphere, and the definitions of gauge and absolute pressure',
    edition: '1975',
    checks: 'Gauge readings and vacuum made absolute, and back',
    basis: 'from memory',
  },
  {
    id: 'lever',
    source: 'Law of the lever',
    edition: '',
    checks: 'Torque wrench with an adapter',
    basis: 'common practice, no source',
  },
  {
    id: 'ohm',
    source: "Ohm's and Kirchhoff's laws",
    edition: '',
    checks: 'Resistors in series and parallel, power, internal resistance',
    basis: 'common practice, no source',
  },
];

export function quantitySource(id: string): QuantitySource | undefined {
  return QUANTITY_SOURCES.find((each) => each.id === id);
}
