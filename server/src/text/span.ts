/**
 * Places in a text. A span counts UTF-16 code units from the start of its file, end excluded: the unit that JavaScript
 * strings, the language server protocol and the `yaml` library share, so nothing inside ever converts.
 */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A span in a named file. `file` is the workspace's key for it (see analysis/workspace.ts). */
export interface Place {
  readonly file: string;
  readonly span: Span;
}

/** The empty span at `offset`. */
export function pointSpan(offset: number): Span {
  return { start: offset, end: offset };
}

/** The smallest span that holds both. */
export function coverSpans(a: Span, b: Span): Span {
  return { start: Math.min(a.start, b.start), end: Math.max(a.end, b.end) };
}

/** Whether `offset` lies in the span; its end counts as inside, as a cursor sits between characters. */
export function spanHolds(span: Span, offset: number): boolean {
  return offset >= span.start && offset <= span.end;
}
