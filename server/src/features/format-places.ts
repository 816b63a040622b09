/** What a node of the tree is, by the table of keys: which object a map is, and in which order its keys are best read. */
import { objectInfo, STEP_KINDS, WAYS_ON, type Shape } from '../procedure/keys.ts';

/** Where in the format a node stands; empty where the format does not know. */
export interface Place {
  /** The object that a map here is. */
  readonly object?: string;
  /** The shape that the table gives the value of a key. */
  readonly shape?: Shape;
  /** The value of any key of a map here. */
  readonly named?: Place;
  /** An item of a list here. */
  readonly item?: Place;
}

const NOWHERE: Place = {};

/** The place of an object. */
export function objectPlace(object: string): Place {
  return { object };
}

/** The value of a key of a map that stands at a place. */
export function entryPlace(place: Place, key: string): Place {
  if (place.named !== undefined) return place.named;
  const info = place.object === undefined ? undefined : objectInfo(place.object);
  const shape = info !== undefined && Object.hasOwn(info.keys, key) ? info.keys[key]?.value : undefined;
  return shape === undefined ? NOWHERE : placeOfShape(shape);
}

/** An item of a list that stands at a place. */
export function itemPlace(place: Place): Place {
  return place.item ?? NOWHERE;
}

function placeOfShape(shape: Shape): Place {
  switch (shape.shape) {
    case 'object':
      return { shape, object: shape.object };
    case 'list':
      return { shape, item: { shape, object: shape.object } };
    case 'named':
      return { shape, named: { shape, object: shape.object } };
    case 'caution_uses':
      return { shape, item: { shape, object: 'caution' } };
    case 'points':
      return { shape, item: { shape }, named: { shape, object: 'point' } };
    case 'text':
      return { shape };
    case 'texts':
      return { shape, item: { shape: { shape: 'text' } } };
    default: {
      // States, names, probes: maps and lists of words, as deep as they go.
      const inner: Place = { shape };
      return { ...inner, named: { ...inner, item: inner }, item: { ...inner, named: { ...inner, item: inner } } };
    }
  }
}

/**
 * Things that stand under keys, in the order of the table. A key that the table does not have stays behind the one it followed.
 * Where a key stands twice, or two keys say what only one may, the order decides what counts: then nothing moves.
 */
export function inOrder<T>(things: readonly T[], keyOf: (thing: T) => string, place: Place): readonly T[] {
  const info = place.object === undefined ? undefined : objectInfo(place.object);
  if (info === undefined) return things;
  const keys = things.map(keyOf);
  if (new Set(keys).size < keys.length || several(keys, STEP_KINDS) || several(keys, WAYS_ON)) return things;
  const table = Object.keys(info.keys);
  let before = -1;
  const ranked = things.map((thing, index) => {
    const rank = table.indexOf(keys[index] ?? '');
    if (rank >= 0) before = rank;
    return { thing, rank: before };
  });
  return ranked.sort((a, b) => a.rank - b.rank).map(({ thing }) => thing);
}

function several(keys: readonly string[], of: readonly string[]): boolean {
  return keys.filter((key) => of.includes(key)).length > 1;
}
