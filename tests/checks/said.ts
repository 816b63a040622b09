/** What some checks say of a procedure: `line check: message`, the form in which the tests of this folder expect findings. */
import { analyseText } from '../../server/scripts/example-workspace.ts';

type Around = NonNullable<Parameters<typeof analyseText>[1]>;

/** The findings of these checks, by place. */
export function said(text: string, checks: readonly string[], around: Around = {}): string[] {
  const { findings, lines } = analyseText(text, around);
  return findings
    .filter((finding) => checks.includes(finding.check))
    .map((finding) => `${lines.positionAt(finding.span.start).line + 1} ${finding.check}: ${finding.message}`);
}

/** The text after the first fix of the first finding of a check. */
export function fixed(text: string, check: string, around: Around = {}): string | undefined {
  const finding = analyseText(text, around).findings.find((candidate) => candidate.check === check);
  const edits = finding?.fixes?.[0]?.edits;
  if (edits === undefined) return undefined;
  return [...edits].sort((a, b) => b.span.start - a.span.start)
    .reduce((result, edit) => result.slice(0, edit.span.start) + edit.newText + result.slice(edit.span.end), text);
}
