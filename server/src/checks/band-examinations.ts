/** The bands of every step, examined once: the ground of reading-gap, reading-overlap, result-never-met and limits-undecided. */
import type { Exploration } from '../flow/explore.ts';
import type { Step } from '../procedure/model.ts';
import { examineBands, type BandExamination } from '../quantity/band-algebra.ts';
import type { Known } from '../quantity/evaluate.ts';
import { dimensionOf, knownQuantity } from '../quantity/evaluate.ts';
import { namesIn, type Band } from '../quantity/expression.ts';
import { boundsOf } from '../flow/readings.ts';
import type { Symbolic, SymbolEnvironment } from '../quantity/linear-form.ts';
import { describeQuantityWord, quantityWord } from '../quantity/quantity-words.ts';
import { allSteps, stepsLookedAt, type CheckContext } from './check.ts';

export interface ExaminedStep {
  readonly step: number;
  readonly examination: BandExamination;
  /** The bands, by result; undefined where one could not be read. */
  readonly bands: readonly (Band | undefined)[];
}

/** Every step whose results are bands. A step with `seek` has `found` and `not_found` instead, and is not among them. */
export function bandExaminations(context: CheckContext): ExaminedStep[] {
  const environment = context.once(symbolsOf);
  return stepsLookedAt(context).flatMap(([index, step]): ExaminedStep[] => {
    const byFact = context.program.steps[index]?.decidesFact !== undefined;
    const judged = (step.kind === 'measure' && step.seek === undefined) || (step.kind === 'decide' && !byFact);
    if (!judged || step.results.length === 0) return [];
    const bands = step.results.map(bandOf);
    // What cannot be read as a `judge` may be any: nothing is then known of the points.
    if (step.judgeUnread) return [];
    // A result without `when`, or with one of another kind, has a finding of its own; what it takes is not known.
    if (bands.every((band) => band === undefined)) return [];
    return [{ step: index, bands, examination: comparable(examined(step, bands, optionsOf(context, step, environment))) }];
  });
}

/** Examinations by all that goes into them: the same few limits stand in hundreds of steps, and an edit changes those of one. */
const examinationsKnown = new Map<string, BandExamination>();
const MOST_EXAMINATIONS = 2000;

function examined(step: Step, bands: readonly (Band | undefined)[], options: Parameters<typeof examineBands>[1]): BandExamination {
  const { environment, ...others } = options;
  const names = bands.flatMap((band) => boundsOf(band).flatMap((bound) => namesIn(bound).map(({ name }) => name)));
  const texts = step.results.map(({ when }) => (when?.kind === 'band' || when?.kind === 'otherwise' ? [when.kind, when.text] : when?.kind));
  const key = JSON.stringify([texts, others, names.map((name) => meaningOf(environment(name)))]);
  let examination = examinationsKnown.get(key);
  if (examination === undefined) {
    if (examinationsKnown.size >= MOST_EXAMINATIONS) examinationsKnown.clear();
    examinationsKnown.set(key, (examination = examineBands(bands, options)));
  }
  return examination;
}

/** All of what a name stands for, as a text. */
function meaningOf(known: Known | Symbolic | undefined): string {
  if (known === undefined) return '';
  if ('symbolic' in known) return `${known.dimension ?? ''} ${known.notNegative ?? ''} ${known.whole ?? ''}`;
  const { base, dimension, unit, open } = known;
  return `${base.numerator}/${base.denominator} ${dimension} ${unit?.symbol ?? ''} ${unit ? `${unit.factor.numerator}/${unit.factor.denominator}` : ''} ${open ?? ''}`;
}

/** A region behind 'a reading': 'of at least 12 V', 'above 12 V'. */
export function ofReading(region: string): string {
  return /^at (?:least|most)\b/u.test(region) ? `of ${region}` : region;
}

/** Where a limit is of another kind than its reading, that is the mistake: what the others leave open is not told until it is mended. */
function comparable(examination: BandExamination): BandExamination {
  const mixed = examination.problems.some((problem) => problem.kind === 'unit-mismatch' || problem.kind === 'unit-missing');
  return mixed ? { ...examination, gaps: [], overlaps: [], neverMet: [], undecided: [] } : examination;
}

/** What each name stands for: shop values are known, readings and facts are symbols of a known kind. */
export function symbolsOf(context: CheckContext): SymbolEnvironment {
  const known = symbolsKnown.get(context.exploration);
  if (known?.scope === context.scope) return known.symbols;
  const symbols = findSymbols(context);
  symbolsKnown.set(context.exploration, { scope: context.scope, symbols });
  return symbols;
}

/** They stay as long as the walks do: an edit of texts leaves both as they were. */
const symbolsKnown = new WeakMap<Exploration, { readonly scope: CheckContext['scope']; readonly symbols: SymbolEnvironment }>();

function findSymbols(context: CheckContext): SymbolEnvironment {
  const symbols = new Map<string, Known | Symbolic>();
  for (const [name, { item }] of context.scope.values) if (item.is) symbols.set(name, knownQuantity(item.is.value));
  for (const fact of context.procedure.facts) {
    const symbol = fact.quantity && symbolOf(fact.quantity.value);
    if (symbol) symbols.set(fact.name.value, symbol);
  }
  for (const step of allSteps(context.procedure)) {
    if (step.name === undefined || step.kind !== 'measure') continue;
    const symbol = symbolOf(step.quantity?.value ?? '');
    if (symbol === undefined) continue;
    symbols.set(step.name.value, symbol);
    for (const point of step.atEach) symbols.set(`${step.name.value}.${point.name.value}`, symbol);
  }
  for (const step of allSteps(context.procedure)) {
    const other = step.kind === 'run' && step.run && step.name ? context.procedureNamed(step.run.value) : undefined;
    for (const inner of other ? allSteps(other.procedure) : []) {
      const symbol = inner.kind === 'measure' ? symbolOf(inner.quantity?.value ?? '') : undefined;
      if (symbol && inner.name) symbols.set(`${step.name?.value ?? ''}.${inner.name.value}`, symbol);
    }
  }
  return (name) => symbols.get(name);
}

function symbolOf(word: string): Symbolic | undefined {
  const known = quantityWord(word);
  if (known === undefined) return undefined;
  const { dimension, domain } = describeQuantityWord(known);
  return { symbolic: true, dimension, notNegative: domain !== 'any', whole: domain === 'whole' };
}

function optionsOf(context: CheckContext, step: Step, environment: SymbolEnvironment): Parameters<typeof examineBands>[1] {
  const word = step.kind === 'measure' ? quantityWord(step.quantity?.value ?? '') : undefined;
  const instrument = step.instrument && context.scope.instruments.get(step.instrument.value)?.item;
  const shown = instrument?.shows.find((shows) => shows.quantity.value === step.quantity?.value)?.words.map((name) => name.value);
  return {
    environment,
    ...(word ? { word } : { dimension: decidedDimension(step, environment) }),
    ...(step.judge ? { judge: step.judge.value } : {}),
    ...(step.atEach.length > 0 ? { points: step.atEach.map((point) => point.name.value) } : {}),
    ...(shown ? { words: shown } : {}),
  };
}

/** The kind of the value that a `decide` compares; undefined where it is not known. */
function decidedDimension({ decide }: Step, environment: SymbolEnvironment): string | undefined {
  return decide?.expression && dimensionOf(decide.expression, (name) => environment(name)?.dimension).dimension;
}

function bandOf({ when }: Step['results'][number]): Band | undefined {
  if (when?.kind === 'band') return when.band;
  if (when?.kind === 'otherwise') return { kind: 'otherwise', span: { start: 0, end: when.text.length } };
  return undefined;
}
