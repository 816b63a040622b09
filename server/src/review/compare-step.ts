/** What is written otherwise in one step: a sentence for each caution, state, result and key. */
import type { MapNode, TreeNode } from '../syntax/tree.ts';
import type { Bearing, Change } from './change.ts';
import { spoken } from './loss.ts';
import { changeOf, keysOf, plainText, scalarOf, valueOf, whenText } from './tree-text.ts';

/** For the name of a step of the later text the one it had; undefined for a step that is new. */
export type NameBefore = (name: string) => string | undefined;

/** Changes of a step of this name. A way on to a step that only has another name is none. */
export function compareStep(step: string, before: MapNode, after: MapNode, nameBefore: NameBefore): Change[] {
  return keysOf(before, after).filter((key) => key !== 'step').flatMap((key): Change[] => {
    const [was, is] = [valueOf(before, key), valueOf(after, key)];
    if (key === 'results') return compareResults(step, was, is, nameBefore);
    if (plainText(was) === plainText(is) || isSameStep(key, was, is, nameBefore)) return [];
    if (key === 'do' && isListOfNames(was) && isListOfNames(is)) return compareActions(step, was, is);
    if (key === 'at_each' && was && is) return comparePoints(step, was, is);
    const list = LISTS[key];
    if (list !== undefined && isListOfNames(was) && isListOfNames(is)) return compareNames(step, list, was, is);
    const states = STATES[key];
    if (states !== undefined && isMap(was) && isMap(is)) return compareStates(step, states, was, is);
    return [changeOf(KEYS[key] ?? 'course', step, `\`${key}\` of '${step}'`, was, is)];
  });
}

function isSameStep(key: string, was: TreeNode | undefined, is: TreeNode | undefined, nameBefore: NameBefore): boolean {
  return key === 'go' && is !== undefined && nameBefore(plainText(is)) === plainText(was);
}

/** Keys of a step; what is not named here bears on the course. */
const KEYS: Readonly<Record<string, Bearing>> = {
  title: 'wording', why: 'wording', note: 'wording', figure: 'wording',
  cautions: 'safety', hazards: 'safety', qualified: 'safety', needs: 'safety', during: 'safety', sets: 'safety', only_if: 'safety', people: 'safety', max_time: 'safety', rest: 'safety',
  wait: 'safety', proves_dead: 'safety', circuit: 'safety', with: 'safety', range: 'safety',
};

const LISTS: Readonly<Record<string, { readonly given: string; readonly gone: string }>> = {
  cautions: { given: 'now gives the caution', gone: 'no longer gives the caution' },
  hazards: { given: 'now names the hazard', gone: 'no longer names the hazard' },
  qualified: { given: 'now asks for the qualification', gone: 'no longer asks for the qualification' },
};

function compareNames(step: string, words: { readonly given: string; readonly gone: string }, before: TreeNode | undefined, after: TreeNode | undefined): Change[] {
  const [was, is] = [namesOf(before), namesOf(after)];
  const change = (message: string, side: 'spanBefore' | 'spanAfter', node: TreeNode): Change => ({ bearing: 'safety', at: step, message, [side]: node.span });
  return [
    ...[...was].filter(([name]) => !is.has(name)).map(([name, node]) => change(`'${step}' ${words.gone} ${name}.`, 'spanBefore', node)),
    ...[...is].filter(([name]) => !was.has(name)).map(([name, node]) => change(`'${step}' ${words.given} ${name}.`, 'spanAfter', node)),
  ];
}

/** Actions that came or went, each in a sentence of its own; else their order has changed. */
function compareActions(step: string, before: TreeNode | undefined, after: TreeNode | undefined): Change[] {
  const [was, is] = [actionsOf(before), actionsOf(after)];
  const gone = was.filter((action) => !is.some((other) => plainText(other) === plainText(action)));
  const added = is.filter((action) => !was.some((other) => plainText(other) === plainText(action)));
  if (gone.length + added.length === 0) return [changeOf('course', step, `The order of what '${step}' says to do`, before, after)];
  if (gone.length === 1 && added.length === 1) return [changeOf('course', step, `An action of '${step}'`, gone[0], added[0])];
  return [
    ...gone.map((action): Change => ({ bearing: 'course', at: step, message: `'${step}' no longer says: ${plainText(action)}`, spanBefore: action.span })),
    ...added.map((action): Change => ({ bearing: 'course', at: step, message: `'${step}' now also says: ${plainText(action)}`, spanAfter: action.span })),
  ];
}

function actionsOf(node: TreeNode | undefined): TreeNode[] {
  return node?.kind === 'list' ? node.items.filter((item) => item !== undefined) : node === undefined ? [] : [node];
}

/** Points by their names: which came, which went, and which are written otherwise. */
function comparePoints(step: string, before: TreeNode, after: TreeNode): Change[] {
  const [was, is] = [pointsOf(before), pointsOf(after)];
  const changes: Change[] = [];
  for (const [name, { title, node }] of was) if (!is.has(name)) changes.push({ bearing: 'safety', at: step, message: `'${step}' no longer reads at ${spoken(name)}${title}.`, spanBefore: node.span });
  for (const [name, { title, node }] of is) {
    const earlier = was.get(name);
    if (earlier === undefined) changes.push({ bearing: 'safety', at: step, message: `'${step}' now reads at ${spoken(name)}${title}.`, spanAfter: node.span });
    else if (plainText(earlier.node) !== plainText(node)) changes.push(changeOf('safety', step, `the point ${spoken(name)} of '${step}'`, earlier.node, node));
  }
  return changes.length > 0 ? changes : [changeOf('course', step, `the order of the points of '${step}'`, before, after)];
}

function pointsOf(node: TreeNode): Map<string, { readonly title: string; readonly node: TreeNode }> {
  if (node.kind === 'list') return new Map(node.items.flatMap((item) => (item?.kind === 'scalar' ? [[item.text, { title: '', node: item }] as const] : [])));
  if (node.kind !== 'map') return new Map();
  return new Map(node.entries.map(({ key, value }) => {
    const title = value?.kind === 'map' ? scalarOf(value, 'title') : undefined;
    return [key.text, { title: title === undefined ? '' : ` (${title})`, node: value ?? key }] as const;
  }));
}

const STATES: Readonly<Record<string, { readonly given: string; readonly gone: string; readonly other: string }>> = {
  needs: { given: 'now needs', gone: 'no longer needs', other: 'needs' },
  during: { given: 'now holds', gone: 'no longer holds', other: 'holds' },
  sets: { given: 'now brings', gone: 'no longer brings', other: 'brings' },
  only_if: { given: 'is now done only with', gone: 'no longer depends on', other: 'is done only with' },
};

function compareStates(step: string, words: { readonly given: string; readonly gone: string; readonly other: string }, before: TreeNode | undefined, after: TreeNode | undefined): Change[] {
  return keysOf(before, after).flatMap((state): Change[] => {
    const [was, is] = [valueOf(before, state), valueOf(after, state)];
    const [a, b] = [plainText(was), plainText(is)];
    if (a === b) return [];
    const link = words.other === 'brings' ? `${spoken(state)} to` : spoken(state);
    const message = was === undefined ? `'${step}' ${words.given} ${link} ${b}.` : is === undefined ? `'${step}' ${words.gone} ${link} ${a}.` : `'${step}' ${words.other} ${link} ${b}; it was ${a}.`;
    return [{ bearing: 'safety', at: step, message, ...(was ? { spanBefore: was.span } : {}), ...(is ? { spanAfter: is.span } : {}) }];
  });
}

/** Results of the same `when` are one; of those left over, the ones at the same place are, with another limit or answer. */
function compareResults(step: string, before: TreeNode | undefined, after: TreeNode | undefined, nameBefore: NameBefore): Change[] {
  const was = resultsOf(before);
  const is = resultsOf(after);
  const same = new Map(is.map((result) => [result, was.find((one) => one.when === result.when)]));
  const taken = new Set(same.values());
  const changes: Change[] = [];
  is.forEach((result, place) => {
    let earlier = same.get(result);
    if (earlier === undefined && was[place] !== undefined && !taken.has(was[place])) {
      earlier = was[place];
      taken.add(earlier);
      changes.push({ bearing: 'course', at: step, message: `'${earlier?.when ?? ''}' of '${step}' is now '${result.when}'.`, ...(earlier ? { spanBefore: earlier.node.span } : {}), spanAfter: result.node.span });
    }
    if (earlier === undefined) changes.push({ bearing: 'course', at: step, message: `'${step}' has a new result '${result.when}'.`, after: plainText(result.node), spanAfter: result.node.span });
    else changes.push(...compareResult(step, result.when, earlier.node, result.node, nameBefore));
  });
  for (const result of was) {
    if (!taken.has(result)) changes.push({ bearing: 'course', at: step, message: `'${step}' no longer has the result '${result.when}'.`, before: plainText(result.node), spanBefore: result.node.span });
  }
  return changes;
}

const RESULT_KEYS: Readonly<Record<string, Bearing>> = { says: 'wording', sets: 'safety' };

function compareResult(step: string, when: string, before: MapNode, after: MapNode, nameBefore: NameBefore): Change[] {
  return keysOf(before, after).filter((key) => key !== 'when').flatMap((key): Change[] => {
    const [was, is] = [valueOf(before, key), valueOf(after, key)];
    const where = `'${step}', '${when}'`;
    if (plainText(was) === plainText(is) || isSameStep(key, was, is, nameBefore)) return [];
    if (key === 'sets' && isMap(was) && isMap(is)) return compareStates(`${step}: ${when}`, STATES['sets'] as { given: string; gone: string; other: string }, was, is).map((change) => ({ ...change, at: step }));
    return [changeOf(RESULT_KEYS[key] ?? 'course', step, `\`${key}\` of ${where}`, was, is)];
  });
}

function resultsOf(node: TreeNode | undefined): { readonly when: string; readonly node: MapNode }[] {
  return node?.kind === 'list' ? node.items.flatMap((item) => (item?.kind === 'map' ? [{ when: whenText(valueOf(item, 'when')), node: item }] : [])) : [];
}

function isListOfNames(node: TreeNode | undefined): boolean {
  return node === undefined || node.kind === 'scalar' || (node.kind === 'list' && node.items.every((item) => item?.kind === 'scalar'));
}

function isMap(node: TreeNode | undefined): boolean {
  return node === undefined || node.kind === 'map';
}

function namesOf(node: TreeNode | undefined): Map<string, TreeNode> {
  if (node?.kind === 'scalar') return new Map([[node.text, node]]);
  return node?.kind === 'list' ? new Map(node.items.flatMap((item) => (item?.kind === 'scalar' ? [[item.text, item]] : []))) : new Map();
}
