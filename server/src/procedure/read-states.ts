/** Reads conditions on states: what must hold, what is brought about, and the alternatives of a circuit or a hazard. */
import type { MapEntry, TreeNode } from '../syntax/tree.ts';
import type { Name, StateCondition } from './model.ts';
import { entriesOf, nameOf, namesOf } from './read-values.ts';
import { describe, isEmpty, shown, textAt, type Fields, type Owner, type Reader } from './reader.ts';

const STATES = "'state: value'";

/** A map: state → value or values. */
export function readStates(fields: Fields, key: string): StateCondition[] {
  const node = fields.value(key);
  return node === undefined ? [] : conditionsOf(fields.reader, node, `'${key}' of ${fields.owner}`, false);
}

/** A map: state → the one value that it takes. */
export function readAssignments(fields: Fields, key: string): StateCondition[] {
  const node = fields.value(key);
  return node === undefined ? [] : conditionsOf(fields.reader, node, `'${key}' of ${fields.owner}`, true);
}

/** A map of states, or a list of such maps. Undefined where the key is absent or holds nothing of the kind. */
export function readAlternatives(fields: Fields, key: string): StateCondition[][] | undefined {
  const node = fields.value(key);
  if (node === undefined) return undefined;
  const owner = `'${key}' of ${fields.owner}`;
  if (node.kind === 'map') return [conditionsOf(fields.reader, node, owner, false)];
  if (node.kind === 'list') {
    const alternatives: StateCondition[][] = [];
    for (const item of node.items) {
      if (item?.kind === 'map') alternatives.push(conditionsOf(fields.reader, item, owner, false));
      else {
        fields.reader.report('wrong-kind', {
          span: item?.span ?? node.span, message: `An alternative in ${owner} is ${item === undefined ? 'empty' : describe(item)}; a map of states is expected.`,
          help: 'Write each alternative as {state: value}.',
        });
      }
    }
    return alternatives;
  }
  fields.reader.report('wrong-kind', {
    span: node.span, message: `${owner} is ${describe(node)}; a map of states is expected, or a list of such maps.`, help: 'Write {state: value}.',
  });
  return undefined;
}

function conditionsOf(reader: Reader, node: TreeNode, owner: Owner, one: boolean): StateCondition[] {
  return stateEntries(reader, node, owner).map((entry) => conditionOf(reader, entry, owner, one)).filter((condition) => condition !== undefined);
}

/** The entries of a map of states; 'isolator off' and 'isolator = off' are understood, and reported. */
function stateEntries(reader: Reader, node: TreeNode, owner: Owner): MapEntry[] {
  const pair = node.kind === 'scalar' ? /^([a-z][a-z0-9_]*)(?:\s*=\s*|\s+(?:is\s+)?)([a-z0-9_]+)$/.exec(node.text) : null;
  if (node.kind !== 'scalar' || pair === null) return entriesOf(reader, node, owner, STATES);
  const [, state = '', value = ''] = pair;
  reader.report('wrong-kind', {
    span: node.span, message: `${owner} is the text '${shown(node.text)}'; a map is expected: ${STATES}.`, help: `Write {${state}: ${value}}.`,
    fixes: [reader.fix(`Change it to {${state}: ${value}}`, node.span, `{${state}: ${value}}`)],
  });
  const part = (text: string, at: number): MapEntry['key'] => {
    const span = { start: node.offsetAt(at), end: node.offsetAt(at + text.length) };
    return { kind: 'scalar', text, span, style: 'plain', offsetAt: (index) => Math.min(span.start + index, span.end) };
  };
  return [{ key: part(state, 0), value: part(value, node.text.length - value.length), span: node.span }];
}

function conditionOf(reader: Reader, entry: MapEntry, owner: Owner, one: boolean): StateCondition | undefined {
  const state: Name = textAt(entry.key);
  if (isEmpty(entry.value)) {
    reader.report('wrong-kind', {
      span: entry.key.span, message: `'${shown(state.value)}' in ${owner} has no value.`, help: `Write '${shown(state.value)}: value'.`,
    });
    return undefined;
  }
  const value = entry.value as TreeNode;
  if (!one) return { state, values: namesOf(reader, value, `'${state.value}' in ${owner}`), span: entry.span };
  if (value.kind === 'list') {
    reader.report('wrong-kind', {
      span: value.span, message: `'${shown(state.value)}' in ${owner} is a list; exactly one value can be brought about.`,
      help: 'Write one value. Where it depends on what is found, set it in the results.',
    });
    return { state, values: namesOf(reader, value, owner).slice(0, 1), span: entry.span };
  }
  const name = nameOf(reader, value, `'${state.value}' in ${owner}`);
  return name === undefined ? undefined : { state, values: [name], span: entry.span };
}
