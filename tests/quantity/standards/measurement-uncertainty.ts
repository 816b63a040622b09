/** The worth of a reading against JCGM 100 (GUM), JCGM 106 and ISO 14253-1. */
import { checkSource, printed } from './check-source.ts';
import { guardedVerdict, guardWidth, parseAccuracy, uncertaintyOf } from '../../../server/src/quantity/accuracy.ts';
import { rational, rationalToNumber } from '../../../server/src/quantity/rational.ts';

// A meter of 6000 counts on its 60 V range, ±(0.5 % + 2): worked by hand from the formulas.
const reading = rational(126, 10);
const uncertainty = (accuracy: string, of = reading, resolution = rational(1, 100)) => {
  const parsed = parseAccuracy(accuracy).accuracy;
  return parsed && uncertaintyOf(of, { accuracy: parsed, resolution, fullScale: rational(60) });
};

checkSource('gum', 'rectangular distribution, a/√3, k = 2; formulas from memory, numbers computed', [
  { says: 'the limit of 12.60 V at ±(0.5 % + 2) is 0.083 V',
    ours: () => rationalToNumber(uncertainty('±(0.5 % + 2)')?.limit ?? rational(0)), ...printed('0.083') },
  { says: 'its standard uncertainty is 0.0479 V', ours: () => uncertainty('0.5 % + 2 counts')?.standard, ...printed('0.0479') },
  { says: 'its expanded uncertainty is 0.096 V', ours: () => uncertainty('0.5 % + 2 counts')?.expanded, ...printed('0.096') },
  { says: '1 % of a 60 V range is 0.6 V, whatever the reading',
    ours: () => rationalToNumber(uncertainty('1 % of full scale')?.limit ?? rational(0)), ...printed('0.6') },
  { says: 'a fixed ± 0.05 V adds', ours: () => rationalToNumber(uncertainty('0.5 % + 0.05 V')?.limit ?? rational(0)),
    ...printed('0.113') },
  { says: 'a/√3 of a = 1 is 0.577 (GUM 4.3.7)', ours: () => uncertainty('1 V', rational(0))?.standard, ...printed('0.577') },
]);

/** A meter's specification and what the guide makes of it; 4.3.7 example 2, from memory. */
const voltmeter = (accuracy: string) => {
  const parsed = parseAccuracy(accuracy).accuracy;
  return parsed && uncertaintyOf(rational(928_571n, 1_000_000n), { accuracy: parsed, fullScale: rational(1) });
};
checkSource('gum', 'worked examples 4.3.7 and 5.1.5 (voltmeter, 14e-6 × reading + 2e-6 × range), F.2.2.1 (resolution); from memory', [
  { says: 'the bound is 15 µV', ours: () => 1e6 * rationalToNumber(voltmeter('0.0014 % of reading + 0.0002 % of range')?.limit ?? rational(0)), ...printed('15') },
  { says: 'its standard uncertainty is 8.7 µV', ours: () => 1e6 * (voltmeter('0.0014 % of reading + 0.0002 % of range')?.standard ?? 0), ...printed('8.7') },
  { says: 'with 12 µV of scatter the combined one is 15 µV (5.1.5)',
    ours: () => Math.hypot(12, 1e6 * (voltmeter('0.0014 % of reading + 0.0002 % of range')?.standard ?? 0)), ...printed('15') },
  { says: 'a bound of 0.40e-6 has u = 0.23e-6 (example 1)', ours: () => uncertainty('0.40 V', rational(0), rational(0))?.standard, ...printed('0.23') },
  { says: 'a display of steps of 1 alone has u = 0.29 (F.2.2.1)', ours: () => uncertainty('0 V', rational(0), rational(1))?.standard, ...printed('0.29') },
  { says: 'half a count is the same', ours: () => uncertainty('0.5 counts', rational(0), rational(1))?.standard, ...printed('0.29') },
  { says: '1 % or 2 V, whichever is greater, is 2 V at 12.6 V', ours: () => rationalToNumber(uncertainty('1 % or 2 V, whichever is greater')?.limit ?? rational(0)), theirs: 2 },
]);

/** What a gauge of that class to 400 may be off by, wherever its pointer stands. */
const ofClass = (name: string, reading: number): number => {
  const parsed = parseAccuracy(name).accuracy;
  return rationalToNumber((parsed && uncertaintyOf(rational(reading), { accuracy: parsed, fullScale: rational(400) })?.limit) ?? rational(-1));
};
checkSource('en-837-1', 'class of a pressure gauge: limit of error in % of its span, all along the scale; from memory', [
  { says: 'class 1.6 to 400 bar: 6.4 bar', ours: () => ofClass('class 1.6', 400), theirs: 6.4 },
  { says: 'the same at 40 bar', ours: () => ofClass('class 1.6', 40), theirs: 6.4 },
  { says: 'class 1 to 400 bar: 4 bar', ours: () => ofClass('cl. 1', 400), theirs: 4 },
  { says: 'class 2.5 to 400 bar: 10 bar', ours: () => ofClass('KL 2,5', 400), theirs: 10 },
]);

/** A speed of v km/h read with u = 2 % of it against a limit of 100 km/h; 99.9 % certain beyond it is z = 3.09. */
const overSpeed = (v: number): string => guardedVerdict(rational(v), { high: rational(100) }, rational(Number((3.09 * 0.02 * v).toFixed(6))));
checkSource('jcgm-106', 'worked examples: breakdown voltage of a Zener diode, speed of vehicles; from memory', [
  // Best estimate -5.47 V, u = 0.05 V, tolerance limit -5.40 V: conformance probability 0.92, short of the 97.7 % that w = 2u asks.
  { says: '-5.47 V against at most -5.40 V, u = 0.05 V, is too close with w = 2u',
    ours: () => guardedVerdict(rational(-547, 100), { high: rational(-540, 100) }, rational(10, 100)), theirs: 'too_close' },
  { says: 'and accepted with w = 1.4u, which is where a probability of 0.92 lies',
    ours: () => guardedVerdict(rational(-547, 100), { high: rational(-540, 100) }, rational(7, 100)), theirs: 'accept' },
  { says: 'a speed of 107 km/h is beyond 100 km/h for 99.9 %', ours: () => overSpeed(107), theirs: 'reject' },
  { says: 'one of 106 km/h is not', ours: () => overSpeed(106), theirs: 'too_close' },
]);

const U = uncertainty('0.5 % + 2 counts');
const width = U ? guardWidth(U) : rational(0);
checkSource('jcgm-106', 'limit at least 12.60 V, guard band w = U; rule from memory', [
  ['12.70', rational(1270, 100), 'accept'], ['12.60', rational(1260, 100), 'too_close'], ['12.50', rational(1250, 100), 'reject'],
  ['12.69', rational(1269, 100), 'too_close'], ['12.51', rational(1251, 100), 'too_close'],
].map(([says, volts, theirs]) => ({ says: `${String(says)} V: ${String(theirs)}`,
  ours: () => guardedVerdict(volts as typeof width, { low: rational(126, 10) }, width), theirs: String(theirs) })));

checkSource('jcgm-106', 'two limits, and simple acceptance where w = 0; from memory', [
  { says: 'inside both by w', ours: () => guardedVerdict(rational(35), { low: rational(30), high: rational(40) }, rational(2)),
    theirs: 'accept' },
  { says: 'on the guarded limit', ours: () => guardedVerdict(rational(38),
    { low: rational(30), high: rational(40) }, rational(2)), theirs: 'accept' },
  { says: 'in the guard band', ours: () => guardedVerdict(rational(39), { low: rational(30), high: rational(40) }, rational(2)),
    theirs: 'too_close' },
  { says: 'outside by more than w', ours: () => guardedVerdict(rational(43),
    { low: rational(30), high: rational(40) }, rational(2)), theirs: 'reject' },
  { says: 'a guard band wider than the tolerance leaves nothing to accept', ours: () => guardedVerdict(rational(35),
    { low: rational(30), high: rational(40) }, rational(6)), theirs: 'too_close' },
  { says: 'w = 0: the limit itself is accepted', ours: () => guardedVerdict(rational(40),
    { low: rational(30), high: rational(40) }, rational(0)), theirs: 'accept' },
]);
