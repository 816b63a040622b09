/**
 * Findings as JSON for other programs. The shape is a contract: keys are added with care and never renamed. Accepted
 * deviations are not in it, as they no longer count.
 */
import type { Severity } from '../findings/finding.ts';
import { openFindings, shownPlace } from './check-outcome.ts';
import type { CheckOutcome } from './check-outcome.ts';

export interface FindingsJson {
  readonly findings: readonly FindingJson[];
  /** How many files were checked. */
  readonly files: number;
  readonly milliseconds: number;
}

/** Lines and columns from 1, columns in UTF-16 code units, the end excluded; `file` relative to the working directory. */
export interface FindingJson {
  readonly file: string;
  readonly check: string;
  readonly severity: Severity;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
  readonly message: string;
  /** Why; empty where there is nothing to add. */
  readonly note: string;
  /** What to do; empty where nothing can be advised. */
  readonly help: string;
  /** The names of the steps walked; empty where no walk is needed to show it. */
  readonly witness: readonly string[];
}

/** The outcome as JSON text with a line break at its end. */
export function renderFindingsJson(outcome: CheckOutcome): string {
  const findings = openFindings(outcome).map(
    (finding): FindingJson => ({
      file: outcome.shownPath(finding.file),
      check: finding.check,
      severity: finding.severity,
      ...shownPlace(outcome, finding.file, finding.span),
      message: finding.message,
      note: finding.note ?? '',
      help: finding.help ?? '',
      witness: (finding.witness ?? []).map((walked) => walked.step),
    }),
  );
  const whole: FindingsJson = { findings, files: outcome.files, milliseconds: outcome.milliseconds };
  return harmlessJson(whole);
}

/** JSON text in which every mark that a terminal or an editor might obey is written as an escape; it parses to the same value. */
export function harmlessJson(value: unknown): string {
  const text = JSON.stringify(value, undefined, 2);
  const obeyed = /[\u007f-\u009f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff]/g;
  return `${text.replace(obeyed, (mark) => `\\u${mark.charCodeAt(0).toString(16).padStart(4, '0')}`)}\n`;
}
