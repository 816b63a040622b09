/** Answers the server for files that are on no disk, as in a repository opened without cloning it: it lists them and hands their texts over. */
import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient/node';
import type { ListFilesParams, ReadFileParams } from '../../server/src/lsp/protocol.ts';

const OURS = /(?:\.procedure|^shop|^assets)\.ya?ml$/i;
const PASSED_OVER = /^(?:\.git|node_modules)$/;
/** A remote folder is read folder by folder: of a very large one a part must do. */
const MOST_FOLDERS = 2_000;

/** Schemes of the folders that are open, beside those that the editor always has. */
export function schemesOfFolders(): string[] {
  return (vscode.workspace.workspaceFolders ?? []).map(({ uri }) => uri.scheme);
}

export function answerForFiles(client: BaseLanguageClient): vscode.Disposable {
  return vscode.Disposable.from(
    client.onRequest('faultwright/readFile', ({ uri }: ReadFileParams) => readFile(vscode.Uri.parse(uri))),
    client.onRequest('faultwright/listFiles', ({ uri }: ListFilesParams) => listFiles(vscode.Uri.parse(uri))),
  );
}

async function readFile(uri: vscode.Uri): Promise<string | null> {
  try {
    return new TextDecoder('utf-8').decode(await vscode.workspace.fs.readFile(uri));
  } catch {
    return null;
  }
}

async function listFiles(root: vscode.Uri): Promise<string[]> {
  const found: string[] = [];
  const folders = [root];
  for (let read = 0; read < folders.length && read < MOST_FOLDERS; read++) {
    const folder = folders[read] as vscode.Uri;
    for (const [name, type] of await entriesOf(folder)) {
      const uri = vscode.Uri.joinPath(folder, name);
      if (type === vscode.FileType.Directory && !PASSED_OVER.test(name)) folders.push(uri);
      else if (type === vscode.FileType.File && OURS.test(name)) found.push(uri.toString());
    }
  }
  return found;
}

/** A folder that cannot be read holds nothing for us. */
async function entriesOf(folder: vscode.Uri): Promise<[string, vscode.FileType][]> {
  try {
    return await vscode.workspace.fs.readDirectory(folder);
  } catch {
    return [];
  }
}
