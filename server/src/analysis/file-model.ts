/** From the text of a file to its model, by what kind of file it is. */
import { buildAssets } from '../procedure/build-assets.ts';
import { buildProcedure } from '../procedure/build-procedure.ts';
import { buildShop } from '../procedure/build-shop.ts';
import type { Assets, Procedure, Shop } from '../procedure/model.ts';
import type { TreeMemory } from '../syntax/tree-memory.ts';
import type { TreeNode } from '../syntax/tree.ts';
import type { FileKind } from './analysis.ts';

/** What a file says, without what that means beside other files. */
export type FileModel =
  | { readonly kind: 'procedure'; readonly procedure: Procedure; readonly tree: TreeNode | undefined }
  | { readonly kind: 'shop'; readonly shop: Shop; readonly tree: TreeNode | undefined }
  | { readonly kind: 'assets'; readonly assets: Assets; readonly tree: TreeNode | undefined }
  | { readonly kind: 'other' };

/** Reads a file as its name says; `memory` spares what an edit did not touch. Never throws. */
export function readModel(entry: { readonly path: string; readonly text: string; readonly kind: FileKind; readonly memory?: TreeMemory }): FileModel {
  switch (entry.kind) {
    case 'procedure':
      return { kind: 'procedure', ...buildProcedure(entry.path, entry.text, entry.memory) };
    case 'shop':
      return { kind: 'shop', ...buildShop(entry.path, entry.text) };
    case 'assets':
      return { kind: 'assets', ...buildAssets(entry.path, entry.text) };
    case 'other':
      return { kind: 'other' };
  }
}

const calledBy = new WeakMap<Procedure, readonly string[]>();

/** Names of the procedures that a procedure runs, each once. */
export function calledNames(procedure: Procedure): readonly string[] {
  let names = calledBy.get(procedure);
  if (names === undefined) {
    const found = [...procedure.steps, ...procedure.afterRepair].flatMap((step) => (step.kind === 'run' && step.run ? [step.run.value] : []));
    calledBy.set(procedure, (names = [...new Set(found)]));
  }
  return names;
}
