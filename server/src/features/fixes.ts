/** Which fixes the findings of a place carry. Fixes are made by the checks; here they are only chosen. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Finding, Fix, TextEdit } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import { meanTheSame } from './same-meaning.ts';

export interface OfferedFix {
  readonly finding: Finding;
  readonly fix: Fix;
  /** The finding has no other fix. */
  readonly only: boolean;
}

/** Fixes of the findings that touch `span`, in the order of the findings. */
export function fixesAt(analysis: Analysis, span: Span): OfferedFix[] {
  const offered: OfferedFix[] = [];
  for (const finding of analysis.findings) {
    if (finding.accepted || finding.span.start > span.end || finding.span.end < span.start) continue;
    for (const fix of finding.fixes ?? []) offered.push({ finding, fix, only: finding.fixes?.length === 1 });
  }
  return offered;
}

/** Past this many fixes that do not all mean the same together, each is not tried by itself. */
const MOST_TRIED = 60;

/**
 * The edits of every finding's only fix that alters no meaning, those that would overlap an earlier one left out. Whether it
 * alters none is not taken on trust: with the edits made, the file must still say the same steps, ways, states, limits and units.
 */
export function safeEdits(analysis: Analysis): TextEdit[] {
  const taken: Fix[] = [];
  for (const finding of analysis.findings) {
    const fix = finding.fixes?.length === 1 ? finding.fixes[0] : undefined;
    if (finding.accepted || !fix || fix.altersMeaning || fix.edits.some((edit) => edit.file !== analysis.file)) continue;
    if (fix.edits.some((edit) => taken.some((one) => one.edits.some((other) => overlaps(edit, other))))) continue;
    taken.push(fix);
  }
  if (keepsMeaning(analysis, taken)) return taken.flatMap((fix) => fix.edits);
  return taken
    .slice(0, MOST_TRIED)
    .filter((fix) => keepsMeaning(analysis, [fix]))
    .flatMap((fix) => fix.edits);
}

function keepsMeaning({ kind, text }: Analysis, fixes: readonly Fix[]): boolean {
  const after = fixes
    .flatMap((fix) => fix.edits)
    .sort((a, b) => b.span.start - a.span.start)
    .reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), text);
  return meanTheSame(kind, text, after);
}

function overlaps(a: TextEdit, b: TextEdit): boolean {
  if (a.file !== b.file) return false;
  // Two insertions at one place would depend on their order.
  return a.span.start === b.span.start || (a.span.start < b.span.end && b.span.start < a.span.end);
}
