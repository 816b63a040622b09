/** A record as lines of text, for a terminal and for mail. */
import type { RecordProblem, RunRecord } from '../run/record.ts';
import { displayWidth, harmlessLine } from './harmless-text.ts';
import { recordSheet, type SheetPart } from './record-sheet.ts';

/** `problems`: what a check of the record found. `width`: columns to fill. */
export function renderRecordText(record: RunRecord, problems: readonly RecordProblem[], width = 100): string {
  const sheet = recordSheet(record, problems);
  return [
    harmlessLine(sheet.title), harmlessLine(sheet.identity),
    ...sheet.warnings.flatMap((warning) => broken(warning, width, '! ')),
    ...sheet.parts.flatMap((part) => ['', part.title, ...partLines(part, width)]),
    '', ...sheet.closing.flatMap((line) => broken(line, width, '')), '',
  ].join('\n');
}

function partLines({ facts = [], lines = [], steps = [] }: SheetPart, width: number): string[] {
  const wide = Math.max(0, ...facts.map(([name]) => displayWidth(name)));
  return [
    ...lines.flatMap((line) => broken(line, width, '  ')),
    ...facts.flatMap(([name, value]) => broken(value, width, `  ${harmlessLine(name)}${' '.repeat(wide - displayWidth(name) + 2)}`)),
    ...steps.flatMap((step) => [
      ...broken(step.title, width, '  '), ...step.lines.flatMap((line) => broken(line, width, '     ')), ...step.remarks.flatMap((line) => broken(line, width, '   ! ')),
      `     [${harmlessLine(step.by)}]`,
    ]),
  ];
}

/** Lines of at most `width` columns; the first begins with `first`, the others are indented as far. */
function broken(text: string, width: number, first: string): string[] {
  const indent = ' '.repeat(displayWidth(first));
  const lines: string[] = [];
  let line = '';
  for (const word of harmlessLine(text).split(' ')) {
    if (line !== '' && displayWidth(line) + 1 + displayWidth(word) > Math.max(20, width - indent.length)) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  lines.push(line);
  return lines.map((one, at) => (at === 0 ? first : indent) + one);
}
