/**
 * A checklist to print: one HTML page that loads nothing and runs nothing. Every sheet carries title, revision, page and whether the
 * checklist may be relied on; each caution stands whole before its step. Everything a writer wrote is escaped, and the content
 * policy allows this page's one style sheet alone.
 */
import { sha256 } from '@noble/hashes/sha2.js';
import { utf8ToBytes } from '@noble/hashes/utils.js';
import type { CautionSheet, ChecklistDocument } from '../run/checklist-document.ts';
import { bindUnits } from './bind-units.ts';
import { harmlessLine } from './harmless-text.ts';
import { escapeMarkup, escapeMarkupLines } from './markup.ts';
import { pageSize } from './paper-size.ts';
import { printedChecklist } from './printed-checklist.ts';
import type { PaperWords } from './printed-checklist-words.ts';
import { scanCode, scanCodeSvg } from './scan-code.ts';
import type {
  PaperOptions, PrintedChange, PrintedChecklist, PrintedField, PrintedLine, PrintedPart, PrintedResult, PrintedStep,
} from './printed-checklist.ts';
import { isSignalName, SIGNAL_COLOURS } from './signal-colours.ts';

/** The checklist as a whole HTML document. */
export function renderChecklistHtml(document: ChecklistDocument, options: PaperOptions = {}): string {
  const sheet = printedChecklist(document, options);
  const { words } = sheet;
  const pictures = sheet.parts.some((part) => part.steps.some((step) => step.figure !== undefined));
  const style = pageStyle(sheet);
  return [
    '<!doctype html>',
    `<html lang="${words.language}">`,
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none';${pictures ? ' img-src data:;' : ''} style-src '${styleHash(style)}'; base-uri 'none'; form-action 'none'">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    '<meta name="color-scheme" content="light dark">',
    `<title>${escape(sheet.title)}: ${words.checklist}, ${escape(sheet.revision)}</title>`,
    `<style>${style}</style>`,
    '</head>',
    '<body>',
    // A table head is repeated on every sheet by every browser; margin boxes are not yet known to all of them.
    '<table role="presentation" class="sheets">',
    `<thead><tr><td><div class="running"><div class="about"><b>${escape(sheet.title)}</b><br>${escape(sheet.identity)}${fields(sheet.running)}</div>${codeOf(sheet)}</div>`,
    ...sheet.remarks.map((remark) => `<p class="remark">${escape(remark)}</p>`),
    '</td></tr></thead>',
    '<tbody>',
    row(`<h1>${escape(sheet.title)}</h1>${definitions(sheet.head)}${fields(sheet.fields)}`),
    sheet.facts.length > 0 ? row(`<h2>${words.factsTitle}</h2>${fields(sheet.facts)}`) : '',
    sheet.faults.length > 0 ? row(`<h2>${words.faultsTitle}</h2><p>${words.faultsIntro}</p><ul class="faults">${sheet.faults.map((fault) => `<li>${escape(fault)}</li>`).join('')}</ul>`) : '',
    // A heading stands in one row with its first step, so that it is never left alone at the foot of a sheet.
    ...sheet.parts.flatMap((part) => part.steps.map((step, index) => row((index === 0 ? partHead(part) : '') + stepBox(step, words)))),
    sheet.states.length > 0 ? row(`<h2>${words.statesTitle}</h2>${sheet.states.map((change) => changeBox(change, words)).join('')}`, true) : '',
    sheet.accepted.length > 0 ? row(`<h2>${words.acceptedTitle}</h2>${list(sheet.accepted)}`, true) : '',
    // What comes last stands on the sheet that is signed.
    row(`<div class="signed">${signOff(sheet)}<h2>${words.closingTitle}</h2>${list(sheet.closing)}${sheet.address === undefined ? '' : `<p class="hash">${words.pageAt}: ${escape(sheet.address)}</p>`}<p class="hash">${words.content} ${escape(sheet.contentHash)}</p></div>`),
    '</tbody>',
    '</table>',
    '</body>',
    '</html>',
    '',
  ].filter((line, index, all) => line !== '' || index === all.length - 1).join('\n');
}

/** On every sheet: which text this is, for whoever holds a sheet alone. */
function codeOf({ scan, address, words }: PrintedChecklist): string {
  return scanCodeSvg(scan, escapeMarkup(address === undefined ? words.scanIdentity : words.scanPage));
}

/** One line of text for print: no markup passes, no unit parts from its number. */
function escape(text: string): string {
  return escapeMarkup(bindUnits(text));
}

function row(content: string, long = false): string {
  return `<tr${long ? ' class="long"' : ''}><td>${content}</td></tr>`;
}

function partHead({ title, intro }: PrintedPart): string {
  return `<h2>${escape(title)}</h2>${intro.map((text) => `<p>${escape(text)}</p>`).join('')}`;
}

function list(items: readonly string[]): string {
  return `<ul>${items.map((item) => `<li>${escape(item)}</li>`).join('')}</ul>`;
}

function definitions(lines: readonly PrintedLine[]): string {
  if (lines.length === 0) return '';
  return `<dl>${lines.map(({ label, text }) => `<div><dt>${escape(label)}</dt><dd>${escape(text)}</dd></div>`).join('')}</dl>`;
}

function fields(list: readonly PrintedField[]): string {
  return `<div class="fields">${list.map(field).join('')}</div>`;
}

function field({ label, given, unit, choices, lines = 0 }: PrintedField): string {
  const more = '<div class="field wide"><span class="entry"><span class="blank"></span></span></div>'.repeat(Math.max(0, lines - 1));
  return `<div class="field${lines > 0 ? ' wide' : ''}"><span class="label">${escape(label)}</span>${value(given, unit, choices)}</div>${more}`;
}

function value(given: string | undefined, unit: string | undefined, choices: readonly string[] | undefined): string {
  if (given !== undefined) return `<span class="given">${escape(given)}</span>`;
  if (choices) return boxes(choices);
  return `<span class="entry"><span class="blank"></span>${unit ? `\u202f${escape(unit)}` : ''}</span>`;
}

const BOX = '<span class="box" aria-hidden="true"></span>';

function changeBox({ state, cautions, actions }: PrintedChange, words: PaperWords): string {
  const panels = cautions.map((caution) => cautionPanel(caution, words)).join('');
  return `<section class="change">${panels}<h3>${escape(state)}</h3><ol>${actions.map((action) => `<li>${escape(action)}</li>`).join('')}</ol></section>`;
}

function signOff({ words, left, verdicts, signOff: entries }: PrintedChecklist): string {
  return [
    `<h2>${words.signOff}</h2>`,
    left.length > 0 ? `<p class="line"><span class="label">${words.leftTitle}:</span></p>${boxes(left)}` : '',
    verdicts.length > 0 ? `<ul class="results">${verdicts.map(resultLine).join('')}</ul>` : '',
    fields(entries),
  ].join('');
}

function boxes(choices: readonly string[]): string {
  return `<span class="choices">${choices.map((choice) => `<span class="choice">${BOX}<span>${escape(choice)}</span></span>`).join('')}</span>`;
}

function stepBox(step: PrintedStep, words: PaperWords): string {
  const parts = [
    `<section class="step" aria-labelledby="step-${escape(step.number)}">`,
    `<h3 id="step-${escape(step.number)}"><span class="number">${escape(step.number)}</span> ${escape(step.title)}`,
    step.aside.length > 0 ? `<span class="aside">${escape(step.aside.join(' · '))}</span>` : '',
    '</h3>',
    ...step.cautions.map((caution) => cautionPanel(caution, words)),
    ...step.before.map(line),
    ...step.actions.map(({ text, box }) => `<p class="action${box ? '' : ' told'}">${box ? BOX : ''}<span>${escapeMarkupLines(bindUnits(text))}</span></p>`),
    step.figure === undefined ? '' : `<img class="figure" src="${escapeMarkup(step.figure)}" alt="${words.figure}: ${escape(step.title)}">`,
    ...step.details.map(line),
    step.entries.length > 0 ? fields(step.entries) : '',
    step.results.length > 0 ? `<ul class="results">${step.results.map(resultLine).join('')}</ul>` : '',
    ...step.after.map(line),
    '</section>',
  ];
  return parts.join('');
}

function resultLine({ when, notes, then, faults }: PrintedResult): string {
  const more = notes.length > 0 ? ` <span class="notes">${escape(notes.join(' '))}</span>` : '';
  const crossed = faults === undefined ? '' : ` <span class="notes">${escape(faults)}</span>`;
  return `<li>${BOX}<span class="when"><b>${escape(when)}</b>${more}</span> <span class="then">${escape(then)}${crossed}</span></li>`;
}

function line({ label, text, boxes: ticked }: PrintedLine): string {
  if (ticked) return `<p class="line ticked"><span class="label">${escape(label)}:</span> ${boxes(ticked)}</p>`;
  return `<p class="line">${label ? `<span class="label">${escape(label)}:</span> ` : ''}${escapeMarkupLines(bindUnits(text))}</p>`;
}

/** Signal word, hazard, consequence, avoidance: the parts of a safety message in ANSI Z535.6, with a box where it is to be acknowledged. */
function cautionPanel(caution: CautionSheet, words: PaperWords): string {
  const kind = isSignalName(caution.signal) ? caution.signal : 'notice';
  const part = (text: string | undefined, strong: boolean): string[] => (text ? [strong ? `<b>${escape(text)}</b>` : escape(text)] : []);
  const texts = [
    ...part(caution.hazard, true), ...part(caution.consequence, false), ...part(caution.avoid, true),
    ...part(caution.wear.length > 0 ? words.wear(caution.wear.join(', ')) : undefined, false),
  ];
  const signal = `<span class="signal">${kind === 'notice' ? '' : ALERT}${escape(words.signals[caution.signal] ?? caution.signal.toUpperCase())}</span>`;
  const read = caution.acknowledge === 'shown' ? '' : ` <span class="read">${BOX}${words.read}</span>`;
  return `<div class="safety ${kind}" role="note">${signal}<span class="message">${texts.join(' ')}${read}</span></div>`;
}

/** The safety alert symbol of ANSI Z535.4: an exclamation mark in a triangle. */
const ALERT = '<svg class="alert" viewBox="0 0 24 22" aria-hidden="true"><path class="field" d="M12 .8 23.4 20.6A.9.9 0 0 1 22.6 22H1.4A.9.9 0 0 1 .6 20.6Z"/>'
  + '<path class="mark" d="M10.7 7.2h2.6l-.5 7h-1.6zM10.8 15.8h2.4v2.6h-2.4z"/></svg>';

function styleHash(style: string): string {
  let binary = '';
  for (const byte of sha256(utf8ToBytes(style))) binary += String.fromCharCode(byte);
  return `sha256-${btoa(binary)}`;
}

function pageStyle(sheet: PrintedChecklist): string {
  const signals = Object.entries(SIGNAL_COLOURS)
    .map(([word, { ground, ink }]) =>
      `.safety.${word} { border-color: ${ground}; } .safety.${word} .signal { background: ${ground}; color: ${ink}; } `
      + `.safety.${word} .field { fill: ${ink}; } .safety.${word} .mark { fill: ${ground}; }`).join('\n');
  const modules = scanCode(sheet.scan).size;
  return `
@page { size: ${pageSize(sheet.paper)}; margin: 12mm 14mm 15mm;
  @bottom-left { content: ${cssString(`${sheet.title} · ${sheet.revision}`)}; font: 8pt Helvetica, Arial, sans-serif; color: #333; }
  @bottom-right { content: "${sheet.words.pageOf[0]}" counter(page) "${sheet.words.pageOf[1]}" counter(pages); font: 8pt Helvetica, Arial, sans-serif; color: #333; } }
:root { color-scheme: light dark; --ink: #1c2126; --faint: #505962; --paper: #fff; --line: #8b949d; }
@media (prefers-color-scheme: dark) { :root { --ink: #e4e7ea; --faint: #a9b1b9; --paper: #1a1d21; --line: #6d7680; } }
@media print { :root { --ink: #000; --faint: #333; --paper: #fff; --line: #555; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink);
  font: 10pt/1.36 Helvetica, Arial, "Liberation Sans", sans-serif; font-variant-numeric: tabular-nums; overflow-wrap: break-word; }
.sheets { width: 100%; max-width: 190mm; margin: 0 auto; border-collapse: collapse; table-layout: fixed; }
.sheets > * > tr > td { padding: 0; } .sheets > tbody > tr > td { border-top: 1px solid var(--line); padding: 5px 0; }
@media screen { .sheets { padding: 16px; border-collapse: separate; } }
/* A step stays whole on one sheet, its cautions with it. One that is longer than a sheet is parted between its lines. */
tr, .safety, .field, .action, .line, .results li, .change { break-inside: avoid; }
.long { break-inside: auto; }
/* Browsers part the last row all the same; what stands in a line is never parted. */
.signed { display: inline-block; width: 100%; }
h1, h2, h3, .safety, .ticked { break-after: avoid; }
.running { display: flex; align-items: flex-start; justify-content: space-between; gap: 0 16px; 
  margin-bottom: 6px; font-size: 9pt; color: var(--faint); }
.about { flex: 1; }
.about .fields { grid-template-columns: 2fr 1fr 1fr; margin: 7px 0 0; }
.about .entry { flex-basis: 12mm; }
/* Of a module at least 0.4 mm: a phone reads it from a sheet that has been in a pocket. */
.running .scan { flex: none; width: ${Math.max(22, Math.ceil(modules * 0.4))}mm; height: ${Math.max(22, Math.ceil(modules * 0.4))}mm; margin: -1mm 0 0; forced-color-adjust: none; }
.figure { display: block; max-width: 100%; max-height: 90mm; margin: 6px 0; background: #fff; }
.remark { margin: 0 0 6px; padding: 3px 8px; border: 2px solid var(--ink); font-weight: bold; }
h1 { font-size: 17pt; line-height: 1.2; margin: 6px 0 10px; }
h2 { font-size: 13pt; margin: 6px 0 6px; }
h3 { display: flex; align-items: baseline; gap: 8px; font-size: 11pt; margin: 0 0 5px; }
.number { font-size: 13pt; min-width: 1.6em; }
.aside { margin-left: auto; font-weight: normal; color: var(--faint); }
p { margin: 0 0 5px; }
dl { margin: 0 0 10px; } dl div { display: flex; gap: 8px; } dt { flex: 0 0 8.5em; color: var(--faint); } dd { margin: 0; }
.fields { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(78mm, 100%), 1fr));
  gap: 8px 20px; margin: 5px 0 7px; align-items: end; }
.field { display: flex; align-items: baseline; gap: 8px; min-width: 0; }
.label { color: var(--faint); }
.field.wide { grid-column: 1 / -1; }
.field .label { flex: 0 1 auto; min-width: min-content; overflow-wrap: normal; }
.entry { flex: 1 0 28mm; display: flex; align-items: baseline; white-space: nowrap; }
.blank { flex: 1; border-bottom: 1px solid var(--ink); height: 1.5em; }
.choices { display: inline-flex; flex-wrap: wrap; gap: 2px 16px; } .choice { display: inline-flex; align-items: baseline; }
.ticked { display: flex; align-items: baseline; gap: 8px; } .ticked .label { flex: none; }
.given { font-weight: bold; flex: 0 1 auto; min-width: min-content; }
.change { display: grid; grid-template-columns: 38% 1fr; gap: 0 12px; padding: 2px 0; } .change .safety { grid-column: 1 / -1; margin: 4px 0 2px; }
.change h3 { font-size: 10pt; margin: 0; } .change ol { margin: 0; padding-left: 18px; }
.faults { columns: 2; column-gap: 20px; list-style: none; margin: 0 0 6px; padding: 0; } .faults li { break-inside: avoid; padding: 1px 0; }
.box { flex: none; display: inline-block; width: 11pt; height: 11pt; border: 1.3px solid var(--ink);
  margin-right: 8px; transform: translateY(1.5pt); }
.action { display: flex; align-items: baseline; } .action.told { font-weight: bold; }
.results { list-style: none; margin: 4px 0 5px; padding: 0; } .results li { display: flex; align-items: baseline; margin: 0 0 4px; }
.when { flex: 0 0 38%; padding-right: 12px; } .notes { color: var(--faint); } .then { flex: 1; }
@media (max-width: 480px) { .results li { flex-wrap: wrap; } .when { flex: 1; } .then { flex: 1 0 100%; padding-left: 24px; }
  .about .fields { grid-template-columns: 1fr; } .faults { columns: 1; } }
.safety { display: flex; align-items: stretch; border: 2px solid; margin: 0 0 6px;
  print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.safety .signal { flex: none; display: flex; align-items: center; gap: 6px; padding: 3px 9px; font-weight: bold; letter-spacing: 0.04em; }
.safety .alert { flex: none; width: 15pt; height: 14pt; }
.safety .message { flex: 1; padding: 3px 9px; } .safety .read { margin-left: 8px; white-space: nowrap; }
${signals}
.hash { font-size: 8pt; color: var(--faint); overflow-wrap: anywhere; }
@media (forced-colors: active) { .safety .signal, .safety .alert { forced-color-adjust: none; } }
`.trim();
}

/** A CSS string: everything but plain characters as an escape, so that no text can end it or the style sheet. */
function cssString(text: string): string {
  const plain = /[a-zA-Z0-9 .,·-]/;
  const escaped = (character: string): string => `\\${(character.codePointAt(0) ?? 0xfffd).toString(16)} `;
  return `"${[...harmlessLine(text)].map((character) => (plain.test(character) ? character : escaped(character))).join('')}"`;
}
