/** Completions inside a band or an expression: its words, the names that may stand in it, units that fit the quantity. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Step } from '../procedure/model.ts';
import { COMPUTATIONS } from '../quantity/computations.ts';
import { FUNCTION_NAMES } from '../quantity/function-names.ts';
import { describeQuantityWord, quantityWord } from '../quantity/quantity-words.ts';
import type { Span } from '../text/span.ts';
import type { Completion } from './completion.ts';
import type { Cursor } from './cursor.ts';
import { allSteps } from './symbols.ts';

const COMPARISONS = ['at least', 'at most', 'above', 'below', 'between', 'equal to'];

/** The band of a measure's or a decision's result. */
export function bandCompletions(analysis: Analysis, step: Step | undefined, cursor: Cursor): Completion[] {
  const { typed } = cursor;
  const units = unitCompletions(step, cursor);
  if (units.length > 0) return units;
  // A comparison begins the band, and each condition after 'and'; within `between … and …` it is a bound that follows.
  const condition = /(?:^|\band\s)([a-z ]*)$/.exec(typed);
  const inBetween = /\bbetween\s(?:(?!\band\b).)*\band\s[a-z_.]*$/.test(typed);
  if (condition && !inBetween && !/(?:at least|at most|above|below|equal to|between)\s/.test(condition[1] ?? '')) {
    return comparisons(analysis, step, cursor, (condition[1] ?? '').length);
  }
  if (/\bat\s[a-z0-9_]*$/.test(typed) && !/\bat\s(?:l|m)?$/.test(typed)) return pointCompletions(step, cursor);
  return expressionCompletions(analysis, step, cursor);
}

/** Readings of earlier steps, facts with a quantity, values of the shop, functions. */
export function expressionCompletions(analysis: Analysis, step: Step | undefined, cursor: Cursor): Completion[] {
  const { procedure, scope } = analysis;
  const replace = lastWord(cursor);
  const items: Completion[] = [];
  const add = (label: string, detail: string, order: string): void =>
    void items.push({ label, kind: 'name', detail, insert: label, replace, order });
  for (const other of procedure ? allSteps(procedure) : []) {
    if (other === step || !other.name || other.kind !== 'measure') continue;
    if (other.atEach.length > 0 && !other.judge)
      for (const point of other.atEach)
        add(`${other.name.value}.${point.name.value}`, `reading, ${other.quantity?.value ?? ''}`, '1');
    else add(other.name.value, `reading, ${other.quantity?.value ?? ''}`, '1');
  }
  for (const fact of procedure?.facts ?? []) if (fact.quantity) add(fact.name.value, `fact, ${fact.quantity.value}`, '2');
  for (const [name, { item }] of scope?.values ?? []) add(name, item.is?.value.text ?? 'value', '3');
  for (const name of new Set([...FUNCTION_NAMES, ...COMPUTATIONS.map((one) => one.name)])) {
    items.push({ label: name, kind: 'word', detail: 'function', insert: `${name}(`, replace, order: '4' });
  }
  return items;
}

function comparisons(analysis: Analysis, step: Step | undefined, cursor: Cursor, typedLength: number): Completion[] {
  const start = cursor.replace.start + cursor.typed.length - typedLength;
  const replace: Span = { start, end: cursor.typed.length === typedLength ? cursor.replace.end : start + typedLength };
  const unit = unitsFor(step)[0] ?? '';
  const shown = analysis.scope?.instruments
    .get(step?.instrument?.value ?? '')
    ?.item.shows.find((one) => one.quantity.value === step?.quantity?.value);
  const lamp = (shown?.words ?? []).map((one): Completion => ({
    label: one.value,
    kind: 'word',
    detail: 'what the instrument shows',
    insert: one.value,
    replace,
    order: '0',
  }));
  const space = unit === '' ? '' : ` ${unit}`;
  return [
    ...lamp,
    ...COMPARISONS.map((label, index): Completion => ({
      label,
      kind: 'word',
      insert: label === 'between' ? `between \${1:low}${space} and \${2:high}${space}` : `${label} \${1:limit}${space}`,
      snippet: true,
      replace,
      order: `1${index}`,
    })),
    { label: 'otherwise', kind: 'word', detail: 'whatever else; comes last', insert: 'otherwise', replace, order: '2' },
    ...(/resistance|continuity/.test(step?.quantity?.value ?? '')
      ? [{ label: 'open', kind: 'word', detail: 'the meter shows overload', insert: 'open', replace, order: '3' } as const]
      : []),
  ];
}

/** After a number: `at least 12.4 |`. */
function unitCompletions(step: Step | undefined, cursor: Cursor): Completion[] {
  const number = /(?:^|\s)-?\d+(?:[.,]\d+)?( ?)([^\s\d]*)$/.exec(cursor.typed);
  if (!number || /^(?:and|at)$/.test(number[2] ?? '')) return [];
  const typedUnit = number[2] ?? '';
  const end = cursor.replace.start + cursor.typed.length;
  const space = number[1] === '' && typedUnit === '' ? ' ' : '';
  return unitsFor(step).map((unit, index) => ({
    label: unit,
    kind: 'quantity',
    detail: 'unit',
    insert: `${space}${unit}`,
    replace: { start: end - typedUnit.length, end },
    order: String(index),
  }));
}

function unitsFor(step: Step | undefined): readonly string[] {
  const found = step?.quantity && quantityWord(step.quantity.value);
  return found ? describeQuantityWord(found).usualUnits : [];
}

function pointCompletions(step: Step | undefined, cursor: Cursor): Completion[] {
  const replace = lastWord(cursor);
  return (step?.atEach ?? []).map((point) => ({
    label: point.name.value,
    kind: 'name',
    detail: point.title?.value ?? 'point',
    insert: point.name.value,
    replace,
  }));
}

/** The name being typed at the end of a longer text. */
function lastWord(cursor: Cursor): Span {
  const typed = /[a-z0-9_.]*$/i.exec(cursor.typed)?.[0] ?? '';
  const end = cursor.replace.start + cursor.typed.length;
  return { start: end - typed.length, end };
}
