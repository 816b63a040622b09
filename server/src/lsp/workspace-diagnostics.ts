/**
 * Findings for editors that ask for them: of one file, and of all files of the folders, in parts as they are found. What an editor has already is not
 * told again, and not worked out again. Between two files messages get in: a cancellation or a keystroke never waits for the rest.
 */
import { DocumentDiagnosticReportKind, LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type {
  CancellationToken, DocumentDiagnosticReport, ResultProgressReporter, ServerCapabilities, WorkDoneProgressReporter,
  WorkspaceDiagnosticParams, WorkspaceDiagnosticReport, WorkspaceDiagnosticReportPartialResult, WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import { analysisOf } from './asked.ts';
import { keyOfDocument } from './documents.ts';
import { answering, log } from './guard.ts';
import { diagnosticsOf } from './publish.ts';
import type { Session } from './session.ts';
import { takingTurns } from './taking-turns.ts';

export const PULL_CAPABILITIES: ServerCapabilities = {
  diagnosticProvider: { identifier: 'faultwright', interFileDependencies: true, workspaceDiagnostics: true, workDoneProgress: true },
};

/** For each file a name of the findings that it has now: the name changes before they do. */
export interface PulledFindings {
  idOf(key: string): string;
  /** What this file says changed: others may be found in it, and in those that depend on it. */
  changed(key: string): void;
  allChanged(): void;
}

export function createPulledFindings(session: () => Session): PulledFindings {
  const ids = new Map<string, number>();
  let next = 1;
  return {
    idOf(key) {
      let id = ids.get(key);
      if (id === undefined) ids.set(key, (id = next++));
      return String(id);
    },
    changed(key) {
      // Of what nobody asked for nothing is known that could be out of date.
      if (ids.size === 0) return;
      ids.delete(key);
      for (const dependant of session().workspace.dependants(key)) ids.delete(dependant);
    },
    allChanged: () => ids.clear(),
  };
}

export function handlePulls(session: Session): void {
  const { diagnostics } = session.connection.languages;
  diagnostics.on(
    async (params, token): Promise<DocumentDiagnosticReport> =>
      (await answering(session, 'findings', (): DocumentDiagnosticReport => {
        const resultId = session.pulled.idOf(keyOfDocument(session, params.textDocument.uri));
        if (params.previousResultId === resultId) return { kind: DocumentDiagnosticReportKind.Unchanged, resultId };
        const analysis = analysisOf(session, params.textDocument.uri);
        return { kind: DocumentDiagnosticReportKind.Full, resultId, items: analysis ? diagnosticsOf(session, analysis) : [] };
      })(params, token)) ?? { kind: DocumentDiagnosticReportKind.Full, items: [] },
  );
  diagnostics.onWorkspace(async (params, token, progress, partial) => {
    await session.ready;
    return pullAll(session, params, token, progress, partial);
  });
}

/** How many files make one part of the answer, and after how many milliseconds one is sent all the same. */
const MOST_FILES = 50;
const LONGEST_SILENCE = 250;

/** Open files first: someone looks at them. Throws where the editor ended it. */
async function pullAll(
  session: Session, { previousResultIds }: WorkspaceDiagnosticParams, token: CancellationToken, progress: WorkDoneProgressReporter,
  partial: ResultProgressReporter<WorkspaceDiagnosticReportPartialResult> | undefined,
): Promise<WorkspaceDiagnosticReport> {
  const told = new Map(previousResultIds.map(({ uri, value }) => [keyOfDocument(session, uri), { uri, value }]));
  const files = wantedFiles(session);
  const items: WorkspaceDocumentDiagnosticReport[] = [];
  let sentAt = performance.now();
  const send = (): void => {
    sentAt = performance.now();
    if (partial && items.length > 0) partial.report({ items: items.splice(0) });
  };
  progress.begin(session.words.progress.checking, 0, undefined, true);
  try {
    const finished = await takingTurns((function* (): Generator<undefined, true> {
      for (const [index, file] of files.entries()) {
        const report = reportOf(session, file, told.get(file)?.value);
        if (report) items.push(report);
        if (items.length >= MOST_FILES || performance.now() - sentAt >= LONGEST_SILENCE) {
          send();
          progress.report(Math.floor((100 * (index + 1)) / files.length), session.words.progress.of(index + 1, files.length));
        }
        yield undefined;
      }
      // What is there no more has nothing to be told of.
      const present = new Set(files);
      for (const [key, { uri }] of told) if (!present.has(key)) items.push({ kind: DocumentDiagnosticReportKind.Full, uri, version: null, items: [] });
      return true;
    })(), token);
    if (!finished) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'The check was ended.');
    send();
    return { items };
  } finally {
    progress.done();
  }
}

function wantedFiles({ workspace, open, settings }: Session): string[] {
  const files = workspace.files();
  const isOpen = files.filter((file) => open.has(file));
  return settings.checkWholeFolder ? [...isOpen, ...files.filter((file) => !open.has(file))] : isOpen;
}

/** Undefined where the file cannot be checked: what was told of it stays. */
function reportOf(session: Session, file: string, previous: string | undefined): WorkspaceDocumentDiagnosticReport | undefined {
  const { workspace, open, files, pulled } = session;
  const uri = files.uriOf(file);
  const version = open.get(file)?.document.version ?? null;
  const resultId = pulled.idOf(file);
  if (previous === resultId) return { kind: DocumentDiagnosticReportKind.Unchanged, uri, version, resultId };
  try {
    const report = { kind: DocumentDiagnosticReportKind.Full, uri, version, resultId, items: diagnosticsOf(session, workspace.analyse(file)) } as const;
    // Thousands of files are not held in memory for the sake of one answer.
    if (!open.has(file)) workspace.release(file);
    return report;
  } catch (error) {
    log(session, `checking ${file}`, error);
    return undefined;
  }
}
