/** Text → shop file: what a shop's procedures share. It never throws; see build-procedure.ts. */
import type { TreeMemory } from '../syntax/tree-memory.ts';
import type { TreeNode } from '../syntax/tree.ts';
import {
  buildCautions, buildCircuits, buildHazards, buildInstruments, buildQualifications, buildStates, buildValues, readNamedTexts,
} from './build-declarations.ts';
import { inOrder, openFile } from './build-procedure.ts';
import { CHECK_SETTINGS } from './keys.ts';
import type { Shop } from './model.ts';
import { nearest } from './nearest.ts';
import { namedEntries, oneOf, proseOf, listItems, readText } from './read-values.ts';
import { describe, isEmpty, shown, textAt, type Fields } from './reader.ts';

export interface BuiltShop {
  readonly shop: Shop;
  readonly tree: TreeNode | undefined;
}

/** Builds a shop file from its text. `file` is the workspace's key of the file. */
export function buildShop(file: string, text: string, memory?: TreeMemory): BuiltShop {
  const { fields, tree, problems } = openFile(file, text, 'shop', 'the shop file', memory);
  reportFormat(fields);
  const shop: Shop = {
    file, span: { start: 0, end: text.length }, title: readText(fields, 'shop'), states: buildStates(fields), circuits: buildCircuits(fields),
    instruments: buildInstruments(fields), hazards: buildHazards(fields), cautions: buildCautions(fields),
    qualifications: buildQualifications(fields), values: buildValues(fields), terms: readTerms(fields),
    abbreviations: readNamedTexts(fields, 'abbreviations').map(({ name, text: means }) => ({ short: name, means })),
    checks: readCheckSettings(fields), problems: inOrder([...problems, ...fields.reader.problems]),
  };
  return { shop, tree };
}

function reportFormat(fields: Fields): void {
  const node = fields.value('format');
  if (node === undefined || (node.kind === 'scalar' && node.text === '1')) return;
  fields.reader.report('wrong-kind', {
    span: node.span, message: `'format' is ${describe(node)}; this version reads format 1.`, help: "Write 'format: 1', or use a newer version of this program.",
  });
}

function readTerms(fields: Fields): Shop['terms'] {
  return namedEntries(fields, 'terms', "'term: [spelling that it replaces]'").flatMap((entry) => {
    const owner = `'${shown(entry.key.text)}' in 'terms'`;
    if (isEmpty(entry.value)) {
      fields.reader.report('wrong-kind', { span: entry.key.span, message: `${owner} names no spelling that it replaces.`, help: 'Write them as a list.' });
      return [];
    }
    const node = entry.value as TreeNode;
    const items = node.kind === 'list' ? listItems(fields.reader, node, owner) : [node];
    const insteadOf = items.map((item) => proseOf(fields.reader, item, `a spelling in ${owner}`)).filter((prose) => prose !== undefined);
    return [{ term: textAt(entry.key), insteadOf }];
  });
}

function readCheckSettings(fields: Fields): Shop['checks'] {
  return namedEntries(fields, 'checks', "'check-name: hint'").flatMap((entry) => {
    const node = entry.value;
    const text = node?.kind === 'scalar' ? node.text : '';
    if (node?.kind === 'scalar' && CHECK_SETTINGS.some((setting) => setting === text)) return [{ check: textAt(entry.key), setting: textAt(node) }];
    const near = nearest(text, CHECK_SETTINGS);
    fields.reader.report('wrong-kind', {
      span: node?.span ?? entry.key.span,
      message: `The setting of '${shown(entry.key.text)}' is ${isEmpty(node) ? 'empty' : describe(node as TreeNode)}; it must be ${oneOf(CHECK_SETTINGS)}.`,
      help: near === undefined ? `Write ${oneOf(CHECK_SETTINGS)}.` : `Did you mean '${near}'?`,
      fixes: near === undefined || node === undefined ? [] : [fields.reader.fix(`Change it to '${near}'`, node.span, near, true)],
    });
    return [];
  });
}
