/** Which readings now lead elsewhere: the limits of both texts over the whole line of values, exactly. */
import { evaluate, knownQuantity, type Environment } from '../quantity/evaluate.ts';
import { expressionsOf, type Band } from '../quantity/expression.ts';
import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { addRational, compareRational, divideRational, rational, ONE, subtractRational, type Rational } from '../quantity/rational.ts';
import { selectResult } from '../quantity/select-band.ts';
import type { Unit } from '../quantity/unit.ts';
import type { Result, Step } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import type { Effect } from './change.ts';

export interface Limited {
  readonly file: string;
  readonly step: Step;
  readonly scope: Scope;
}

/**
 * One effect for each stretch of readings that goes another way; none where a limit depends on what only a run knows. It is a risk where a proof
 * takes what it did not, or a reading passes that did not, or a defect is no longer recorded.
 */
export function compareReadings(before: Limited, after: Limited): Effect[] {
  if (after.step.kind !== 'measure' || before.step.kind !== 'measure' || before.step.quantity?.value !== after.step.quantity?.value) return [];
  const sides = [sideOf(before), sideOf(after)] as const;
  const [was, is] = sides;
  if (was === undefined || is === undefined || was.dimension !== is.dimension) return [];
  const points = [...was.points, ...is.points].sort(compareRational).filter((point, index, all) => index === 0 || compareRational(point, all[index - 1] as Rational) !== 0);
  if (points.length === 0) return [];
  const unit = is.unit ?? was.unit;
  const stretches: Stretch[] = [];
  const look = (at: Rational, from: Rational | undefined, to: Rational | undefined, isPoint: boolean): void => {
    const results = [resultAt(was, at), resultAt(is, at)] as const;
    const [a, b] = [outcomeOf(results[0]), outcomeOf(results[1])];
    const last = stretches.at(-1);
    if (last && last.was === a && last.is === b && last.to !== undefined && from !== undefined && compareRational(last.to, from) === 0) {
      last.to = to;
      last.ends = [last.ends[0], isPoint];
    } else stretches.push({ from, to, ends: [isPoint, isPoint], was: a, is: b, results });
  };
  const first = points[0] as Rational;
  const end = points.at(-1) as Rational;
  look(subtractRational(first, ONE), undefined, first, false);
  points.forEach((point, index) => {
    look(point, point, point, true);
    const next = points[index + 1];
    if (next !== undefined) look(divideRational(addRational(point, next), rational(2)), point, next, false);
  });
  look(addRational(end, ONE), end, undefined, false);
  const name = after.step.name?.value ?? 'a step';
  return stretches.filter((stretch) => stretch.was !== stretch.is).map((stretch): Effect => {
    const isRisk = isLessSafe(stretch, before, after);
    const proof = isRisk && before.step.provesDead ? `The proof that ${before.step.provesDead.value.replaceAll('_', ' ')} is dead takes more than it did. ` : '';
    return {
      kind: isRisk ? 'risk' : 'other', message: `${proof}A reading ${rangeWords(stretch.from, stretch.to, stretch.ends, unit)} at '${name}' now ${stretch.is}; before, it ${past(stretch.was)}.`,
      span: after.step.name?.span ?? after.step.span, ...(isRisk ? places(stretch.results, before, after) : {}),
    };
  });
}

interface Stretch {
  readonly from: Rational | undefined;
  to: Rational | undefined;
  ends: [boolean, boolean];
  readonly was: string;
  readonly is: string;
  readonly results: readonly [Outcome, Outcome];
}

function isLessSafe({ results: [was, is] }: Stretch, before: Limited, after: Limited): boolean {
  const stopped = was.result === undefined || STOPS.has(was.result.way.kind);
  const goesOn = is.result !== undefined && !STOPS.has(is.result.way.kind);
  if (before.step.provesDead) return stopped && goesOn;
  if (was.result?.raises && is.result && gradeOf(is.result, after) < gradeOf(was.result, before)) return true;
  return is.result?.way.kind === 'passes' && was.result !== undefined && was.result.way.kind !== 'passes' && STOPS.has(was.result.way.kind);
}

const STOPS: ReadonlySet<string> = new Set(['refer', 'finds', 'by_elimination']);

/** 0 where nothing is recorded. */
function gradeOf({ raises }: Result, { scope }: Limited): number {
  return raises === undefined ? 0 : ['minor', 'major', 'dangerous'].indexOf(scope.faults.get(raises.value)?.item.grade?.value ?? 'minor') + 1;
}

/** The limits that took the reading, then and now. */
function places([was, is]: Stretch['results'], before: Limited, after: Limited): Pick<Effect, 'before' | 'after'> {
  const limit = (side: Limited, { result }: Outcome): Effect['before'] => result?.when && { file: side.file, span: result.when.span, text: `${result.when.text}: ${outcomeWords(result)}` };
  const [a, b] = [limit(before, was), limit(after, is)];
  return { ...(a ? { before: a } : {}), ...(b ? { after: b } : {}) };
}

interface Side {
  readonly bands: readonly (Band | undefined)[];
  readonly results: readonly Result[];
  readonly environment: Environment;
  readonly points: readonly Rational[];
  readonly dimension: string;
  readonly unit: Unit | undefined;
}

/** Whether the limits of a step can be compared over all readings. */
export function limitsAreKnown(limited: Limited): boolean {
  return sideOf(limited) !== undefined;
}

/** Undefined where a limit is no number, cannot be worked out from the texts alone, or speaks of points. */
function sideOf({ step, scope }: Limited): Side | undefined {
  const bands = step.results.map((result): Band | undefined => {
    if (result.when?.kind === 'band') return result.when.band;
    return result.when?.kind === 'otherwise' ? { kind: 'otherwise', span: result.when.span } : undefined;
  });
  if (bands.length === 0 || bands.includes(undefined)) return undefined;
  const environment: Environment = (name) => {
    const value = scope.values.get(name)?.item.is?.value;
    return value && knownQuantity(value);
  };
  const points: Rational[] = [];
  let dimension: string | undefined;
  let unit: Unit | undefined;
  for (const band of bands as Band[]) {
    if (band.kind === 'conditions' && band.conditions.some(({ point, comparison }) => point !== undefined || comparison.kind === 'shows')) return undefined;
    for (const bound of expressionsOf(band)) {
      const { value } = evaluate(bound, environment);
      if (value === undefined || value.open) return undefined;
      points.push(value.base);
      dimension ??= value.dimension;
      unit ??= value.unit;
      if (value.dimension !== dimension) return undefined;
    }
  }
  return dimension === undefined ? undefined : { bands, results: step.results, environment, points, dimension, unit };
}

interface Outcome {
  readonly result: Result | undefined;
  readonly several: boolean;
}

function resultAt(side: Side, at: Rational): Outcome {
  const selected = selectResult(side.bands, { kind: 'number', base: at, dimension: side.dimension, unit: side.unit }, side.environment);
  return { result: selected.index === undefined ? undefined : side.results[selected.index], several: selected.several !== undefined };
}

function outcomeOf({ result, several }: Outcome): string {
  return result === undefined ? (several ? 'meets two results at once' : 'meets no result') : outcomeWords(result);
}

/** What a result does, in words that follow 'a reading of this size …'. */
function outcomeWords({ way, rulesOut, leaves, raises }: Result): string {
  const names = (list: readonly { readonly value: string }[]): string => list.map(({ value }) => value).join(', ');
  const words = [
    ...(raises ? [`records ${raises.value}`] : []),
    ...(leaves ? [`leaves ${leaves.length === 0 ? 'nothing' : names(leaves)}`] : []),
    ...(rulesOut.length > 0 ? [`rules out ${names(rulesOut)}`] : []),
    way.kind === 'go' ? `goes to '${way.step.value}'` : way.kind === 'finds' ? `finds ${way.fault.value}` : way.kind === 'by_elimination' ? `finds ${way.fault.value} by elimination`
      : way.kind === 'refer' ? 'refers the case' : way.kind === 'passes' ? 'passes' : 'goes on',
  ];
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`;
}

/** Each word of what a result does stands first in its part. */
function past(words: string): string {
  return words.replace(/(^|, | and )(goes|finds|rules|leaves|refers|passes|records|meets)\b/gu, (_, before: string, verb: string) => `${before}${PAST[verb] ?? verb}`);
}

const PAST: Readonly<Record<string, string>> = {
  goes: 'went', finds: 'found', rules: 'ruled', leaves: 'left', refers: 'referred', passes: 'passed', records: 'recorded', meets: 'met',
};

function rangeWords(from: Rational | undefined, to: Rational | undefined, [fromIn, toIn]: readonly [boolean, boolean], unit: Unit | undefined): string {
  const shown = (base: Rational): string => formatQuantityPlain({ base, unit });
  if (from !== undefined && to !== undefined && compareRational(from, to) === 0) return `of exactly ${shown(from)}`;
  const low = from === undefined ? undefined : `${fromIn ? 'from' : 'above'} ${shown(from)}`;
  const high = to === undefined ? undefined : low === undefined ? `${toIn ? 'up to' : 'below'} ${shown(to)}` : `${toIn ? 'up to' : 'to below'} ${shown(to)}`;
  return [low, high].filter((part) => part !== undefined).join(' ');
}
