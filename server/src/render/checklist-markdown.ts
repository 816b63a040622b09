/** A checklist as Markdown (CommonMark with task lists): for a terminal, a wiki or a merge request. Texts are escaped. */
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { harmlessLine } from './harmless-text.ts';
import { printedChecklist } from './printed-checklist.ts';
import type { PrintedField, PrintedStep } from './printed-checklist.ts';

/** The checklist as Markdown with a line break at its end. */
export function renderChecklistMarkdown(document: ChecklistDocument): string {
  const sheet = printedChecklist(document);
  const lines: string[] = [`# ${escape(sheet.title)}`, '', escape(sheet.identity), ''];
  for (const remark of sheet.remarks) lines.push(`**${escape(remark)}**`, '');
  for (const { label, text } of sheet.head) lines.push(`- **${escape(label)}:** ${escape(text)}`);
  lines.push('');
  for (const field of sheet.fields) lines.push(`- ${fieldText(field)}`);
  if (sheet.facts.length > 0) {
    lines.push('', '## Facts of the asset', '');
    for (const field of sheet.facts) lines.push(`- ${fieldText(field)}`);
  }
  for (const part of sheet.parts) {
    lines.push('', `## ${escape(part.title)}`, '');
    for (const line of part.intro) lines.push(escape(line), '');
    for (const step of part.steps) lines.push(...stepLines(step));
  }
  lines.push('## Sign-off', '');
  for (const field of sheet.signOff) lines.push(`- ${fieldText(field)}`);
  if (sheet.accepted.length > 0) {
    lines.push('', '## Accepted deviations', '');
    for (const accepted of sheet.accepted) lines.push(`- ${escape(accepted)}`);
  }
  lines.push('', '## Before you rely on this', '');
  for (const closing of sheet.closing) lines.push(`- ${escape(closing)}`);
  lines.push('', `Content ${sheet.contentHash}`);
  return `${lines.join('\n').replace(/\n{3,}/g, '\n\n')}\n`;
}

function stepLines(step: PrintedStep): string[] {
  const aside = step.aside.length > 0 ? ` (${step.aside.join(', ')})` : '';
  const lines = [`### ${step.number} ${escape(step.title + aside)}`, ''];
  for (const caution of step.cautions) {
    const wear = caution.wear.length > 0 ? `Wear: ${caution.wear.join(', ')}.` : undefined;
    const words = [caution.hazard, caution.consequence, caution.avoid, wear];
    lines.push(`> **${escape(caution.signal.toUpperCase())}** ${words.filter((text) => text !== undefined).map(escape).join(' ')}`, '');
  }
  for (const { label, text } of step.before) lines.push(`${escape(label)}: ${escape(text)}`, '');
  for (const { text, box } of step.actions) lines.push(box ? `- [ ] ${escape(text)}` : escape(text));
  lines.push('');
  for (const { label, text } of step.details) lines.push(`${label ? `${escape(label)}: ` : ''}${escape(text)}`, '');
  for (const entry of step.entries) lines.push(`- ${fieldText(entry)}`);
  if (step.entries.length > 0) lines.push('');
  for (const { when, notes, then } of step.results) {
    lines.push(`- [ ] **${escape(when)}**${notes.length > 0 ? ` (${escape(notes.join(' '))})` : ''}: ${escape(then)}`);
  }
  if (step.results.length > 0) lines.push('');
  for (const { label, text } of step.after) lines.push(`${escape(label)}: ${escape(text)}`, '');
  return lines;
}

function fieldText({ label, given, unit, choices }: PrintedField): string {
  if (given !== undefined) return `${escape(label)}: ${escape(given)}`;
  if (choices) return `${escape(label)}: ${choices.map((choice) => `☐ ${escape(choice)}`).join('  ')}`;
  return `${escape(label)}: \\_\\_\\_\\_\\_\\_\\_\\_${unit ? `\u202f${escape(unit)}` : ''}`;
}

/** Every character that Markdown could read as its own is escaped. */
function escape(text: string): string {
  return harmlessLine(text)
    .replace(/[\\`*_{}[\]<>#|~&!$]/g, '\\$&')
    .replace(/^(\s*)([-+=])/, '$1\\$2')
    .replace(/^(\s*\d+)([.)])/, '$1\\$2')
    .replace(/(https?|ftp|www)(:|\.)/gi, '$1\\$2');
}
