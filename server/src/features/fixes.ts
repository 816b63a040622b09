/** Which fixes the findings of a place carry. Fixes are made by the checks; here they are only chosen. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Finding, Fix, TextEdit } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';

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

/** The edits of every finding's only fix that alters no meaning, those that would overlap an earlier one left out. */
export function safeEdits(analysis: Analysis): TextEdit[] {
  const taken: TextEdit[] = [];
  for (const finding of analysis.findings) {
    const fix = finding.fixes?.length === 1 ? finding.fixes[0] : undefined;
    if (finding.accepted || !fix || fix.altersMeaning) continue;
    if (fix.edits.some((edit) => taken.some((other) => overlaps(edit, other)))) continue;
    taken.push(...fix.edits);
  }
  return taken;
}

function overlaps(a: TextEdit, b: TextEdit): boolean {
  if (a.file !== b.file) return false;
  // Two insertions at one place would depend on their order.
  return a.span.start === b.span.start || (a.span.start < b.span.end && b.span.start < a.span.end);
}
