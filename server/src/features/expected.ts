/**
 * What the format expects at a place, read from the one table of keys: the keys of an object, or the shape of a value. It follows
 * a path of keys and `-` for items, as a cursor or the tree gives it.
 */
import type { FileKind } from '../analysis/analysis.ts';
import { objectInfo } from '../procedure/keys.ts';
import type { KeyInfo, NamedKind, ObjectInfo, Shape } from '../procedure/keys.ts';

export type Expected =
  /** A map with these keys. */
  | { readonly kind: 'object'; readonly name: string; readonly object: ObjectInfo }
  /** A map whose keys the writer chooses: names declared here, or names declared elsewhere. */
  | {
      readonly kind: 'names';
      readonly of: NamedKind | 'asset' | 'probe' | 'term' | 'check' | 'fact_or_state';
      readonly declares: boolean;
    }
  /** A value of a key; `item` where the path ends inside its list. */
  | { readonly kind: 'value'; readonly shape: Shape; readonly item: boolean }
  /** A value of a state or fact that the path names. */
  | { readonly kind: 'value_of'; readonly name: string; readonly of: 'state' | 'fact' | 'fact_or_state'; readonly item: boolean };

export interface ExpectedPlace {
  readonly expected: Expected;
  /** The key whose value the place lies in, with its object; absent at the root. */
  readonly key?: { readonly name: string; readonly info: KeyInfo; readonly objectName: string };
}

/** Undefined where the path leaves the format. */
export function expectedAt(kind: FileKind, path: readonly string[]): ExpectedPlace | undefined {
  if (kind === 'other') return undefined;
  let place: ExpectedPlace | undefined = { expected: objectOf(kind) };
  for (const part of path) {
    place = place && stepInto(place, part);
    if (!place) return undefined;
  }
  return place;
}

/** The table's entry of a key, and the object that holds it; undefined for a name that is none. */
export function keyAt(kind: FileKind, path: readonly string[]): ExpectedPlace['key'] {
  const holder = expectedAt(kind, path.slice(0, -1))?.expected;
  const name = path.at(-1);
  if (holder?.kind !== 'object' || name === undefined) return undefined;
  const info = ownKey(holder.object, name);
  return info && { name, info, objectName: holder.name };
}

function stepInto({ expected, key }: ExpectedPlace, part: string): ExpectedPlace | undefined {
  const item = part === '-';
  switch (expected.kind) {
    case 'object': {
      const info = item ? undefined : ownKey(expected.object, part);
      return info && { expected: expectedOf(info.value, part), key: { name: part, info, objectName: expected.name } };
    }
    case 'names':
      return namesInto(expected, key, part);
    case 'value': {
      const { shape } = expected;
      if (item && expected.item) return undefined;
      if (item) return { expected: itemOf(shape), key };
      if (shape.shape === 'caution_uses') return stepInto({ expected: objectOf('caution') }, part);
      return undefined;
    }
    case 'value_of':
      return item && !expected.item ? { expected: { ...expected, item: true }, key } : undefined;
  }
}

function namesInto(
  { of, declares }: Extract<Expected, { kind: 'names' }>,
  key: ExpectedPlace['key'],
  part: string,
): ExpectedPlace | undefined {
  const shape = key?.info.value;
  if (part === '-') {
    // A list of maps, where one map would do; or a list of points in place of a map of them.
    if (shape?.shape === 'state_alternatives') return { expected: { kind: 'names', of, declares }, key };
    if (shape?.shape === 'points')
      return { expected: { kind: 'value', shape: { shape: 'name', of: 'point', declares: true }, item: true }, key };
    return undefined;
  }
  switch (shape?.shape) {
    case 'states':
      return {
        expected: { kind: 'value_of', name: part, of: key?.name === 'only_if' ? 'fact_or_state' : 'state', item: false },
        key,
      };
    case 'assignments':
    case 'state_alternatives':
      return { expected: { kind: 'value_of', name: part, of: 'state', item: false }, key };
    case 'fact_values':
      return { expected: { kind: 'value_of', name: part, of: 'fact', item: false }, key };
    case 'named':
      // An asset is a map of facts, whichever they are.
      if (shape.object === 'asset') return { expected: { kind: 'names', of: 'fact', declares: false }, key: ASSET };
      return { expected: objectOf(shape.object), key };
    case 'points':
      return { expected: objectOf('point'), key };
    case 'check_settings':
      return {
        expected: { kind: 'value', shape: { shape: 'choice', choices: ['error', 'warning', 'hint', 'off'] }, item: true },
        key,
      };
    case 'shown_words':
    case 'terms':
      return { expected: { kind: 'value', shape: { shape: 'texts' }, item: false }, key };
    default:
      return { expected: { kind: 'value', shape: { shape: 'text' }, item: false }, key };
  }
}

function expectedOf(shape: Shape, key: string): Expected {
  switch (shape.shape) {
    case 'object':
      return objectOf(shape.object);
    case 'named':
      return { kind: 'names', of: shape.of, declares: true };
    case 'states':
      return { kind: 'names', of: key === 'only_if' ? 'fact_or_state' : 'state', declares: false };
    case 'assignments':
    case 'state_alternatives':
      return { kind: 'names', of: 'state', declares: false };
    case 'fact_values':
      return { kind: 'names', of: 'fact', declares: false };
    case 'probes':
      return { kind: 'names', of: 'probe', declares: true };
    case 'points':
      return { kind: 'names', of: 'point', declares: true };
    case 'shown_words':
      return { kind: 'names', of: 'quantity', declares: false };
    case 'terms':
    case 'named_texts':
      return { kind: 'names', of: 'term', declares: true };
    case 'check_settings':
      return { kind: 'names', of: 'check', declares: false };
    default:
      return { kind: 'value', shape, item: false };
  }
}

function itemOf(shape: Shape): Expected {
  if (shape.shape === 'list') return objectOf(shape.object);
  if (shape.shape === 'names')
    return { kind: 'value', shape: { shape: 'name', of: shape.of, ...(shape.declares ? { declares: true } : {}) }, item: true };
  return { kind: 'value', shape, item: true };
}

const ASSET: ExpectedPlace['key'] = {
  name: 'assets',
  objectName: 'assets',
  info: { value: { shape: 'fact_values' }, says: 'Facts of the asset, and values from its data sheet.' },
};

/** A writer may call a key `constructor`. */
function ownKey(object: ObjectInfo, name: string): KeyInfo | undefined {
  return Object.hasOwn(object.keys, name) ? object.keys[name] : undefined;
}

function objectOf(name: string): Expected {
  const object = objectInfo(name);
  return object ? { kind: 'object', name, object } : { kind: 'value', shape: { shape: 'text' }, item: false };
}
