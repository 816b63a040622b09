/** The Brackwater depot library in a workspace, and procedures made up for one test. */
import { readdirSync, readFileSync } from 'node:fs';
import type { Analysis } from '../../server/src/analysis/analysis.ts';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import type { AnalysedText } from '../../server/src/diagnosis/propose-order.ts';

const library = new URL('../../procedures/', import.meta.url);

export const PROCEDURES = readdirSync(library).filter((name) => name.endsWith('.procedure.yaml')).map((name) => name.replace('.procedure.yaml', ''));

export function depot(): Workspace {
  const workspace = new Workspace();
  for (const name of readdirSync(library)) if (name.endsWith('.yaml')) workspace.setFile(`/depot/${name}`, readFileSync(new URL(name, library), 'utf8'));
  return workspace;
}

export function fileOf(procedure: string): string {
  return `/depot/${procedure}.procedure.yaml`;
}

/** A workspace with one procedure, and how to put another text in its place. */
export function alone(text: string): { readonly workspace: Workspace; readonly path: string; readonly analyse: (text?: string) => AnalysedText } {
  const workspace = new Workspace();
  const path = '/made/up.procedure.yaml';
  workspace.setFile(path, text);
  return { workspace, path, analyse: (other = text) => {
    workspace.setFile(path, other);
    return analysed(workspace.analyse(path));
  } };
}

export function analysed({ text, procedure, exploration, findings }: Analysis): AnalysedText {
  if (!procedure || !exploration) throw new Error('No procedure.');
  return { text, procedure, exploration, findings };
}
