/** What is known of one version of one file: computed once, handed to every feature, drawing and command. */
import type { Exploration } from '../flow/explore.ts';
import type { Program } from '../flow/program.ts';
import type { Finding } from '../findings/finding.ts';
import type { Assets, Procedure, Shop } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import type { TreeNode } from '../syntax/tree.ts';
import type { LineIndex } from '../text/line-index.ts';

export type FileKind = 'procedure' | 'shop' | 'assets' | 'other';

export interface Analysis {
  /** The workspace's key of the file: a path with forward slashes. */
  readonly file: string;
  readonly kind: FileKind;
  readonly text: string;
  readonly lines: LineIndex;
  readonly tree: TreeNode | undefined;
  readonly procedure?: Procedure;
  readonly shop?: Shop;
  readonly assets?: Assets;
  readonly scope?: Scope;
  readonly program?: Program;
  readonly exploration?: Exploration;
  /** Sorted by place; accepted ones included, with `accepted` set. */
  readonly findings: readonly Finding[];
}
