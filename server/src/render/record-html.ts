/** A record as one HTML page, to read and to print. Everything that anyone wrote is escaped. */
import type { RecordProblem, RunRecord } from '../run/record.ts';
import { bindUnits } from './bind-units.ts';
import { escapeMarkup } from './markup.ts';
import { pageSize, type PaperSize } from './paper-size.ts';
import { plainPage, PLAIN_PAGE_STYLE } from './plain-page.ts';
import { recordSheet, type SheetPart, type SheetStep } from './record-sheet.ts';

/** `problems`: what a check of the record found. `paper`: what it is laid out for where it is printed. */
export function renderRecordHtml(record: RunRecord, problems: readonly RecordProblem[], paper: PaperSize = 'a4'): string {
  const sheet = recordSheet(record, problems);
  const body = [
    '<main>',
    `<h1>${escape(sheet.title)}</h1>`,
    `<p class="identity">${escape(sheet.identity)}</p>`,
    sheet.warnings.length === 0 ? '' : `<ul class="warnings">${items(sheet.warnings)}</ul>`,
    ...sheet.parts.map(partMarkup),
    `<footer><ul>${items(sheet.closing)}</ul></footer>`,
    '</main>',
  ];
  return plainPage({ title: sheet.title, body: body.filter((part) => part !== '').join('\n'), style: `${PLAIN_PAGE_STYLE}\n${STYLE}\n@page { size: ${pageSize(paper)}; }` });
}

function partMarkup({ title, facts = [], lines = [], steps = [] }: SheetPart): string {
  return [
    `<section><h2>${escape(title)}</h2>`,
    lines.length === 0 ? '' : `<ul class="plain">${items(lines)}</ul>`,
    facts.length === 0 ? '' : `<dl>${facts.map(([name, value]) => `<div><dt>${escape(name)}</dt><dd>${escape(value)}</dd></div>`).join('')}</dl>`,
    steps.length === 0 ? '' : `<ol>${steps.map(stepMarkup).join('')}</ol>`,
    '</section>',
  ].join('');
}

function stepMarkup({ title, lines, by, remarks }: SheetStep): string {
  return `<li><h3>${escape(title)}</h3>${lines.map((line) => `<p>${escape(line)}</p>`).join('')}${remarks.map((remark) => `<p class="remark">${escape(remark)}</p>`).join('')}<p class="by">${escape(by)}</p></li>`;
}

function items(lines: readonly string[]): string {
  return lines.map((line) => `<li>${escape(line)}</li>`).join('');
}

function escape(text: string): string {
  return escapeMarkup(bindUnits(text));
}

const STYLE = `
h3 { font-size: 1rem; margin: 0; }
ol { list-style: none; padding: 0; margin: 0; } ol > li { border-top: 1px solid var(--line); padding: 0.5rem 0; }
ol p { margin: 0.125rem 0 0; max-width: none; } .by { color: var(--quiet); font-size: 0.875rem; }
.plain { list-style: none; padding: 0; } .plain li { margin: 0 0 0.25rem; }
.warnings { list-style: none; margin: 1rem 0 0; padding: 0.5rem 0.75rem; border: 2px solid var(--ink); font-weight: 600; }
.remark { font-weight: 600; }
dl { margin: 0; } dl div { display: grid; grid-template-columns: 10rem 1fr; gap: 0.75rem; padding: 0.125rem 0; } dt { color: var(--quiet); } dd { margin: 0; overflow-wrap: anywhere; }
@media (max-width: 34rem) { dl div { grid-template-columns: 1fr; gap: 0; padding: 0.25rem 0; } }
`.trim();
