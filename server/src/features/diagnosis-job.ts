/**
 * A diagnosis as a piece of work that can be done elsewhere: the texts that bear on a procedure and what is wanted of them, as plain data. Whoever
 * does it needs nothing of the workspace that it comes from.
 */
import { Workspace } from '../analysis/workspace.ts';
import type { WhatIf } from '../diagnosis/what-if.ts';
import { diagnosisOf, filesThatBear, type DiagnosisOutcome } from './diagnosis.ts';

export interface DiagnosisJob {
  readonly path: string;
  /** Path and text. */
  readonly files: readonly (readonly [path: string, text: string])[];
  readonly found?: Readonly<Record<string, number>>;
  readonly change?: WhatIf;
  readonly propose: boolean;
  /** Places that the search may open. */
  readonly places: number;
}

/** The job of diagnosing a file of a workspace. */
export function diagnosisJob(workspace: Workspace, path: string, wanted: Omit<DiagnosisJob, 'path' | 'files'>): DiagnosisJob {
  return { ...wanted, path, files: [...filesThatBear(workspace, path)].map((file) => [file, workspace.textOf(file) ?? ''] as const) };
}

/** Does a job; undefined where the file holds no procedure with faults and steps. Throws SearchCancelled when `cancelled` answers true. */
export function doDiagnosisJob({ path, files, found, change, propose, places }: DiagnosisJob, cancelled?: () => boolean): DiagnosisOutcome | undefined {
  const workspace = new Workspace();
  for (const [file, text] of files) workspace.setFile(file, text);
  return diagnosisOf(workspace, path, {
    propose, budget: { places, ...(cancelled ? { cancelled } : {}) },
    ...(found ? { found: new Map(Object.entries(found)) } : {}), ...(change ? { change } : {}),
  });
}
