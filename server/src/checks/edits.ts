/** Edits that fixes share: where a key, a list item or a step goes in the writer's own layout. */
import type { Fix, TextEdit } from '../findings/finding.ts';
import type { CautionUse, Fault, StateChange, Step } from '../procedure/model.ts';
import type { CheckContext } from './check.ts';

/** Inserts a line `key: value` under the step's first line, indented as its keys are; undefined where the step has no name to hold on to. */
export function insertKey(context: CheckContext, step: Step, line: string): TextEdit | undefined {
  if (step.name === undefined) return undefined;
  const { text } = context;
  const keyStart = text.lastIndexOf('step', step.name.span.start);
  if (keyStart < 0) return undefined;
  const indent = ' '.repeat(keyStart - lineStart(text, keyStart));
  const end = lineEnd(text, step.name.span.end);
  return { file: context.file, span: { start: end, end }, newText: `\n${indent}${line}` };
}

/** Adds a name to a step's list of cautions, or gives it one. */
export function addCaution(context: CheckContext, step: Step, name: string): TextEdit | undefined {
  const first = step.cautions[0];
  if (first === undefined) return insertKey(context, step, `cautions: [${name}]`);
  if (first.kind !== 'named') return undefined;
  const { start } = first.name.span;
  const before = context.text.slice(lineStart(context.text, start), start);
  const newText = before.trimEnd().endsWith('-') && before.trim() === '-' ? `${name}\n${before}` : `${name}, `;
  return { file: context.file, span: { start, end: start }, newText };
}

/** Gives a fault a list of one name beside its remedy, or adds the name to the list that it has. */
export function addToRemedy(context: CheckContext, fault: Fault, key: 'cautions' | 'qualified', name: string): TextEdit | undefined {
  const { text, file } = context;
  const first = key === 'qualified' ? fault.qualified?.[0] : fault.cautions?.[0];
  if (first !== undefined) {
    const span = 'kind' in first ? (first.kind === 'named' ? first.name.span : undefined) : first.span;
    const before = span && text.slice(lineStart(text, span.start), span.start);
    return span && before?.includes('[') ? { file, span: { start: span.start, end: span.start }, newText: `${name}, ` } : undefined;
  }
  if (fault.remedy === undefined) return undefined;
  const start = text.lastIndexOf('remedy', fault.remedy.span.start);
  if (start < fault.name.span.end) return undefined;
  const indent = text.slice(lineStart(text, start), start);
  const inBraces = text.slice(fault.name.span.end, start).includes('{');
  return { file, span: { start, end: start }, newText: `${key}: [${name}]${inBraces ? ', ' : `\n${indent}`}` };
}

/** Inserts a whole step before another, in its indentation. `lines` are the keys under `step:`. */
export function insertStepBefore(context: CheckContext, step: Step, name: string, lines: readonly string[]): TextEdit {
  const { text } = context;
  const dash = text.lastIndexOf('-', step.name?.span.start ?? step.span.start);
  const start = lineStart(text, Math.max(0, dash));
  const indent = text.slice(start, dash);
  const keys = `${indent}  `;
  const newText = `${indent}- step: ${name}\n${lines.map((line) => `${keys}${line}\n`).join('')}\n`;
  return { file: context.file, span: { start, end: start }, newText };
}

/** The lines of a step that brings a state to a value, as its declaration describes the change. */
export function linesOfChange(state: string, value: string, change: StateChange | undefined): string[] {
  const actions = change?.do.map((action) => action.value) ?? [];
  const texts = actions.length > 0 ? actions : [`Bring ${words(state)} to ${words(value)}.`];
  const cautions = change?.cautions ?? [];
  const allNamed = cautions.every((use) => use.kind === 'named');
  return [
    'do:',
    ...texts.map((text) => `  - ${quoteIfNeeded(text)}`),
    `sets: {${state}: ${value}}`,
    ...(cautions.length === 0 ? [] : allNamed ? [`cautions: [${cautions.map(nameOfCaution).join(', ')}]`] : ['cautions:', ...cautions.flatMap(linesOfCaution)]),
    ...(change?.time ? [`time: ${change.time.value.text}`] : []),
  ];
}

function nameOfCaution(use: CautionUse): string {
  return use.kind === 'named' ? use.name.value : '';
}

/** A caution as an item of a list: its name, or all of it where the change writes it out. */
function linesOfCaution(use: CautionUse): string[] {
  if (use.kind === 'named') return [`  - ${use.name.value}`];
  const { signal, hazard, consequence, avoid, wear, covers } = use.caution;
  const keys = ([['signal', signal], ['hazard', hazard], ['consequence', consequence], ['avoid', avoid]] as const).flatMap(([key, text]) => (text ? [`${key}: ${quoteIfNeeded(text.value)}`] : []));
  const lists = ([['wear', wear], ['covers', covers]] as const).flatMap(([key, names]) => (names.length > 0 ? [`${key}: [${names.map((name) => name.value).join(', ')}]`] : []));
  return [...keys, ...lists].map((line, index) => `${index === 0 ? '  - ' : '    '}${line}`);
}

/** A step name that is still free. */
export function freeStepName(context: CheckContext, wanted: string): string {
  const taken = new Set([...context.procedure.steps, ...context.procedure.afterRepair].map((step) => step.name?.value));
  for (let count = 1; ; count++) {
    const name = count === 1 ? wanted : `${wanted}_${count}`;
    if (!taken.has(name)) return name;
  }
}

/** A fix of one edit; undefined where there is none. */
export function fixOf(title: string, edit: TextEdit | undefined, altersMeaning: boolean): readonly Fix[] | undefined {
  return edit ? [{ title, edits: [edit], altersMeaning }] : undefined;
}

/** A plain scalar where YAML lets the text stand as it is, else a quoted one. */
export function quoteIfNeeded(text: string): string {
  return /^[A-Za-z0-9][^#:\n]*$/u.test(text) ? text : JSON.stringify(text);
}

/** snake_case as words. */
export function words(name: string): string {
  return name.replaceAll('_', ' ');
}

/** A title inside a sentence: its first letter small, unless it begins with an abbreviation. */
export function inSentence(title: string): string {
  return /^\p{Lu}(?!\p{Lu})/u.test(title) ? title.charAt(0).toLowerCase() + title.slice(1) : title;
}

/** 'a, b and c'. */
export function listed(items: readonly string[], last = 'and'): string {
  if (items.length < 2) return items[0] ?? '';
  return `${items.slice(0, -1).join(', ')} ${last} ${items[items.length - 1]}`;
}

function lineStart(text: string, offset: number): number {
  return text.lastIndexOf('\n', offset - 1) + 1;
}

function lineEnd(text: string, offset: number): number {
  const end = text.indexOf('\n', offset);
  const stop = end < 0 ? text.length : end;
  return text[stop - 1] === '\r' ? stop - 1 : stop;
}
