/** Text → assets file: the equipment that a shop looks after. It never throws; see build-procedure.ts. */
import type { TreeMemory } from '../syntax/tree-memory.ts';
import type { TreeNode } from '../syntax/tree.ts';
import { inOrder, openFile } from './build-procedure.ts';
import type { Asset, Assets } from './model.ts';
import { entriesOf, namedEntries } from './read-values.ts';
import { describe, isEmpty, isNothing, shown, textAt } from './reader.ts';

export interface BuiltAssets {
  readonly assets: Assets;
  readonly tree: TreeNode | undefined;
}

/** Builds an assets file from its text. `file` is the workspace's key of the file. */
export function buildAssets(file: string, text: string, memory?: TreeMemory): BuiltAssets {
  const { fields, tree, problems } = openFile(file, text, 'assets', 'the assets file', memory);
  const { reader } = fields;
  const assets = namedEntries(fields, 'assets', "'asset number: {fact: value}'").map((entry): Asset => {
    const id = textAt(entry.key);
    const owner = `the asset '${shown(id.value)}'`;
    if (isNothing(entry.value)) return { id, facts: [], span: entry.span };
    const facts = entriesOf(reader, entry.value as TreeNode, owner, "'fact: value'").flatMap((fact) => {
      const name = textAt(fact.key);
      const { value } = fact;
      if (value?.kind === 'scalar' && !isEmpty(value)) return [{ name, value: textAt(value) }];
      reader.report('wrong-kind', {
        span: value?.span ?? fact.key.span,
        message: `'${shown(name.value)}' of ${owner} is ${isEmpty(value) ? 'empty' : describe(value as TreeNode)}; one word or one quantity is expected.`,
        help: 'Write one value, or delete the fact.',
      });
      return [];
    });
    return { id, facts, span: entry.span };
  });
  return { assets: { file, span: { start: 0, end: text.length }, assets, problems: inOrder([...problems, ...reader.problems]) }, tree };
}
