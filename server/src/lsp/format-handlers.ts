/** Formatting of files and ranges, and of the line that Enter begins. What is done is said in features/. */
import type { ServerCapabilities, TextEdit } from 'vscode-languageserver';
import { kindOf } from '../analysis/file-paths.ts';
import type { TextEdit as OurEdit } from '../findings/finding.ts';
import { formatFile, formatRange } from '../features/format.ts';
import { afterDash, afterEnter } from '../features/on-type.ts';
import type { LineIndex } from '../text/line-index.ts';
import { analysisOf } from './asked.ts';
import { toOffset, toRange, toSpan } from './convert.ts';
import { keyOfDocument } from './documents.ts';
import { answering } from './guard.ts';
import type { Session } from './session.ts';

export const FORMAT_CAPABILITIES: ServerCapabilities = {
  documentFormattingProvider: true,
  documentRangeFormattingProvider: true,
  documentOnTypeFormattingProvider: { firstTriggerCharacter: '\n', moreTriggerCharacter: ['-', ':'] },
};

export function handleFormatting(session: Session): void {
  const { connection, workspace } = session;
  connection.onDocumentFormatting(
    answering(session, 'formatting', ({ textDocument }): TextEdit[] | null => {
      const analysis = analysisOf(session, textDocument.uri);
      return analysis ? formatFile(analysis).map((edit) => toEdit(analysis.lines, edit)) : null;
    }),
  );
  connection.onDocumentRangeFormatting(
    answering(session, 'formatting a selection', ({ textDocument, range }): TextEdit[] | null => {
      const analysis = analysisOf(session, textDocument.uri);
      return analysis ? formatRange(analysis, toSpan(analysis.lines, range)).map((edit) => toEdit(analysis.lines, edit)) : null;
    }),
  );
  connection.onDocumentOnTypeFormatting(
    answering(session, 'a new line', ({ textDocument, position, ch }): TextEdit[] | null => {
      const key = keyOfDocument(session, textDocument.uri);
      const text = workspace.textOf(key);
      const lines = session.files.linesOf(key);
      // The text alone counts: analysing it would keep the writer waiting at every line.
      if (text === undefined || lines === undefined) return null;
      const after = ch === '\n' ? afterEnter : afterDash;
      return after(kindOf(key), text, toOffset(lines, position)).map((edit) => toEdit(lines, edit));
    }),
  );
}

function toEdit(lines: LineIndex, { span, newText }: Pick<OurEdit, 'span' | 'newText'>): TextEdit {
  return { range: toRange(lines, span), newText };
}
