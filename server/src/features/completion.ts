/**
 * What may be written at the cursor: keys, names, words, and whole steps and results that ask for what their kind needs. It works on
 * half-typed text: the cursor's place is read from the text, names come from the last analysis.
 */
import type { Analysis } from '../analysis/analysis.ts';
import { STEP_KINDS, WAYS_ON } from '../procedure/keys.ts';
import type { KeyInfo, NamedKind, Shape } from '../procedure/keys.ts';
import type { Names } from '../procedure/scope.ts';
import { describeQuantityWord, QUANTITY_WORDS } from '../quantity/quantity-words.ts';
import type { Span } from '../text/span.ts';
import { cursorAt } from './cursor.ts';
import type { Cursor } from './cursor.ts';
import { describeSymbol } from './describe.ts';
import { expectedAt } from './expected.ts';
import type { Expected } from './expected.ts';
import { bandCompletions, expressionCompletions } from './completion-bands.ts';
import { resultSkeletons, stepSkeletons } from './skeletons.ts';
import { allSteps } from './symbols.ts';
import type { Library, Symbol, SymbolKind } from './symbols.ts';

export type CompletionKind = 'key' | 'name' | 'word' | 'value' | 'skeleton' | 'quantity';

export interface Completion {
  readonly label: string;
  readonly kind: CompletionKind;
  /** A few words beside the label. */
  readonly detail?: string;
  /** Markdown; computed when someone looks at it. */
  readonly documentation?: () => string | undefined;
  readonly insert: string;
  /** `insert` holds places to fill: `${1:what}`. */
  readonly snippet?: boolean;
  /** What comes first in the list. */
  readonly order?: string;
  /** Replaces this in place of the list's span. */
  readonly replace?: Span;
}

export interface Completions {
  readonly replace: Span;
  readonly items: readonly Completion[];
}

export function completionsAt(library: Library, analysis: Analysis, offset: number): Completions | undefined {
  const cursor = cursorAt(analysis.text, offset);
  if (!cursor) return undefined;
  const place = expectedAt(analysis.kind, cursor.path);
  if (!place) return undefined;
  const items =
    cursor.kind === 'key'
      ? keyOrItem(library, analysis, place.expected, cursor)
      : valueItems(library, analysis, place.expected, cursor);
  return items.length > 0 ? { replace: cursor.replace, items } : undefined;
}

function keyOrItem(library: Library, analysis: Analysis, expected: Expected, cursor: Cursor): Completion[] {
  switch (expected.kind) {
    case 'object': {
      const keys = keyItems(expected.object.keys, expected.name, cursor);
      const atDash = cursor.path.at(-1) === '-' && cursor.present.length === 0 && !cursor.flow;
      if (atDash && expected.name === 'step') return [...stepSkeletons(analysis, cursor.column), ...keys];
      if (atDash && expected.name === 'result') return [...resultSkeletons(stepAround(analysis, cursor)), ...keys];
      return keys;
    }
    case 'names':
      return expected.declares ? [] : namedKeys(library, analysis, expected.of, cursor);
    // A plain item of a list, `- name`, looks like a key until its colon is typed.
    case 'value':
      if (cursor.path.at(-1) === '-') return valueItems(library, analysis, expected, cursor);
      return listOfObjects(expected.shape, cursor, analysis);
    case 'value_of':
      return cursor.path.at(-1) === '-' ? valueItems(library, analysis, expected, cursor) : [];
  }
}

/** Below `steps:` and `results:`, before the dash was typed. */
function listOfObjects(shape: Shape, cursor: Cursor, analysis: Analysis): Completion[] {
  if (shape.shape !== 'list' || cursor.flow || cursor.typed !== '') return [];
  const skeletons =
    shape.object === 'step'
      ? stepSkeletons(analysis, cursor.column + 2)
      : shape.object === 'result'
        ? resultSkeletons(undefined)
        : [];
  return skeletons.map((item) => ({ ...item, insert: `- ${item.insert}` }));
}

function keyItems(keys: Readonly<Record<string, KeyInfo>>, objectName: string, cursor: Cursor): Completion[] {
  const kinds: readonly string[] = STEP_KINDS;
  const ways: readonly string[] = WAYS_ON;
  const hasKind = objectName === 'step' && cursor.present.some((key) => kinds.includes(key));
  const hasWay = objectName === 'result' && cursor.present.some((key) => ways.includes(key));
  return Object.entries(keys)
    .filter(([key]) => !cursor.present.includes(key) && !(hasKind && kinds.includes(key)) && !(hasWay && ways.includes(key)))
    .map(([key, info], index): Completion => ({
      label: key,
      kind: 'key',
      detail: info.required ? 'required' : objectName === 'step' && kinds.includes(key) ? 'kind of step' : undefined,
      documentation: () => info.says,
      insert: cursor.flow ? `${key}: ` : `${key}:${afterKey(info.value, cursor.column)}`,
      order: `${info.required ? 0 : 1}${String(index).padStart(3, '0')}`,
    }));
}

/** What follows a key on a new line: a map or list begins on the next one. */
function afterKey(shape: Shape, column: number): string {
  const indent = `\n${' '.repeat(column + 2)}`;
  switch (shape.shape) {
    case 'list':
      return `${indent}- `;
    case 'named':
    case 'object':
      return indent;
    case 'states':
    case 'assignments':
    case 'state_alternatives':
    case 'fact_values':
    case 'probes':
    case 'caution_uses':
      return ' ';
    default:
      return ' ';
  }
}

function namedKeys(
  library: Library,
  analysis: Analysis,
  of: Extract<Expected, { kind: 'names' }>['of'],
  cursor: Cursor,
): Completion[] {
  const items =
    of === 'fact_or_state'
      ? [...namesOf(library, analysis, 'fact'), ...namesOf(library, analysis, 'state')]
      : of === 'asset' || of === 'probe' || of === 'term'
        ? []
        : namesOf(library, analysis, of);
  return items.filter((item) => !cursor.present.includes(item.label)).map((item) => ({ ...item, insert: `${item.insert}: ` }));
}

function valueItems(library: Library, analysis: Analysis, expected: Expected, cursor: Cursor): Completion[] {
  switch (expected.kind) {
    case 'value':
      return shapeItems(library, analysis, expected.shape, cursor);
    case 'value_of':
      return valuesOf(library, analysis, expected.name, expected.of);
    case 'names':
      // Braces make a map of one line.
      return expected.declares || cursor.flow
        ? []
        : namedKeys(library, analysis, expected.of, cursor).map((item) => ({
            ...item,
            insert: `{${item.insert}\${1}}`,
            snippet: true,
          }));
    case 'object':
      return [];
  }
}

function shapeItems(library: Library, analysis: Analysis, shape: Shape, cursor: Cursor): Completion[] {
  switch (shape.shape) {
    case 'name':
    case 'names':
      return shape.declares ? [] : listed(namesOf(library, analysis, shape.of), shape, cursor);
    case 'caution_uses':
      return listed(namesOf(library, analysis, 'caution'), shape, cursor);
    case 'choice':
      return shape.choices.map((choice) => word(choice));
    case 'true':
      return [word('true')];
    case 'when':
      return whenItems(library, analysis, cursor);
    case 'band':
      return bandCompletions(analysis, stepAround(analysis, cursor), cursor);
    case 'expression':
      return [...namesOf(library, analysis, 'fact'), ...expressionCompletions(analysis, stepAround(analysis, cursor), cursor)];
    case 'quantity':
      return [{ label: shape.example, kind: 'quantity', detail: shape.dimension, insert: shape.example }];
    default:
      return [];
  }
}

/** A list of one line needs its brackets, unless the cursor stands in them or one name will do. */
function listed(items: Completion[], shape: Shape, cursor: Cursor): Completion[] {
  const bare = shape.shape === 'name' || cursor.path.at(-1) === '-' || cursor.typed.startsWith('[');
  return bare ? items : items.map((item) => ({ ...item, insert: `[${item.insert}]` }));
}

function whenItems(library: Library, analysis: Analysis, cursor: Cursor): Completion[] {
  const step = stepAround(analysis, cursor);
  const otherwise = word('otherwise', 'whatever else; comes last');
  switch (step?.kind) {
    case 'ask':
      return [word('yes'), word('no'), otherwise];
    case 'run': {
      const file = step.run && library.fileOfProcedure(step.run.value, analysis.file);
      const called = file === undefined || file === '' ? undefined : library.analyse(file).procedure;
      const word1 = called?.purpose === 'inspection' ? 'raised' : 'finds';
      return [
        word('passed', 'it ended without a fault'),
        word('referred', 'it ended without a finding'),
        ...(called?.faults ?? []).map((fault): Completion => ({
          ...word(`${word1} ${fault.name.value}`, fault.title?.value),
          kind: 'name',
        })),
        otherwise,
      ];
    }
    case 'decide': {
      const fact = analysis.procedure?.facts.find((one) => one.name.value === step.decide?.text.trim());
      if (fact?.choices) return [...fact.choices.map((choice) => word(choice.value)), otherwise];
      return bandCompletions(analysis, step, cursor);
    }
    case 'measure':
      if (step.seek) return [word('found'), word('not_found')];
      return bandCompletions(analysis, step, cursor);
    default:
      return [otherwise];
  }
}

/** The step that holds the cursor, as it was last understood. */
function stepAround(analysis: Analysis, cursor: Cursor): ReturnType<typeof allSteps>[number] | undefined {
  if (!analysis.procedure) return undefined;
  let around: ReturnType<typeof allSteps>[number] | undefined;
  for (const step of allSteps(analysis.procedure))
    if (step.span.start <= cursor.replace.start && (!around || step.span.start > around.span.start)) around = step;
  return around;
}

function valuesOf(library: Library, analysis: Analysis, name: string, of: 'state' | 'fact' | 'fact_or_state'): Completion[] {
  const { scope } = analysis;
  const named = (kind: SymbolKind, value: string, file: string): Completion => ({
    label: value,
    kind: 'value',
    insert: value,
    documentation: describer(library, analysis, { kind, name: value, of: name, file }),
  });
  const state = of === 'fact' ? undefined : scope?.states.get(name);
  const fact = of === 'state' ? undefined : scope?.facts.get(name);
  const given =
    of === 'fact'
      ? new Set(
          scope?.assets.flatMap(({ item }) => item.facts.filter((one) => one.name.value === name).map((one) => one.value.value)),
        )
      : [];
  const choices = fact?.item.choices?.map((choice) => choice.value) ?? [];
  return [
    ...(state?.item.values ?? []).map((value) => named('state_value', value.value, state?.file ?? '')),
    ...[...new Set([...choices, ...given])].map((value) => named('choice', value, fact?.file ?? '')),
  ];
}

/** Names of a kind that can be used here, with what they stand for. */
export function namesOf(library: Library, analysis: Analysis, of: NamedKind): Completion[] {
  const { scope, procedure, file } = analysis;
  const symbol = (kind: SymbolKind, name: string, home: string, detail?: string): Completion => ({
    label: name,
    kind: 'name',
    detail,
    insert: name,
    documentation: describer(library, analysis, { kind, name, file: home }),
  });
  const declared = (
    kind: SymbolKind,
    names: Names<{ readonly title?: { readonly value: string } }> | Names<unknown> | undefined,
  ): Completion[] =>
    [...(names ?? [])].map(([name, { item, origin, file: home }]) => ({
      ...symbol(kind, name, home, (item as { title?: { value: string } }).title?.value),
      // One's own names before those of the shop, and these before what ships with the tool.
      order: `${['procedure', 'shop', 'catalogue'].indexOf(origin)}${name}`,
    }));
  switch (of) {
    case 'step':
      return procedure
        ? allSteps(procedure).flatMap((step) =>
            step.name ? [symbol('step', step.name.value, file, step.title?.value ?? step.kind)] : [],
          )
        : [];
    case 'fault':
      return declared('fault', scope?.faults);
    case 'state':
      return declared('state', scope?.states);
    case 'fact': {
      const own = declared('fact', scope?.facts);
      const ofAssets = new Set(scope?.assets.flatMap(({ item }) => item.facts.map((fact) => fact.name.value)));
      return [
        ...own,
        ...[...ofAssets].filter((name) => !scope?.facts.has(name)).map((name) => symbol('fact', name, file, 'of the assets')),
      ];
    }
    case 'circuit':
      return declared('circuit', scope?.circuits);
    case 'caution':
      return declared('caution', scope?.cautions);
    case 'hazard':
      return declared('hazard', scope?.hazards);
    case 'instrument':
    case 'tool':
      return declared('instrument', scope?.instruments);
    case 'qualification':
      return declared('qualification', scope?.qualifications);
    case 'value':
      return declared('value', scope?.values);
    case 'procedure':
      return library
        .procedures()
        .filter((one) => one.file !== file)
        .map((one) => symbol('procedure', one.name, one.file));
    case 'quantity':
      return QUANTITY_WORDS.map((one): Completion => {
        const { title, usualUnits } = describeQuantityWord(one);
        return {
          label: one,
          kind: 'quantity',
          insert: one,
          detail: usualUnits.slice(0, 3).join(', '),
          documentation: () => title,
        };
      });
    case 'check':
      return [...new Set(analysis.findings.map((finding) => finding.check))].map((check) => word(check, 'found in this file'));
    default:
      return [];
  }
}

function describer(library: Library, analysis: Analysis, of: Symbol): () => string | undefined {
  return () => describeSymbol(library, analysis, of);
}

export function word(text: string, detail?: string): Completion {
  return { label: text, kind: 'word', insert: text, detail };
}
