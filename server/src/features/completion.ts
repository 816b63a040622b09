/**
 * What may be written at the cursor: keys, names, words, and whole steps and results that ask for what their kind needs. It works on
 * half-typed text: the cursor's place is read from the text, names come from the last analysis.
 */
import type { Analysis } from '../analysis/analysis.ts';
import { STEP_KINDS, WAYS_ON } from '../procedure/keys.ts';
import type { KeyInfo, Shape } from '../procedure/keys.ts';
import type { Step } from '../procedure/model.ts';
import { bandCompletions, expressionCompletions } from './completion-bands.ts';
import { inOrder, word } from './completion-item.ts';
import type { Completion, Completions } from './completion-item.ts';
import { namesOf, valuesOf } from './completion-names.ts';
import { assetUnits, quantityCompletions, textCompletions, whenCompletions } from './completion-values.ts';
import { cursorAt } from './cursor.ts';
import type { Cursor } from './cursor.ts';
import { expectedAt } from './expected.ts';
import type { Expected, ExpectedPlace } from './expected.ts';
import { declarationSkeletons } from './declaration-skeletons.ts';
import { fileSkeletons, resultSkeletons, stepSkeletons } from './skeletons.ts';
import { allSteps, stepAt } from './symbols.ts';
import type { Library } from './symbols.ts';

/** What a completion is asked about: the file, the place in it, and the step there as it was last understood. */
interface Asked {
  readonly library: Library;
  readonly analysis: Analysis;
  readonly cursor: Cursor;
  readonly step: Step | undefined;
  readonly key: ExpectedPlace['key'];
}

export function completionsAt(library: Library, analysis: Analysis, offset: number): Completions | undefined {
  const cursor = cursorAt(analysis.text, offset);
  if (!cursor) return undefined;
  const place = expectedAt(analysis.kind, cursor.path);
  if (!place) return undefined;
  const asked: Asked = { library, analysis, cursor, step: stepAt(analysis, cursor.replace.start), key: place.key };
  const items = cursor.kind === 'key' ? keyOrItem(asked, place.expected) : valueItems(asked, place.expected);
  return items.length > 0 ? { replace: cursor.replace, items } : undefined;
}

function keyOrItem(asked: Asked, expected: Expected): Completion[] {
  const { cursor, analysis, key } = asked;
  switch (expected.kind) {
    case 'object': {
      const keys = keyItems(asked, expected.object.keys, expected.name);
      if (cursor.path.length === 0 && /^\s*$/.test(analysis.text)) return [...fileSkeletons(analysis.kind), ...keys];
      // A list holds whole objects: `- |`. In a map of names, a name's own keys begin on the next line.
      const atDash = cursor.path.at(-1) === '-' && cursor.present.length === 0 && !cursor.flow;
      return atDash ? [...itemSkeletons(asked, expected.name, cursor.column), ...keys] : keys;
    }
    case 'names':
      if (expected.of === 'probe') return probeNames(asked);
      if (!expected.declares) return namedKeys(asked, expected.of);
      return cursor.flow || key?.info.value.shape !== 'named' ? [] : declarationSkeletons(analysis, key.info.value.object, cursor.column);
    // A plain item of a list, `- name`, looks like a key until its colon is typed.
    case 'value':
      if (cursor.path.at(-1) === '-') return valueItems(asked, expected);
      return listOfObjects(asked, expected.shape);
    case 'value_of':
      return cursor.path.at(-1) === '-' ? valueItems(asked, expected) : [];
  }
}

function itemSkeletons({ analysis, step }: Asked, object: string, column: number): Completion[] {
  if (object === 'step') return stepSkeletons(analysis, column);
  if (object === 'result') return resultSkeletons(analysis, step, column);
  return declarationSkeletons(analysis, object, column);
}

/** Below `steps:` and `results:`, before the dash was typed. */
function listOfObjects(asked: Asked, shape: Shape): Completion[] {
  const { cursor } = asked;
  if (shape.shape !== 'list' || cursor.flow || cursor.typed !== '') return [];
  return itemSkeletons(asked, shape.object, cursor.column + 2).map((item) => ({ ...item, insert: `- ${item.insert}` }));
}

function keyItems(asked: Asked, keys: Readonly<Record<string, KeyInfo>>, objectName: string): Completion[] {
  const { cursor } = asked;
  const kinds: readonly string[] = STEP_KINDS;
  const ways: readonly string[] = WAYS_ON;
  const kind = objectName === 'step' ? cursor.present.find((key) => kinds.includes(key)) : undefined;
  const hasWay = objectName === 'result' && cursor.present.some((key) => ways.includes(key));
  const unfit = UNFIT[kind ?? ''] ?? [];
  return Object.entries(keys)
    .filter(([key]) => !cursor.present.includes(key) && !(kind !== undefined && kinds.includes(key)) && !(hasWay && ways.includes(key)))
    .map(([key, info], index): Completion => ({
      label: key,
      kind: 'key',
      ...(info.required ? { detail: 'required' } : objectName === 'step' && kinds.includes(key) ? { detail: 'kind of step' } : {}),
      documentation: () => info.says,
      ...afterKey(asked, key, info.value),
      order: `${info.required ? 0 : unfit.includes(key) ? 2 : 1}${inOrder(index)}`,
    }));
}

/** Keys that mean nothing in a step of that kind, or are wrong there: they come last. */
const READING_KEYS = ['range', 'at', 'at_each', 'judge', 'seek', 'proves_dead'];
const UNFIT: Readonly<Record<string, readonly string[]>> = {
  do: ['results', ...READING_KEYS],
  ask: ['go', 'range', 'at', 'seek', 'proves_dead'],
  measure: ['go'],
  decide: ['go', 'with', 'circuit', 'tools', 'wait', 'max_time', 'rest', 'photo', 'people', ...READING_KEYS],
  run: ['go', 'with', 'circuit', 'max_time', 'rest', ...READING_KEYS],
};

/** The key with what follows it: a map or list begins on the next line, one of a single line in its braces or brackets. */
function afterKey({ analysis, cursor, step }: Asked, key: string, shape: Shape): Pick<Completion, 'insert' | 'snippet' | 'next'> {
  if (/^\s*:/.test(analysis.text.slice(cursor.replace.end, cursor.replace.end + 20))) return { insert: key };
  const next = SUGGESTING.has(shape.shape) ? { next: 'suggestions' as const } : {};
  if (cursor.flow) return { insert: `${key}: `, ...next };
  const indent = `\n${' '.repeat(cursor.column + 2)}`;
  switch (shape.shape) {
    case 'list':
      return { insert: `${key}:${indent}- `, ...next };
    case 'texts':
      // Prose stands in block lists: a comma or colon in brackets would cut it.
      return { insert: key === 'do' ? `${key}:${indent}- ` : `${key}: ` };
    case 'named':
    case 'object':
    case 'terms':
    case 'named_texts':
    case 'shown_words':
    case 'check_settings':
      return { insert: `${key}:${indent}`, ...next };
    case 'states':
    case 'assignments':
    case 'state_alternatives':
    case 'fact_values':
      return { insert: `${key}: {$1}`, snippet: true, ...next };
    case 'probes':
      return { insert: `${key}: {${probesAsked(step)}}`, snippet: true };
    case 'names':
    case 'caution_uses':
      return { insert: `${key}: [$1]`, snippet: true, ...(shape.shape === 'names' && shape.declares ? {} : next) };
    default:
      return { insert: `${key}: `, ...next };
  }
}

/** A meter has two probes; a gauge has one port. */
function probesAsked(step: Step | undefined): string {
  const electrical = /voltage|current|resistance|continuity|capacitance|frequency|duty/.test(step?.quantity?.value ?? '');
  return electrical ? 'red: ${1:place}, black: ${2:place}' : '${1:port}: ${2:place}';
}

/** Shapes whose values are known, so that a writer wants to see them at once. */
const SUGGESTING: ReadonlySet<string> = new Set([
  'list', 'names', 'name', 'choice', 'true', 'states', 'assignments', 'state_alternatives', 'fact_values', 'caution_uses', 'when', 'band',
  'expression', 'quantity', 'check_settings', 'shown_words', 'named', 'object',
]);

function namedKeys({ library, analysis, cursor, step }: Asked, of: Extract<Expected, { kind: 'names' }>['of']): Completion[] {
  const place = step ? { step } : {};
  const items =
    of === 'fact_or_state'
      ? [...namesOf(library, analysis, 'fact', place), ...namesOf(library, analysis, 'state', place)]
      : of === 'asset' || of === 'term' || of === 'probe'
        ? []
        : namesOf(library, analysis, of, place);
  const colon = /^\s*:/.test(analysis.text.slice(cursor.replace.end, cursor.replace.end + 20)) ? '' : ': ';
  return items.filter((item) => !cursor.present.includes(item.label)).map((item) => ({ ...item, insert: `${item.insert}${colon}`, next: 'suggestions' }));
}

/** Probes that other steps of the procedure name. */
function probeNames({ analysis, cursor }: Asked): Completion[] {
  const steps = analysis.procedure ? allSteps(analysis.procedure) : [];
  const named = steps.flatMap((step) => [...step.at, ...step.atEach.flatMap((point) => point.at)].map(({ probe }) => probe.value));
  return [...new Set(['red', 'black', 'port', ...named])]
    .filter((name) => !cursor.present.includes(name))
    .map((name) => ({ ...word(name, 'probe'), insert: `${name}: ` }));
}

function valueItems(asked: Asked, expected: Expected): Completion[] {
  const { library, analysis, cursor } = asked;
  switch (expected.kind) {
    case 'value':
      return shapeItems(asked, expected.shape);
    case 'value_of':
      if (/^-?\d/.test(cursor.typed)) return assetUnits(analysis, expected.name, cursor);
      return valuesOf(library, analysis, expected.name, expected.of).filter((item) => !cursor.items.includes(item.label));
    case 'names':
      // Braces make a map of one line.
      return expected.declares || cursor.flow
        ? []
        : namedKeys(asked, expected.of).map((item) => ({
            ...item,
            insert: `{${item.insert}\${1}}`,
            snippet: true,
          }));
    case 'object':
      return [];
  }
}

function shapeItems(asked: Asked, shape: Shape): Completion[] {
  const { library, analysis, cursor, step, key } = asked;
  switch (shape.shape) {
    case 'name':
    case 'names':
      if (shape.declares) return [];
      return listed(namesOf(library, analysis, shape.of, {
        ...(step ? { step } : {}),
        ...(key ? { key: key.name, object: key.objectName } : {}),
        ...(cursor.path[0] === 'states' && cursor.path[1] !== undefined ? { state: cursor.path[1] } : {}),
      }), shape, cursor);
    case 'caution_uses':
      return listed(namesOf(library, analysis, 'caution', step ? { step } : {}), shape, cursor);
    case 'choice':
      return shape.choices.map((one, index) => ({ ...word(one), order: inOrder(index), ...(key ? { documentation: () => key.info.says } : {}) }));
    case 'true':
      return [word('true')];
    case 'when':
      return whenCompletions(library, analysis, step, cursor);
    case 'band':
      return bandCompletions(library, analysis, step, cursor);
    case 'expression':
      return [
        ...(cursor.typed.trim().includes(' ') ? [] : namesOf(library, analysis, 'fact').map((item) => ({ ...item, order: `0${item.label}` }))),
        ...expressionCompletions(library, analysis, step, cursor),
      ].filter((item, index, all) => all.findIndex((other) => other.label === item.label) === index);
    case 'quantity':
      return quantityCompletions(shape, step, cursor);
    case 'text':
    case 'texts':
      return textCompletions(library, analysis, step, cursor);
    default:
      return [];
  }
}

/** Without what the list has already. A list of one line needs its brackets, unless the cursor stands in them or one name will do. */
function listed(items: readonly Completion[], shape: Shape, cursor: Cursor): Completion[] {
  const free = items.filter((item) => !cursor.items.includes(item.label));
  const bare = shape.shape === 'name' || cursor.path.at(-1) === '-' || cursor.typed.startsWith('[');
  return bare ? free : free.map((item) => ({ ...item, insert: `[${item.insert}]` }));
}
