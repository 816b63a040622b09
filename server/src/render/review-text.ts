/** A review for a person at a terminal. */
import type { Comparison } from '../review/change.ts';
import { displayWidth, harmlessLine } from './harmless-text.ts';
import { NO_PAINT, type Paint } from './paint.ts';
import { REVIEW_CLOSING, reviewIdentity, reviewSections, type ReviewItem } from './review-words.ts';
import { wrapText } from './wrap-text.ts';

export interface ReviewTextOptions {
  readonly paint?: Paint;
  readonly width?: number;
}

/** The comparisons as text, with a line break at its end; says so where nothing has changed. No line is longer than 100 columns. */
export function renderReviewText(comparisons: readonly Comparison[], options: ReviewTextOptions = {}): string {
  const paint = options.paint ?? NO_PAINT;
  const width = Math.max(60, Math.min(options.width ?? 100, 100));
  if (comparisons.length === 0) return 'Nothing has changed that bears on a procedure.\n';
  const parts = comparisons.flatMap((comparison) => [
    `${wrapped((comparison.after ?? comparison.before)?.title ?? '', width).map(paint.strong).join('\n')}\n${wrapped(reviewIdentity(comparison), width).map(paint.faint).join('\n')}\n`,
    ...reviewSections(comparison).map(({ title, items }) => `${paint.strong(title)}\n${items.map((item) => itemText(item, width, paint)).join('\n')}\n`),
  ]);
  return [...parts, `${wrapped(REVIEW_CLOSING, width).map(paint.faint).join('\n')}\n`].join('\n');
}

function itemText({ tone, sentence, check, walk, before, after }: ReviewItem, width: number, paint: Paint): string {
  const mark = tone === 'risk' ? '!' : tone === 'gain' ? '+' : '-';
  const toned = tone === 'risk' ? paint.error : tone === 'gain' ? paint.good : (text: string): string => text;
  const under = (label: string, text: string | undefined): string[] => (text === undefined ? [] : wrapped(text, width - 4 - LABEL).map((line, index) => `    ${paint.faint((index === 0 ? label : '').padEnd(LABEL))}${line}`));
  return [
    ...wrapped(sentence, width - 4).map((line, index) => `  ${index === 0 ? toned(mark) : ' '} ${line}`),
    ...(check === undefined ? [] : [`    ${paint.faint(check)}`]),
    ...under('Walk', walk), ...under('Before', before), ...under('Now', after),
  ].join('\n');
}

const LABEL = 8;

function wrapped(text: string, width: number): string[] {
  return wrapText(harmlessLine(text), width, displayWidth);
}
