/** A diagnosis for a person at a terminal: what the order costs, what would cost less, what each test proves. */
import type { OrderTree } from '../diagnosis/best-order.ts';
import type { DiagnosisOutcome } from '../features/diagnosis.ts';
import type { Cell, DiagnosisReport } from '../diagnosis/report.ts';
import { DIAGNOSIS_CLOSING, diagnosisWords, number, percent, percentWithSpread, stepRows, STEP_ROWS_NOTE, stepsSideBySide } from './diagnosis-words.ts';
import { faultLetter } from './fault-letters.ts';
import { displayWidth, harmlessLine } from './harmless-text.ts';
import { NO_PAINT, type Paint } from './paint.ts';
import { wrapText } from './wrap-text.ts';

export interface DiagnosisTextOptions {
  readonly paint?: Paint;
  readonly width?: number;
}

/** Minutes below which two orders are as good as each other. */
const LEAST_GAIN = 0.05;
const MOST_TREE_LINES = 80;

const MARKS: Readonly<Record<Cell, string>> = { shows: '●', possible: '○', excluded: '·', silent: ' ' };

/** Each sign stays with what it means. */
const LEGEND = ['● shows it', '○ leaves it possible', '· excludes it', 'blank: the test says nothing of it'].map((part) => part.replaceAll(' ', '\u00a0')).join(' \u00a0');

/** The outcome as text, with a line break at its end. No line is longer than the width, which is 100 at the most. */
export function renderDiagnosisText(outcome: DiagnosisOutcome, options: DiagnosisTextOptions = {}): string {
  const paint = options.paint ?? NO_PAINT;
  const width = Math.max(60, Math.min(options.width ?? 100, 100));
  const { report } = outcome;
  const words = diagnosisWords(outcome);
  const prose = (sentences: readonly string[], mark = ''): string[] =>
    sentences.flatMap((sentence) => wrapText(harmlessLine(sentence), width - 2 - mark.length, displayWidth).map((line, index) => `  ${index === 0 ? mark : ' '.repeat(mark.length)}${line}`));
  const section = (title: string, lines: readonly string[]): string => (lines.length === 0 ? '' : `${paint.strong(title)}\n${lines.join('\n')}\n`);
  const { procedure } = report;
  const parts = [
    `${head(harmlessLine(procedure.title), harmlessLine(`${procedure.name}${procedure.revision ? `, revision ${procedure.revision}` : ''}`), width, paint)}\n`,
    section('Order', [...costLines(words.lines, width), ...(words.lines.length > 0 ? [''] : []), ...prose(words.verdict)]),
    section('Proposal', [...prose(words.moves.slice(0, 1)), ...prose(words.moves.slice(1), '- '), ...(outcome.proposal ? ['', ...sideBySide(outcome.proposal, width)] : [])]),
    section('In the way', prose(words.obstacles, '- ')),
    section('Records', prose(words.records)),
    section('Faults', faultLines(outcome, width)),
    section('What each step takes, and each test brings', stepLines(report, width)),
    section('What each result says of each fault', matrixLines(report, width)),
    section('Still possible on arrival', possibleLines(report, width)),
    section('Best order found', bestLines(report, width)),
    section('How far the faults are told apart (IEEE 1522)', prose(words.isolation)),
    section('Assumed', prose(words.assumptions, '- ')),
    wrapText(DIAGNOSIS_CLOSING, width, displayWidth).map((line) => `${paint.faint(line)}\n`).join(''),
  ];
  return parts.filter((part) => part !== '').join('\n');
}

/** Title and identity, on one line where they fit. */
function head(title: string, identity: string, width: number, paint: Paint): string {
  if (displayWidth(title) + displayWidth(identity) + 2 <= width) return `${paint.strong(title)}  ${paint.faint(identity)}`;
  return [...wrapText(title, width, displayWidth).map(paint.strong), ...wrapText(identity, width, displayWidth).map(paint.faint)].join('\n');
}

function costLines(lines: ReturnType<typeof diagnosisWords>['lines'], width: number): string[] {
  if (lines.length === 0) return [];
  const label = Math.min(width - 30, Math.max(...lines.map((line) => line.label.length)) + 2);
  return [
    `  ${''.padEnd(label)}${'as written'.padStart(12)}${'best found'.padStart(12)}`,
    ...lines.map((line) => `  ${fit(line.label, label - 1).padEnd(label)}${line.written.padStart(12)}${line.best.padStart(12)}`.trimEnd()),
  ];
}

function faultLines({ report, learned }: DiagnosisOutcome, width: number): string[] {
  const titleWidth = width - (learned ? 54 : 38);
  const head = `  ${''.padEnd(3)}${''.padEnd(titleWidth)}${'share'.padStart(7)}${learned ? 'records say'.padStart(16) : ''}${report.procedure.inspection ? '' : `${'minutes'.padStart(9)}${'steps'.padStart(7)}${'found'.padStart(8)}`}`;
  return [head, ...report.faults.map((fault, index) => {
    const cost = report.numbers.written.faults[index];
    const record = learned?.weights[index];
    const learnedText = learned ? (record ? percentWithSpread(record.learned, record.spread) : '').padStart(16) : '';
    const costs = report.procedure.inspection ? '' : `${number(cost?.minutes ?? 0).padStart(9)}${number(cost?.steps ?? 0).padStart(7)}${percent(cost?.found ?? 0).padStart(8)}`;
    return `  ${faultLetter(index).padEnd(3)}${pad(fit(harmlessLine(`${fault.title} (${fault.name})`), titleWidth - 1), titleWidth)}${percent(fault.share).padStart(7)}${learnedText}${costs}`;
  })];
}

function stepLines(report: DiagnosisReport, width: number): string[] {
  if (report.procedure.inspection) return [];
  const nameWidth = width - 46;
  return [
    `  ${''.padEnd(nameWidth)}${'minutes'.padStart(9)}${'people'.padStart(8)}${'reached'.padStart(9)}${'bits'.padStart(7)}${'bits/min'.padStart(10)}`,
    ...stepRows(report).map((row) => {
      const kept = row.keptFirst ? ' (kept first)' : '';
      return `  ${pad(fit(`${harmlessLine(row.name)}${kept}`, nameWidth - 1), nameWidth)}${`${number(row.minutes)}${row.timed ? '' : '?'}`.padStart(9)}${String(row.people).padStart(8)}`
        + `${percent(row.reached).padStart(9)}${(row.bits === undefined ? '' : number(row.bits, 2)).padStart(7)}${(row.bitsPerMinute === undefined ? '' : number(row.bitsPerMinute, 3)).padStart(10)}`.trimEnd();
    }),
    '',
    ...wrapText(STEP_ROWS_NOTE, width - 2, displayWidth).map((line) => `  ${line}`),
  ];
}

/** The part of the list that changes: what moves up or down carries its old number. */
function sideBySide(proposal: NonNullable<DiagnosisOutcome['proposal']>, width: number): string[] {
  const half = Math.floor((width - 6) / 2);
  const place = (at: number): string => `${String(at).padStart(3)}  `;
  return [
    `  ${'as written'.padEnd(half)}  proposed`,
    ...stepsSideBySide(proposal).map((row) => {
      const was = row.moved ? ` (was ${row.was})` : '';
      return `  ${pad(`${place(row.number)}${fit(harmlessLine(row.before), half - 6)}`, half)}  ${place(row.number)}${fit(harmlessLine(row.after), half - 6 - was.length)}${was}`;
    }),
  ];
}

function matrixLines(report: DiagnosisReport, width: number): string[] {
  if (report.tests.length === 0) return [];
  const label = Math.min(46, width - 14);
  const perPage = Math.max(1, Math.floor((width - 2 - label) / 3));
  const lines: string[] = [];
  for (let from = 0; from < report.faults.length; from += perPage) {
    const shown = report.faults.slice(from, from + perPage).map((_, index) => from + index);
    if (from > 0) lines.push('');
    lines.push(`  ${''.padEnd(label)}${shown.map((index) => faultLetter(index).padStart(3)).join('')}`);
    for (const test of report.tests) {
      lines.push(`  ${harmlessLine(fit(test.name, width - 4))}`);
      for (const result of test.results) {
        lines.push(`    ${pad(fit(harmlessLine(result.when), label - 3), label - 2)}${shown.map((index) => `  ${MARKS[result.cells[index] ?? 'silent']}`).join('')}`.trimEnd());
      }
    }
  }
  return [...lines, '', ...wrapText(LEGEND, width - 2, displayWidth).map((line) => `  ${line}`)];
}

function possibleLines(report: DiagnosisReport, width: number): string[] {
  const label = Math.min(30, Math.max(12, ...report.possible.map(({ step }) => step.length)) + 2);
  const all = report.faults.length;
  const lines = report.possible.flatMap(({ step, sets, more }) => {
    const texts = sets.map(({ faults }) => (faults.length === all ? `all ${all}` : faults.length === 0 ? 'none' : faults.map(faultLetter).join(' ')));
    const text = texts.join('  or  ') + (more > 0 ? `  and ${more} more` : '');
    return wrapText(text, width - 2 - label, displayWidth).map((line, index) => `  ${(index === 0 ? fit(harmlessLine(step), label - 1) : '').padEnd(label)}${line}`);
  });
  return report.possibleIncomplete ? [...lines, '  There are more walks than can be followed: not every set is shown.'] : lines;
}

/** The tree of the best order, where there is a better one and it is short enough to be read. */
function bestLines(report: DiagnosisReport, width: number): string[] {
  const { best, written } = report.numbers;
  if (report.procedure.inspection || !best.sound || written.planned - best.minutes < LEAST_GAIN) return [];
  const lines = treeLines(report, best.tree, 0);
  if (lines.length > MOST_TREE_LINES) return wrapText(`It has ${lines.length} lines: the page shows them (--format html), and the JSON holds them.`, width - 2, displayWidth).map((line) => `  ${line}`);
  return lines.map((line) => `  ${fit(line, width - 2)}`);
}

function treeLines(report: DiagnosisReport, tree: OrderTree, depth: number): string[] {
  if (tree.kind === 'leaf') return [];
  const test = report.sheet.problem.tests[tree.test];
  const indent = '    '.repeat(depth);
  return [`${indent}${harmlessLine(test?.name ?? '')}  ${number(tree.minutes)} min`, ...tree.branches.flatMap((branch) => {
    const end = branch.tree.kind === 'leaf' ? `: ${branch.tree.possible.map((fault) => report.faults[fault]?.name ?? '').join(' or ')}` : '';
    return [`${indent}  ${harmlessLine(test?.outcomes[branch.outcome]?.label ?? '')} ${percent(branch.probability)}${end}`, ...treeLines(report, branch.tree, depth + 1)];
  })];
}

function fit(text: string, width: number): string {
  if (displayWidth(text) <= width) return text;
  let cut = text;
  while (cut !== '' && displayWidth(cut) > width - 1) cut = cut.slice(0, -1);
  return `${cut.trimEnd()}…`;
}

function pad(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - displayWidth(text)));
}
