/** What a diagnosis says in words, the same at the terminal and on a page. */
import type { DiagnosisOutcome } from '../features/diagnosis.ts';

export interface DiagnosisLine {
  readonly label: string;
  readonly written: string;
  readonly best: string;
}

export interface DiagnosisWords {
  readonly lines: readonly DiagnosisLine[];
  /** What the search for a better order came to: sentences. */
  readonly verdict: readonly string[];
  readonly moves: readonly string[];
  readonly obstacles: readonly string[];
  readonly isolation: readonly string[];
  readonly records: readonly string[];
  readonly assumptions: readonly string[];
}

export const DIAGNOSIS_CLOSING = 'These numbers weigh minutes and chances, not dangers. Follow the maker’s data, local codes and the shop’s rules.';

const LEAST_GAIN = 0.05;
/** Weights that the records contradict, as far as each has a sentence. */
const MOST_CHANGED = 3;
/** Gaps in percent below this are rounding. */
const LEAST_GAP = 0.05;

export function diagnosisWords({ report, learned, proposal, beyond, obstacles, looked, byRecords }: DiagnosisOutcome): DiagnosisWords {
  const { numbers: { written, best }, procedure } = report;
  const unit = unitOf(report);
  const lines: DiagnosisLine[] = procedure.inspection ? [] : [
    { label: `${unit} to a finding, on average`, written: average(written.minutes), best: best.sound ? average(best.minutes) : '' },
    ...(Math.abs(written.planned - written.minutes) > LEAST_GAIN ? [{ label: 'the same, each reading and state only when it is first needed', written: average(written.planned), best: '' }] : []),
    ...(best.sound ? [{ label: 'no order of these tests takes fewer than', written: '', best: average(best.lowerBound) }] : []),
    { label: `${unit} in the worst case`, written: number(written.worstMinutes), best: best.sound ? number(best.worstMinutes) : '' },
    { label: 'steps to a finding, on average', written: number(written.steps), best: '' },
    { label: 'cases in which a fault is found', written: percent(written.detected.weighted), best: '' },
    { label: 'of these, the right fault', written: percent(written.isolated.weighted), best: '' },
  ];
  return {
    lines, assumptions: [...(byRecords ? ['The weights are those that the records say, not those written.'] : []), ...report.assumptions],
    obstacles: looked ? [...obstacles, ...(beyond && best.sound ? [beyondSentence(beyond, unit, proposal !== undefined)] : [])] : [],
    verdict: verdictOf(report),
    moves: proposal ? proposalSentences(proposal, unit, procedure.released) : [],
    isolation: isolationSentences(report),
    records: learned ? recordSentences(report, learned) : [],
  };
}

/** A step of the search with what it takes and, where it is a test, what it brings. */
export interface StepRow {
  readonly name: string;
  readonly minutes: number;
  readonly timed: boolean;
  readonly people: number;
  readonly reached: number;
  readonly keptFirst: boolean;
  /** Of a test. */
  readonly bits?: number;
  readonly bitsPerMinute?: number;
}

/** All steps that some fault comes to, in the order as written. */
export function stepRows({ numbers, tests, others }: DiagnosisOutcome['report']): StepRow[] {
  const infos = new Map([...others, ...tests].map((step) => [step.name, step]));
  const kept = new Set(tests.flatMap((test) => (test.keptFirst ? [test.name] : [])));
  return numbers.steps.flatMap(({ step, minutes, reached }): StepRow[] => {
    const info = infos.get(step);
    const value = numbers.values.find(({ test }) => test === step);
    if (info === undefined) return [];
    return [{
      name: step, minutes, timed: info.timed, people: info.people, reached, keptFirst: kept.has(step),
      ...(value === undefined ? {} : { bits: value.bits, ...(value.bitsPerMinute === undefined ? {} : { bitsPerMinute: value.bitsPerMinute }) }),
    }];
  });
}

export const STEP_ROWS_NOTE = 'Bits say how much a test tells on average, where it stands: 1 bit halves what is open. Minutes of a reading that was stored count to the test that judges it.';

export function unitOf({ perPerson }: DiagnosisOutcome['report']): string {
  return perPerson ? 'person-minutes' : 'minutes';
}

export function number(value: number, decimals = 1): string {
  return value.toFixed(decimals);
}

/** Minutes on average: differences of a few seconds are to be seen. */
export function average(minutes: number): string {
  return number(minutes, 2);
}

/** A share in whole percent; the sign never parts from its number. */
export function percent(share: number): string {
  const value = 100 * share;
  if (value > 0 && value < 1) return '<\u00a01\u00a0%';
  if (value < 100 && value > 99) return '>\u00a099\u00a0%';
  return `${Math.round(value)}\u00a0%`;
}

/** A share and its standard deviation. */
export function percentWithSpread(share: number, spread: number): string {
  return `${percent(share)}\u00a0±\u00a0${percent(spread)}`;
}

function verdictOf(report: DiagnosisOutcome['report']): string[] {
  const { numbers: { written, best }, procedure } = report;
  const unit = unitOf(report);
  if (procedure.inspection) return ['An inspection looks at everything: there is no search whose order could be better.'];
  if (!best.sound) return ['No order of these tests was found in which each means what it says.'];
  const gain = written.planned - best.minutes;
  const gap = 100 * (best.minutes / Math.max(best.lowerBound, 1e-9) - 1);
  const surely = best.exact || gap < LEAST_GAP ? 'No order of these tests takes fewer.'
    : `No order can take fewer than ${average(best.lowerBound)}: the gap is ${average(best.minutes - best.lowerBound)} ${unit}, ${number(gap)}\u00a0%.`;
  const than = Math.abs(written.planned - written.minutes) > LEAST_GAIN ? 'fewer than these tests in the order as written' : 'fewer than the order as written';
  if (gain < -LEAST_GAIN) return [`The order as written stops before the faults are told apart; telling them apart takes ${average(best.minutes)} ${unit}.`];
  if (gain < LEAST_GAIN) return [`The order as written is as good as the best one found. ${surely}`];
  const found: string[] = [`The best order found takes ${average(best.minutes)} ${unit} on average, ${average(gain)} ${than}. ${surely}`];
  if (best.firstMove) found.push(`${goesAnotherWay(best.firstMove)}.`);
  return found;
}

/** Where an order first differs from the one written, as a clause. */
function goesAnotherWay({ after, test, insteadOf }: NonNullable<DiagnosisOutcome['report']['numbers']['best']['firstMove']>): string {
  const where = after.length === 0 ? 'To begin with' : `After ${after.slice(-2).map((one) => `'${one.test}' (${short(one.when)})`).join(' and ')}`;
  return `${where}, it does '${test}'${insteadOf === undefined ? '' : ` before '${insteadOf}'`}`;
}

function beyondSentence({ minutes, move }: NonNullable<DiagnosisOutcome['beyond']>, unit: string, more: boolean): string {
  const spares = `The best order found would spare ${average(minutes)} ${unit} ${more ? 'more' : ''}`.trimEnd();
  const reason = 'A list of steps cannot do that by moving alone: the step would have to stand in several branches, or the machine be brought into another state in between.';
  return `${spares}. ${move ? `${goesAnotherWay(move)}. ` : ''}${reason}`;
}

function proposalSentences({ moves, minutes, before }: NonNullable<DiagnosisOutcome['proposal']>, unit: string, released: boolean): string[] {
  return [
    `${moves.length === 1 ? 'One move takes' : `${moves.length} moves take`} the order as written from ${average(before)} to ${average(minutes)} ${unit} on average. Texts and limits stay as they are, and no check finds anything new.${released ? ' As the procedure is released, the new order needs a new revision and its approval.' : ''}`,
    ...moves.map((move) => moveSentence(move, unit)),
  ];
}

/** One move, and what it spares. */
export function moveSentence({ step, through, before, behind, gain }: NonNullable<DiagnosisOutcome['proposal']>['moves'][number], unit: string): string {
  const what = through === undefined ? `'${step}'` : `the steps from '${step}' to '${through}'`;
  return `Move ${what} ${before === undefined ? `behind '${behind ?? ''}'` : `before '${before}'`}${gain === undefined ? '' : `: ${average(gain)} ${unit} fewer`}.`;
}

export interface SideBySide {
  readonly number: number;
  readonly before: string;
  readonly after: string;
  /** The number that `after` has as written. */
  readonly was: number;
  /** It moves; the others make room. */
  readonly moved: boolean;
}

/** The steps side by side, as they are and as they would be, from the first to the last that differs. */
export function stepsSideBySide({ steps: { before, after } }: NonNullable<DiagnosisOutcome['proposal']>): SideBySide[] {
  const was = after.map((step) => before.indexOf(step) + 1);
  const stays = longestRising(was);
  const rows = before.map((step, index): SideBySide => ({ number: index + 1, before: step, after: after[index] ?? '', was: was[index] ?? 0, moved: !stays.has(was[index] ?? 0) }));
  const differs = rows.map((row) => row.before !== row.after);
  return rows.slice(differs.indexOf(true), differs.lastIndexOf(true) + 1);
}

/** The longest run of numbers that rise, not necessarily side by side. */
function longestRising(numbers: readonly number[]): Set<number> {
  const runs: number[][] = [];
  numbers.forEach((number, at) => {
    const before = runs.slice(0, at).filter((run) => (run[run.length - 1] as number) < number).reduce<number[]>((best, run) => (run.length > best.length ? run : best), []);
    runs.push([...before, number]);
  });
  return new Set(runs.reduce<number[]>((best, run) => (run.length > best.length ? run : best), []));
}

function isolationSentences({ isolation, faults, numbers, procedure }: DiagnosisOutcome['report']): string[] {
  const names = (indexes: readonly number[]): string => indexes.map((index) => faults[index]?.name ?? '').join(', ');
  const groups = isolation.groups.filter((group) => group.faults.length > 1);
  const found: string[] = [];
  if (procedure.inspection) return found;
  found.push(`Fraction detected: ${percent(isolation.detected.count)} of the faults, ${percent(isolation.detected.weighted)} by weight.`);
  for (const { size, count, weighted } of isolation.isolatedTo) {
    found.push(`Fraction isolated to ${size === 1 ? 'one fault' : `${size} faults or fewer`}: ${percent(count)} of those detected, ${percent(weighted)} by weight.`);
  }
  if (groups.length === 0) found.push('No two faults answer every test alike: there is no ambiguity group.');
  for (const group of groups) found.push(`Ambiguity group of ${group.faults.length}, ${percent(group.share)} of the cases: ${names(group.faults)}. No test tells them apart.`);
  for (const fault of numbers.written.faults) {
    if (fault.mistaken > 0.001) found.push(`'${fault.fault}' is taken for ${fault.mistakenFor.join(' or ')} in ${percent(fault.mistaken)} of its cases.`);
    if (fault.referred > 0.001) found.push(`'${fault.fault}' ends without a finding in ${percent(fault.referred)} of its cases.`);
  }
  return found;
}

function recordSentences(report: DiagnosisOutcome['report'], { weights, records, minutes }: NonNullable<DiagnosisOutcome['learned']>): string[] {
  const { faults } = report;
  const unit = unitOf(report);
  const found = [`${records} ${records === 1 ? 'record finds' : 'records find'} one of these faults. The written weights count as 10 findings beside them.`];
  const changed = weights.filter(({ learned, written, spread }) => Math.abs(learned - written) > 2 * spread).sort((a, b) => Math.abs(b.learned - b.written) - Math.abs(a.learned - a.written));
  for (const { fault, written, learned, spread } of changed.slice(0, MOST_CHANGED)) {
    const title = faults.find(({ name }) => name === fault)?.title ?? fault;
    found.push(`The order was written for ${percent(written)} '${title}'; your records say ${percentWithSpread(learned, spread)}.`);
  }
  if (changed.length === 0) found.push('They agree with the written weights, within twice their spread.');
  if (changed.length > MOST_CHANGED) found.push(`${changed.length - MOST_CHANGED} more differ by over twice their spread: see the table of faults.`);
  const gain = minutes.planned - minutes.best;
  found.push(`With what the records say, the order as written takes ${average(minutes.written)} ${unit} on average${gain < LEAST_GAIN ? ', and no better one was found.' : `, and the best order found ${average(gain)} fewer.`}`);
  return found;
}

function short(text: string): string {
  return text.length > 40 ? `${text.slice(0, 38).trimEnd()} …` : text;
}
