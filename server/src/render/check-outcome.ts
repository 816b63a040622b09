/**
 * What a check of some files came to, in the form that every output of findings starts from. It knows neither where the
 * files were read nor how the outcome will be shown.
 */
import type { Finding, WitnessStep } from '../findings/finding.ts';
import type { LineIndex } from '../text/line-index.ts';
import type { Span } from '../text/span.ts';

export interface CheckOutcome {
  /** Sorted by file, then place; accepted ones included. */
  readonly findings: readonly Finding[];
  /** How many files were checked. */
  readonly files: number;
  readonly milliseconds: number;
  /** The text of a file that a finding or a related place names. */
  source(file: string): { readonly text: string; readonly lines: LineIndex } | undefined;
  /** A file's path as people are shown it: relative to the working directory, with forward slashes. */
  shownPath(file: string): string;
}

/** Lines and columns from 1; columns count UTF-16 code units; the end is excluded. */
export interface ShownPlace {
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

/** Where a span lies, as people count; the start of the file where its text is not known. */
export function shownPlace(outcome: CheckOutcome, file: string, span: Span): ShownPlace {
  const lines = outcome.source(file)?.lines;
  if (!lines) return { line: 1, column: 1, endLine: 1, endColumn: 1 };
  const start = lines.positionAt(span.start);
  const end = lines.positionAt(Math.max(span.start, span.end));
  return { line: start.line + 1, column: start.column + 1, endLine: end.line + 1, endColumn: end.column + 1 };
}

/** The findings that count: those that nobody accepted. */
export function openFindings(outcome: CheckOutcome): Finding[] {
  return outcome.findings.filter((finding) => !finding.accepted);
}

/** A walk as its words: step, result, step … */
export function witnessWords(witness: readonly WitnessStep[]): string[] {
  return witness.flatMap(({ step, result }) => (result === undefined ? [step] : [step, result]));
}

/** '1 error', '3 warnings'. */
export function countOf(number: number, one: string, many = `${one}s`): string {
  return `${number} ${number === 1 ? one : many}`;
}
