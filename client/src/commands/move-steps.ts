/** Steps into a procedure of their own, and written out again. The name is asked for here; all else the server works out. */
import * as vscode from 'vscode';
import type { WireEdit, WirePosition, WireRange } from '../../../server/src/lsp/protocol.ts';
import type { ServerLink } from '../server-link.ts';

/** Without a place, the selection of the active editor is meant. */
export async function extractSteps(link: ServerLink, uri?: string, range?: WireRange): Promise<void> {
  const editor = vscode.window.activeTextEditor;
  const place =
    uri !== undefined && range !== undefined
      ? { uri, range }
      : editor && { uri: editor.document.uri.toString(), range: wire(editor.selection) };
  if (place === undefined) return;
  const first = await link.request('faultwright/extractSteps', place);
  if (first.suggestion === undefined) return refuse(first.problem);
  const name = await vscode.window.showInputBox({
    title: vscode.l10n.t('Make these steps a procedure'),
    prompt: vscode.l10n.t('The name of the new procedure. Its file is called after it.'),
    value: first.suggestion,
    validateInput: (typed) =>
      /^[a-z][a-z0-9_]*$/.test(typed)
        ? undefined
        : vscode.l10n.t("A small letter comes first, then small letters, digits and '_'."),
  });
  if (name === undefined) return;
  const { problem, edits, file, version } = await link.request('faultwright/extractSteps', { ...place, name });
  if (problem !== undefined || !edits || !file) return refuse(problem);
  const target = vscode.Uri.parse(place.uri);
  if (isOutOfDate(target, version)) return refuse(vscode.l10n.t('The text has changed meanwhile. Try again.'));
  const edit = new vscode.WorkspaceEdit();
  const written = beside(target, file.uri);
  edit.createFile(written, { overwrite: false, ignoreIfExists: false, contents: new TextEncoder().encode(file.text) });
  edit.set(target, edits.map(textEdit));
  if (!(await vscode.workspace.applyEdit(edit, { isRefactoring: true })))
    return refuse(vscode.l10n.t('The steps were left where they are: the edit could not be made.'));
  await vscode.window.showTextDocument(written, { preview: false, viewColumn: vscode.ViewColumn.Beside, preserveFocus: true });
}

/** Without a place, the cursor of the active editor is meant. */
export async function inlineRun(link: ServerLink, uri?: string, position?: WirePosition): Promise<void> {
  const editor = vscode.window.activeTextEditor;
  const place =
    uri !== undefined && position !== undefined
      ? { uri, position }
      : editor && {
          uri: editor.document.uri.toString(),
          position: { line: editor.selection.active.line, character: editor.selection.active.character },
        };
  if (place === undefined) return;
  const { problem, edits, version } = await link.request('faultwright/inlineRun', place);
  if (problem !== undefined || !edits) return refuse(problem);
  const target = vscode.Uri.parse(place.uri);
  if (isOutOfDate(target, version)) return refuse(vscode.l10n.t('The text has changed meanwhile. Try again.'));
  const edit = new vscode.WorkspaceEdit();
  edit.set(target, edits.map(textEdit));
  await vscode.workspace.applyEdit(edit, { isRefactoring: true });
}

function refuse(reason: string | undefined): void {
  if (reason !== undefined) void vscode.window.showWarningMessage(vscode.l10n.t(reason));
}

function isOutOfDate(uri: vscode.Uri, version: number | null | undefined): boolean {
  const document = vscode.workspace.textDocuments.find((one) => one.uri.toString() === uri.toString());
  return version !== null && version !== undefined && document !== undefined && document.version !== version;
}

/** The new file on the file system of the old one: the server knows paths alone. */
function beside(target: vscode.Uri, file: string): vscode.Uri {
  const parsed = vscode.Uri.parse(file);
  return target.scheme === parsed.scheme
    ? parsed
    : vscode.Uri.joinPath(target, '..', parsed.path.slice(parsed.path.lastIndexOf('/') + 1));
}

function textEdit({ range, newText }: WireEdit): vscode.TextEdit {
  return new vscode.TextEdit(
    new vscode.Range(range.start.line, range.start.character, range.end.line, range.end.character),
    newText,
  );
}

function wire({ start, end }: vscode.Range): WireRange {
  return { start: { line: start.line, character: start.character }, end: { line: end.line, character: end.character } };
}
