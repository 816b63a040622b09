/** Which step was which: by name, else by what it says. Knows nothing of what a step means. */
import type { MapNode, TreeNode } from '../syntax/tree.ts';
import { keysOf, plainText, scalarOf, valueOf } from './tree-text.ts';

export interface NamedStep {
  readonly name: string;
  readonly node: MapNode;
}

export interface StepPair {
  readonly was?: NamedStep;
  readonly is?: NamedStep;
  /** Stands elsewhere among the steps that both texts have. */
  readonly moved: boolean;
  /** The step that it now follows; undefined: none, it is the first. */
  readonly afterStep?: string;
}

/** Pairs in the order of the later list; a removed step comes after the step that stood before it. */
export function matchSteps(before: readonly NamedStep[], after: readonly NamedStep[]): StepPair[] {
  const partner = partners(before, after);
  const still = stayed(after.flatMap((is) => {
    const was = partner.get(is);
    return was === undefined ? [] : [before.indexOf(was)];
  }));
  const pairs: StepPair[] = [];
  const removedAfter = (was: NamedStep | undefined): void => {
    const from = was === undefined ? 0 : before.indexOf(was) + 1;
    const taken = new Set(partner.values());
    for (let at = from; at < before.length && !taken.has(before[at] as NamedStep); at++) pairs.push({ was: before[at] as NamedStep, moved: false });
  };
  removedAfter(undefined);
  after.forEach((is, index) => {
    const was = partner.get(is);
    const previous = after[index - 1]?.name;
    pairs.push({
      is, ...(was ? { was } : {}), moved: was !== undefined && !still.has(before.indexOf(was)), ...(previous === undefined ? {} : { afterStep: previous }),
    });
    if (was !== undefined) removedAfter(was);
  });
  return pairs;
}

/** The steps of one list of a file (`steps` or `after_repair`), by name; a step without one goes by its place. */
export function namedSteps(list: TreeNode | undefined): NamedStep[] {
  if (list?.kind !== 'list') return [];
  return list.items.flatMap((item, index) => (item?.kind === 'map' ? [{ name: scalarOf(item, 'step') ?? `step ${index + 1}`, node: item }] : []));
}

/** For the name of a step of the later file the name it had in the earlier; undefined for a step that is new. */
export function stepNamesBefore(before: TreeNode | undefined, after: TreeNode | undefined): (name: string) => string | undefined {
  const names = new Map<string, string>();
  for (const section of ['steps', 'after_repair']) {
    for (const { was, is } of matchSteps(namedSteps(valueOf(before, section)), namedSteps(valueOf(after, section)))) if (was && is) names.set(is.name, was.name);
  }
  return (name) => names.get(name);
}

/** Each step of the later text with what it was: the step of its name, else one that says nearly the same. */
function partners(before: readonly NamedStep[], after: readonly NamedStep[]): Map<NamedStep, NamedStep> {
  const found = new Map<NamedStep, NamedStep>();
  const free = new Map<string, NamedStep>();
  for (const was of before) if (!free.has(was.name)) free.set(was.name, was);
  for (const is of after) {
    const was = free.get(is.name);
    if (was === undefined) continue;
    found.set(is, was);
    free.delete(is.name);
  }
  const taken = new Set(found.values());
  const left = before.filter((was) => !taken.has(was));
  for (const is of after) {
    if (found.has(is)) continue;
    const likes = left.map((was) => ({ was, like: likeness(was.node, is.node) })).sort((a, b) => b.like - a.like);
    const best = likes[0];
    if (best === undefined || best.like < ENOUGH) continue;
    found.set(is, best.was);
    left.splice(left.indexOf(best.was), 1);
  }
  return found;
}

/** Two of three keys the same: less than that is another step. */
const ENOUGH = 0.66;

/** The share of keys, the name aside, that say the same. */
function likeness(before: MapNode, after: MapNode): number {
  const keys = keysOf(before, after).filter((key) => key !== 'step');
  return keys.length === 0 ? 0 : keys.filter((key) => plainText(valueOf(before, key)) === plainText(valueOf(after, key))).length / keys.length;
}

/** The largest part of a list of places that is still in order: what is not in it has moved. */
function stayed(places: readonly number[]): Set<number> {
  // Longest increasing subsequence: `ends[n]` is where the best one of length n + 1 ends.
  const ends: number[] = [];
  const previous = new Array<number>(places.length).fill(-1);
  places.forEach((place, index) => {
    let length = ends.findIndex((end) => (places[end] as number) > place);
    if (length < 0) length = ends.length;
    previous[index] = length === 0 ? -1 : (ends[length - 1] as number);
    ends[length] = index;
  });
  const kept = new Set<number>();
  for (let at = ends.at(-1) ?? -1; at >= 0; at = previous[at] as number) kept.add(places[at] as number);
  return kept;
}
