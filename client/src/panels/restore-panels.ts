/** Brings back the panels of a window that was reloaded: each page keeps the file it belongs to (and the run that was open). */
import * as vscode from 'vscode';
import type { ServerLink } from '../server-link.ts';
import { attachChecklistPanel, CHECKLIST_VIEW_TYPE } from './checklist-panel.ts';
import { diagnosisPanels, provideProposals } from './diagnosis-panel.ts';
import type { DocumentPanels } from './document-panel.ts';
import { flowPanels } from './flow-panel.ts';
import { reviewPanels } from './review-panel.ts';

/** Call once when the extension is activated. */
export function restorePanels(context: vscode.ExtensionContext, link: ServerLink): vscode.Disposable {
  const restore = (attach: (panel: vscode.WebviewPanel, uri: vscode.Uri) => void): vscode.WebviewPanelSerializer => ({
    async deserializeWebviewPanel(panel, state) {
      const uri = (state as { uri?: unknown } | undefined)?.uri;
      if (typeof uri === 'string') attach(panel, vscode.Uri.parse(uri));
      else panel.dispose();
    },
  });
  const beside = ({ viewType, attach }: DocumentPanels): vscode.Disposable =>
    vscode.window.registerWebviewPanelSerializer(viewType, restore((panel, uri) => attach(context, link, panel, uri)));
  return vscode.Disposable.from(
    provideProposals(),
    beside(flowPanels),
    beside(diagnosisPanels),
    beside(reviewPanels),
    vscode.window.registerWebviewPanelSerializer(
      CHECKLIST_VIEW_TYPE,
      restore((panel, uri) => attachChecklistPanel(context, link, panel, uri)),
    ),
  );
}
