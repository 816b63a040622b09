/**
 * Findings as a JUnit report, for build servers: a suite for each file, a case for each finding. An error fails; a warning or a
 * hint passes and says what it found; an accepted deviation is skipped. A file without findings is one case that passes.
 */
import type { Finding } from '../findings/finding.ts';
import { shownPlace, witnessWords } from './check-outcome.ts';
import type { CheckOutcome } from './check-outcome.ts';
import { escapeMarkup, escapeMarkupLines } from './markup.ts';

/** The report as XML 1.0 text. `files` are those checked, as keys of the workspace. */
export function renderFindingsJunit(outcome: CheckOutcome, files: readonly string[]): string {
  const all = new Set([...files, ...outcome.findings.map((finding) => finding.file)]);
  const suites = [...all].sort().map((file) => suite(outcome, file, outcome.findings.filter((finding) => finding.file === file)));
  const failures = outcome.findings.filter(fails).length;
  const skipped = outcome.findings.filter((finding) => finding.accepted).length;
  const tests = suites.reduce((sum, { tests: own }) => sum + own, 0);
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuites name="faultwright" tests="${tests}" failures="${failures}" skipped="${skipped}" errors="0" time="${seconds(outcome.milliseconds)}">`,
    ...suites.map(({ text }) => text),
    '</testsuites>',
    '',
  ].join('\n');
}

function suite(outcome: CheckOutcome, file: string, findings: readonly Finding[]): { text: string; tests: number } {
  const name = escapeMarkup(outcome.shownPath(file));
  const cases = findings.length > 0
    ? findings.map((finding) => testCase(outcome, finding, name))
    : [`    <testcase classname="${name}" name="no findings"/>`];
  const failures = findings.filter(fails).length;
  const skipped = findings.filter((finding) => finding.accepted).length;
  const text = [
    `  <testsuite name="${name}" tests="${cases.length}" failures="${failures}" skipped="${skipped}" errors="0">`,
    ...cases,
    '  </testsuite>',
  ].join('\n');
  return { text, tests: cases.length };
}

function testCase(outcome: CheckOutcome, finding: Finding, className: string): string {
  const place = shownPlace(outcome, finding.file, finding.span);
  const title = escapeMarkup(`${finding.check} at ${place.line}:${place.column}`);
  const open = `    <testcase classname="${className}" name="${title}" file="${className}" line="${place.line}"`;
  const details = escapeMarkupLines(detailLines(outcome, finding, place).join('\n'));
  if (finding.accepted) {
    const { because, by } = finding.accepted;
    const reason = [`accepted${because ? `: ${because}` : ''}`, by ? `(${by})` : ''].filter(Boolean).join(' ');
    return `${open}>\n      <skipped message="${escapeMarkup(reason)}"/>\n    </testcase>`;
  }
  if (fails(finding)) {
    const failure = `<failure type="${escapeMarkup(finding.check)}" message="${escapeMarkup(finding.message)}">${details}</failure>`;
    return `${open}>\n      ${failure}\n    </testcase>`;
  }
  return `${open}>\n      <system-out>${details}</system-out>\n    </testcase>`;
}

function detailLines(outcome: CheckOutcome, finding: Finding, place: { line: number; column: number }): string[] {
  const lines = [`${finding.severity}: ${finding.message}`];
  if (finding.note) lines.push(`Why: ${finding.note}`);
  if (finding.witness && finding.witness.length > 0) lines.push(`Walk: ${witnessWords(finding.witness).join(' → ')}`);
  if (finding.help) lines.push(`What to do: ${finding.help}`);
  lines.push(`At: ${outcome.shownPath(finding.file)}:${place.line}:${place.column}`);
  return lines;
}

function fails(finding: Finding): boolean {
  return finding.severity === 'error' && !finding.accepted;
}

function seconds(milliseconds: number): string {
  return (milliseconds / 1000).toFixed(3);
}
