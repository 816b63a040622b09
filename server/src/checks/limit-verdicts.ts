/**
 * What is wrong with the size of a limit, at most one thing for each: a slip of prefix or point before what is implausible, that before
 * what the instrument cannot reach, that before what it cannot resolve. The ground of scale-slip, implausible-limit, beyond-range and
 * resolution-too-coarse.
 */
import type { Fix, Report } from '../findings/finding.ts';
import type { Circuit } from '../procedure/model.ts';
import { formatWritten } from '../quantity/format-band.ts';
import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { quantityDimension, type Quantity } from '../quantity/quantity.ts';
import { describeQuantityWord, quantityPhrase } from '../quantity/quantity-words.ts';
import {
  absRational, compareRational, divideRational, equalRational, isWholeRational, isZeroRational, multiplyRational, ONE, orderOfMagnitude, rational, subtractRational, ZERO,
  type Rational,
} from '../quantity/rational.ts';
import { unitsOf, type Unit } from '../quantity/unit.ts';
import { dimensionsCompare } from '../quantity/dimension.ts';
import type { Span } from '../text/span.ts';
import { bandExaminations } from './band-examinations.ts';
import type { CheckContext } from './check.ts';
import { words } from './edits.ts';
import { limitsOfSteps, type Limit, type LimitsOfStep } from './limits-of.ts';
import { nameOf } from './walk-of.ts';

export interface LimitVerdict extends Report {
  readonly check: 'scale-slip' | 'implausible-limit' | 'beyond-range' | 'resolution-too-coarse';
  /** The step's place in the program. */
  readonly index: number;
}

/** `instead`: what the writer may have meant, to put in its place. */
type Verdict = Omit<LimitVerdict, 'index' | 'step' | 'span'> & {
  readonly instead?: string | undefined;
  /** Where it is not the limit that is at fault. */
  readonly at?: Span;
};

/** The verdicts on all limits; a limit that is written twice is judged once. */
export function limitVerdicts(context: CheckContext): LimitVerdict[] {
  const steps = context.once(limitsOfSteps);
  const examinations = new Map(context.once(bandExaminations).map((examined) => [examined.step, examined.examination]));
  return steps.flatMap((at): LimitVerdict[] => {
    const circuit = at.reading?.circuit && context.scope.circuits.get(at.reading.circuit.value)?.item;
    const examination = examinations.get(at.index);
    const neverMet = new Set(examination?.neverMet.map(({ band }) => band));
    // Where a slip leaves a gap or an overlap, that error shows both limits: it is not said twice.
    const slipIsShown = examination !== undefined && examination.gaps.length + examination.overlaps.length > 0;
    const slips = slipsBetween(at, circuit);
    const said = new Set<string>();
    return at.limits.flatMap((limit): LimitVerdict[] => {
      const slip = slipAgainstCircuit(at, limit, circuit) ?? slips.get(limit) ?? slipAgainstRange(at, limit);
      if (slip && slipIsShown) return [];
      // What no reading can meet has been said of the result itself.
      const isNeverMet = limit.result !== undefined && neverMet.has(limit.result);
      const found = slip ?? (isNeverMet ? undefined : implausible(at, limit, circuit)) ?? beyondRange(at, limit, circuit) ?? tooCoarse(at, limit);
      // What an instrument cannot do is one mistake, however many limits show it.
      const key = found && (found.check === 'beyond-range' || found.check === 'resolution-too-coarse' ? found.check : `${found.check} ${limit.text}`);
      if (found === undefined || key === undefined || said.has(key)) return [];
      said.add(key);
      const { instead, at: place, ...report } = found;
      return [{ ...report, index: at.index, span: place ?? limit.span, step: nameOf(at.step), ...(instead === undefined ? {} : { fixes: [replacement(context.file, at, limit, instead)] }) }];
    });
  });
}

/** Puts another limit wherever the step has this one. */
function replacement(file: string, at: LimitsOfStep, limit: Limit, instead: string): Fix {
  const same = at.limits.filter((other) => other.text === limit.text);
  return { title: `Change ${limit.text} to ${instead}`, edits: same.map(({ span }) => ({ file, span, newText: instead })), altersMeaning: true };
}

const THOUSAND = rational(1000);

/** The nominal voltage of the circuit, where voltage is read. */
function nominalOf({ word }: LimitsOfStep, circuit: Circuit | undefined): Quantity | undefined {
  const nominal = circuit?.nominal?.value;
  return nominal && (word === 'dc_voltage' || word === 'ac_voltage') && quantityDimension(nominal) === 'voltage' && !isZeroRational(nominal.base) ? nominal : undefined;
}

/** 500 V for 500 mV, 126 V for 12.6 V, 12.4 mV for 12.4 V: far from the circuit's voltage, and near it by a slip. */
function slipAgainstCircuit(at: LimitsOfStep, { literal, text, comparison }: Limit, circuit: Circuit | undefined): Verdict | undefined {
  const nominal = nominalOf(at, circuit);
  if (nominal === undefined || literal?.unit === undefined || circuit === undefined) return undefined;
  const share = divideRational(absRational(literal.base), absRational(nominal.base));
  const circuitIs = `${words(circuit.name.value)} has ${formatWritten(nominal)}`;
  if (compareRational(share, rational(8)) >= 0) {
    const slipped = prefixed(literal, divideRational(ONE, THOUSAND));
    const point = tenth(literal, nominal);
    return {
      check: 'scale-slip',
      message: `The limit ${text} is ${timesText(share)} the voltage of its circuit: ${circuitIs}.`,
      help: point ? `Write ${point} if the point slipped.` : slipped ? `Write ${slipped} if that is meant.` : 'Correct the limit or the circuit.',
      instead: point ?? slipped,
    };
  }
  const thousandfold = multiplyRational(share, THOUSAND);
  // A drop has an upper limit, 'at most 20 mV'; a supply has a lower one. A round figure may be either, an odd one is the voltage itself.
  const isSupply = SUPPLY_SIDE.includes(comparison);
  const isRound = isWholeRational(literal.number) && literal.number.numerator % 5n === 0n;
  const [least, most] = isSupply && !hasSmallRange(at, nominal) ? [rational(1, 2), rational(3, 2)] : [rational(9, 10), rational(13, 10)];
  if ((isSupply || !isRound) && compareRational(thousandfold, least) >= 0 && compareRational(thousandfold, most) <= 0) {
    const slipped = prefixed(literal, THOUSAND);
    return {
      check: 'scale-slip',
      message: `The limit ${text} is a thousandth of what its circuit has: ${circuitIs}.`,
      help: slipped ? `Write ${slipped} if that is meant.` : 'Correct the limit or the circuit.',
      instead: slipped,
    };
  }
  return undefined;
}

/** Whoever wants enough writes 'at least'; 'below' is the rest of it. */
const SUPPLY_SIDE: readonly Limit['comparison'][] = ['at_least', 'below', 'between'];

/** The step sets a range far below the circuit's voltage: a drop is read. */
function hasSmallRange({ reading }: LimitsOfStep, nominal: Quantity): boolean {
  const range = reading?.range?.value;
  return range?.unit !== undefined && compatible(range, nominal) && compareRational(multiplyRational(absRational(range.base), rational(4)), absRational(nominal.base)) < 0;
}

/** Readings whose good and bad values lie decades apart: only a limit with the same digits is a slip there. */
const MANY_DECADES = ['resistance', 'time', 'frequency', 'illuminance', 'ratio', 'temperature'];

/** Bounds of one step three decades apart. The one that stands further from the others, or else the later one, is reported. */
function slipsBetween(at: LimitsOfStep, circuit: Circuit | undefined): Map<Limit, Verdict> {
  const found = new Map<Limit, Verdict>();
  const limits = at.limits.filter(({ literal }) => literal?.unit !== undefined && !isZeroRational(literal.base));
  if (limits.some((limit) => slipAgainstCircuit(at, limit, circuit))) return found;
  for (const [index, limit] of limits.entries()) {
    for (const other of limits.slice(0, index)) {
      const a = limit.literal as Quantity;
      const b = other.literal as Quantity;
      const ratio = ratioOf(a.base, b.base);
      if (compareRational(ratio, THOUSAND) < 0) continue;
      const sameDigits = equalRational(absRational(a.number), absRational(b.number));
      if (MANY_DECADES.includes(quantityDimension(a)) && !(sameDigits && isPowerOfThousand(ratio))) continue;
      const near = (candidate: Quantity): number =>
        limits.filter(({ literal }) => literal && compareRational(ratioOf(literal.base, candidate.base), rational(100)) < 0).length;
      const culprit = near(a) > near(b) ? other : limit;
      const kept = culprit === limit ? other : limit;
      if (found.has(culprit) || found.has(kept)) continue;
      found.set(culprit, {
        check: 'scale-slip',
        message: `The limits ${other.text} and ${limit.text} of one step lie ${timesText(ratio).replace(' times', '')} times apart.`,
        help: 'Correct the unit or the point of one of them.',
      });
    }
  }
  return found;
}

/** A limit a hundred times the range that the step sets, or a thousand times what the instrument reads. */
function slipAgainstRange(at: LimitsOfStep, { literal, text }: Limit): Verdict | undefined {
  if (literal?.unit === undefined) return undefined;
  const range = at.reading?.range?.value;
  const upTo = at.function?.upTo?.value;
  const against = range?.unit && compatible(range, literal) ? { quantity: range, least: rational(50), name: 'its range' } : upTo?.unit && compatible(upTo, literal) ? { quantity: upTo, least: THOUSAND, name: 'what its instrument reads' } : undefined;
  if (against === undefined || isZeroRational(against.quantity.base)) return undefined;
  const share = divideRational(absRational(literal.base), absRational(against.quantity.base));
  if (compareRational(share, against.least) < 0) return undefined;
  const slipped = prefixed(literal, divideRational(ONE, THOUSAND));
  return {
    check: 'scale-slip',
    message: `The limit ${text} is ${timesText(share)} ${against.name}, ${formatWritten(against.quantity)}.`,
    help: slipped ? `Write ${slipped} if that is meant.` : 'Correct the limit or the range.',
    instead: slipped,
  };
}

function implausible(at: LimitsOfStep, { literal, text }: Limit, circuit: Circuit | undefined): Verdict | undefined {
  if (literal === undefined || at.word === undefined) return undefined;
  const say = (message: string, help: string): Verdict => ({ check: 'implausible-limit', message, help });
  const { domain } = describeQuantityWord(at.word);
  const phrase = quantityPhrase(at.word);
  const { base } = literal;
  const difference = at.step.judge?.value === 'spread';
  if (at.word === 'temperature' && !difference) {
    if (compareRational(base, ZERO) < 0) return say(`The limit ${text} is below absolute zero.`, 'Correct the limit or its unit.');
    if (compareRational(base, rational(1773)) > 0 || compareRational(base, rational(183)) < 0) return say(`A temperature of ${text} does not come up in a workshop.`, 'Correct the limit or its unit.');
    return undefined;
  }
  if (at.word === 'relative_density' && compareRational(base, rational(20)) > 0) {
    const slipped = divideRational(base, THOUSAND);
    const instead = compareRational(slipped, rational(1, 2)) >= 0 && compareRational(slipped, rational(3)) <= 0 ? formatQuantityPlain({ base: slipped, unit: undefined }, { decimals: 3 }) : undefined;
    return {
      ...say(`A relative density of ${text} does not come up: water has 1, and no liquid of a workshop has 3.`, instead ? `Write ${instead} if the point was left out.` : 'Correct the limit.'),
      instead,
    };
  }
  if (domain !== 'any' && compareRational(base, ZERO) < 0) return say(`No ${phrase} is below zero, and the limit is ${text}.`, 'Correct the limit, or what is measured.');
  if (domain === 'share' && compareRational(base, ONE) > 0) return say(`No ${phrase} is above 100 %, and the limit is ${text}.`, 'Correct the limit or its unit.');
  if (domain === 'whole' && !isWholeRational(base)) return say(`A count is a whole number, and the limit is ${text}.`, 'Write a whole number.');
  const kind = quantityDimension(literal);
  if (kind === 'vacuum' || at.word === 'vacuum') {
    if (compareRational(base, rational(104_000)) > 0) return say(`A vacuum of ${text} is deeper than none: the air itself has about 1 bar.`, 'Correct the limit or its unit.');
  } else if ((kind === 'gauge_pressure' || kind === 'pressure') && compareRational(base, rational(-104_000)) < 0) {
    return say(`A gauge pressure of ${text} is below a full vacuum.`, 'Correct the limit or its unit.');
  }
  const nominal = nominalOf(at, circuit);
  if (nominal && circuit && compareRational(absRational(base), multiplyRational(absRational(nominal.base), rational(3, 2))) > 0) {
    return say(`The limit ${text} is far above the ${formatWritten(nominal)} of ${words(circuit.name.value)}.`, 'Correct the limit, or name the circuit that is meant.');
  }
  return undefined;
}

function beyondRange(at: LimitsOfStep, limit: Limit, circuit: Circuit | undefined): Verdict | undefined {
  const title = at.instrument ? (at.instrument.title?.value ?? words(at.instrument.name.value)) : 'The instrument';
  // A spread or a difference lies anywhere inside the range.
  const setRange = at.reading?.range;
  const range = setRange?.value;
  const nominal = nominalOf(at, circuit);
  const upTo = at.function?.upTo?.value;
  const from = at.function?.from?.value;
  for (const value of limit.values) {
    const shown = shownValue(limit, value);
    if (range?.unit && dimensionsCompare(range.unit.dimension, value.dimension) && isAbove(value.base, range.base)) {
      if (nominal && circuit && setRange && isAbove(nominal.base, range.base)) {
        // The circuit itself is beyond it, so the limit is right and the range is not.
        return {
          check: 'beyond-range', at: setRange.span,
          message: `The range ${formatWritten(range)} is below the ${formatWritten(nominal)} of ${words(circuit.name.value)}, and the limit ${shown} is beyond it.`,
          help: `Set a range that holds the voltage of the circuit.`,
        };
      }
      return { check: 'beyond-range', message: `The limit ${shown} is beyond the range of ${formatWritten(range)} that the step sets.`, help: `Set a range that holds it.` };
    }
    if (upTo?.unit && dimensionsCompare(upTo.unit.dimension, value.dimension) && isAbove(value.base, upTo.base)) {
      return { check: 'beyond-range', message: `The limit ${shown} is more than ${title} reads: up to ${formatWritten(upTo)}.`, help: 'Use an instrument that reads it.' };
    }
    const judgedItself = at.step.judge?.value !== 'spread' && !isZeroRational(value.base);
    if (judgedItself && from?.unit && dimensionsCompare(from.unit.dimension, value.dimension) && compareRational(value.base, from.base) < 0) {
      return { check: 'beyond-range', message: `The limit ${shown} is less than ${title} reads: from ${formatWritten(from)}.`, help: 'Use an instrument that reads it.' };
    }
  }
  return undefined;
}

/** A limit between two steps of the display. */
function tooCoarse(at: LimitsOfStep, limit: Limit): Verdict | undefined {
  const resolution = at.function?.resolution?.value;
  const { literal } = limit;
  if (resolution?.unit === undefined || isZeroRational(resolution.base) || at.reading?.judge?.value === 'mean') return undefined;
  const value = limit.values[0];
  if (value === undefined || !dimensionsCompare(resolution.unit.dimension, value.dimension) || isZeroRational(value.base)) return undefined;
  const step = absRational(multiplyRational(resolution.number, resolution.unit.factor));
  const title = at.instrument ? (at.instrument.title?.value ?? words(at.instrument.name.value)) : 'The instrument';
  const say = (): Verdict => ({
    check: 'resolution-too-coarse',
    message: `The limit ${shownValue(limit, value)} lies between two steps of the display: ${title} shows steps of ${formatWritten(resolution)}.`,
    help: 'Use an instrument that shows smaller steps, or a limit that it can show.',
  });
  const size = absRational(literal?.unit ? multiplyRational(literal.number, literal.unit.factor) : value.base);
  if (compareRational(size, step) < 0) return say();
  const unit = literal?.unit;
  if (literal === undefined || unit === undefined || !isPowerOfTen(divideRational(unit.factor, resolution.unit.factor))) {
    return compareRational(multiplyRational(step, rational(10)), size) > 0 && !isWholeRational(divideRational(size, step)) ? say() : undefined;
  }
  return isWholeRational(divideRational(size, step)) ? undefined : say();
}

function shownValue(limit: Limit, value: { readonly base: Rational; readonly unit?: Unit | undefined; readonly asset?: string }): string {
  if (limit.literal) return limit.text;
  const shown = formatQuantityPlain({ base: value.base, unit: value.unit });
  return value.asset === undefined ? `${limit.text} (${shown})` : `${limit.text} (${shown} on ${value.asset})`;
}

function isAbove(value: Rational, end: Rational): boolean {
  return compareRational(absRational(value), absRational(end)) > 0;
}

function compatible(a: Quantity, b: Quantity): boolean {
  return dimensionsCompare(quantityDimension(a), quantityDimension(b)) && a.unit?.offset === undefined && b.unit?.offset === undefined;
}

function ratioOf(a: Rational, b: Rational): Rational {
  const ratio = absRational(divideRational(a, b));
  return compareRational(ratio, ONE) < 0 ? divideRational(ONE, ratio) : ratio;
}

function isPowerOfThousand(ratio: Rational): boolean {
  return isPowerOfTen(ratio) && orderOfMagnitude(ratio) % 3 === 0;
}

function isPowerOfTen(ratio: Rational): boolean {
  const order = orderOfMagnitude(ratio);
  const power = order >= 0 ? rational(10n ** BigInt(order)) : rational(1n, 10n ** BigInt(-order));
  return isZeroRational(subtractRational(ratio, power));
}

/** The same digits with the unit a thousand times larger or smaller. */
function prefixed(literal: Quantity, by: Rational): string | undefined {
  const { unit } = literal;
  if (unit === undefined) return undefined;
  const other = unitsOf(unit.dimension).find((candidate) => equalRational(candidate.factor, multiplyRational(unit.factor, by)) && candidate.symbol.endsWith(lastLetter(unit.symbol)));
  return other && formatQuantityPlain({ ...literal, unit: other, base: multiplyRational(literal.base, by) });
}

function lastLetter(symbol: string): string {
  return symbol.slice(-1);
}

/** A tenth of the limit, where that is about the nominal voltage and the limit has no point of its own. */
function tenth(literal: Quantity, nominal: Quantity): string | undefined {
  if (literal.decimals > 0 || literal.unit === undefined) return undefined;
  const base = divideRational(literal.base, rational(10));
  const share = divideRational(absRational(base), absRational(nominal.base));
  if (compareRational(share, rational(4, 5)) < 0 || compareRational(share, rational(5, 4)) > 0) return undefined;
  return formatQuantityPlain({ base, unit: literal.unit }, { decimals: 1 });
}

/** '20 times', '1000 times'. */
function timesText(share: Rational): string {
  const number = Number(share.numerator) / Number(share.denominator);
  const rounded = number >= 100 ? Number(number.toPrecision(2)) : Math.round(number);
  return `${rounded} times`;
}
