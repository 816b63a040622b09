/** Two revisions of a procedure of the Brackwater depot, side by side. */
import { Workspace } from '../../server/src/analysis/workspace.ts';
import type { Comparison } from '../../server/src/review/change.ts';
import { compareRevisions } from '../../server/src/review/compare.ts';
import { depot, fileOf } from '../diagnosis/depot.ts';

const asReleased = depot();

/** The procedure as the depot has it. */
export function released(procedure: string): string {
  const text = asReleased.textOf(fileOf(procedure));
  if (text === undefined) throw new Error(`The depot has no procedure ${procedure}.`);
  return text;
}

/** The depot's shop file. */
export function shopFile(): string {
  return asReleased.textOf('/depot/shop.yaml') ?? '';
}

/** The text with one passage in place of another, which must be there. */
export function edited(text: string, from: string | RegExp, to: string): string {
  const changed = text.replace(from, to);
  if (changed === text) throw new Error(`Nothing to change: ${String(from)}`);
  return changed;
}

/** What the review says of another text of a procedure, with the depot around both. */
export function reviewOf(procedure: string, text: string, shop?: string): Comparison {
  const workspace = new Workspace();
  for (const path of asReleased.files()) workspace.setFile(path, asReleased.textOf(path) ?? '');
  workspace.setFile(fileOf(procedure), text);
  if (shop !== undefined) workspace.setFile('/depot/shop.yaml', shop);
  return compareRevisions(asReleased.analyse(fileOf(procedure)), workspace.analyse(fileOf(procedure)));
}

/** Effects of a kind, as sentences. */
export function effects(comparison: Comparison, kind: 'risk' | 'gain' | 'other'): string[] {
  return comparison.effects.filter((effect) => effect.kind === kind).map(({ message }) => message);
}

/** Sentences of what is written otherwise, with what they bear on. */
export function changes(comparison: Comparison): string[] {
  return comparison.changes.map(({ bearing, message }) => `${bearing}: ${message}`);
}
