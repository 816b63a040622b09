/**
 * The diagnosis of a procedure, for its panel. The page works the costly numbers out itself, off the path of typing; only the proposal needs the server,
 * which analyses the edited text, and it is made when asked for.
 */
import { diagnosisOf } from '../features/diagnosis.ts';
import { analysisOf } from './asked.ts';
import { toRange } from './convert.ts';
import { libraryFolder, stepsOf } from './drawing-handlers.ts';
import { refusing } from './guard.ts';
import type { DiagnosisParams, DiagnosisProposalResult, DiagnosisResult } from './protocol.ts';
import type { Session } from './session.ts';

export function handleDiagnosis(session: Session): void {
  session.connection.onRequest('faultwright/diagnosis', refusing(session, 'the diagnosis', (params: DiagnosisParams) => diagnosis(session, params)));
  session.connection.onRequest('faultwright/diagnosisProposal', refusing(session, 'a better order', (params: DiagnosisParams) => proposal(session, params)));
}

async function diagnosis(session: Session, { uri }: DiagnosisParams): Promise<DiagnosisResult | null> {
  const before = analysisOf(session, uri);
  const name = before?.procedure?.name?.value;
  if (!before || name === undefined) return null;
  const found = await session.host.runs.found?.(libraryFolder(session, before.file), name);
  const analysis = analysisOf(session, uri) ?? before;
  const outcome = diagnosisOf(session.workspace, analysis.file, { budget: { places: 0 }, ...(found ? { found: new Map(Object.entries(found)) } : {}) });
  if (!outcome) return null;
  return { outcome, steps: stepsOf(analysis), version: session.open.get(analysis.file)?.document.version ?? null };
}

function proposal(session: Session, { uri }: DiagnosisParams): DiagnosisProposalResult | null {
  const analysis = analysisOf(session, uri);
  if (!analysis) return null;
  const outcome = diagnosisOf(session.workspace, analysis.file, { propose: true, budget: { places: 0 } });
  if (!outcome) return null;
  const { proposal: found, obstacles } = outcome;
  return {
    obstacles, version: session.open.get(analysis.file)?.document.version ?? null,
    ...(found ? { proposal: { moves: found.moves, minutes: found.minutes, before: found.before, range: toRange(analysis.lines, found.edit.span), newText: found.edit.newText } } : {}),
  };
}
