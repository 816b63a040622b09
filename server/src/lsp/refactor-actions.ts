/** Refactorings as the editor's menu: steps into a procedure of their own, and back. Our own client asks for a name first. */
import { CodeActionTriggerKind } from 'vscode-languageserver';
import type { CodeAction, CodeActionContext, Range, WorkspaceEdit } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { extractSteps, selectedSteps } from '../features/extract-steps.ts';
import type { Extraction } from '../features/extract-writing.ts';
import { inlineRun, runStepAt } from '../features/inline-steps.ts';
import type { TextEdit } from '../findings/finding.ts';
import { toOffset, toRange, toSpan } from './convert.ts';
import type { Session } from './session.ts';

export const EXTRACT = 'refactor.extract.procedure';
export const INLINE = 'refactor.inline.procedure';

/** What may be done with the steps at a range. What it costs to work out is spent only where someone asked for it. */
export function refactorings(
  session: Session,
  analysis: Analysis,
  range: Range,
  context: CodeActionContext,
  wanted: (kind: string) => boolean,
): CodeAction[] {
  if (analysis.procedure === undefined) return [];
  const uri = session.files.uriOf(analysis.file);
  const span = toSpan(analysis.lines, range);
  const actions: CodeAction[] = [];
  const titles = session.words.action;
  // A cursor alone selects nothing; whole steps do.
  const steps = span.end > span.start && wanted(EXTRACT) ? selectedSteps(analysis, span) : [];
  const run = wanted(INLINE) ? runStepAt(analysis, toOffset(analysis.lines, range.start)) : undefined;
  if (session.client.panels) {
    if (steps.length > 0)
      actions.push({
        title: titles.extract(steps.length),
        kind: EXTRACT,
        command: { title: titles.extract(steps.length), command: 'faultwright.extractSteps', arguments: [uri, range] },
      });
    if (run?.run)
      actions.push({
        title: titles.inline(run.run.value),
        kind: INLINE,
        command: { title: titles.inline(run.run.value), command: 'faultwright.inlineRun', arguments: [uri, range.start] },
      });
    return actions;
  }
  // Asked for by hand, or by kind: a cursor that only moves by must not be kept waiting.
  if (
    context.triggerKind === CodeActionTriggerKind.Automatic ||
    (context.only === undefined && context.triggerKind === undefined)
  )
    return [];
  if (steps.length > 0 && session.client.createsFiles) {
    const made = extractSteps(session.workspace, analysis, span);
    actions.push(
      ...action(
        session,
        EXTRACT,
        titles.extract(steps.length),
        'problem' in made ? made.problem : extractEdit(session, analysis, made),
      ),
    );
  }
  if (run?.run) {
    const made = inlineRun(session.workspace, analysis, toOffset(analysis.lines, range.start));
    actions.push(
      ...action(
        session,
        INLINE,
        titles.inline(run.run.value),
        'problem' in made ? made.problem : { changes: { [uri]: edits(analysis, made.edits) } },
      ),
    );
  }
  return actions;
}

function action(session: Session, kind: string, title: string, made: WorkspaceEdit | string): CodeAction[] {
  if (typeof made !== 'string') return [{ title, kind, edit: made }];
  return session.client.disabledActions ? [{ title, kind, disabled: { reason: made } }] : [];
}

function extractEdit(session: Session, analysis: Analysis, made: Extraction): WorkspaceEdit {
  const uri = session.files.uriOf(made.file);
  const start = { line: 0, character: 0 };
  return {
    documentChanges: [
      { kind: 'create', uri, options: { overwrite: false, ignoreIfExists: false } },
      { textDocument: { uri, version: null }, edits: [{ range: { start, end: start }, newText: made.fileText }] },
      {
        textDocument: {
          uri: session.files.uriOf(analysis.file),
          version: session.open.get(analysis.file)?.document.version ?? null,
        },
        edits: edits(analysis, made.edits),
      },
    ],
  };
}

function edits(analysis: Analysis, made: readonly TextEdit[]): { range: Range; newText: string }[] {
  return made.map(({ span, newText }) => ({ range: toRange(analysis.lines, span), newText }));
}
