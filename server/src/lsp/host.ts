/**
 * What the server needs of the world around it: files and journals. edge/lsp-main.ts provides it on Node; a test or a browser
 * may provide another. No protocol types here.
 */
import type { DiagnosisOutcome } from '../features/diagnosis.ts';
import type { DiagnosisJob } from '../features/diagnosis-job.ts';
import type { LayoutEngine } from '../render/flow-layout.ts';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import type { RunEvent } from '../run/events.ts';
import type { RecordSummary, UnfinishedRun } from './protocol.ts';

export interface ServerHost {
  /** The text of a file, by its key (absolute path, forward slashes); undefined where there is none or it is no text. */
  readFile(key: string): Promise<string | undefined>;
  /** Keys of the files of ours under a folder, what `.gitignore` names left out. */
  listFiles(folder: string): Promise<readonly string[]>;
  /** Keys of the files that bear on a file outside every workspace folder: its shop and assets files upward, its neighbours. */
  listFilesAround(key: string): Promise<readonly string[]>;
  /** Whether a file that a procedure names, such as a figure, exists. */
  fileExists(key: string): boolean;
  /** URI of the page that explains a check; undefined where it was not shipped. */
  checkPage(check: string): string | undefined;
  readonly runs: RunStore;
  /** Texts of ours in the repository around a folder, at a revision, by key; or why they cannot be had. Absent where there is no version control. */
  textsAt?(folder: string, revision: string): Promise<{ readonly files: ReadonlyMap<string, string> } | { readonly reason: string }>;
  /** The last released text of a procedure, by its key; undefined where none is known. Absent where there is no version control. */
  releasedText?(key: string): Promise<string | undefined>;
  /** Lays out drawings without keeping the server from answering. */
  readonly layout: LayoutEngine;
  /** Works diagnoses out without keeping the server from answering; without it they are worked out between two messages. */
  readonly diagnosis?: DiagnosisEngine;
}

export interface DiagnosisEngine {
  /** Begins a job. Its outcome is 'superseded' once it was cancelled before it was done. */
  begin(job: DiagnosisJob): { readonly outcome: Promise<DiagnosisOutcome | 'superseded' | undefined>; readonly cancel: () => void };
}

/** Journals of runs in a folder, and the records they become. Every promise resolves only once the disk has it. */
export interface RunStore {
  begin(folder: string, document: ChecklistDocument): Promise<{ runId: string }>;
  resume(folder: string, runId: string): Promise<{ document: ChecklistDocument; events: readonly RunEvent[] }>;
  /** Returns how many events the journal now has; throws where `index` is given and is not how many it had. */
  append(folder: string, runId: string, event: RunEvent, index?: number): Promise<number>;
  /** Exchanges the text that the run goes by; throws where the rule does not allow it (run/carry-over.ts). */
  carryOver(
    folder: string, runId: string, document: ChecklistDocument, stamp: { readonly at: string; readonly person?: string },
  ): Promise<{ document: ChecklistDocument; events: readonly RunEvent[] }>;
  /** Writes the record and puts the journal away. Returns the record's absolute path. */
  finish(folder: string, runId: string): Promise<string>;
  unfinished(folder: string): Promise<readonly UnfinishedRun[]>;
  discard(folder: string, runId: string): Promise<void>;
  records(folder: string): Promise<readonly RecordSummary[]>;
  /** How often each fault was found by a procedure, as its records say. Absent where there are none to read. */
  found?(folder: string, procedure: string): Promise<Readonly<Record<string, number>>>;
}
