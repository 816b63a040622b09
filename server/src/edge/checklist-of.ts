/** The checklist of a procedure for the command line: an asset that nobody knows, or that it is not for, is said and not guessed. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Workspace } from '../analysis/workspace.ts';
import { nearest } from '../procedure/nearest.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import { buildChecklist } from '../run/checklist.ts';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { CannotRun } from './command-environment.ts';

/** Throws CannotRun where the file holds no procedure, or the asset is unknown or of another kind. */
export function checklistOf(workspace: Workspace, analysis: Analysis, asset: string | undefined): ChecklistDocument {
  if (!analysis.procedure || !analysis.program || !analysis.scope) {
    throw new CannotRun(`${harmlessLine(analysis.file)} holds no procedure. Check it with: faultwright check`);
  }
  const known = analysis.scope.assets.map(({ item }) => item.id.value);
  if (asset !== undefined && !known.includes(asset)) throw new CannotRun(unknownAsset(asset, known));
  const document = buildChecklist(analysis, asset, workspace);
  if (document.asset?.applies === false) {
    const others = document.assets.length > 0 ? ` It applies to: ${document.assets.join(', ')}.` : '';
    throw new CannotRun(`The procedure does not apply to ${harmlessLine(document.asset.id)}.${others}`);
  }
  return document;
}

function unknownAsset(asset: string, known: readonly string[]): string {
  if (known.length === 0) return `There is no asset ${harmlessLine(asset)}: no assets.yaml was found beside the procedure or above it.`;
  const near = nearest(asset, known);
  const advice = near === undefined ? `Known are: ${known.map(harmlessLine).join(', ')}.` : `Did you mean ${harmlessLine(near)}?`;
  return `There is no asset ${harmlessLine(asset)} in assets.yaml. ${advice}`;
}
