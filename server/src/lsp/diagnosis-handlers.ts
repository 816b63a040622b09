/**
 * The diagnosis of a procedure, for its panel. It is worked out beside the server (host.ts), which goes on answering; the next edit of the text ends it. The
 * page works the costly numbers out itself; only the proposal needs the server, which analyses the edited text, and it is made when asked for.
 */
import { LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type { CancellationToken } from 'vscode-languageserver';
import { diagnosisJob, doDiagnosisJob, type DiagnosisJob } from '../features/diagnosis-job.ts';
import type { DiagnosisOutcome } from '../features/diagnosis.ts';
import { analysisOf } from './asked.ts';
import { toRange } from './convert.ts';
import { libraryFolder, stepsOf } from './drawing-handlers.ts';
import { refusing } from './guard.ts';
import type { DiagnosisParams, DiagnosisProposalResult, DiagnosisResult } from './protocol.ts';
import type { Session } from './session.ts';

/** How often it is looked whether the text was changed, in milliseconds. */
const LOOK_AGAIN = 25;
/** Places that the search behind a proposal may open: it says how near the proposal comes to the best order. */
const PLACES = 5_000;

export function handleDiagnosis(session: Session): void {
  const { connection } = session;
  connection.onRequest('faultwright/diagnosis', refusing(session, 'the diagnosis', (params: DiagnosisParams, token) => diagnosis(session, params, token)));
  connection.onRequest('faultwright/diagnosisProposal', refusing(session, 'a better order', (params: DiagnosisParams, token) => proposal(session, params, token)));
}

async function diagnosis(session: Session, { uri }: DiagnosisParams, token: CancellationToken): Promise<DiagnosisResult | null> {
  const before = analysisOf(session, uri);
  const name = before?.procedure?.name?.value;
  if (!before || name === undefined) return null;
  const found = await session.host.runs.found?.(libraryFolder(session, before.file), name);
  const analysis = analysisOf(session, uri) ?? before;
  const version = versionOf(session, analysis.file);
  const outcome = await done(session, analysis.file, diagnosisJob(session.workspace, analysis.file, { propose: false, places: 0, ...(found ? { found } : {}) }), token);
  return outcome ? { outcome, steps: stepsOf(analysis), version } : null;
}

async function proposal(session: Session, { uri, change }: DiagnosisParams, token: CancellationToken): Promise<DiagnosisProposalResult | null> {
  const analysis = analysisOf(session, uri);
  if (!analysis) return null;
  const version = versionOf(session, analysis.file);
  const outcome = await done(session, analysis.file, diagnosisJob(session.workspace, analysis.file, { propose: true, places: PLACES, ...(change ? { change } : {}) }), token);
  if (!outcome) return null;
  const { proposal: found, beyond, obstacles } = outcome;
  return {
    obstacles, version, ...(beyond ? { beyond } : {}),
    ...(found ? {
      proposal: {
        moves: found.moves, minutes: found.minutes, before: found.before, steps: found.steps, range: toRange(analysis.lines, found.edit.span), newText: found.edit.newText,
      },
    } : {}),
  };
}

/** The outcome of a job, beside the server where its host can do that. Throws ContentModified once the text was changed or nobody waits any more. */
async function done(session: Session, file: string, job: DiagnosisJob, token: CancellationToken): Promise<DiagnosisOutcome | undefined> {
  const engine = session.host.diagnosis;
  if (!engine) return doDiagnosisJob(job);
  const text = session.workspace.textOf(file);
  const { outcome, cancel } = engine.begin(job);
  const timer = setInterval(() => {
    if (token.isCancellationRequested || session.workspace.textOf(file) !== text) cancel();
  }, LOOK_AGAIN);
  try {
    const result = await outcome;
    if (result === 'superseded' || session.workspace.textOf(file) !== text) throw new ResponseError(LSPErrorCodes.ContentModified, 'The text was changed meanwhile.');
    return result;
  } finally {
    clearInterval(timer);
  }
}

function versionOf(session: Session, file: string): number | null {
  return session.open.get(file)?.document.version ?? null;
}
