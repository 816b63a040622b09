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
const NOT_BY_MOVING = 'Moving steps alone does not bring it about: readings would have to be taken in another order, or a test stand in several branches.';

export function diagnosisWords({ report, learned, proposal, obstacles, looked }: DiagnosisOutcome): DiagnosisWords {
  const { numbers: { written, best }, procedure, perPerson } = report;
  const unit = perPerson ? 'person-minutes' : 'minutes';
  const lines: DiagnosisLine[] = procedure.inspection ? [] : [
    { label: `${unit} to a finding, on average`, written: number(written.minutes), best: best.sound ? number(best.minutes) : '' },
    ...(Math.abs(written.planned - written.minutes) > LEAST_GAIN ? [{ label: 'the same, each reading and state only when it is first needed', written: number(written.planned), best: '' }] : []),
    { label: 'steps to a finding, on average', written: number(written.steps), best: '' },
    { label: `worst case, ${unit}`, written: number(written.worstMinutes), best: best.sound ? number(best.worstMinutes) : '' },
    { label: 'found, of the cases one of these faults causes', written: percent(written.detected.weighted), best: '' },
    { label: 'of these, found to be the right one', written: percent(written.isolated.weighted), best: '' },
  ];
  return {
    lines, assumptions: report.assumptions,
    obstacles: !looked || obstacles.length > 0 || proposal || procedure.inspection || !best.sound || written.planned - best.minutes < LEAST_GAIN ? obstacles : [NOT_BY_MOVING],
    verdict: verdictOf(report),
    moves: proposal ? proposalSentences(proposal, unit) : [],
    isolation: isolationSentences(report),
    records: learned ? recordSentences(report, learned) : [],
  };
}

export function number(value: number, decimals = 1): string {
  return value.toFixed(decimals);
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

function verdictOf({ numbers: { written, best }, procedure, perPerson }: DiagnosisOutcome['report']): string[] {
  const unit = perPerson ? 'person-minutes' : 'minutes';
  if (procedure.inspection) return ['An inspection looks at everything: there is no search whose order could be better.'];
  if (!best.sound) return ['No order of these tests was found in which each means what it says.'];
  const gain = written.planned - best.minutes;
  const surely = best.exact ? 'No order of these tests takes fewer.' : `No order can take fewer than ${number(best.lowerBound)}; the best one found is within ${number(best.minutes - best.lowerBound)} of that.`;
  if (gain < -LEAST_GAIN) return [`The order as written stops before the faults are told apart; telling them apart takes ${number(best.minutes)} ${unit}.`];
  if (gain < LEAST_GAIN) return [`The order as written is as good as the best one found. ${surely}`];
  const found: string[] = [`The best order found takes ${number(best.minutes)} ${unit} on average, ${number(gain)} fewer than these tests in the order as written. ${surely}`];
  const move = best.firstMove;
  if (move) {
    const after = move.after.length === 0 ? 'To begin with' : `After ${move.after.slice(-2).map(({ test, when }) => `'${test}' (${short(when)})`).join(' and ')}`;
    found.push(`${after}, it does '${move.test}'${move.insteadOf === undefined ? '' : ` before '${move.insteadOf}'`}.`);
  }
  return found;
}

function proposalSentences({ moves, minutes, before }: NonNullable<DiagnosisOutcome['proposal']>, unit: string): string[] {
  return [
    `Moving ${moves.length === 1 ? 'one step' : `${moves.length} steps`} takes the order as written from ${number(before, 2)} to ${number(minutes, 2)} ${unit}. Texts and limits stay as they are, and every check stays as it was.`,
    ...moves.map(({ step, before: other }) => (other === undefined ? `Move '${step}' behind the others.` : `Move '${step}' before '${other}'.`)),
  ];
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

function recordSentences({ faults, perPerson }: DiagnosisOutcome['report'], { weights, records, minutes }: NonNullable<DiagnosisOutcome['learned']>): string[] {
  const unit = perPerson ? 'person-minutes' : 'minutes';
  const found = [`${records} ${records === 1 ? 'record finds' : 'records find'} one of these faults. The written weights count as 10 findings beside them.`];
  const changed = weights.filter(({ learned, written, spread }) => Math.abs(learned - written) > 2 * spread).sort((a, b) => Math.abs(b.learned - b.written) - Math.abs(a.learned - a.written));
  for (const { fault, written, learned, spread } of changed.slice(0, MOST_CHANGED)) {
    const title = faults.find(({ name }) => name === fault)?.title ?? fault;
    found.push(`The order was written for ${percent(written)} '${title}'; your records say ${percentWithSpread(learned, spread)}.`);
  }
  if (changed.length === 0) found.push('They agree with the written weights, within twice their spread.');
  if (changed.length > MOST_CHANGED) found.push(`${changed.length - MOST_CHANGED} more differ by over twice their spread: see the table of faults.`);
  const gain = minutes.planned - minutes.best;
  found.push(`With what the records say, the order as written takes ${number(minutes.written)} ${unit} on average${gain < LEAST_GAIN ? ', and no better one was found.' : `, and the best order found ${number(gain)} fewer than its tests as written.`}`);
  return found;
}

function short(text: string): string {
  return text.length > 40 ? `${text.slice(0, 38).trimEnd()} …` : text;
}
