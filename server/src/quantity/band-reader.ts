/**
 * Walks over the text of a band or an expression: takes words, counts parts, and stops at the first problem. Its caps keep hostile text from
 * costing time. Knows no grammar.
 */
import type { QuantityProblem, QuantityProblemKind } from './scan-quantity.ts';
import type { Span } from '../text/span.ts';

export type BandProblem = QuantityProblem;

export const LONGEST_BAND = 1000;
export const DEEPEST_EXPRESSION = 24;
const MOST_NODES = 200;

/** A place where reading cannot go on; what was read until there is lost, the problem says why. */
export class Stop extends Error {}

export class BandReader {
  position = 0;
  nodes = 0;
  depth = 0;
  inCall = 0;
  readonly problems: BandProblem[] = [];
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }

  skipSpace(): void {
    while (/\s/.test(this.text.charAt(this.position))) this.position++;
  }

  atEnd(): boolean {
    this.skipSpace();
    return this.position >= this.text.length;
  }

  /** Takes a pattern (sticky) after any space. */
  take(pattern: RegExp): { readonly text: string; readonly span: Span } | undefined {
    this.skipSpace();
    pattern.lastIndex = this.position;
    const found = pattern.exec(this.text);
    if (!found) return undefined;
    const span = { start: this.position, end: this.position + found[0].length };
    this.position = span.end;
    return { text: found[0], span };
  }

  peek(pattern: RegExp): boolean {
    this.skipSpace();
    pattern.lastIndex = this.position;
    return pattern.test(this.text);
  }

  fail(
    message: string,
    help: string | undefined,
    span: Span,
    kind: QuantityProblemKind = 'syntax',
    more: Partial<BandProblem> = {},
  ): never {
    this.problems.push({ kind, message, span, ...(help === undefined ? {} : { help }), ...more });
    throw new Stop();
  }

  count(): void {
    this.nodes++;
    if (this.nodes > MOST_NODES) {
      this.fail(
        'The expression has too many parts.',
        'Give parts of it names under `values` of the shop file.',
        this.restSpan(),
        'too-long',
      );
    }
  }

  restSpan(): Span {
    this.skipSpace();
    return { start: Math.min(this.position, this.text.length), end: Math.max(this.position, this.text.trimEnd().length) };
  }

  restText(): string {
    const rest = this.text.slice(this.position).trim();
    return rest.length > 40 ? `${rest.slice(0, 40)}…` : rest;
  }

  expectEnd(): void {
    if (this.atEnd()) return;
    const rest = this.restText();
    const wordy = /^or\b/i.test(rest)
      ? 'A result has one band. Write a second result, or turn the band round: below 5 V or above 9 V is what `between 5 V and 9 V` leaves over.'
      : 'Join two conditions with `and`.';
    this.fail(`'${rest}' is not understood here.`, wordy, this.restSpan(), 'trailing-text');
  }
}

/** Reads a whole text; a problem that stops the reader becomes one of those returned. */
export function guarded<T extends { readonly problems: readonly BandProblem[] }>(text: string, read: (reader: BandReader) => T): T {
  const reader = new BandReader(text);
  try {
    if (text.length > LONGEST_BAND)
      reader.fail(
        'The text is too long.',
        'Give parts of it names under `values` of the shop file.',
        { start: 0, end: text.length },
        'too-long',
      );
    return read(reader);
  } catch (error) {
    if (!(error instanceof Stop)) throw error;
    return { problems: reader.problems } as unknown as T;
  }
}

