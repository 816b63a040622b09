/** The page that explains a check, opened from the code of its finding: rendered, inside the editor, without a network. */
import * as vscode from 'vscode';
import type { Middleware } from 'vscode-languageclient/node';

/** The server names the page's file; here its link becomes a command, so that the page opens as a page and not as its source. */
export const codeLinks: Middleware = {
  handleDiagnostics(uri, diagnostics, next) {
    for (const diagnostic of diagnostics) {
      const { code } = diagnostic;
      if (typeof code !== 'object') continue;
      diagnostic.code = { value: code.value, target: checkPageLink(String(code.value)) };
    }
    next(uri, diagnostics);
  },
};

/** A link that opens the page of a check. */
export function checkPageLink(check: string): vscode.Uri {
  return vscode.Uri.parse(`command:faultwright.openCheckPage?${encodeURIComponent(JSON.stringify([check]))}`);
}

export async function openCheckPage(extension: vscode.Uri, check: string): Promise<void> {
  if (!/^[a-z0-9-]+$/.test(String(check))) return;
  const page = vscode.Uri.joinPath(extension, 'server', 'docs', 'checks', `${check}.md`);
  try {
    await vscode.workspace.fs.stat(page);
  } catch {
    void vscode.window.showInformationMessage(vscode.l10n.t('There is no page about the check {0}.', check));
    return;
  }
  await vscode.commands.executeCommand('markdown.showPreview', page);
}
