/** A checklist as Markdown (CommonMark with task lists): for a terminal, a wiki or a merge request. Texts are escaped. */
import type { CautionSheet, ChecklistDocument } from '../run/checklist-document.ts';
import { harmlessLine } from './harmless-text.ts';
import { printedChecklist } from './printed-checklist.ts';
import type { PaperOptions, PrintedField, PrintedResult, PrintedStep } from './printed-checklist.ts';
import type { PaperWords } from './printed-checklist-words.ts';

/** The checklist as Markdown with a line break at its end. */
export function renderChecklistMarkdown(document: ChecklistDocument, options: PaperOptions = {}): string {
  const sheet = printedChecklist(document, options);
  const { words } = sheet;
  const lines: string[] = [`# ${escape(sheet.title)}`, '', escape(sheet.identity), ''];
  for (const remark of sheet.remarks) lines.push(`**${escape(remark)}**`, '');
  for (const { label, text } of sheet.head) lines.push(`- **${escape(label)}:** ${escape(text)}`);
  lines.push('');
  for (const field of sheet.fields) lines.push(`- ${fieldText(field)}`);
  if (sheet.facts.length > 0) {
    lines.push('', `## ${words.factsTitle}`, '');
    for (const field of sheet.facts) lines.push(`- ${fieldText(field)}`);
  }
  if (sheet.faults.length > 0) {
    lines.push('', `## ${words.faultsTitle}`, '', words.faultsIntro, '');
    for (const fault of sheet.faults) lines.push(`- ${escape(fault)}`);
  }
  for (const part of sheet.parts) {
    lines.push('', `## ${escape(part.title)}`, '');
    for (const line of part.intro) lines.push(escape(line), '');
    for (const step of part.steps) lines.push(...stepLines(step, words));
  }
  if (sheet.states.length > 0) {
    lines.push(`## ${words.statesTitle}`, '');
    for (const { state, cautions, actions } of sheet.states) {
      lines.push(`### ${escape(state)}`, '', ...cautionLines(cautions, words), ...actions.map((action, index) => `${index + 1}. ${escape(action)}`), '');
    }
  }
  lines.push(`## ${words.signOff}`, '');
  if (sheet.left.length > 0) lines.push(`${words.leftTitle}:`, '', ...sheet.left.map((state) => `- [ ] ${escape(state)}`), '');
  if (sheet.verdicts.length > 0) lines.push(...sheet.verdicts.map(resultLine), '');
  for (const field of sheet.signOff) lines.push(`- ${fieldText(field)}`);
  if (sheet.accepted.length > 0) {
    lines.push('', `## ${words.acceptedTitle}`, '');
    for (const accepted of sheet.accepted) lines.push(`- ${escape(accepted)}`);
  }
  lines.push('', `## ${words.closingTitle}`, '');
  for (const closing of sheet.closing) lines.push(`- ${escape(closing)}`);
  if (sheet.address !== undefined) lines.push('', `${words.pageAt}: <${sheet.address.replace(/[<>\s]/g, encodeURIComponent)}>`);
  lines.push('', `${words.content} ${sheet.contentHash}`);
  return `${lines.join('\n').replace(/\n{3,}/g, '\n\n')}\n`;
}

function stepLines(step: PrintedStep, words: PaperWords): string[] {
  const aside = step.aside.length > 0 ? ` (${step.aside.join(', ')})` : '';
  const lines = [`### ${step.number} ${escape(step.title + aside)}`, ''];
  lines.push(...cautionLines(step.cautions, words));
  for (const { label, text, boxes } of step.before) {
    if (boxes) lines.push(`${escape(label)}:`, '', ...boxes.map((box) => `- [ ] ${escape(box)}`), '');
    else lines.push(`${escape(label)}: ${escape(text)}`, '');
  }
  for (const { text, box } of step.actions) lines.push(box ? `- [ ] ${escape(text)}` : escape(text));
  lines.push('');
  for (const { label, text } of step.details) lines.push(`${label ? `${escape(label)}: ` : ''}${escape(text)}`, '');
  for (const entry of step.entries) lines.push(`- ${fieldText(entry)}`);
  if (step.entries.length > 0) lines.push('');
  lines.push(...step.results.map(resultLine));
  if (step.results.length > 0) lines.push('');
  for (const { label, text } of step.after) lines.push(`${escape(label)}: ${escape(text)}`, '');
  return lines;
}

function cautionLines(cautions: readonly CautionSheet[], words: PaperWords): string[] {
  return cautions.flatMap((caution) => {
    const wear = caution.wear.length > 0 ? words.wear(caution.wear.join(', ')) : undefined;
    const parts = [caution.hazard, caution.consequence, caution.avoid, wear].filter((text) => text !== undefined).map(escape);
    const read = caution.acknowledge === 'shown' ? '' : ` ☐ ${words.read}`;
    return [`> **${escape(words.signals[caution.signal] ?? caution.signal.toUpperCase())}** ${parts.join(' ')}${read}`, ''];
  });
}

function resultLine({ when, notes, then, faults }: PrintedResult): string {
  return `- [ ] **${escape(when)}**${notes.length > 0 ? ` (${escape(notes.join(' '))})` : ''}: ${escape(then)}${faults === undefined ? '' : ` ${escape(faults)}`}`;
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
