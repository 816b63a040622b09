/** Brings back the panels of a window that was reloaded: each page keeps the file it belongs to (and the run that was open). */
import * as vscode from 'vscode';
import type { ServerLink } from '../server-link.ts';
import { attachChecklistPanel, CHECKLIST_VIEW_TYPE } from './checklist-panel.ts';
import { attachDiagnosisPanel, DIAGNOSIS_VIEW_TYPE, provideProposals } from './diagnosis-panel.ts';
import { attachFlowPanel, FLOW_VIEW_TYPE } from './flow-panel.ts';
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
  return vscode.Disposable.from(
    provideProposals(),
    vscode.window.registerWebviewPanelSerializer(
      FLOW_VIEW_TYPE,
      restore((panel, uri) => attachFlowPanel(context, link, panel, uri)),
    ),
    vscode.window.registerWebviewPanelSerializer(
      DIAGNOSIS_VIEW_TYPE,
      restore((panel, uri) => attachDiagnosisPanel(context, link, panel, uri)),
    ),
    vscode.window.registerWebviewPanelSerializer(
      reviewPanels.viewType,
      restore((panel, uri) => reviewPanels.attach(context, link, panel, uri)),
    ),
    vscode.window.registerWebviewPanelSerializer(
      CHECKLIST_VIEW_TYPE,
      restore((panel, uri) => attachChecklistPanel(context, link, panel, uri)),
    ),
  );
}
