/** With a memory of what was read before, the tree is the same as without. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseTree, type ParsedTree } from '../../server/src/syntax/parse-tree.ts';
import { TreeMemory } from '../../server/src/syntax/tree-memory.ts';
import type { TreeNode } from '../../server/src/syntax/tree.ts';

const text = readFileSync(new URL('../procedure/fixtures/tail-lift-no-raise.procedure.yaml', import.meta.url), 'utf8');

/** A tree as plain data, with the place of every character of its scalars. */
function plain(node: TreeNode | undefined): unknown {
  if (node === undefined) return null;
  const { kind, span } = node;
  if (node.kind === 'scalar') return { kind, span, text: node.text, style: node.style, places: [...Array(node.text.length + 1).keys()].map((index) => node.offsetAt(index)) };
  if (node.kind === 'list') return { kind, span, flow: node.flow, items: node.items.map(plain) };
  return { kind, span, flow: node.flow, entries: node.entries.map((entry) => [plain(entry.key), plain(entry.value), entry.span]) };
}

const whole = ({ root, problems, comments }: ParsedTree): unknown => ({ root: plain(root), problems, comments });

test('after any row of edits', () => {
  const edit = fc.record({
    at: fc.nat(), length: fc.nat(6),
    put: fc.constantFrom('', 'x', ' ', '\n', '\n\n', '# note\n', ': ', '- ', '"', '{', '#1', '&a ', '*a', '  - step: new\n    do: Wait.\n', 'why: because\n    '),
  });
  fc.assert(fc.property(fc.array(edit, { minLength: 1, maxLength: 6 }), (edits) => {
    const memory = new TreeMemory();
    let now = text;
    parseTree(now, 'f', memory);
    for (const { at, length, put } of edits) {
      const from = at % (now.length + 1);
      now = now.slice(0, from) + put + now.slice(from + length);
      expect(whole(parseTree(now, 'f', memory))).toEqual(whole(parseTree(now, 'f')));
    }
  }), { numRuns: 25 });
}, 120_000);

test('what did not change is not read again', () => {
  const memory = new TreeMemory();
  const stepsOf = (parsed: ParsedTree): readonly (TreeNode | undefined)[] => {
    const entry = parsed.root?.kind === 'map' ? parsed.root.entries.find((each) => each.key.text === 'steps') : undefined;
    return entry?.value?.kind === 'list' ? entry.value.items : [];
  };
  const before = stepsOf(parseTree(text, 'f', memory));
  const after = stepsOf(parseTree(text.replace('Where is the oil level', 'Where is the level'), 'f', memory));
  const same = before.map((step, index) => step === after[index]);
  const changed = same.indexOf(false);
  expect(changed).toBeGreaterThan(0);
  expect(same.slice(0, changed).every(Boolean)).toBe(true);
});
