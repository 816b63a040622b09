/** The editor's menu at a place: fixes that travelled with their findings, and refactorings. What alters meaning is shown and confirmed before it is done. */
import { CodeActionKind } from 'vscode-languageserver';
import type { CodeAction, Command, WorkspaceEdit } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import type { Fix } from '../findings/finding.ts';
import { fixesAt, safeEdits } from '../features/fixes.ts';
import { analysisOf } from './asked.ts';
import { toDiagnostic, toSpan, toWorkspaceEdit } from './convert.ts';
import { answering } from './guard.ts';
import { EXTRACT, INLINE, refactorings } from './refactor-actions.ts';
import type { Session } from './session.ts';

export const FIX_ALL = 'source.fixAll.faultwright';
export const ACTION_KINDS: readonly string[] = [CodeActionKind.QuickFix, EXTRACT, INLINE, FIX_ALL];

export function handleFixes(session: Session): void {
  session.connection.onCodeAction(
    answering(session, 'code actions', ({ textDocument, range, context }): (Command | CodeAction)[] | null => {
      const analysis = analysisOf(session, textDocument.uri);
      if (!analysis) return null;
      const wanted = (kind: string): boolean =>
        !context.only || context.only.some((only) => kind === only || kind.startsWith(`${only}.`));
      const actions: CodeAction[] = [];
      if (wanted(CodeActionKind.QuickFix)) actions.push(...quickFixes(session, analysis, toSpan(analysis.lines, range)));
      if (wanted(EXTRACT) || wanted(INLINE)) actions.push(...refactorings(session, analysis, range, context, wanted));
      if (context.only && wanted(FIX_ALL)) actions.push(...fixAll(session, analysis));
      return actions;
    }),
  );
}

function quickFixes(session: Session, analysis: Analysis, span: { start: number; end: number }): CodeAction[] {
  const { action } = session.words;
  const actions: CodeAction[] = [];
  for (const { finding, fix, only } of fixesAt(analysis, span)) {
    const edit = editOf(session, fix);
    if (!edit) continue;
    const diagnostic = toDiagnostic(finding, analysis.lines, session.files, session.host.checkPage(finding.check));
    actions.push({
      title: fix.altersMeaning ? action.altersMeaning(action.fix(fix.title)) : action.fix(fix.title),
      kind: CodeActionKind.QuickFix,
      diagnostics: [diagnostic],
      isPreferred: only && !fix.altersMeaning,
      edit,
    });
  }
  return actions;
}

function fixAll(session: Session, analysis: Analysis): CodeAction[] {
  const edits = safeEdits(analysis);
  const edit = edits.length > 0 ? toWorkspaceEdit(session.files, edits) : undefined;
  return edit ? [{ title: session.words.action.fixAll, kind: FIX_ALL, edit }] : [];
}

/** Undefined where the fix writes in a file that is not at hand. */
function editOf(session: Session, fix: Fix): WorkspaceEdit | undefined {
  const edit = toWorkspaceEdit(session.files, fix.edits);
  if (!edit?.changes || !fix.altersMeaning || !session.client.changeAnnotations) return edit;
  const annotationId = 'alters-meaning';
  return {
    documentChanges: Object.entries(edit.changes).map(([uri, edits]) => ({
      textDocument: { uri, version: versionOf(session, uri) },
      edits: edits.map((one) => ({ ...one, annotationId })),
    })),
    changeAnnotations: {
      [annotationId]: {
        label: session.words.action.fix(fix.title),
        description: session.words.action.readBefore,
        needsConfirmation: true,
      },
    },
  };
}

function versionOf(session: Session, uri: string): number | null {
  for (const { document } of session.open.values()) if (document.uri === uri) return document.version;
  return null;
}
