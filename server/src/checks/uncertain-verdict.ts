import { parseAccuracy, uncertaintyOf } from '../quantity/accuracy.ts';
import { formatWritten } from '../quantity/format-band.ts';
import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { describeQuantityWord } from '../quantity/quantity-words.ts';
import { absRational, compareRational, divideRational, maxRational, multiplyRational, rational, rationalToDecimal, subtractRational, type Rational } from '../quantity/rational.ts';
import { findUnit } from '../quantity/unit.ts';
import type { Check } from './check.ts';
import { words } from './edits.ts';
import { limitVerdicts } from './limit-verdicts.ts';
import { limitsOfSteps, type Limit, type LimitsOfStep } from './limits-of.ts';
import { nameOf } from './walk-of.ts';

export const uncertainVerdict: Check = {
  name: 'uncertain-verdict',
  severity: 'hint',
  group: 'quantities',
  proves: "The instrument's limit of error is at most a quarter of the tolerance that it is to judge.",
  why: 'Near the limit such an instrument passes what should fail and fails what should pass.',
  source: 'JCGM 106:2012 and ISO 14253-1:2017: tolerance against uncertainty (from memory); the ratio of four to one is common practice, no source',
  shop: `shop: Workshop
instruments:
  clamp: {title: Clamp meter, measures: {dc_current: {up_to: 600 A, resolution: 0.1 A, accuracy: 2 % + 5 counts}}}
  shunt_meter: {title: Shunt meter, measures: {dc_current: {up_to: 60 A, resolution: 0.01 A, accuracy: 0.5 % + 2 counts}}}
`,
  bad: `procedure: heater
title: Heater weak
steps:
  - step: current
    measure: dc_current
    with: clamp
    results:
      - when: between 7.5 A and 8.5 A
        passes: true
      - when: otherwise
        refer: Replace the heater.
`,
  good: `procedure: heater
title: Heater weak
steps:
  - step: current
    measure: dc_current
    with: shunt_meter
    results:
      - when: between 7.5 A and 8.5 A
        passes: true
      - when: otherwise
        refer: Replace the heater.
`,
  *run(context) {
    // A limit that the instrument cannot read or show at all has been reported.
    const judged = new Set(context.once(limitVerdicts).map((verdict) => verdict.index));
    for (const at of context.once(limitsOfSteps)) {
      const measure = at.function;
      const accuracy = measure?.accuracy && parseAccuracy(measure.accuracy.value).accuracy;
      if (judged.has(at.index) || !accuracy || !at.instrument || !measure) continue;
      // A share of a temperature depends on where its scale begins.
      if (at.word === 'temperature' && (accuracy.ofReading.numerator !== 0n || accuracy.ofRange.numerator !== 0n)) continue;
      // That nothing is there is shown by any small reading.
      if (at.step.provesDead) continue;
      const resolution = amount(measure.resolution?.value);
      const fullScale = amount((at.reading?.range ?? measure.upTo)?.value);
      for (const limit of at.limits) {
        const tolerance = toleranceOf(at, limit);
        if (tolerance === undefined) continue;
        const { width, largest } = tolerance;
        const error = uncertaintyOf(largest, { accuracy, resolution, fullScale })?.limit;
        if (error === undefined || compareRational(multiplyRational(error, rational(4)), width) <= 0) continue;
        const share = Number(divideRational(error, width).numerator) / Number(divideRational(error, width).denominator);
        // An error of a temperature is a difference.
        const unit = at.word === 'temperature' ? findUnit('K').unit : limit.values[0]?.unit;
        const shown = formatQuantityPlain({ base: error, unit }, { decimals: decimalsFor(error, unit?.factor) });
        yield {
          span: limit.span,
          step: nameOf(at.step),
          subject: at.instrument.name.value,
          message: `${at.instrument.title?.value ?? words(at.instrument.name.value)} may be off by ${shown} here: ${Math.round(share * 100)} % of the tolerance.`,
          note: `Its accuracy is ${measure.accuracy?.value ?? ''}${measure.resolution ? `, one count ${formatWritten(measure.resolution.value)}` : ''}. A quarter of the tolerance is the usual limit.`,
          help: 'Use a more accurate instrument, or treat readings near the limit as undecided.',
        };
        break;
      }
    }
  },
};

/** Half the width of `between`, or the way from zero to an upper limit; nothing else has a tolerance that could be told. */
function toleranceOf(at: LimitsOfStep, limit: Limit): { width: Rational; largest: Rational } | undefined {
  const value = limit.values[0];
  if (value === undefined || limit.side !== 'high') return undefined;
  if (limit.partner !== undefined) {
    const low = at.limits.find((other) => other.bound === limit.partner)?.values[0];
    if (low === undefined || low.asset !== value.asset) return undefined;
    const width = divideRational(absRational(subtractRational(value.base, low.base)), rational(2));
    return width.numerator === 0n ? undefined : { width, largest: maxRational(absRational(value.base), absRational(low.base)) };
  }
  const fromZero = at.word !== undefined && at.word !== 'temperature' && (describeQuantityWord(at.word).domain === 'not_negative' || at.word === 'dc_voltage' || at.word === 'dc_current');
  return fromZero && value.base.numerator > 0n ? { width: value.base, largest: value.base } : undefined;
}

function amount(quantity: { readonly number: Rational; readonly unit: { readonly factor: Rational } | undefined } | undefined): Rational | undefined {
  return quantity?.unit && multiplyRational(quantity.number, quantity.unit.factor);
}

/** Two significant figures. */
function decimalsFor(base: Rational, factor: Rational | undefined): number {
  const number = factor ? divideRational(base, factor) : base;
  const text = rationalToDecimal(number, { significant: 2 });
  return text.includes('.') ? text.length - text.indexOf('.') - 1 : 0;
}
