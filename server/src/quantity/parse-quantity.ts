/** A text that is one quantity and nothing else: `12.6 V`, `7/16 in`, `1 min 30 s`. Never throws, whatever the text. */
import { impossibleValue } from './quantity.ts';
import { scanQuantity } from './scan-quantity.ts';
import type { Quantity } from './quantity.ts';
import type { QuantityProblem } from './scan-quantity.ts';

export type { QuantityProblem, QuantityProblemKind } from './scan-quantity.ts';

export interface ParsedQuantity {
  /** Undefined where a problem left no value. */
  readonly quantity?: Quantity;
  readonly problems: readonly QuantityProblem[];
}

export const LONGEST_QUANTITY = 200;

/** Reads one quantity. A bare number is one without a unit; whether that will do is for the caller to say. */
export function parseQuantity(text: string): ParsedQuantity {
  if (text.length > LONGEST_QUANTITY) {
    return {
      problems: [
        {
          kind: 'too-long',
          message: 'The text is too long for a quantity.',
          help: 'Write a number and a unit.',
          span: { start: 0, end: text.length },
        },
      ],
    };
  }
  const start = text.length - text.trimStart().length;
  const scan = scanQuantity(text, start, { sign: true });
  if (!scan) {
    const problem: QuantityProblem = {
      kind: 'not-a-number',
      message: text.trim() === '' ? 'A quantity is missing.' : `'${shown(text)}' is not a quantity.`,
      help: 'Write a number and a unit, such as 12.6 V.',
      span: { start, end: Math.max(start, text.trimEnd().length) },
    };
    return { problems: [problem] };
  }
  const problems = scan.problem ? [scan.problem] : [];
  const rest = text.slice(scan.end).trim();
  if (rest !== '' && !scan.problem) {
    const from = text.indexOf(rest, scan.end);
    problems.push({
      kind: 'trailing-text',
      message: `'${shown(rest)}' after ${text.slice(start, scan.end)} is not understood.`,
      help: 'Write one number and one unit.',
      span: { start: from, end: from + rest.length },
    });
  }
  const impossible = scan.quantity && impossibleValue(scan.quantity.base, scan.quantity.unit?.dimension ?? 'ratio');
  if (impossible !== undefined) {
    problems.push({ kind: 'impossible', message: impossible, help: 'Write the value that is meant.', span: { start, end: scan.end } });
    return { problems };
  }
  return scan.quantity ? { quantity: { ...scan.quantity, text: text.trim() }, problems } : { problems };
}

function shown(text: string): string {
  const short = text.trim();
  return short.length > 40 ? `${short.slice(0, 40)}…` : short;
}
