/**
 * Further forms, as data sheets, rating plates, gauges and people put them: beyond shop-forms.test.ts. What is read is worked by hand
 * from definitions; what is refused says what it could mean.
 */
import { describe, expect, it } from 'vitest';
import { formatBand } from '../../server/src/quantity/format-band.ts';
import { formatQuantityPlain } from '../../server/src/quantity/format-quantity.ts';
import { parseBand } from '../../server/src/quantity/parse-band.ts';
import { parseQuantity } from '../../server/src/quantity/parse-quantity.ts';

/** All that is shown alike. */
const READ: Readonly<Record<string, readonly string[]>> = {
  '13.8 V': ['13,8 V', '13.8V', '13.8 Volts', '13.8 volt', '13.8\u00a0V', '13.8\u202fV', '13.8\tV', '13.8\u200bV', '13.8 v', '+13.8 V'],
  '-0.5 V': ['−0,5 V', '- 0.5 V', '–0.5 V', '-.5 V', '−.5V'],
  '12.6 V DC': ['12.6 VDC', '12.6 V dc', '12.6 V-DC', '12.6 V (DC)', '12.6 Vd.c.', '12.6 volts DC', '12.6vdc'],
  '230 V AC': ['230 VAC', '230 Vac', '230 V a.c.', '230 V rms', '230 Vrms', '230 V AC rms', '230 volts AC'],
  '5 A DC': ['5 A DC', '5 ADC', '5 Adc', '5 A d.c.', '5 amps DC'],
  '760 A': ['760 A (EN)', '760 A EN', '760 A (SAE)', '760 CCA', '760 A CCA', '760 amps'],
  '80 psi gauge': ['80 psig', '80 psi g', '80 psi(g)', '80 PSIG', '80 psi gauge', '80 psi gage', '80 psi (gauge)'],
  '80 psi abs': ['80 psia', '80 psi a', '80 psi(a)', '80 psi abs', '80 psi absolute'],
  '5 psi diff': ['5 psid', '5 psi d', '5 psi diff', '5 psi differential'],
  '80 psi': ['80 lb/in²', '80 lbs/sq.in.', '80 lb/sq. in.', '80 lbs per square inch', '80 pounds per square inch', '80 p.s.i.', '80 PSI', '80 lbf/in^2'],
  '25 inHg': ['25 inHg', '25 in Hg', '25 in.Hg', '25" Hg', '25 inches Hg', '25 inches of mercury', '25 In. Hg'],
  '20 inHg vac': ['20 inHg vac', '20 in Hg vacuum', '20 inches of vacuum', '20 in. vac', '20 inches of mercury vacuum', '20″Hg vac'],
  '10 inH2O': ['10 inH2O', '10 in. w.c.', '10" wc', '10 inches of water column', '10 inches of water', '10 in wg'],
  '2100 Pa': ['2.1e3 Pa', '2.1E3 Pa', '2,1·10³ Pa', '2.1 × 10^3 Pa', '2.1*10^3 Pa', '2.1 x 10³ Pa', '2 100 Pa'],
  '14 kgf/cm²': ['14 kg/cm²', '14 kg/cm2', '14 kgf/cm²', '14 kg/sq cm', '14 kp/cm²'],
  '0.5 in': ['½ in', '1/2 in', '1/2"', '1⁄2 in', '1/2-inch', '0.5"', '½"', '0,5 in.'],
  '1.5 in': ['1½ in', '1 ½ in', '1-1/2 in', '1 1/2 inch', '1-1/2″', '1½"'],
  '0.4375 in': ['7/16 in', '7/16in', '7/16"', '7/16 inch', '7/16-in'],
  '74.5 in': ['6\' 2½"', '6 ft 2½ in', '6′ 2 1/2″'],
  '-40 °C': ['-40 °C', '−40°C', '–40 °C', '- 40 °C', '-40ºC', '-40 ° C', '-40 deg. C', '-40 celsius', '-40 degrees Celsius', '-40 ℃'],
  '104 °F': ['104 °F', '104 degrees F', '104 degF', '104 ℉', '104 deg F'],
  '5 K': ['5 K', '5 kelvin', '5 kelvins', '5 deg K', '5 °K'],
  '5 Δ°C': ['5 Δ°C', '5 °C difference', '5 delta °C', '5 C°', '5 °C rise'],
  '1500 rpm': ['1 500 r/min', '1\u202f500 min⁻¹', '1500 min-1', '1500 1/min', '1500 U/min', '1500 RPM', '1500 r.p.m.', '1500 rev/min', '1500 revs per minute'],
  '12 US gpm': ['12 US gal/min', '12 gpm', '12 US gallons/min', '12 U.S. gallons per minute', '12 gpm (US)', '12 US gal per min'],
  '12 imp gpm': ['12 imp gal/min', '12 imp gpm', '12 UK gal/min', '12 igpm', '12 imperial gallons per minute'],
  '3 US gal': ['3 US gal', '3 U.S. gallons', '3 gallons (US)', '3 gal. US', '3 gallon US', '3 US liq gal'],
  '3 imp gal': ['3 imp gal', '3 British gallons', '3 UK gal', '3 gallons (UK)', '3 imperial gallons'],
  '5 US fl oz': ['5 US fl oz', '5 fl. oz. (US)', '5 fl oz (US)'],
  '20 %': ['20 %', '20%', '20 %RH', '20 % RH', '20 % r.h.', '20 % relative humidity', '20 pct', '20 percent'],
  '75 %': ['75 % duty', '75% duty cycle', '75 %duty', '75 percent duty'],
  '1 MΩ': ['1 MΩ', '1 Mohm', '1 megohm', '1 Meg', '1 Meg ohm', '1 M Ω', '1 megaohm', '1 meg-ohm'],
  '4.7 kΩ': ['4.7 kΩ', '4,7 kohm', '4.7 k ohms', '4.7 Kohm', '4.7 kilohms', '4.7 KΩ'],
  '35 N·m': ['35 N·m', '35 N m', '35 Nm', '35 N-m', '35 N.m', '35 N*m', '35 newton metres', '35 Newton-meters', '35 N⋅m', '35 N•m'],
  '5 daN·m': ['5 daN·m', '5 daNm', '5 daN m'],
  '85 lb·ft': ['85 lb·ft', '85 lb-ft', '85 ft-lb', '85 ft·lbf', '85 ft.-lb.', '85 ft. lbs.', '85 ftlb', '85 lbf ft', '85 foot pounds', '85 pound-feet'],
  '120 lb·in': ['120 lb·in', '120 in-lbs', '120 in. lb.', '120 inch-pounds', '120 lbf.in', '120 in·lbf'],
  '2.5 mm²': ['2.5 mm²', '2,5 mm2', '2.5 mm^2', '2.5 sq mm', '2.5 mm sq', '2.5 square millimetres'],
  '21.2 mm²': ['4 AWG', 'AWG 4', '#4 AWG', '4AWG', '4-AWG', 'awg 4'],
  '67.4 mm²': ['2/0 AWG', 'AWG 2/0', '00 AWG', 'AWG 00'],
  '107 mm²': ['4/0 AWG', '0000 AWG', 'AWG 4/0'],
  '90 s': ['1 min 30 s', '1 min 30 sec', '1min30s', '1 minute 30 seconds', '1 min. 30 s'],
  '135 min': ['2 h 15 min', '2h15min', '2 hrs 15 mins', '2 hours 15 minutes'],
  '80 Ah': ['80 Ah', '80 A·h', '80 AH', '80 amp-hours', '80 amp hrs', '80 ampere-hours'],
  '80 km/h': ['80 km/h', '80 kph', '80 KMH', '80 km per hour', '80 km/hr', '80 kilometres per hour'],
  '12345.6 kg': ['12 345,6 kg', '12,345.6 kg', '12.345,6 kg', "12'345.6 kg", '12 345.6 kg'],
  '35 oz av': ['2 lb 3 oz', '35 oz av', '35 oz (mass)'],
  '5 cal IT': ['5 cal IT', '5 cal (IT)'],
};

/** Text, and what it may mean or why it is refused. */
const REFUSED: readonly (readonly [written: string, kind: string, says: string])[] = [
  ['5 gal', 'unit-ambiguous', 'US gal or imp gal'], ['5 gal 2 qt', 'unit-ambiguous', 'US gal or imp gal'],
  ['5 gal/min', 'unit-ambiguous', 'US gpm or imp gpm'], ['5 ton', 'unit-ambiguous', 't, US ton or long ton'],
  ['5 oz.', 'unit-ambiguous', 'oz av, US fl oz, imp fl oz or ozf'], ['5 cal', 'unit-ambiguous', 'cal th or cal IT'],
  ['5 kcal/h', 'unit-ambiguous', 'kcal th or kcal IT'], ['-40C', 'unit-ambiguous', '°C or coulomb'],
  ['104F', 'unit-ambiguous', '°F or farad'], ['90 deg', 'unit-ambiguous', '°, °C or °F'], ['5 NM', 'unit-ambiguous', 'N·m or nanometre'],
  ['1,500 V', 'not-a-number', '1.500 or as 1500'], ['12,34,567 V', 'trailing-text', "',567 V'"], ['10-15 V', 'trailing-text', "'-15 V'"],
  ['10…15 V', 'trailing-text', "'…15 V'"], ['--12 V', 'not-a-number', 'not a quantity'], ['±12 V', 'not-a-number', 'not a quantity'],
  ['12..6 V', 'trailing-text', "'..6 V'"], ['1_000 V', 'unit-unknown', "'_000'"], ['１２ V', 'not-a-number', 'not a quantity'],
  ['5:30 min', 'trailing-text', "':30 min'"], ['1h30', 'trailing-text', "'30'"], ['5 M', 'unit-unknown', "'M'"], ['5 T', 'unit-unknown', "'T'"],
  ['41 AWG', 'unit-unknown', "'AWG'"], ['2.5 AWG', 'unit-unknown', "'AWG'"], ['-300 °C', 'impossible', 'absolute zero'],
  ['-460 °F', 'impossible', 'absolute zero'], ['-5 psia', 'impossible', 'absolute pressure cannot be negative'],
  ['1e61 V', 'not-a-number', 'out of all proportion'], ['1e999999 V', 'unit-unknown', "'e999999'"], ['9'.repeat(41) + ' V', 'not-a-number', 'too many digits'],
  ['1/0 in', 'not-a-number', 'divides by zero'], ['NaN V', 'not-a-number', 'not a quantity'], ['Infinity V', 'not-a-number', 'not a quantity'],
  ['0x10 V', 'unit-unknown', "'x10'"],
];

/** Bands as a data sheet prints them, and in canonical words. */
const BANDS: readonly (readonly [written: string, shown: string])[] = [
  ['10…15 V', 'between 10 V and 15 V'], ['10...15 V', 'between 10 V and 15 V'], ['10–15 V', 'between 10 V and 15 V'], ['10 V - 15 V', 'between 10 V and 15 V'],
  ['0.5 to 1.5 bar', 'between 0.5 bar and 1.5 bar'], ['0,5…1,5 bar', 'between 0.5 bar and 1.5 bar'], ['−10…+5 °C', 'between -10 °C and 5 °C'],
  ['-10 to -5 °C', 'between -10 °C and -5 °C'], ['35±5 N m', 'between 30 N m and 40 N m'], ['35 +/- 5 Nm', 'between 30 Nm and 40 Nm'],
  ['35 N·m ± 5 %', 'between 33.25 N·m and 36.75 N·m'], ['20 °C ± 2 °C', 'between 18 °C and 22 °C'], ['20 °C ± 2 K', 'between 18 °C and 22 °C'],
  ['35 +5/-3 N·m', 'between 32 N·m and 40 N·m'], ['35 N·m +5/-3 N·m', 'between 32 N·m and 40 N·m'], ['10 mm +0.1 -0 mm', 'between 10 mm and 10.1 mm'],
  ['20 °C +5/−3 °C', 'between 17 °C and 25 °C'], ['≤ 0,1 Ω', 'at most 0.1 Ω'], ['< 0,1 Ω', 'below 0.1 Ω'], ['=< 5 V', 'at most 5 V'],
  ['≥ 12,4 V', 'at least 12.4 V'], ['>12.4V', 'above 12.4 V'], ['at least 1 200 rpm', 'at least 1200 rpm'], ['at most 7/16 in', 'at most 7/16 in'],
  ['between 5 and 10 V', 'between 5 V and 10 V'], ['between 1 h and 90 min', 'between 1 h and 90 min'],
  ['between 4 min and 5 min 30 s', 'between 4 min and 5 min 30 s'], ['at least 100 psi g', 'at least 100 psi g'],
  ['at most voltage_drop(200 A, 2/0 AWG, 2 m)', 'at most voltage_drop(200 A, 2/0 AWG, 2 m)'],
  // `in` and `min` are units after a number, and names of nothing else.
  ['at least 5 in at left', 'at least 5 in at left'], ['at least 5 min', 'at least 5 min'], ['at least 5-min(3 V, 4 V)', 'at least 5 - min(3 V, 4 V)'],
];

const BANDS_REFUSED: readonly (readonly [written: string, says: string])[] = [
  ['20 °C ± 10 %', 'A share of a temperature means nothing'], ['35 N·m + 5 N·m - 3 N·m', 'A limit stands alone'], ['35 +5 N·m', 'A limit stands alone'],
  ['±5 N·m', 'is not a band'], ['35 N·m ±', 'A limit is missing'], ['35 ± -5 N·m', 'cannot be negative'], ['35 N·m ± 5 V', 'two plain quantities of one kind'],
  ['12 V', 'A limit stands alone'], ['12 V max', 'A limit stands alone'], ['max 12 V', "Write 'at most'"], ['not less than 12 V', "Write 'at least'"],
  ['at least 5 gal', 'US gal or imp gal'], ['at least 1,200 rpm', '1.200 or as 1200'], ['between 12 V to 14 V', 'needs two limits'],
];

describe('further forms', () => {
  const forms = Object.entries(READ).flatMap(([shown, all]) => all.map((written) => [written, shown] as const));

  it('are at least a hundred and fifty', () => expect(forms.length + REFUSED.length + BANDS.length).toBeGreaterThan(150));

  it.each(forms)('%j is %s', (written, shown) => {
    const { quantity, problems } = parseQuantity(written);
    expect(problems).toEqual([]);
    expect(quantity && formatQuantityPlain(quantity)).toBe(shown);
  });

  it.each(REFUSED)('%j is refused: %s, %s', (written, kind, says) => {
    const { problems } = parseQuantity(written);
    expect(problems.map((problem) => problem.kind)).toEqual([kind]);
    expect(`${problems[0]?.message} ${problems[0]?.help}`).toContain(says);
    // The place of the problem lies in the text.
    expect(problems[0]?.span.end).toBeLessThanOrEqual(written.length);
  });

  it.each(BANDS)('the band %j is %s', (written, shown) => {
    const { band, problems } = parseBand(written);
    expect(problems).toEqual([]);
    expect(band && formatBand(band)).toBe(shown);
    const again = parseBand(shown);
    expect(again.problems).toEqual([]);
    expect(again.band && formatBand(again.band)).toBe(shown);
  });

  it.each(BANDS_REFUSED)('the band %j is refused: %s', (written, says) => {
    const { band, problems } = parseBand(written);
    expect(band).toBeUndefined();
    expect(`${problems[0]?.message} ${problems[0]?.help}`).toContain(says);
  });
});
