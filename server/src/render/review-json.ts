/** A review as JSON for other programs. */
import type { Comparison } from '../review/change.ts';

/** The comparisons as JSON text, with a line break at its end. `format` rises when a reader would have to change. */
export function renderReviewJson(comparisons: readonly Comparison[], since: string): string {
  return `${JSON.stringify({ format: 1, since, files: comparisons }, undefined, 2)}\n`;
}
