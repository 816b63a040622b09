/** What panels that stand beside one file share: one panel a file, brought to the front when asked for again, and places shown in the text. */
import * as vscode from 'vscode';
import type { WireRange } from '../../../server/src/lsp/protocol.ts';
import type { ServerLink } from '../server-link.ts';
import { shellHtml, shellOptions } from './webview-shell.ts';

export interface PanelKind {
  readonly viewType: string;
  /** The title of a panel, by the name of its file: 'Review: supply_low'. */
  readonly title: (name: string) => string;
  /** Of the page, under dist/pages. */
  readonly bundle: string;
  /** Called for each panel, before its page is there. */
  readonly attach: (place: PanelPlace) => AttachedPanel;
}

/** One panel and the file it belongs to. */
export interface PanelPlace {
  readonly panel: vscode.WebviewPanel;
  readonly uri: vscode.Uri;
  /** The uri as the server knows it. */
  readonly key: string;
  readonly link: ServerLink;
  readonly isClosed: () => boolean;
}

export interface AttachedPanel {
  readonly onMessage: (message: unknown) => void | Promise<void>;
  /** The file was analysed anew. */
  readonly onAnalysed?: () => void;
  /** More to let go of when the panel is closed. */
  readonly subscriptions?: readonly vscode.Disposable[];
}

export interface DocumentPanels {
  readonly viewType: string;
  /** Opens the panel of a document beside it, or shows the one it has. The text keeps the cursor. */
  open(context: vscode.ExtensionContext, link: ServerLink, document: vscode.TextDocument): void;
  /** Makes a panel, new or restored by the editor, the one of the file at `uri`. */
  attach(context: vscode.ExtensionContext, link: ServerLink, panel: vscode.WebviewPanel, uri: vscode.Uri): void;
}

export function documentPanels({ viewType, title, bundle, attach }: PanelKind): DocumentPanels {
  const shown = new Map<string, vscode.WebviewPanel>();
  const titleOf = (uri: vscode.Uri): string => title(nameOf(uri));
  const panels: DocumentPanels = {
    viewType,
    open(context, link, document) {
      const known = shown.get(document.uri.toString());
      if (known) return known.reveal(undefined, true);
      const beside = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
      panels.attach(context, link, vscode.window.createWebviewPanel(viewType, titleOf(document.uri), beside, shellOptions(context.extensionUri)), document.uri);
    },
    attach(context, link, panel, uri) {
      const key = uri.toString();
      let closed = false;
      shown.set(key, panel);
      panel.title = titleOf(uri);
      panel.webview.options = shellOptions(context.extensionUri);
      const attached = attach({ panel, uri, key, link, isClosed: () => closed });
      const subscriptions = [
        panel.webview.onDidReceiveMessage((message: unknown) => {
          void Promise.resolve(attached.onMessage(message)).catch((error: unknown) => void vscode.window.showErrorMessage(messageOf(error)));
        }),
        link.onNotification('faultwright/analysed', (params) => {
          if (params.uri === key) attached.onAnalysed?.();
        }),
        ...(attached.subscriptions ?? []),
        panel.onDidDispose(() => {
          closed = true;
          if (shown.get(key) === panel) shown.delete(key);
          for (const subscription of subscriptions) subscription.dispose();
        }),
      ];
      panel.webview.html = shellHtml(panel.webview, context.extensionUri, { bundle, title: titleOf(uri) });
    },
  };
  return panels;
}

/** Shows a place in the text that a panel belongs to, in the column where the text is, else beside the panel. */
export async function revealRange(place: PanelPlace, range: WireRange): Promise<vscode.TextEditor> {
  const beside = place.panel.viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Beside : vscode.ViewColumn.One;
  return vscode.window.showTextDocument(await vscode.workspace.openTextDocument(place.uri), {
    viewColumn: visibleEditor(place)?.viewColumn ?? beside,
    selection: toRange(range),
  });
}

/** The editor that shows the text that a panel belongs to, where one does. */
export function visibleEditor({ key }: PanelPlace): vscode.TextEditor | undefined {
  return vscode.window.visibleTextEditors.find((candidate) => candidate.document.uri.toString() === key);
}

export function toRange({ start, end }: WireRange): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}

/** What people call a file: without its folders and its ending. */
export function nameOf(uri: vscode.Uri): string {
  return uri.path.slice(uri.path.lastIndexOf('/') + 1).replace(/\.procedure\.ya?ml$/i, '');
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
