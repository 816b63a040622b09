/**
 * The HTML around every page in a panel: one content security policy, one nonce, nothing from elsewhere. A panel adds its
 * bundle and nothing else; whatever it shows arrives later, by message.
 */
import * as vscode from 'vscode';

export interface ShellPage {
  /** Bundle name under `dist/pages`, without extension: script and styles share it. */
  readonly bundle: string;
  readonly title: string;
  /** The editor's display language, as a language tag, for a page that speaks more than English. */
  readonly language?: string;
}

/**
 * Options for a panel that shows one of our pages: scripts run, and files come from `dist/pages` alone. Forms are let through
 * so that the Enter key submits; the policy's `form-action` sends none of them anywhere.
 */
export function shellOptions(extensionUri: vscode.Uri): vscode.WebviewOptions {
  return { enableScripts: true, enableForms: true, enableCommandUris: false, localResourceRoots: [pagesFolder(extensionUri)] };
}

/** The whole HTML of a panel. The page mounts itself in `#page`. */
export function shellHtml(webview: vscode.Webview, extensionUri: vscode.Uri, page: ShellPage): string {
  const nonce = newNonce();
  const resource = (extension: string) =>
    webview.asWebviewUri(vscode.Uri.joinPath(pagesFolder(extensionUri), `${page.bundle}.${extension}`)).toString();
  const policy = [
    `default-src 'none'`,
    `script-src 'nonce-${nonce}'`,
    `style-src ${webview.cspSource}`,
    `font-src ${webview.cspSource}`,
    `img-src ${webview.cspSource} data:`,
    `base-uri 'none'`,
    `form-action 'none'`,
  ].join('; ');
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${attribute(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${attribute(page.title)}</title>
<link rel="stylesheet" href="${attribute(resource('css'))}">
</head>
<body>
<div id="page"${page.language === undefined ? '' : ` data-language="${attribute(page.language)}"`}></div>
<script nonce="${nonce}" src="${attribute(resource('js'))}"></script>
</body>
</html>`;
}

function pagesFolder(extensionUri: vscode.Uri): vscode.Uri {
  return vscode.Uri.joinPath(extensionUri, 'dist', 'pages');
}

function newNonce(): string {
  return Array.from(globalThis.crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

function attribute(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/"/g, '&quot;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
}
