/** The folder in which a new procedure goes: the one that was clicked, the one of the file at hand, the one of the shop. */
import * as vscode from 'vscode';

const OURS = /(?:\.procedure|[/\\](?:shop|assets))\.ya?ml$/i;

/** Undefined where the person closed the question. */
export async function targetFolder(clicked: unknown): Promise<vscode.Uri | undefined> {
  if (clicked instanceof vscode.Uri) return (await isFolder(clicked)) ? clicked : vscode.Uri.joinPath(clicked, '..');
  const active = vscode.window.activeTextEditor?.document.uri;
  if (active && active.scheme !== 'untitled' && OURS.test(active.path)) return vscode.Uri.joinPath(active, '..');
  const folders = vscode.workspace.workspaceFolders ?? [];
  const folder =
    folders.length > 1
      ? await vscode.window.showWorkspaceFolderPick({ placeHolder: vscode.l10n.t('In which folder is the procedure written?') })
      : folders[0];
  if (folder) return (await shopIn(folder)) ?? folder.uri;
  if (folders.length > 0) return undefined;
  const [chosen] =
    (await vscode.window.showOpenDialog({
      canSelectFiles: false,
      canSelectFolders: true,
      openLabel: vscode.l10n.t('Write the procedure here'),
    })) ?? [];
  return chosen;
}

/** The folder of the shop file nearest to the top. */
async function shopIn(folder: vscode.WorkspaceFolder): Promise<vscode.Uri | undefined> {
  const found = await vscode.workspace.findFiles(new vscode.RelativePattern(folder, '**/shop.{yaml,yml}'), undefined, 50);
  const [first] = found.sort((a, b) => a.path.split('/').length - b.path.split('/').length || (a.path < b.path ? -1 : 1));
  return first && vscode.Uri.joinPath(first, '..');
}

async function isFolder(uri: vscode.Uri): Promise<boolean> {
  try {
    return ((await vscode.workspace.fs.stat(uri)).type & vscode.FileType.Directory) !== 0;
  } catch {
    return false;
  }
}
