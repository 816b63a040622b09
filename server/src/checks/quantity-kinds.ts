/** Limits and other quantities of a kind that their reading is not: the ground of unit-mismatch and unit-missing. */
import type { Fix, Report } from '../findings/finding.ts';
import type { Declared } from '../procedure/scope.ts';
import type { Instrument, Step } from '../procedure/model.ts';
import { parseAccuracy } from '../quantity/accuracy.ts';
import { checkBand, mixedPressures } from '../quantity/band-kinds.ts';
import { dimensionOf } from '../quantity/evaluate.ts';
import { expressionsOf } from '../quantity/expression.ts';
import { formatExpression, formatWritten } from '../quantity/format-band.ts';
import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import type { Span } from '../text/span.ts';
import { dimensionTitle } from '../quantity/dimension.ts';
import { describeQuantityWord, quantityPhrase, quantityWord, unitFits } from '../quantity/quantity-words.ts';
import { symbolsOf } from './band-examinations.ts';
import { allSteps, type CheckContext } from './check.ts';
import { listed } from './edits.ts';
import { bandsOf, placeInBand, readingDimension, type BandOfStep } from './limits-of.ts';
import { nameOf } from './walk-of.ts';

export interface KindReport extends Report {
  readonly check: 'unit-missing' | 'unit-mismatch';
}

export function kindReports(context: CheckContext): KindReport[] {
  return [...allSteps(context.procedure).flatMap((step) => [...ofExpression(context, step), ...ofBands(context, step), ...ofRange(context, step)]), ...ofInstruments(context)];
}

function ofBands(context: CheckContext, step: Step): KindReport[] {
  if (step.judgeUnread) return [];
  const environment = context.once(symbolsOf);
  const dimension = readingDimension(context, step);
  const points = step.atEach.length > 0 && step.judge === undefined && step.seek === undefined ? step.atEach.map((point) => point.name.value) : undefined;
  const word = step.kind === 'measure' && step.judge?.value !== 'spread' ? quantityWord(step.quantity?.value ?? '') : undefined;
  const bands = bandsOf(step);
  const problems = [
    ...bands.flatMap((at, index) => checkBand(at.band, index, { word, dimension, points, environment })),
    ...mixedPressures(bands.map((at) => at.band), dimension, environment),
  ];
  const bounds = bands.reduce((count, at) => count + expressionsOf(at.band).length, 0);
  const mismatched = problems.filter((problem) => problem.kind === 'unit-mismatch');
  if (word && step.quantity && bounds > 1 && mismatched.length === bounds) {
    // Every limit is of another kind: what is measured is the mistake, and one finding is enough.
    const first = bands[mismatched[0]?.band ?? 0];
    const limits = [...new Set(bands.flatMap((at) => expressionsOf(at.band).map(formatExpression)))];
    return [{
      check: 'unit-mismatch',
      span: step.quantity.span,
      step: nameOf(step),
      message: `'${nameOf(step)}' measures ${quantityPhrase(word)}, and ${limits.length === 1 ? 'its limit is' : 'its limits are'} ${listed(limits)}.`,
      help: 'Change what is measured, or the units of the limits.',
      ...(first ? { related: [{ file: context.file, span: first.span, message: 'The first limit is here.' }] } : {}),
    }];
  }
  return problems.flatMap((problem): KindReport[] => {
    const at = bands[problem.band];
    if (at === undefined || !['unit-missing', 'unit-mismatch', 'expression'].includes(problem.kind)) return [];
    const span = placeInBand(at, problem.span);
    const missing = problem.kind === 'unit-missing';
    return [{
      check: missing ? 'unit-missing' : 'unit-mismatch',
      span,
      step: nameOf(step),
      message: problem.message,
      ...(problem.help === undefined ? {} : { help: problem.help }),
      ...(missing ? {} : sameNumber(context, at, problem.span, dimension)),
      ...(missing && word ? { fixes: describeQuantityWord(word).usualUnits.slice(0, 3).map((unit) => ({
        title: `Write the unit ${unit}`, edits: [{ file: context.file, span: { start: span.end, end: span.end }, newText: ` ${unit}` }], altersMeaning: true,
      })) } : {}),
    }];
  });
}

/** What the same number means as the kind that is read: 12 °C as a difference is 12 K, 35 J of a torque are 35 N·m. */
const SAME_NUMBER: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  temperature_difference: { '°C': 'K', '°F': 'Δ°F' },
  temperature: { 'Δ°C': '°C', 'Δ°F': '°F' },
  torque: { J: 'N·m', kJ: 'kN·m' },
  energy: { 'N·m': 'J' },
};

function sameNumber({ file }: CheckContext, at: BandOfStep, place: Span, dimension: string | undefined): { fixes: Fix[] } | undefined {
  const bound = expressionsOf(at.band).find(({ span }) => span.start === place.start && span.end === place.end);
  const unit = bound?.kind === 'quantity' ? bound.quantity.unit : undefined;
  const other = unit && SAME_NUMBER[dimension ?? '']?.[unit.symbol];
  if (bound?.kind !== 'quantity' || other === undefined) return undefined;
  const newText = formatQuantityPlain({ base: bound.quantity.number, unit: undefined }, { decimals: bound.quantity.decimals });
  return { fixes: [{ title: `Write ${newText} ${other}`, edits: [{ file, span: placeInBand(at, place), newText: `${newText} ${other}` }], altersMeaning: true }] };
}

/** `decide: supply - 5 A`. */
function ofExpression(context: CheckContext, step: Step): KindReport[] {
  const { decide } = step;
  if (decide?.expression === undefined) return [];
  const environment = context.once(symbolsOf);
  const found = dimensionOf(decide.expression, (name) => environment(name)?.dimension);
  if (found.problem === undefined) return [];
  const span = placeInBand({ node: decide.node, span: decide.span }, found.span);
  return [{ check: 'unit-mismatch', span, step: nameOf(step), message: found.problem, ...(found.help === undefined ? {} : { help: found.help }) }];
}

function ofRange({ scope }: CheckContext, step: Step): KindReport[] {
  const word = quantityWord(step.quantity?.value ?? '');
  const range = step.range?.value;
  // A bare number has been reported where it was read.
  if (word === undefined || range?.unit === undefined || step.range === undefined || unitFits(range.unit, word)) return [];
  // The range that an instrument has for what it really reads.
  const instrument = step.instrument && scope.instruments.get(step.instrument.value)?.item;
  const reads = instrument?.measures.map((measure) => quantityWord(measure.quantity.value)).find((other) => other && unitFits(range.unit, other));
  return [{
    check: 'unit-mismatch',
    span: step.range.span,
    step: nameOf(step),
    message: `The range ${formatWritten(range)} is ${dimensionTitle(quantityDimension(range))}, but ${quantityPhrase(word)} is read.`,
    help: reads ? `Set a range of ${quantityPhrase(word)}, or measure ${quantityPhrase(reads)}.` : 'Change the unit, or what is measured.',
  }];
}

/** What instruments are said to read; one of the shop is reported where this procedure first uses it. */
function ofInstruments(context: CheckContext): KindReport[] {
  const seen = new Set<string>();
  const reports: KindReport[] = [];
  for (const instrument of context.procedure.instruments) {
    seen.add(instrument.name.value);
    for (const problem of problemsOf(instrument)) reports.push({ check: 'unit-mismatch', ...problem, subject: instrument.name.value });
  }
  for (const step of allSteps(context.procedure)) {
    const name = step.instrument?.value;
    const declared: Declared<Instrument> | undefined = name === undefined ? undefined : context.scope.instruments.get(name);
    if (declared === undefined || name === undefined || step.instrument === undefined || seen.has(name)) continue;
    seen.add(name);
    for (const { span, ...problem } of problemsOf(declared.item)) {
      reports.push({
        check: 'unit-mismatch', span: step.instrument.span, step: nameOf(step), subject: name, ...problem,
        ...(declared.origin === 'shop' ? { related: [{ file: declared.file, span, message: 'It is declared here.' }] } : {}),
      });
    }
  }
  return reports;
}

function problemsOf(instrument: Instrument): Pick<Report, 'span' | 'message' | 'help'>[] {
  const title = instrument.title?.value ?? instrument.name.value;
  return instrument.measures.flatMap((measure) => {
    const word = quantityWord(measure.quantity.value);
    if (word === undefined) return [];
    const quantities = ([['up_to', measure.upTo], ['from', measure.from], ['resolution', measure.resolution]] as const).flatMap(([key, at]) => {
      const unit = at?.value.unit;
      if (at === undefined || unit === undefined || unitFits(unit, word)) return [];
      if (key === 'resolution' && word === 'temperature' && unit.dimension === 'temperature_difference') return [];
      return [{
        span: at.span,
        message: `${title} reads ${quantityPhrase(word)}, and its \`${key}\` is ${formatWritten(at.value)}.`,
        help: `Write it in ${describeQuantityWord(word).usualUnits[0] ?? 'its own unit'}.`,
      }];
    });
    const accuracy = measure.accuracy && parseAccuracy(measure.accuracy.value);
    if (measure.accuracy === undefined || accuracy === undefined) return quantities;
    if (accuracy.problem !== undefined) return [...quantities, { span: measure.accuracy.span, message: `The accuracy of ${title} for ${quantityPhrase(word)} cannot be read: ${accuracy.problem}`, help: accuracy.help }];
    const fixed = accuracy.accuracy.fixed?.unit;
    const fits = fixed === undefined || unitFits(fixed, word) || (word === 'temperature' && fixed.dimension === 'temperature_difference');
    return fits ? quantities : [...quantities, { span: measure.accuracy.span, message: `${title} reads ${quantityPhrase(word)}, and its accuracy is ${measure.accuracy.value}.`, help: `Write it in ${describeQuantityWord(word).usualUnits[0] ?? 'its own unit'}, in %, or in counts.` }];
  });
}
