/**
 * Findings for a person at a terminal: by file, each with what is wrong, the place, why, the walk that shows it and what to do;
 * then what was accepted, and one line that sums up.
 */
import type { Finding, Severity, WitnessStep } from '../findings/finding.ts';
import { withoutStop } from '../run/texts.ts';
import { countOf, openFindings, shownPlace } from './check-outcome.ts';
import type { CheckOutcome } from './check-outcome.ts';
import { codeFrame } from './code-frame.ts';
import { displayWidth, harmlessLine } from './harmless-text.ts';
import type { Paint } from './paint.ts';
import { NO_PAINT } from './paint.ts';
import { wrapText } from './wrap-text.ts';

export interface FindingsTextOptions {
  readonly paint?: Paint;
  /** Columns of the terminal. */
  readonly width?: number;
}

/** The outcome as text, with a line break at its end. */
export function renderFindingsText(outcome: CheckOutcome, options: FindingsTextOptions = {}): string {
  const paint = options.paint ?? NO_PAINT;
  const width = Math.max(50, Math.min(options.width ?? 100, 110));
  const parts: string[] = [];
  const open = openFindings(outcome);
  for (const file of new Set(open.map((finding) => finding.file))) {
    const own = open.filter((finding) => finding.file === file);
    parts.push(`${paint.strong(paint.mark(path(outcome, file)))}  ${paint.faint(tally(own))}\n`);
    for (const finding of own) parts.push(describeFinding(outcome, finding, paint, width));
  }
  const accepted = outcome.findings.filter((finding) => finding.accepted);
  if (accepted.length > 0) parts.push(describeAccepted(outcome, accepted, paint, width));
  parts.push(`${summaryLine(outcome, open, accepted.length, paint)}\n`);
  return parts.join('\n');
}

const MARGIN = '  ';

function describeFinding(outcome: CheckOutcome, finding: Finding, paint: Paint, width: number): string {
  const place = shownPlace(outcome, finding.file, finding.span);
  const lines: string[] = [];
  const severity = paint[finding.severity](finding.severity);
  const what = wrap(finding.message, width - MARGIN.length - finding.severity.length - 2);
  what.forEach((line, index) => {
    const lead = index === 0 ? `${severity}  ` : ' '.repeat(finding.severity.length + 2);
    lines.push(lead + paint.strong(line));
  });
  lines.push(paint.faint(`${finding.check}  ${path(outcome, finding.file)}:${place.line}:${place.column}`), '');
  const source = outcome.source(finding.file);
  if (source && source.text.trim()) {
    const frame = codeFrame(source.text, source.lines, finding.span, width - 12);
    const digits = Math.max(...frame.map(({ number }) => String(number ?? '').length));
    for (const { number, text } of frame) {
      const gutter = paint.faint(`${String(number ?? '').padStart(digits)} │`);
      lines.push(`${gutter} ${number === undefined ? paint[finding.severity](text) : text}`.trimEnd());
    }
    lines.push('');
  }
  const note = [finding.note, finding.approximate ? 'The exploration was cut short, so this walk may not exist.' : undefined];
  if (note.some(Boolean)) lines.push(...labelled('Why', note.filter(Boolean).join(' '), paint, width));
  if (finding.witness && finding.witness.length > 0) lines.push(...labelled('Walk', walk(finding.witness), paint, width));
  if (finding.help) lines.push(...labelled('What to do', finding.help, paint, width));
  for (const related of finding.related ?? []) {
    const where = shownPlace(outcome, related.file, related.span);
    const text = `${withoutStop(related.message)}, at ${path(outcome, related.file)}:${where.line}:${where.column}`;
    lines.push(...labelled('See also', text, paint, width));
  }
  if (lines.at(-1) !== '') lines.push('');
  return lines.map((line) => (line ? MARGIN + line : '')).join('\n');
}

/** `Label` in a column of its own, the text beside it. */
function labelled(label: string, text: string, paint: Paint, width: number): string[] {
  const column = 12;
  return wrap(text, width - MARGIN.length - column).map(
    (line, index) => (index === 0 ? paint.faint(label.padEnd(column)) : ' '.repeat(column)) + line,
  );
}

/** 'listen → silent → isolate'; the middle of a very long walk is left out, and said to be. */
function walk(witness: readonly WitnessStep[]): string {
  const longest = 24;
  const word = ({ step, result }: WitnessStep): string =>
    [step, result].filter((part) => part !== undefined).map((part) => harmlessLine(part).replaceAll(' ', '\u00a0')).join(' → ');
  if (witness.length <= longest) return witness.map(word).join(' → ');
  const left = witness.length - longest;
  return [
    ...witness.slice(0, longest / 2).map(word),
    `… ${countOf(left, 'step')} …`,
    ...witness.slice(-longest / 2).map(word),
  ].join(' → ');
}

function describeAccepted(outcome: CheckOutcome, accepted: readonly Finding[], paint: Paint, width: number): string {
  const lines = [paint.strong(countOf(accepted.length, 'accepted deviation'))];
  for (const finding of accepted) {
    const place = shownPlace(outcome, finding.file, finding.span);
    const { because, by } = finding.accepted ?? {};
    const reason = [because, by ? `(${by})` : undefined].filter(Boolean).join(' ') || 'no reason given';
    const where = `${path(outcome, finding.file)}:${place.line}`;
    const text = `${where}: ${finding.check}${finding.step ? ` at ${finding.step}` : ''}. ${reason}`;
    lines.push(...wrap(text, width - 2 * MARGIN.length).map((line, index) => MARGIN + (index === 0 ? '' : MARGIN) + line));
  }
  return `${lines.join('\n')}\n`;
}

function summaryLine(outcome: CheckOutcome, open: readonly Finding[], accepted: number, paint: Paint): string {
  const checked = `${countOf(outcome.files, 'file')} checked in ${duration(outcome.milliseconds)}`;
  const kept = accepted > 0 ? `, ${countOf(accepted, 'accepted deviation')}` : '';
  if (open.length === 0) return `${paint.good('No findings')} in ${checked}${kept}.`;
  const worst = (['error', 'warning', 'hint'] as const).find((severity) => open.some((finding) => finding.severity === severity));
  return `${paint[worst ?? 'hint'](tally(open))}${kept}: ${checked}.`;
}

/** '2 errors, 1 warning', leaving out what there is none of. */
function tally(findings: readonly Finding[]): string {
  return (['error', 'warning', 'hint'] satisfies Severity[])
    .map((severity) => [severity, findings.filter((finding) => finding.severity === severity).length] as const)
    .filter(([, number]) => number > 0)
    .map(([severity, number]) => countOf(number, severity))
    .join(', ');
}

function duration(milliseconds: number): string {
  return milliseconds < 1000 ? `${Math.round(milliseconds)}\u00a0ms` : `${(milliseconds / 1000).toFixed(1)}\u00a0s`;
}

function wrap(text: string, width: number): string[] {
  return wrapText(harmlessLine(text), width, displayWidth).map((line) => line.replaceAll('\u00a0', ' '));
}

function path(outcome: CheckOutcome, file: string): string {
  return harmlessLine(outcome.shownPath(file));
}
