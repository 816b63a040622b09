/**
 * A better order as an edit of the text that only moves steps and sets ways on: every text stays, letter by letter. It is proposed only where the
 * edited text, analysed again, has no finding that the present one has not, and costs fewer minutes when its own flow is followed.
 */
import type { Finding, TextEdit } from '../findings/finding.ts';
import { SearchCancelled, type SearchBudget } from './best-order.ts';
import type { CostOptions } from './from-procedure.ts';
import { editBetween, reorderedText, type WrittenText } from './reordered-text.ts';
import { bestSeriesOrder, gainOfOrder, movesToOrder, withMove, type SeriesFrame, type SeriesOrder, type UnitMove } from './series-order.ts';
import { testContexts } from './test-context.ts';
import { testSeries, type Series } from './test-series.ts';
import { diagnosisSheet } from './report.ts';
import { changedSheet, writtenNumbers, type WhatIf } from './what-if.ts';

/** What is known of a text: what Workspace.analyse gives, as far as it is needed here. */
export interface AnalysedText extends WrittenText {
  readonly findings: readonly Pick<Finding, 'check' | 'severity' | 'message' | 'accepted'>[];
}

export interface ProposedMove {
  /** The step that moves; where several move together, the first of them. */
  readonly step: string;
  /** The last of several. */
  readonly through?: string;
  /** The step that it then stands before; absent where it is the last of its series. */
  readonly before?: string;
  /** Where it is the last: the step that it then stands behind. */
  readonly behind?: string;
  /** Minutes that it spares on average, made after those listed ahead of it; absent where only all of them together make sense. */
  readonly gain?: number;
}

export interface OrderProposal {
  /** The whole new text. */
  readonly text: string;
  readonly edit: TextEdit;
  /** In the order in which they are to be made. */
  readonly moves: readonly ProposedMove[];
  /** Expected minutes of the flow as it is and as it would be, both followed as written. */
  readonly minutes: number;
  readonly before: number;
  /** The steps of the search in their order as it is and as it would be. */
  readonly steps: { readonly before: readonly string[]; readonly after: readonly string[] };
  readonly analysed: AnalysedText;
}

export interface ProposalOutcome {
  readonly proposal?: OrderProposal;
  /** What stood in the way of further changes, in sentences. */
  readonly obstacles: readonly string[];
}

export interface ProposalOptions extends CostOptions {
  /** Other weights and times to go by. */
  readonly change?: WhatIf;
}

const LEAST_GAIN = 0.05;
/** Gains of single moves are told only where together they are the gain that was measured, in minutes. */
const GAINS_AGREE = 0.02;
/** New texts that are analysed at the most. */
const MOST_TEXTS = 60;

/** Reorders series one after another, and keeps each change that the analysis of the new text bears out. Throws SearchCancelled when the budget says so. */
export function proposeOrder(
  start: AnalysedText, analyse: (text: string) => AnalysedText | undefined, options: ProposalOptions = {}, budget: Pick<SearchBudget, 'cancelled'> = {},
): ProposalOutcome {
  const obstacles: string[] = [];
  const moves: ProposedMove[] = [];
  const first = measured(start, options);
  let now = first;
  const tried = new Set<string>();
  for (let texts = 0; texts < MOST_TEXTS; texts++) {
    if (budget.cancelled?.()) throw new SearchCancelled();
    const candidate = nextCandidate(now, tried);
    if (candidate === undefined) break;
    const text = reorderedText(now.analysed, candidate);
    if (typeof text !== 'string') {
      if (!obstacles.includes(text.obstacle)) obstacles.push(text.obstacle);
      continue;
    }
    const analysed = analyse(text);
    const worse = analysed === undefined ? 'the text could not be analysed again' : newFinding(now.analysed, analysed);
    if (analysed === undefined || worse !== undefined) {
      obstacles.push(`${describeMoves(now, candidate)} would spare about ${candidate.gain.toFixed(1)} minutes, but ${worse ?? ''}`.replace(/([^.])$/, '$1.'));
      continue;
    }
    const next = measured(analysed, options);
    if (next.minutes > now.minutes - LEAST_GAIN) continue;
    moves.push(...namedMoves(now, candidate, now.minutes - next.minutes));
    now = next;
  }
  if (moves.length === 0) return { obstacles };
  const { text } = now.analysed;
  const names = ({ procedure }: AnalysedText): string[] => procedure.steps.map((step) => step.name?.value ?? '');
  return {
    obstacles,
    proposal: {
      text, edit: editBetween(start, text), moves, minutes: now.minutes, before: first.minutes, analysed: now.analysed, steps: { before: names(start), after: names(now.analysed) },
    },
  };
}

interface Measured {
  readonly analysed: AnalysedText;
  readonly frame: SeriesFrame;
  readonly minutes: number;
}

function measured(analysed: AnalysedText, options: ProposalOptions): Measured {
  const { procedure, exploration } = analysed;
  const sheet = changedSheet(diagnosisSheet(procedure, exploration, options), options.change ?? {});
  const contexts = testContexts(procedure, exploration, new Set(sheet.opening.steps));
  return { analysed, frame: { procedure, exploration, sheet, contexts }, minutes: writtenNumbers(sheet).minutes };
}

/** The change that spares most and was not tried yet: the best order of a series, or where that was refused one with a single move. */
function nextCandidate({ frame }: Measured, tried: Set<string>): SeriesOrder | undefined {
  const { procedure, exploration, sheet } = frame;
  let best: { order: SeriesOrder; key: string } | undefined;
  for (const series of testSeries(procedure, exploration.program, sheet.opening.steps)) {
    const found = bestSeriesOrder(series, frame);
    if (found === undefined || found.gain < LEAST_GAIN) continue;
    const whole = worthwhile(found, frame);
    const named = (order: readonly number[]): string => order.map((unit) => procedure.steps[series.units[unit]?.from ?? -1]?.name?.value ?? '').join();
    const single = tried.has(named(whole.order)) ? singleMoves(series, frame) : [];
    for (const order of [whole, ...single]) {
      const key = named(order.order);
      if (order.gain >= LEAST_GAIN && !tried.has(key) && (best === undefined || order.gain > best.order.gain)) best = { order, key };
    }
  }
  if (best) tried.add(best.key);
  return best?.order;
}

/** A change without the moves that are not worth touching the text for. */
function worthwhile(whole: SeriesOrder, frame: SeriesFrame): SeriesOrder {
  const moves = movesToOrder(whole, frame).filter(({ gain }) => gain === undefined || gain >= LEAST_GAIN);
  const order = moves.reduce(withMove, whole.series.units.map((_, unit) => unit));
  const gain = gainOfOrder(whole.series, frame, order);
  return gain === undefined || gain < LEAST_GAIN ? whole : { series: whole.series, order, gain };
}

/** Every order of a series in which one unit stands elsewhere. */
function singleMoves(series: Series, frame: SeriesFrame): SeriesOrder[] {
  const asWritten = series.units.map((_, unit) => unit);
  return asWritten.flatMap((unit) => [...asWritten, undefined].flatMap((before): SeriesOrder[] => {
    if (before === unit || before === unit + 1) return [];
    const order = withMove(asWritten, { units: [unit], before });
    const gain = gainOfOrder(series, frame, order);
    return gain === undefined ? [] : [{ series, order, gain }];
  }));
}

/** The first error or warning of the new text that the old one does not have, as a clause. */
function newFinding(before: AnalysedText, after: AnalysedText): string | undefined {
  const counted = (analysed: AnalysedText): string[] =>
    analysed.findings.filter(({ severity, accepted }) => severity !== 'hint' && accepted === undefined).map(({ check, message }) => `${check}: ${message}`);
  const known = counted(before);
  const fresh = counted(after).filter((finding) => !known.includes(finding)).sort((a, b) => Number(a.startsWith('released')) - Number(b.startsWith('released')))[0];
  return fresh === undefined ? undefined : `the new text would have a finding that it does not have now (${fresh})`;
}

function describeMoves(now: Measured, order: SeriesOrder): string {
  const moves = namedMoves(now, order, 0).map(({ step, through, before, behind }) =>
    `'${step}'${through === undefined ? '' : ` to '${through}'`} ${before === undefined ? `behind '${behind ?? ''}'` : `before '${before}'`}`);
  return `Moving ${moves.length > 2 ? `${moves.slice(0, 2).join(', ')} and more` : moves.join(' and ')}`;
}

function namedMoves({ frame }: Measured, order: SeriesOrder, gain: number): ProposedMove[] {
  const name = (unit: number | undefined): string => {
    const { from, to } = order.series.units[unit ?? -1] ?? { from: 0, to: 0 };
    const steps = frame.procedure.steps.slice(from, to + 1);
    return (steps.find((step) => step.results.length > 0) ?? steps[0])?.name?.value ?? '';
  };
  const moves = movesToOrder(order, frame);
  const agree = Math.abs(moves.reduce((sum, move) => sum + (move.gain ?? Infinity), 0) - gain) < GAINS_AGREE;
  return moves.map(({ units, before, behind, gain: own }: UnitMove) => ({
    step: name(units[0]), ...(units.length > 1 ? { through: name(units[units.length - 1]) } : {}),
    ...(before === undefined ? { behind: name(behind) } : { before: name(before) }), ...(agree && own !== undefined ? { gain: own } : {}),
  }));
}
