/**
 * A text with the units of a series in another order: whole steps move, comments above a step with it, and ways on are set so that each unit leads to the
 * one that now follows it. Every other letter stays. It does not judge the order.
 */
import type { TextEdit } from '../findings/finding.ts';
import type { Exploration } from '../flow/explore.ts';
import type { Procedure, Result } from '../procedure/model.ts';
import type { SeriesOrder } from './series-order.ts';
import { leadingResults, type Series } from './test-series.ts';

export interface WrittenText {
  readonly text: string;
  readonly procedure: Procedure;
  readonly exploration: Exploration;
}

/** The text with the units of a series in another order; or what stands in the way. */
export function reorderedText({ text, procedure, exploration }: WrittenText, { series, order }: Pick<SeriesOrder, 'series' | 'order'>): string | { readonly obstacle: string } {
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
    const from = procedure.steps[closing]?.results[leadingResults(program, closing)[0] ?? -1];
    const to = procedure.steps[opened]?.results[leadingResults(program, opened)[0] ?? -1];
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

  // A way added behind the last line of a step stands where the next step begins: it belongs to the one before.
  const within = (start: number, end: number): TextEdit[] => edits.filter(({ span }) => span.start >= start && span.end <= end && span.end > start);
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
  const newLine = text.includes('\r\n') ? '\r\n' : '\n';
  change(at, at, `${lineEnd < 0 ? newLine : ''}${keys}${way}${newLine}`);
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

/** One edit from the first to the last letter that differs. */
export function editBetween({ text, procedure }: Pick<WrittenText, 'text' | 'procedure'>, newText: string): TextEdit {
  let start = 0;
  while (start < text.length && text[start] === newText[start]) start++;
  let end = 0;
  while (end < text.length - start && end < newText.length - start && text[text.length - 1 - end] === newText[newText.length - 1 - end]) end++;
  return { file: procedure.file, span: { start, end: text.length - end }, newText: newText.slice(start, newText.length - end) };
}
