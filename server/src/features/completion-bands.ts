/** Completions inside a band or an expression: its words, the names that may stand in it, units that fit the quantity. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Step } from '../procedure/model.ts';
import { examineBands } from '../quantity/band-algebra.ts';
import { knownQuantity } from '../quantity/evaluate.ts';
import type { Band } from '../quantity/expression.ts';
import { FUNCTION_NAMES } from '../quantity/function-names.ts';
import { parseBand } from '../quantity/parse-band.ts';
import { describeQuantityWord, quantityWord } from '../quantity/quantity-words.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import type { Span } from '../text/span.ts';
import { word } from './completion-item.ts';
import type { Completion } from './completion-item.ts';
import type { Cursor } from './cursor.ts';
import { describeSymbol } from './describe.ts';
import { functionSignature } from './function-signatures.ts';
import { allSteps } from './symbols.ts';
import type { Library } from './symbols.ts';

const COMPARISONS = ['at least', 'at most', 'above', 'below', 'between', 'equal to'];

/** The band of a measure's or a decision's result; `taken` are the bands of its other results. */
export function bandCompletions(library: Library, analysis: Analysis, step: Step | undefined, cursor: Cursor, taken: ReadonlySet<string> = new Set()): Completion[] {
  const { typed } = cursor;
  const units = unitCompletions(unitsFor(step), cursor);
  if (units.length > 0) return units;
  // `lit at |`, `below 1 V at |`: not the first word of `at least`.
  if (step && step.atEach.length > 0 && /(?:^|\s)(?!and\s)\S+\s+at\s+[a-z0-9_]*$/.test(typed)) return pointCompletions(step, cursor);
  // A comparison begins the band, and each condition after 'and'; within `between … and …` it is a bound that follows.
  const condition = /(?:^|\band\s)([a-z ]*)$/.exec(typed);
  const inBetween = /\bbetween\s(?:(?!\band\b).)*\band\s[a-z_.]*$/.test(typed);
  if (condition && !inBetween && !/(?:at least|at most|above|below|equal to|between)\s/.test(condition[1] ?? '')) {
    return comparisons(analysis, step, cursor, (condition[1] ?? '').length, taken);
  }
  return expressionCompletions(library, analysis, step, cursor);
}

/** Readings of earlier steps and of procedures that were run, facts with a quantity, values of the shop, functions. */
export function expressionCompletions(library: Library, analysis: Analysis, step: Step | undefined, cursor: Cursor): Completion[] {
  const { procedure, scope, file } = analysis;
  const replace = lastWord(cursor);
  const items: Completion[] = [];
  const wanted = step?.kind === 'measure' ? dimensionOfWord(step.quantity?.value) : undefined;
  // What is of the kind that the step measures comes first: the rest hardly ever stands in its limits.
  const add = (label: string, detail: string, order: string, dimension: string | undefined, describe?: Completion['documentation']): void =>
    void items.push({
      label, kind: 'name', detail, insert: label, replace, ...(describe ? { documentation: describe } : {}),
      order: `${wanted !== undefined && dimension === wanted ? 0 : 1}${order}${label}`,
    });
  for (const other of procedure ? allSteps(procedure) : []) {
    if (other.name === undefined || other.name.value === step?.name?.value) continue;
    const name = other.name.value;
    const describe: Completion['documentation'] = (words) => describeSymbol(library, analysis, { kind: 'step', name, file }, words);
    if (other.kind === 'run' && other.run) {
      const called = library.fileOfProcedure(other.run.value, file);
      for (const reading of called === undefined ? [] : (library.procedureIn(called)?.steps ?? [])) {
        if (reading.kind !== 'measure' || !reading.name || reading.atEach.length > 0) continue;
        const quantity = reading.quantity?.value ?? '';
        add(`${name}.${reading.name.value}`, `reading of ${other.run.value}, ${quantity}`, '2', dimensionOfWord(quantity));
      }
    } else if (other.kind === 'measure') {
      const quantity = other.quantity?.value ?? '';
      const names = other.atEach.length > 0 && !other.judge ? other.atEach.map((point) => `${name}.${point.name.value}`) : [name];
      for (const one of names) add(one, `reading, ${quantity}`, '1', dimensionOfWord(quantity), describe);
    }
  }
  for (const fact of procedure?.facts ?? []) {
    const name = fact.name.value;
    if (fact.quantity) add(name, `fact, ${fact.quantity.value}`, '3', dimensionOfWord(fact.quantity.value), (words) => describeSymbol(library, analysis, { kind: 'fact', name, file }, words));
  }
  for (const [name, { item, file: home }] of scope?.values ?? [])
    add(name, item.is?.value.text ?? 'value', '4', item.is && quantityDimension(item.is.value), (words) => describeSymbol(library, analysis, { kind: 'value', name, file: home }, words));
  for (const name of FUNCTION_NAMES) {
    const signature = functionSignature(name);
    items.push({
      label: name, kind: 'word', detail: signature?.title ?? 'function', insert: `${name}(`, replace, order: `25${name}`, next: 'parameters',
      documentation: () => signature && `\`${signature.label}\`\n\n${signature.says}`,
    });
  }
  return items;
}

function dimensionOfWord(text: string | undefined): string | undefined {
  const quantity = quantityWord(text ?? '');
  return quantity && describeQuantityWord(quantity).dimension;
}

function comparisons(analysis: Analysis, step: Step | undefined, cursor: Cursor, typedLength: number, taken: ReadonlySet<string>): Completion[] {
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
  const rest = cursor.typed.length === typedLength ? whatIsLeft(analysis, step, cursor.replace.start) : [];
  return [
    ...rest.map((label): Completion => ({ ...word(label, 'readings that no result takes yet'), replace, order: `!${label}` })),
    ...lamp.filter(({ label }) => !taken.has(label)),
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

/** Bands that take what the other results leave: `below 12.4 V` beside `at least 12.4 V`. Exact, as the check for gaps is. */
function whatIsLeft({ scope }: Analysis, step: Step | undefined, offset: number): string[] {
  const quantity = step?.kind === 'measure' ? quantityWord(step.quantity?.value ?? '') : undefined;
  const others = (step?.results ?? []).filter(({ span }) => offset < span.start || offset > span.end);
  if (!step || !quantity || others.length === 0 || step.judgeUnread) return [];
  const bands = others.map(({ when }): Band | undefined =>
    when?.kind === 'otherwise' ? { kind: 'otherwise', span: when.span } : when?.kind === 'band' ? when.band : undefined);
  const { dimension, domain } = describeQuantityWord(quantity);
  const shows = scope?.instruments.get(step.instrument?.value ?? '')?.item.shows.find((one) => one.quantity.value === quantity);
  const { gaps } = examineBands(bands, {
    word: quantity,
    ...(step.judge ? { judge: step.judge.value } : {}),
    ...(step.atEach.length > 0 ? { points: step.atEach.map((point) => point.name.value) } : {}),
    ...(shows ? { words: shows.words.map((one) => one.value) } : {}),
    environment: (name) => {
      const value = scope?.values.get(name)?.item.is;
      return value ? knownQuantity(value.value) : { symbolic: true, dimension, notNegative: domain !== 'any' };
    },
  });
  return gaps.map(({ text }) => text).filter((text) => parseBand(text).problems.length === 0).slice(0, MOST_GAPS);
}

const MOST_GAPS = 4;

/** After a number: `at least 12.4 |`. */
export function unitCompletions(units: readonly string[], cursor: Cursor): Completion[] {
  const number = /(?:^|\s)-?\d+(?:[.,]\d+)?( ?)([^\s\d]*)$/.exec(cursor.typed);
  if (!number || /^(?:and|at)$/.test(number[2] ?? '')) return [];
  const typedUnit = number[2] ?? '';
  const end = cursor.replace.start + cursor.typed.length;
  const space = number[1] === '' && typedUnit === '' ? ' ' : '';
  return units.map((unit, index) => ({
    label: unit,
    kind: 'quantity',
    detail: 'unit',
    filter: `${unit} ${PLAIN_SPELLING[unit] ?? ''}`.trim(),
    insert: `${space}${unit}`,
    replace: { start: end - typedUnit.length, end },
    order: String(index),
  }));
}

/** What a keyboard has for the signs of a unit. */
const PLAIN_SPELLING: Readonly<Record<string, string>> = {
  Ω: 'ohm', kΩ: 'kohm', MΩ: 'Mohm', mΩ: 'mohm', GΩ: 'Gohm', µA: 'uA', µF: 'uF', '°C': 'C', '°F': 'F', '°': 'deg', 'N·m': 'Nm',
  'lb·ft': 'lbft', 'lb·in': 'lbin', 'Δ°C': 'dC', 'Δ°F': 'dF',
};

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
export function lastWord(cursor: Cursor): Span {
  const typed = /[a-z0-9_.]*$/i.exec(cursor.typed)?.[0] ?? '';
  const end = cursor.replace.start + cursor.typed.length;
  return { start: end - typed.length, end };
}
