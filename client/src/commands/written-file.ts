/**
 * Puts a file that a command wrote into its folder and shows it. Undo takes it away again; a file that is there is never written
 * over.
 */
import * as vscode from 'vscode';

export async function showWritten(uri: vscode.Uri, text: string): Promise<vscode.TextEditor> {
  const edit = new vscode.WorkspaceEdit();
  edit.createFile(uri, { overwrite: false, ignoreIfExists: false, contents: new TextEncoder().encode(text) });
  if (!(await vscode.workspace.applyEdit(edit))) {
    throw new Error(
      vscode.l10n.t(
        '{0} could not be written. A file of that name may be there already.',
        uri.path.slice(uri.path.lastIndexOf('/') + 1),
      ),
    );
  }
  return vscode.window.showTextDocument(uri, { preview: false });
}

/** `folder/name` on the file system of the folder, whatever that is. */
export function inFolder(folder: vscode.Uri, name: string): vscode.Uri {
  return vscode.Uri.joinPath(folder, `${name}.procedure.yaml`);
}
