/** What may follow a key: quantities with units that fit, what selects a result, names in braces inside a text. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Shape } from '../procedure/keys.ts';
import type { Step } from '../procedure/model.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import { describeQuantityWord, quantityWord } from '../quantity/quantity-words.ts';
import { bandCompletions, expressionCompletions, lastWord, unitCompletions } from './completion-bands.ts';
import { inOrder, word } from './completion-item.ts';
import type { Completion } from './completion-item.ts';
import { namesOf } from './completion-names.ts';
import type { Cursor } from './cursor.ts';
import { unitsOfDimension } from './function-signatures.ts';
import type { Library } from './symbols.ts';

/** A number with a unit: units that fit once the number is there, an example to fill in before. */
export function quantityCompletions(shape: Extract<Shape, { shape: 'quantity' }>, step: Step | undefined, cursor: Cursor): Completion[] {
  const units = unitsAt(shape, step, cursor);
  if (cursor.typed !== '') return unitCompletions(units, cursor);
  const [number = '', unit = ''] = shape.example.split(' ');
  const fitting = units.length === 0 || units.includes(unit) ? unit : (units[0] ?? unit);
  return [{
    label: `${number} ${fitting}`, kind: 'quantity', detail: 'a number and its unit', snippet: true,
    insert: `\${1:${number}} \${2:${fitting}}`,
  }];
}

/** Units that fit the key, the most usual first; empty where any would do. */
function unitsAt(shape: Extract<Shape, { shape: 'quantity' }>, step: Step | undefined, cursor: Cursor): readonly string[] {
  if (/time/.test(shape.dimension)) return ['min', 's', 'h'];
  if (/voltage/.test(shape.dimension)) return unitsOfDimension('voltage');
  // The range of a step, and the functions of an instrument, are of a quantity that is named beside them.
  const named = cursor.path.at(-1) === 'range' ? step?.quantity?.value : cursor.path.at(-2);
  const quantity = quantityWord(named ?? '');
  return quantity ? describeQuantityWord(quantity).usualUnits : [];
}

/** Units of a fact as the assets give it, then the others of its kind. */
export function assetUnits({ scope }: Analysis, fact: string, cursor: Cursor): Completion[] {
  const given = (scope?.assets ?? [])
    .flatMap(({ item }) => item.facts.filter(({ name }) => name.value === fact))
    .flatMap(({ value }) => parseQuantity(value.value).quantity ?? []);
  const units = given.flatMap(({ unit, text }) => (unit ? [/[^\d\s.,+-].*$/.exec(text)?.[0] ?? unit.symbol] : []));
  const kind = given.find(({ unit }) => unit !== undefined);
  return unitCompletions([...new Set([...units, ...(kind ? unitsOfDimension(quantityDimension(kind)) : [])])], cursor);
}

/** What selects a result, after the kind of its step; what other results have taken is left out. */
export function whenCompletions(library: Library, analysis: Analysis, step: Step | undefined, cursor: Cursor): Completion[] {
  const taken = new Set((step?.results ?? []).flatMap(({ when, span }) =>
    when && !(span.start <= cursor.replace.start && cursor.replace.start <= span.end) ? [when.text] : []));
  const free = (items: readonly Completion[]): Completion[] =>
    items.filter((item) => !taken.has(item.label)).map((item, index) => ({ ...item, order: inOrder(index) }));
  const otherwise = word('otherwise', 'whatever else; comes last');
  switch (step?.kind) {
    case 'ask':
      return free([word('yes'), word('no'), otherwise]);
    case 'run':
      return free([...endingWords(library, analysis, step), otherwise]);
    case 'decide': {
      const fact = analysis.procedure?.facts.find((one) => one.name.value === step.decide?.text.trim());
      if (fact?.choices) return free([...fact.choices.map((one) => word(one.value)), otherwise]);
      return bandCompletions(library, analysis, step, cursor, taken);
    }
    case 'measure':
      if (step.seek) return free([word('found', 'a point meets the band'), word('not_found', 'no point meets it')]);
      return bandCompletions(library, analysis, step, cursor, taken);
    default:
      return free([otherwise]);
  }
}

/** The endings of the procedure that a step runs. */
function endingWords(library: Library, analysis: Analysis, step: Step): Completion[] {
  const file = step.run && library.fileOfProcedure(step.run.value, analysis.file);
  const called = file === undefined ? undefined : library.procedureIn(file);
  const verb = called?.purpose === 'inspection' ? 'raised' : 'finds';
  return [
    word('passed', 'it ended without a fault'),
    ...(called?.faults ?? []).map((fault): Completion => ({ ...word(`${verb} ${fault.name.value}`, fault.title?.value), kind: 'name' })),
    word('referred', 'it ended without a finding'),
  ];
}

/** In a text: a value shown in braces, or the id of a reference where it is cited. */
export function textCompletions(library: Library, analysis: Analysis, step: Step | undefined, cursor: Cursor): Completion[] {
  const { typed } = cursor;
  if (/\{[a-z0-9_.]*$/.test(typed)) {
    const replace = lastWord(cursor);
    const closed = analysis.text[replace.end] === '}';
    return expressionCompletions(library, analysis, step, cursor)
      .filter((item) => item.kind === 'name')
      .map((item) => ({ ...item, insert: closed ? item.insert : `${item.insert}}`, replace }));
  }
  if (cursor.path.at(-1) === 'from' && typed.indexOf(' ') < 0) return namesOf(library, analysis, 'reference');
  if (cursor.path.at(-1) === 'category' && /^[A-Z ]*$/.test(typed)) {
    const voltage = cursor.path.includes('instruments') ? ' 600 V' : '';
    return ['CAT II', 'CAT III', 'CAT IV'].map((category) => word(`${category}${voltage}`, 'IEC 61010 measurement category'));
  }
  return [];
}
