/**
 * What an instrument's reading is worth: accuracy as a data sheet puts it, the uncertainty of a reading, and verdicts with guard
 * bands.
 *
 * Uncertainty after JCGM 100:2008 (the GUM): a limit of error ±a with nothing more known is a rectangular distribution, standard
 * uncertainty a/√3; expanded U = 2u covers about 95 %. Decision rules after JCGM 106:2012 and ISO 14253-1:2017: accepted only
 * where the reading is inside the limits by the guard band, rejected only where it is outside by it (all from memory).
 */
import {
  absRational,
  addRational,
  compareRational,
  maxRational,
  multiplyRational,
  rational,
  rationalToNumber,
  subtractRational,
  ZERO,
} from './rational.ts';
import { amountOf } from './quantity.ts';
import { parseQuantity } from './parse-quantity.ts';
import type { Quantity } from './quantity.ts';
import type { Rational } from './rational.ts';
import type { Selection } from './select-band.ts';
import type { Unit } from './unit.ts';

/** Accuracy as written, in parts that add up. */
export interface Accuracy {
  /** Share of the reading: 0.005 for 0.5 %. */
  readonly ofReading: Rational;
  /** Share of the full scale. */
  readonly ofRange: Rational;
  /** Steps of the last digit. */
  readonly counts: Rational;
  /** A fixed amount, where one is given: ± 0.5 °C. */
  readonly fixed: Quantity | undefined;
  /** The other one of `1 % or 2 °C, whichever is greater`. */
  readonly orElse?: Accuracy;
}

export type ParsedAccuracy =
  | { readonly accuracy: Accuracy; readonly problem?: undefined }
  | { readonly accuracy?: undefined; readonly problem: string; readonly help: string };

/** What is known of one function of an instrument; amounts in base units (see `amountOf`: 0.1 °C is 0.1 K here). */
export interface InstrumentAccuracy {
  readonly accuracy: Accuracy;
  /** One step of the display on the range used. */
  readonly resolution?: Rational | undefined;
  /** Full scale of the range used. */
  readonly fullScale?: Rational | undefined;
  /** The unit read in: a share of a temperature is a share of what its scale shows, counted from the scale's zero. */
  readonly unit?: Unit | undefined;
}

export interface Uncertainty {
  /** The limit of error ±a, exact, in base units. */
  readonly limit: Rational;
  /** a/√3. */
  readonly standard: number;
  /** Coverage factor 2. */
  readonly expanded: number;
}

const PART =
  /^(?:±|\+\/-)?\s*(\d*[.,]?\d+)\s*(%|percent|counts?|digits?|dgts?|dig\.?|d|lsd)?\s*(?:of\s+)?(?:the\s+)?(?:measured\s+)?(reading|rdg\.?|r\.?d\.?|m\.?v\.?|f\.?s\.?d?\.?|full[ -]?scale|range|span|value)?$/i;
/** EN 837-1: the class of a pressure gauge is its limit of error in per cent of its span (from memory). */
const GAUGE_CLASS = /^(?:class|cl\.?|kl\.?)\s*(\d+(?:[.,]\d+)?)$/i;
const EITHER = /\s*,?\s+or\s+/i;
const WHICHEVER = /[\s,;(]*(?:whichever|which ever|the) (?:is )?(?:the )?(?:greater|larger|higher|bigger)(?: (?:one|of the two|counts))?\)?\s*$/i;

/**
 * Reads `0.5 % + 2 counts`, `±(0.9 % rdg + 3 digits)`, `1 % of full scale`, `± 0.5 °C`. A bare number after a share is counts:
 * `±(0.5 % + 2)`. Also `class 1.6` of a pressure gauge, and `1 % or 2 °C, whichever is greater`.
 */
export function parseAccuracy(text: string): ParsedAccuracy {
  const refuse = (what: string): ParsedAccuracy => ({
    problem: what,
    help: 'Write it as: 0.5 % + 2 counts, or 1 % of full scale, or 0.5 °C.',
  });
  if (text.length > 100) return refuse('The accuracy is too long to read.');
  if (EITHER.test(text)) {
    const [first = '', second = '', ...more] = text.replace(WHICHEVER, '').split(EITHER);
    const one = parseAccuracy(first);
    const other = parseAccuracy(second);
    if (more.length > 0 || one.accuracy?.orElse || other.accuracy?.orElse) return refuse('The accuracy has more than two parts to choose from.');
    if (one.accuracy === undefined || other.accuracy === undefined) return one.accuracy === undefined ? one : other;
    // The share comes first, whichever way round they were written.
    const [leading, following] = hasShare(other.accuracy) && !hasShare(one.accuracy) ? [other.accuracy, one.accuracy] : [one.accuracy, other.accuracy];
    return { accuracy: { ...leading, orElse: following } };
  }
  const inner = text
    .trim()
    .replace(/^(?:±|\+\/-)\s*/, '')
    .replace(/^\((.*)\)$/, '$1')
    .trim();
  if (inner === '') return refuse('The accuracy is missing.');
  const gaugeClass = parseQuantity(GAUGE_CLASS.exec(inner)?.[1] ?? '').quantity;
  if (gaugeClass)
    return { accuracy: { ofReading: ZERO, ofRange: multiplyRational(gaugeClass.number, rational(1, 100)), counts: ZERO, fixed: undefined } };
  let ofReading = ZERO;
  let ofRange = ZERO;
  let counts = ZERO;
  let fixed: Quantity | undefined;
  let anyShare = false;
  for (const piece of inner.split(/\s*(?:\+\/-|\+|±)\s*/)) {
    const part = piece.trim();
    const match = PART.exec(part);
    const number = match ? parseQuantity((match[1] ?? '').replace(/^[.,]/, '0.')).quantity?.number : undefined;
    const measure = (match?.[2] ?? '').toLowerCase();
    if (match && number && (measure === '%' || measure === 'percent')) {
      const share = multiplyRational(number, rational(1, 100));
      if (/^(?:f|full|range|span)/i.test(match[3] ?? '')) ofRange = addRational(ofRange, share);
      else ofReading = addRational(ofReading, share);
      anyShare = true;
    } else if (match && number && (measure !== '' || (anyShare && match[3] === undefined))) {
      counts = addRational(counts, number);
    } else {
      const { quantity, problems } = parseQuantity(part.replace(/^(?:±|\+\/-)\s*/, ''));
      if (!quantity?.unit || problems.length > 0 || fixed || quantity.number.numerator < 0n) return refuse(`'${part}' is not an accuracy.`);
      fixed = quantity;
    }
  }
  return { accuracy: { ofReading, ofRange, counts, fixed } };
}

function hasShare({ ofReading, ofRange }: Accuracy): boolean {
  return ofReading.numerator !== 0n || ofRange.numerator !== 0n;
}

/**
 * The uncertainty of a reading (in base units). Where the accuracy counts no steps of the display, half a step is a rectangular part of
 * its own (JCGM 100 F.2.2.1): the limit does not hold it, the standard uncertainty does. Undefined where the accuracy counts steps of a resolution, or a full scale, that is not
 * given.
 */
export function uncertaintyOf(reading: Rational, instrument: InstrumentAccuracy): Uncertainty | undefined {
  const { accuracy, resolution, fullScale } = instrument;
  const shown = instrument.unit?.offset === undefined ? reading : subtractRational(reading, instrument.unit.offset);
  let limit = multiplyRational(absRational(shown), accuracy.ofReading);
  if (accuracy.counts.numerator !== 0n) {
    if (!resolution) return undefined;
    limit = addRational(limit, multiplyRational(accuracy.counts, resolution));
  }
  if (accuracy.ofRange.numerator !== 0n) {
    if (!fullScale) return undefined;
    limit = addRational(limit, multiplyRational(fullScale, accuracy.ofRange));
  }
  if (accuracy.fixed) limit = addRational(limit, absRational(amountOf(accuracy.fixed)));
  if (accuracy.orElse) {
    const other = uncertaintyOf(reading, { ...instrument, accuracy: accuracy.orElse });
    if (!other) return undefined;
    limit = maxRational(limit, other.limit);
  }
  const counted = accuracy.counts.numerator !== 0n || (accuracy.orElse !== undefined && accuracy.orElse.counts.numerator !== 0n);
  const halfStep = resolution && !counted ? rationalToNumber(absRational(resolution)) / 2 : 0;
  const standard = Math.hypot(rationalToNumber(limit), halfStep) / Math.sqrt(3);
  return { limit, standard, expanded: 2 * standard };
}

export type GuardedVerdict = 'accept' | 'reject' | 'too_close';

/**
 * The verdict on a reading against a limit or two (base units), with a guard band of width w on each side: inside by w is
 * accepted, outside by w rejected, between them it is too close to call with this instrument. w = 0 is simple acceptance.
 */
export function guardedVerdict(
  reading: Rational,
  limits: { readonly low?: Rational; readonly high?: Rational },
  width: Rational,
): GuardedVerdict {
  const { low, high } = limits;
  const outside =
    (low !== undefined && compareRational(reading, subtractRational(low, width)) < 0) ||
    (high !== undefined && compareRational(reading, addRational(high, width)) > 0);
  if (outside) return 'reject';
  const inside =
    (low === undefined || compareRational(reading, addRational(low, width)) >= 0) &&
    (high === undefined || compareRational(reading, subtractRational(high, width)) <= 0);
  return inside ? 'accept' : 'too_close';
}

/**
 * The results that the true value may belong to, given the reading and the half-width of its uncertainty: one, where the verdict
 * stands; more, where it is too close to call. `select` says which result a value meets. Undefined where a limit has no value.
 */
export function resultsWithin(
  select: (base: Rational) => Selection,
  reading: Rational,
  width: Rational,
  limitsBetween: readonly Rational[],
): readonly number[] | undefined {
  const low = subtractRational(reading, width);
  const high = addRational(reading, width);
  const inside = limitsBetween.filter((limit) => compareRational(limit, low) > 0 && compareRational(limit, high) < 0);
  const places = [low, ...inside, high].sort(compareRational);
  // Between two limits a result may lie that takes neither of them.
  const between = places.slice(1).map((place, index) => multiplyRational(addRational(place, places[index] ?? place), rational(1, 2)));
  const found = new Set<number>();
  for (const base of [reading, ...places, ...between]) {
    const selection = select(base);
    if (selection.unknown || selection.problem !== undefined) return undefined;
    if (selection.index !== undefined) found.add(selection.index);
    for (const index of selection.several ?? []) found.add(index);
  }
  return [...found];
}

/** A number as an exact fraction rounded up at the sixth figure, so that a guard band is never too narrow by rounding. */
export function guardWidth(uncertainty: Pick<Uncertainty, 'expanded'>): Rational {
  if (uncertainty.expanded === 0) return ZERO;
  const scale = 10 ** (5 - Math.floor(Math.log10(uncertainty.expanded)));
  return rational(Math.ceil(uncertainty.expanded * scale) / scale);
}

export type CalibrationStatus = 'in_date' | 'due_soon' | 'overdue' | 'not_a_date';

/** Whether a calibration due date (ISO 8601, `2027-03-31`) has passed on a day; `due_soon` in its last 30 days. */
export function calibrationStatus(due: string, today: string): CalibrationStatus {
  const dueDay = dayNumber(due);
  const day = dayNumber(today);
  if (dueDay === undefined || day === undefined) return 'not_a_date';
  if (day > dueDay) return 'overdue';
  return dueDay - day <= 30 ? 'due_soon' : 'in_date';
}

function dayNumber(text: string): number | undefined {
  const match = /^(\d{4})-(\d{2})-(\d{2})(?:T.*)?$/.exec(text.trim());
  if (!match) return undefined;
  const time = Date.UTC(Number(match[1]), Number(match[2]) - 1, Number(match[3]));
  return new Date(time).toISOString().startsWith(match[0].slice(0, 10)) ? time / 86_400_000 : undefined;
}
