/** `faultwright check --fix`: makes the fixes that do not alter what a file means, as the editor's fix-all does, before the files are checked. */
import type { Workspace } from '../analysis/workspace.ts';
import type { TextEdit } from '../findings/finding.ts';
import { safeEdits } from '../features/fixes.ts';
import type { Replacement } from '../render/edits-diff.ts';
import type { FileWorkspace } from './file-workspace.ts';
import { overwriteFile } from './overwrite-file.ts';
import { reasonOf } from './read-text-file.ts';

export interface FixedFile {
  readonly path: string;
  readonly before: string;
  /** In order, none overlapping another, in the text as it was. */
  readonly replacements: readonly Replacement[];
  /** Why it could not be written; the text then stays as it was. */
  readonly reason?: string;
}

/** A fix can make room for another; past this many rounds one must be taking back what another did. */
const MOST_ROUNDS = 10;

/** Fixes the targets in the workspace and, with `write`, on the disk. Those in which there was nothing to fix are left out. */
export async function fixFiles({ workspace, targets }: FileWorkspace, write: boolean): Promise<FixedFile[]> {
  const fixed: FixedFile[] = [];
  for (const path of targets) {
    const before = workspace.textOf(path) ?? '';
    const replacements = fixInWorkspace(workspace, path);
    if (replacements.length === 0) continue;
    try {
      if (write) await overwriteFile(path, workspace.textOf(path) ?? '');
      fixed.push({ path, before, replacements });
    } catch (error) {
      workspace.setFile(path, before);
      fixed.push({ path, before, replacements: [], reason: reasonOf(error) });
    }
  }
  return fixed;
}

function fixInWorkspace(workspace: Workspace, path: string): Replacement[] {
  let pieces: readonly Piece[] = [{ start: 0, end: workspace.textOf(path)?.length ?? 0 }];
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const text = workspace.textOf(path) ?? '';
    const edits = [...safeEdits(workspace.analyse(path))].sort((a, b) => a.span.start - b.span.start);
    if (edits.length === 0) break;
    workspace.setFile(path, [...edits].reverse().reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), text));
    pieces = afterEdits(pieces, edits);
  }
  return replacementsOf(pieces);
}

/** A stretch of the text as it was, or one that has been written since. */
type Piece = { readonly start: number; readonly end: number } | { readonly newText: string };

function lengthOf(piece: Piece): number {
  return 'newText' in piece ? piece.newText.length : piece.end - piece.start;
}

function part(piece: Piece, from: number, to: number): Piece {
  return 'newText' in piece ? { newText: piece.newText.slice(from, to) } : { start: piece.start + from, end: piece.start + to };
}

/** Edits of what the pieces make up, in order. */
function afterEdits(pieces: readonly Piece[], edits: readonly TextEdit[]): Piece[] {
  const made: Piece[] = [];
  let at = 0;
  let next = 0;
  const open = [...edits];
  const take = (until: number, keep: boolean): void => {
    while (at < until && next < queue.length) {
      const piece = queue[next] as Piece;
      const length = lengthOf(piece);
      const used = Math.min(length, until - at);
      if (keep) made.push(part(piece, 0, used));
      if (used < length) queue[next] = part(piece, used, length);
      else next++;
      at += used;
    }
  };
  const queue = [...pieces];
  for (const { span, newText } of open) {
    take(span.start, true);
    take(span.end, false);
    if (newText !== '') made.push({ newText });
  }
  take(Number.POSITIVE_INFINITY, true);
  return made;
}

/** What lies between the stretches that are as they were. */
function replacementsOf(pieces: readonly Piece[]): Replacement[] {
  const found: Replacement[] = [];
  let at = 0;
  let newText = '';
  const gap = (start: number): void => {
    if (newText !== '' || start > at) found.push({ span: { start: at, end: start }, newText });
    newText = '';
  };
  let whole = 0;
  for (const piece of pieces) {
    if ('newText' in piece) newText += piece.newText;
    else if (piece.end > piece.start) {
      gap(piece.start);
      at = piece.end;
    }
    whole = Math.max(whole, 'end' in piece ? piece.end : 0);
  }
  if (newText !== '') found.push({ span: { start: at, end: Math.max(at, whole) }, newText });
  return found;
}
