/** A diagnosis as one HTML page. Everything a writer wrote is escaped. */
import type { OrderTree } from '../diagnosis/best-order.ts';
import type { Cell, DiagnosisReport } from '../diagnosis/report.ts';
import type { DiagnosisOutcome } from '../features/diagnosis.ts';
import { bindUnits } from './bind-units.ts';
import { DIAGNOSIS_CLOSING, diagnosisWords, number, percent, percentWithSpread, stepRows, STEP_ROWS_NOTE, stepsSideBySide } from './diagnosis-words.ts';
import { escapeMarkup } from './markup.ts';
import { plainPage, PLAIN_PAGE_STYLE } from './plain-page.ts';

/** The outcome as a whole HTML document. */
export function renderDiagnosisHtml(outcome: DiagnosisOutcome): string {
  const { report } = outcome;
  const words = diagnosisWords(outcome);
  const { procedure } = report;
  const body = [
    '<main>',
    `<h1>${escape(procedure.title)}</h1>`,
    `<p class="identity">Diagnosis of ${escape(procedure.name)}${procedure.revision ? `, revision ${escape(procedure.revision)}` : ''}</p>`,
    section('Order', costTable(words.lines) + paragraphs(words.verdict)),
    section('Proposal', paragraphs(words.moves.slice(0, 1)) + list(words.moves.slice(1)) + proposalTable(outcome)),
    section('In the way', list(words.obstacles)),
    section('Records', paragraphs(words.records)),
    section('Faults', faultTable(outcome)),
    section('What each step takes, and each test brings', procedure.inspection ? '' : stepTable(report)),
    section('What each result says of each fault', matrixTable(report)),
    section('Still possible on arrival', possibleTable(report)),
    section('Best order found', procedure.inspection || !report.numbers.best.sound ? '' : `<div class="tree" role="region" aria-label="Best order found" tabindex="0">${treeList(report, report.numbers.best.tree)}</div>`),
    section('How far the faults are told apart (IEEE 1522)', paragraphs(words.isolation)),
    section('Assumed', list(words.assumptions)),
    `<footer><p>${escape(DIAGNOSIS_CLOSING)}</p></footer>`,
    '</main>',
  ];
  return plainPage({ title: `Diagnosis: ${bindUnits(procedure.title)}`, body: body.filter((part) => part !== '').join('\n'), style: `${PLAIN_PAGE_STYLE}\n${STYLE}` });
}

function escape(text: string): string {
  return escapeMarkup(bindUnits(text));
}

function section(title: string, content: string): string {
  return content === '' ? '' : `<section><h2>${escape(title)}</h2>${content}</section>`;
}

function paragraphs(sentences: readonly string[]): string {
  return sentences.map((sentence) => `<p>${escape(sentence)}</p>`).join('');
}

function list(items: readonly string[]): string {
  return items.length === 0 ? '' : `<ul>${items.map((item) => `<li>${escape(item)}</li>`).join('')}</ul>`;
}

function table(label: string, head: readonly string[], rows: readonly string[], kind = ''): string {
  const heads = head.map((text) => (text === '' ? '<td></td>' : `<th scope="col">${escape(text)}</th>`)).join('');
  return `<div class="wide" role="region" aria-label="${escape(label)}" tabindex="0"><table class="${kind}"><thead><tr>${heads}</tr></thead><tbody>${rows.join('')}</tbody></table></div>`;
}

function row(label: string, cells: readonly string[]): string {
  return `<tr><th scope="row">${label}</th>${cells.map((cell) => `<td>${escape(cell)}</td>`).join('')}</tr>`;
}

function costTable(lines: ReturnType<typeof diagnosisWords>['lines']): string {
  if (lines.length === 0) return '';
  return table('Order', ['', 'As written', 'Best found'], lines.map((line) => row(escape(capital(line.label)), [line.written, line.best])), 'numbers');
}

function faultTable({ report, learned }: DiagnosisOutcome): string {
  const inspection = report.procedure.inspection;
  const head = ['', 'Share', ...(learned ? ['Records say'] : []), ...(inspection ? [] : ['Minutes', 'Steps', 'Worst case', 'Found'])];
  return table('Faults', head, report.faults.map((fault, index) => {
    const cost = report.numbers.written.faults[index];
    const record = learned?.weights[index];
    return row(`${escape(fault.title)} <span class="name">${escape(fault.name)}</span>`, [
      percent(fault.share), ...(learned ? [record ? percentWithSpread(record.learned, record.spread) : ''] : []),
      ...(inspection || cost === undefined ? [] : [number(cost.minutes), number(cost.steps), number(cost.worstMinutes), percent(cost.found)]),
    ]);
  }), 'numbers');
}

function stepTable(report: DiagnosisReport): string {
  const label = 'What each step takes, and each test brings';
  return table(label, ['', 'Minutes', 'People', 'Reached', 'Bits', 'Bits a minute'], stepRows(report).map((step) =>
    row(`${escape(step.name)}${step.keptFirst ? ' <span class="name">kept first</span>' : ''}`, [
      `${number(step.minutes)}${step.timed ? '' : ' (no time given)'}`, String(step.people), percent(step.reached), step.bits === undefined ? '' : number(step.bits, 2),
      step.bitsPerMinute === undefined ? '' : number(step.bitsPerMinute, 3),
    ])), 'numbers') + `<p class="legend">${escape(STEP_ROWS_NOTE)}</p>`;
}

/** The part of the list that changes, side by side. */
function proposalTable({ proposal }: DiagnosisOutcome): string {
  if (!proposal) return '';
  const rows = stepsSideBySide(proposal).map(({ number: at, before, after, was, moved }) =>
    `<tr><th scope="row">${at}</th><td>${escape(before)}</td><td${moved ? ' class="moved"' : ''}>${escape(after)}${moved ? ` <span class="name">was ${was}</span>` : ''}</td></tr>`);
  return table('Steps side by side', ['Step', 'As written', 'Proposed'], rows);
}

const MARKS: Readonly<Record<Cell, { readonly sign: string; readonly says: string }>> = {
  shows: { sign: '●', says: 'shows it' }, possible: { sign: '○', says: 'leaves it possible' }, excluded: { sign: '·', says: 'excludes it' }, silent: { sign: '', says: 'says nothing of it' },
};

function matrixTable(report: DiagnosisReport): string {
  if (report.tests.length === 0) return '';
  const head = report.faults.map((fault) => `<th scope="col"><span>${escape(fault.name)}</span></th>`).join('');
  const rows = report.tests.flatMap((test) => [
    `<tr class="test"><th scope="rowgroup" colspan="${report.faults.length + 1}">${escape(test.name)}</th></tr>`,
    ...test.results.map((result) => `<tr><th scope="row">${escape(result.when)}</th>${result.cells.map((cell) => `<td class="${cell}"><span aria-hidden="true">${MARKS[cell].sign}</span><span class="heard">${MARKS[cell].says}</span></td>`).join('')}</tr>`),
  ]);
  const legend = Object.values(MARKS).map(({ sign, says }) => `<li><span class="sign">${sign === '' ? 'blank' : sign}</span> ${says}</li>`).join('');
  return `<div class="wide" role="region" aria-label="What each result says of each fault" tabindex="0"><table class="matrix"><thead><tr><td></td>${head}</tr></thead><tbody>${rows.join('')}</tbody></table></div><ul class="legend signs">${legend}</ul>`;
}

function possibleTable(report: DiagnosisReport): string {
  const all = report.faults.length;
  const names = (faults: readonly number[]): string => (faults.length === all ? `all ${all} faults` : faults.length === 0 ? 'none' : faults.map((index) => report.faults[index]?.name ?? '').join(', '));
  const rows = report.possible.map(({ step, sets, more }) => {
    const texts = sets.map(({ faults }) => `<li>${escape(names(faults))}</li>`).join('') + (more > 0 ? `<li>${more} more</li>` : '');
    return `<tr><th scope="row">${escape(step)}</th><td><ul class="sets">${texts}</ul></td></tr>`;
  });
  const note = report.possibleIncomplete ? '<p>There are more walks than can be followed: not every set is shown.</p>' : '';
  return rows.length === 0 ? '' : table('Still possible on arrival', ['Step', 'Faults that no walk to it has excluded'], rows) + note;
}

function treeList(report: DiagnosisReport, tree: OrderTree): string {
  if (tree.kind === 'leaf') return `<span class="end">${escape(tree.possible.map((fault) => report.faults[fault]?.title ?? '').join(' or '))}</span>`;
  const test = report.sheet.problem.tests[tree.test];
  const branches = tree.branches.map((branch) => `<li><span class="when">${escape(test?.outcomes[branch.outcome]?.label ?? '')}</span> <span class="share">${percent(branch.probability)}</span> ${treeList(report, branch.tree)}</li>`).join('');
  return `<span class="test">${escape(test?.name ?? '')}</span> <span class="share">${number(tree.minutes)} min</span><ul>${branches}</ul>`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

const STYLE = `
.legend, .share, .name { color: var(--quiet); }
.wide { overflow-x: auto; }
.wide:focus-visible { outline: 3px solid var(--focus); outline-offset: 2px; }
table { border-collapse: collapse; margin: 0 0 0.75rem; }
th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.75rem 0.25rem 0; border-bottom: 1px solid var(--line); font-weight: normal; }
thead th, thead td { vertical-align: bottom; color: var(--quiet); font-size: 0.875rem; }
.numbers td, .numbers thead th { text-align: right; white-space: nowrap; padding-left: 0.75rem; }
.name { font-size: 0.875rem; }
.matrix th[scope="col"] { padding: 0 0.25rem 0.25rem; min-width: 1.75rem; }
.matrix th[scope="col"] span { display: inline-block; writing-mode: vertical-rl; transform: rotate(180deg); white-space: nowrap; }
.tree { overflow-x: auto; }
.matrix td { position: relative; text-align: center; padding: 0.125rem 0.25rem; }
.matrix tbody th { padding: 0.125rem 1rem 0.125rem 1rem; max-width: 22rem; }
.matrix .test th { padding: 0.5rem 0 0.125rem; font-weight: 600; max-width: none; }
.matrix td.shows { background: var(--raised); }
.matrix tr:hover td, .matrix tr:hover th[scope="row"] { background: var(--raised); }
.legend { font-size: 0.875rem; }
.moved { font-weight: 600; }
.sign { font-weight: 600; color: var(--ink); }
.signs { display: flex; flex-wrap: wrap; gap: 0 1.5rem; list-style: none; padding: 0; }
.sets { list-style: none; margin: 0; padding: 0; } .sets li + li::before { content: "or "; color: var(--quiet); }
.tree ul { list-style: none; margin: 0; padding-left: 1.25rem; border-left: 1px solid var(--line); }
.tree li { padding: 0.125rem 0; } .tree .test { font-weight: 600; } .tree .end { font-style: normal; }
.tree .when::after { content: ":"; }
.heard { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
@media print { html { font-size: 9.5pt; } .matrix td.shows { background: none; } .wide { overflow: visible; } }
`.trim();
