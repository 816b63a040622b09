/** What a request names: the analysis of its document, and the offset of its position. */
import type { Position } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { toOffset } from './convert.ts';
import { keyOfDocument } from './documents.ts';
import type { Session } from './session.ts';

/** The newest analysis of a document; undefined where the server has never seen its text. */
export function analysisOf(session: Session, uri: string): Analysis | undefined {
  const key = keyOfDocument(session, uri);
  return session.workspace.textOf(key) !== undefined ? session.workspace.analyse(key) : undefined;
}

/** The analysis and the offset in its text. */
export function placeOf(
  session: Session,
  params: { textDocument: { uri: string }; position: Position },
): { analysis: Analysis; offset: number } | undefined {
  const analysis = analysisOf(session, params.textDocument.uri);
  return analysis && { analysis, offset: toOffset(analysis.lines, params.position) };
}
