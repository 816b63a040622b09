/**
 * What is written otherwise: the two trees side by side, step by step and declaration by declaration, by name. Layout, comments and the
 * order of keys are no change; symbols and words for the same limit are none either.
 */
import type { MapNode, TreeNode } from '../syntax/tree.ts';
import type { Span } from '../text/span.ts';
import type { Bearing, Change } from './change.ts';
import { compareStep, type NameBefore } from './compare-step.ts';
import { matchSteps, namedSteps } from './match-steps.ts';
import { changeOf, keysOf, plainText, scalarOf, valueOf } from './tree-text.ts';

/** All changes, in the order of the later text; what was removed stands where it was. */
export function compareTexts(before: TreeNode | undefined, after: TreeNode | undefined, nameBefore: NameBefore): Change[] {
  const was = before?.kind === 'map' ? before : undefined;
  const is = after?.kind === 'map' ? after : undefined;
  return keysOf(was, is).flatMap((key) => {
    const a = valueOf(was, key);
    const b = valueOf(is, key);
    if (key === 'steps' || key === 'after_repair') return compareSteps(key, a, b, nameBefore);
    const section = SECTIONS[key];
    if (section !== undefined) return compareDeclarations(section, a, b);
    if (plainText(a) === plainText(b)) return [];
    return [changeOf(HEAD[key] ?? 'course', 'head', `\`${key}\``, a, b)];
  });
}

interface Section {
  readonly noun: string;
  readonly bearing: Bearing;
  /** Keys of a declaration that bear on something else than the rest of it. */
  readonly keys?: Readonly<Record<string, Bearing>>;
}

const SAID: Readonly<Record<string, Bearing>> = { title: 'wording', from: 'wording' };

const SECTIONS: Readonly<Record<string, Section>> = {
  facts: { noun: 'fact', bearing: 'course', keys: SAID },
  states: { noun: 'state', bearing: 'safety', keys: SAID },
  circuits: { noun: 'circuit', bearing: 'safety', keys: SAID },
  faults: { noun: 'fault', bearing: 'course', keys: { title: 'wording' } },
  cautions: { noun: 'caution', bearing: 'safety', keys: SAID },
  hazards: { noun: 'hazard', bearing: 'safety', keys: SAID },
  instruments: { noun: 'instrument', bearing: 'safety', keys: { title: 'wording' } },
  values: { noun: 'value', bearing: 'course', keys: { from: 'wording' } },
  qualifications: { noun: 'qualification', bearing: 'safety', keys: SAID },
  assets: { noun: 'asset', bearing: 'course' },
  terms: { noun: 'term', bearing: 'wording' },
  abbreviations: { noun: 'abbreviation', bearing: 'wording' },
  checks: { noun: 'setting of the check', bearing: 'safety' },
  references: { noun: 'reference', bearing: 'wording' },
};

/** Keys of the head; what is not named here bears on the course. */
const HEAD: Readonly<Record<string, Bearing>> = {
  title: 'wording', complaint: 'wording', revision: 'wording', approved: 'wording', shop: 'wording', format: 'wording',
  accept: 'safety', qualified: 'safety', status: 'course', purpose: 'course', applies_to: 'course', interval: 'course',
};

function compareDeclarations({ noun, bearing, keys }: Section, before: TreeNode | undefined, after: TreeNode | undefined): Change[] {
  const was = declarationsOf(before);
  const is = declarationsOf(after);
  return [...new Set([...is.keys(), ...was.keys()])].flatMap((name): Change[] => {
    const a = was.get(name);
    const b = is.get(name);
    const at = `${noun} ${name}`;
    if (a === undefined && b !== undefined) return [{ bearing, at, message: `New ${noun} ${name}.`, after: plainText(b.value), spanAfter: b.span }];
    if (b === undefined && a !== undefined) return [{ bearing, at, message: `The ${noun} ${name} is no longer declared.`, before: plainText(a.value), spanBefore: a.span }];
    if (plainText(a?.value) === plainText(b?.value)) return [];
    if (a?.value?.kind !== 'map' || b?.value?.kind !== 'map') return [changeOf(bearing, at, `The ${noun} ${name}`, a?.value, b?.value)];
    return keysOf(a.value, b.value).flatMap((key) => {
      const [x, y] = [valueOf(a.value, key), valueOf(b.value, key)];
      return plainText(x) === plainText(y) ? [] : [changeOf(keys?.[key] ?? bearing, at, `\`${key}\` of the ${noun} ${name}`, x, y)];
    });
  });
}

/** Name → its declaration, of a map by key or of a list of items with an `id`. */
function declarationsOf(node: TreeNode | undefined): Map<string, { readonly value: TreeNode | undefined; readonly span: Span }> {
  if (node?.kind === 'map') return new Map(node.entries.map((entry) => [entry.key.text, { value: entry.value, span: entry.span }]));
  if (node?.kind !== 'list') return new Map();
  return new Map(node.items.flatMap((item, index) => (item === undefined ? [] : [[scalarOf(item, 'id') ?? `${index + 1}`, { value: item, span: item.span }]])));
}

function compareSteps(section: 'steps' | 'after_repair', before: TreeNode | undefined, after: TreeNode | undefined, nameBefore: NameBefore): Change[] {
  const changes: Change[] = [];
  for (const { was, is, moved, afterStep } of matchSteps(namedSteps(before), namedSteps(after))) {
    if (is === undefined && was !== undefined) {
      changes.push({ bearing: 'course', at: was.name, message: `The step '${was.name}' is no longer there.`, before: saidByStep(was.node), spanBefore: was.node.span });
    } else if (was === undefined && is !== undefined) {
      const where = section === 'after_repair' ? ' after repair' : '';
      changes.push({ bearing: 'course', at: is.name, message: `New step '${is.name}'${where}.`, after: saidByStep(is.node), spanAfter: is.node.span });
    } else if (was !== undefined && is !== undefined) {
      if (was.name !== is.name) changes.push({ bearing: 'wording', at: is.name, message: `The step '${was.name}' is now called '${is.name}'.`, before: was.name, after: is.name, spanAfter: is.node.span });
      if (moved) changes.push({ bearing: 'course', at: is.name, message: afterStep === undefined ? `The step '${is.name}' now stands first.` : `The step '${is.name}' now stands after '${afterStep}'.`, spanAfter: is.node.span });
      changes.push(...compareStep(is.name, was.node, is.node, nameBefore));
    }
  }
  return changes;
}

/** What a step asks of a person, rather than how it is written: its kind with its text. */
function saidByStep(node: MapNode): string {
  for (const kind of ['do', 'ask', 'measure', 'decide', 'run']) {
    const value = valueOf(node, kind);
    if (value === undefined) continue;
    const text = value.kind === 'list' ? value.items.map(plainText).join(' ') : plainText(value);
    const more = kind === 'measure' ? scalarOf(node, 'text') ?? scalarOf(node, 'title') : undefined;
    return `${kind}: ${text}${more === undefined ? '' : `. ${more.replace(/\s+/gu, ' ').trim()}`}`;
  }
  return plainText(node);
}
