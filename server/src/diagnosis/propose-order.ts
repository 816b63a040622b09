/**
 * A better order as an edit of the text that only moves steps and sets ways on: every text stays, letter by letter. It is proposed only where the
 * edited text, analysed again, has no finding that the present one has not, and costs fewer minutes when its own flow is followed.
 */
import type { Exploration } from '../flow/explore.ts';
import type { Finding, TextEdit } from '../findings/finding.ts';
import type { Procedure, Result } from '../procedure/model.ts';
import { diagnosisProblem, minutesOfStep, type CostOptions, type ProcedureProblem } from './from-procedure.ts';
import { testContexts } from './test-context.ts';
import { bestSeriesOrder, passingResults, testSeries, type Series, type SeriesOrder } from './test-series.ts';
import { writtenFlow, writtenOrder, type WrittenCosts, type WrittenFlow } from './written-order.ts';

/** What is known of a text: what Workspace.analyse gives, as far as it is needed here. */
export interface AnalysedText {
  readonly text: string;
  readonly procedure: Procedure;
  readonly exploration: Exploration;
  readonly findings: readonly Pick<Finding, 'check' | 'severity' | 'message' | 'accepted'>[];
}

export interface ProposedMove {
  /** The step that moves, and the one that it then stands before (absent: last of its series). */
  readonly step: string;
  readonly before?: string;
}

export interface OrderProposal {
  /** The whole new text. */
  readonly text: string;
  readonly edit: TextEdit;
  readonly moves: readonly ProposedMove[];
  /** Expected minutes of the flow as it is and as it would be, both followed as written. */
  readonly minutes: number;
  readonly before: number;
  readonly analysed: AnalysedText;
}

export interface ProposalOutcome {
  readonly proposal?: OrderProposal;
  /** What stood in the way of further changes, in sentences. */
  readonly obstacles: readonly string[];
}

const LEAST_GAIN = 0.05;

/** Reorders series one after another, and keeps each change that the analysis of the new text bears out. */
export function proposeOrder(start: AnalysedText, analyse: (text: string) => AnalysedText | undefined, options: CostOptions = {}): ProposalOutcome {
  const obstacles: string[] = [];
  const moves: ProposedMove[] = [];
  const first = measured(start, options);
  let now = { analysed: start, ...first };
  const tried = new Set<string>();
  for (;;) {
    const candidate = nextCandidate(now, tried);
    if (candidate === undefined) break;
    const { order, key } = candidate;
    tried.add(key);
    const text = reorderedText(now.analysed, order);
    if (typeof text !== 'string') {
      obstacles.push(text.obstacle);
      continue;
    }
    const analysed = analyse(text);
    const worse = analysed === undefined ? 'the text could not be analysed again' : newFinding(now.analysed, analysed);
    if (analysed === undefined || worse !== undefined) {
      obstacles.push(`Moving ${movedNames(now.analysed, order)} would spare about ${order.gain.toFixed(1)} minutes, but ${worse ?? ''}`.replace(/([^.])$/, '$1.'));
      continue;
    }
    const next = measured(analysed, options);
    if (next.minutes > now.minutes - LEAST_GAIN) continue;
    moves.push(...movesOf(now.analysed, order));
    now = { analysed, ...next };
  }
  if (moves.length === 0) return { obstacles };
  const { text } = now.analysed;
  return { obstacles, proposal: { text, edit: editBetween(start, text), moves, minutes: now.minutes, before: first.minutes, analysed: now.analysed } };
}

interface Measured {
  readonly flow: WrittenFlow;
  readonly costs: WrittenCosts & ProcedureProblem;
  readonly minutes: number;
  readonly options: CostOptions;
}

function measured({ procedure, exploration }: AnalysedText, options: CostOptions): Measured {
  const problem = diagnosisProblem(procedure, exploration, options);
  const flow = writtenFlow(exploration);
  const costs = { ...problem, minutes: [...procedure.steps, ...procedure.afterRepair].map((step) => minutesOfStep(step, options)) };
  return { flow, costs, minutes: writtenOrder(flow, costs).minutes, options };
}

function nextCandidate(now: Measured & { readonly analysed: AnalysedText }, tried: ReadonlySet<string>): { readonly order: SeriesOrder; readonly key: string } | undefined {
  const { procedure, exploration } = now.analysed;
  const { program } = exploration;
  const contexts = testContexts(procedure, exploration, new Set(now.costs.opening.steps));
  let best: { order: SeriesOrder; key: string } | undefined;
  for (const series of testSeries(procedure, program, now.costs.opening.steps)) {
    const order = bestSeriesOrder(series, procedure, program, now.flow, now.costs, contexts);
    if (order === undefined || order.gain < LEAST_GAIN) continue;
    const key = order.order.map((unit) => procedure.steps[series.units[unit]?.from ?? -1]?.name?.value ?? '').join();
    if (!tried.has(key) && (best === undefined || order.gain > best.order.gain)) best = { order, key };
  }
  return best;
}

/** The first error or warning of the new text that the old one does not have, as a clause. */
function newFinding(before: AnalysedText, after: AnalysedText): string | undefined {
  const counted = (analysed: AnalysedText): string[] =>
    analysed.findings.filter(({ severity, accepted }) => severity !== 'hint' && accepted === undefined).map(({ check, message }) => `${check}: ${message}`);
  const known = counted(before);
  const fresh = counted(after).filter((finding) => !known.includes(finding)).sort((a, b) => Number(a.startsWith('released')) - Number(b.startsWith('released')))[0];
  return fresh === undefined ? undefined : `the new text would have a finding that it does not have now (${fresh})`;
}

/** The text with the units of a series in another order; or what stands in the way. */
export function reorderedText({ text, procedure, exploration }: AnalysedText, { series, order }: SeriesOrder): string | { readonly obstacle: string } {
  const blocks = blocksOf(text, procedure, series);
  if (blocks === undefined) return { obstacle: 'The steps do not each begin on a line of their own, so that they cannot be moved.' };
  const { program } = exploration;
  const names = procedure.steps.map((step) => step.name?.value);
  const unitName = (unit: number): string | undefined => names[series.units[unit]?.from ?? -1];
  const edits: TextEdit[] = [];
  const retarget = new Map<string, string>();
  const [first] = order as [number];
  const oldFirst = unitName(0);
  const newFirst = unitName(first);
  if (oldFirst === undefined || newFirst === undefined) return { obstacle: 'A step of the series has no name.' };
  if (oldFirst !== newFirst) retarget.set(oldFirst, newFirst);

  const last = order[order.length - 1] as number;
  const oldLast = series.units.length - 1;
  const change = (start: number, end: number, newText: string): void => { edits.push({ file: procedure.file, span: { start, end }, newText }); };
  // A way that a writer spelled out to the next unit leads to the one that now follows. Where none is spelled out, the list does it.
  series.units.forEach((unit, index) => {
    const at = order.indexOf(index);
    const following = order[at + 1];
    const next = following === undefined ? names[(series.units[oldLast]?.to ?? 0) + 1] : unitName(following);
    const exit = index === oldLast ? (series.closed ? undefined : names[unit.to + 1]) : unitName(index + 1);
    if (exit === undefined || next === undefined || exit === next || (following === undefined && series.closed)) return;
    for (let step = unit.from; step <= unit.to; step++) {
      const written = procedure.steps[step];
      for (const name of [written?.go, ...(written?.results ?? []).map(({ way }) => (way.kind === 'go' ? way.step : undefined))]) {
        if (name?.value === exit) change(name.span.start, name.span.end, next);
      }
    }
  });
  if (series.closed && last !== oldLast) {
    const closing = series.units[oldLast]?.to ?? -1;
    const opened = series.units[last]?.to ?? -1;
    const from = procedure.steps[closing]?.results[passingResults(program, closing)[0] ?? -1];
    const to = procedure.steps[opened]?.results[passingResults(program, opened)[0] ?? -1];
    if (from === undefined || to === undefined || from.way.kind === 'next') return { obstacle: `The way on of '${names[closing] ?? ''}' cannot be given to another step.` };
    const wayText = text.slice(from.way.span.start, from.way.span.end).trimEnd();
    removeWay(text, from, change);
    if (to.way.kind === 'next') addWay(text, to, wayText, change);
    else change(to.way.span.start, to.way.span.end, wayText);
  }
  // Ways into the series from elsewhere lead to its new first step.
  for (const [index, step] of [...procedure.steps, ...procedure.afterRepair].entries()) {
    const inSeries = index >= (series.units[0]?.from ?? 0) && index <= (series.units[oldLast]?.to ?? -1);
    if (inSeries) continue;
    for (const name of [step.go, ...step.results.map(({ way }) => (way.kind === 'go' ? way.step : undefined))]) {
      const to = name === undefined ? undefined : retarget.get(name.value);
      if (name && to) change(name.span.start, name.span.end, to);
    }
  }

  const within = (start: number, end: number): TextEdit[] => edits.filter(({ span }) => span.start >= start && span.end <= end);
  const bodies = blocks.map(({ start, end }) => applied(text, start, end, within(start, end)));
  const [begin, end] = [blocks[0]?.start ?? 0, blocks[blocks.length - 1]?.end ?? 0];
  const separators = blocks.slice(1).map((block, index) => text.slice(blocks[index]?.end ?? 0, block.start));
  const middle = order.map((unit, index) => (bodies[unit] ?? '') + (separators[index] ?? '')).join('');
  return applied(text, 0, begin, within(0, begin)) + middle + applied(text, end, text.length, within(end, text.length));
}

/** The lines of each unit, without the blank lines after it. A comment right above a unit moves with it, but for the first. */
function blocksOf(text: string, procedure: Procedure, series: Series): { readonly start: number; readonly end: number }[] | undefined {
  const lineStart = (offset: number): number => text.lastIndexOf('\n', offset - 1) + 1;
  const dashLine = (step: number): number | undefined => {
    const name = procedure.steps[step];
    if (name === undefined) return undefined;
    const start = lineStart(name.span.start);
    return /^\s*-\s/.test(text.slice(start, name.span.start + 1)) || /^\s*-\s*$/.test(text.slice(start, name.span.start)) ? start : undefined;
  };
  const starts: number[] = [];
  for (const [index, unit] of series.units.entries()) {
    let start = dashLine(unit.from);
    if (start === undefined) return undefined;
    while (index > 0) {
      const above = lineStart(Math.max(0, start - 1));
      if (above >= start || !/^\s*#/.test(text.slice(above, start))) break;
      start = above;
    }
    starts.push(start);
  }
  if (new Set(starts).size !== starts.length) return undefined;
  const lastStep = procedure.steps[series.units[series.units.length - 1]?.to ?? -1];
  const lastLineEnd = text.indexOf('\n', Math.max(0, (lastStep?.span.end ?? 0) - 1));
  const endOfAll = lastLineEnd < 0 ? text.length : lastLineEnd + 1;
  return starts.map((start, index) => {
    const next = starts[index + 1] ?? endOfAll;
    const body = text.slice(start, next);
    return { start, end: start + body.trimEnd().length + (body.trimEnd().length < body.length ? 1 : 0) };
  });
}

function removeWay(text: string, result: Result, change: (start: number, end: number, newText: string) => void): void {
  removeKey(text, result.way.span.start, result.way.span.end, change);
}

/** Takes a key out with its line, or with its comma inside braces. */
function removeKey(text: string, start: number, end: number, change: (start: number, end: number, newText: string) => void): void {
  const lineStart = text.lastIndexOf('\n', start - 1) + 1;
  let stop = end;
  while (stop > start && /\s/.test(text[stop - 1] ?? '')) stop--;
  const lineEnd = text.indexOf('\n', stop);
  const rest = text.slice(stop, lineEnd < 0 ? text.length : lineEnd);
  if (text.slice(lineStart, start).trim() === '' && /^\s*(?:#.*)?$/.test(rest)) change(lineStart, lineEnd < 0 ? text.length : lineEnd + 1, '');
  else {
    const comma = /,\s*$/.exec(text.slice(0, start));
    change(comma ? start - comma[0].length : start, stop, '');
  }
}

/** Gives a result a way on, as the last of its keys, in the layout that it has. */
function addWay(text: string, result: Result, way: string, change: (start: number, end: number, newText: string) => void): void {
  let end = result.span.end;
  while (end > result.span.start && /\s/.test(text[end - 1] ?? '')) end--;
  if (text[end - 1] === '}') {
    change(end - 1, end - 1, `, ${way}`);
    return;
  }
  const lineStart = text.lastIndexOf('\n', result.span.start - 1) + 1;
  const keys = text.slice(lineStart, result.span.start).replace(/-/g, ' ');
  const lineEnd = text.indexOf('\n', end);
  const at = lineEnd < 0 ? text.length : lineEnd + 1;
  change(at, at, `${lineEnd < 0 ? '\n' : ''}${keys}${way}\n`);
}

function applied(text: string, start: number, end: number, edits: readonly TextEdit[]): string {
  let result = '';
  let at = start;
  for (const { span, newText } of [...edits].sort((a, b) => a.span.start - b.span.start)) {
    if (span.start < at) continue;
    result += text.slice(at, span.start) + newText;
    at = span.end;
  }
  return result + text.slice(at, end);
}

function movedNames(analysed: AnalysedText, order: SeriesOrder): string {
  const moves = movesOf(analysed, order).map(({ step, before }) => (before === undefined ? `'${step}' last` : `'${step}' before '${before}'`));
  return moves.length > 2 ? `${moves.slice(0, 2).join(', ')} and more` : moves.join(' and ');
}

/** The fewest moves that lead from the old to the new order: what is not in the longest run that keeps its order. */
function movesOf({ procedure }: AnalysedText, { series, order }: SeriesOrder): ProposedMove[] {
  const keep = longestRising(order);
  const name = (unit: number): string => {
    const { from, to } = series.units[unit] as { from: number; to: number };
    const test = procedure.steps.slice(from, to + 1).find((step) => step.results.length > 0);
    return (test ?? procedure.steps[from])?.name?.value ?? '';
  };
  return order.flatMap((unit, at) => {
    if (keep.has(unit)) return [];
    const next = order.slice(at + 1).find((other) => keep.has(other));
    return [{ step: name(unit), ...(next === undefined ? {} : { before: name(next) }) }];
  });
}

function longestRising(order: readonly number[]): Set<number> {
  const runs: number[][] = [];
  order.forEach((value, at) => {
    let best: number[] = [];
    for (let before = 0; before < at; before++) if ((order[before] as number) < value && (runs[before]?.length ?? 0) > best.length) best = runs[before] as number[];
    runs.push([...best, value]);
  });
  return new Set(runs.reduce((best, run) => (run.length > best.length ? run : best), []));
}

/** One edit from the first to the last letter that differs. */
function editBetween({ text, procedure }: AnalysedText, newText: string): TextEdit {
  let start = 0;
  while (start < text.length && text[start] === newText[start]) start++;
  let end = 0;
  while (end < text.length - start && end < newText.length - start && text[text.length - 1 - end] === newText[newText.length - 1 - end]) end++;
  return { file: procedure.file, span: { start, end: text.length - end }, newText: newText.slice(start, newText.length - end) };
}
