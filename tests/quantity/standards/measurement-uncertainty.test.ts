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
