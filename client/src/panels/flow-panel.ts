/**
 * The flow panel: a drawing of the procedure beside its text. It asks the server for the drawing whenever the file was analysed
 * anew, shows a picked step in the text, and marks the step at the cursor. It draws nothing itself.
 */
import * as vscode from 'vscode';
import type { FlowResult } from '../../../server/src/lsp/protocol.ts';
import type { FromFlowPage, ToFlowPage } from '../pages/messages.ts';
import { documentPanels, messageOf, revealRange, toRange, visibleEditor, type AttachedPanel, type PanelPlace } from './document-panel.ts';

/** Wait after an edit before the drawing is asked for, in ms: the analysis that follows usually asks sooner. */
const AFTER_EDIT = 400;

export const flowPanels = documentPanels({
  viewType: 'faultwright.flow',
  title: (name) => vscode.l10n.t('Flow: {0}', name),
  bundle: 'flow-page',
  attach: attachFlow,
});

function attachFlow(place: PanelPlace): AttachedPanel {
  const { key, link, panel } = place;
  let drawn: FlowResult | undefined;
  let faults = true;
  let asked = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  /** The step that the page was last told of. */
  let current: string | undefined;
  const post = (message: ToFlowPage): void => void panel.webview.postMessage(message);

  async function refresh(): Promise<void> {
    const mine = ++asked;
    const isOld = (): boolean => place.isClosed() || mine !== asked;
    try {
      const result = await link.request('faultwright/flow', { uri: key, faults });
      if (isOld()) return;
      if (!result) {
        post({
          kind: 'trouble',
          text: drawn
            ? vscode.l10n.t('The text cannot be drawn as it stands. This is the last flow that could be.')
            : vscode.l10n.t('There is nothing to draw yet. The flow appears once the text has a step.'),
        });
        return;
      }
      drawn = result;
      post({ kind: 'trouble', text: undefined });
      post({ kind: 'drawing', uri: key, title: result.title, svg: result.svg, steps: result.steps.map((step) => step.name) });
      markCursor(true);
    } catch (error) {
      if (!isOld()) post({ kind: 'trouble', text: vscode.l10n.t('The flow could not be drawn: {0}', messageOf(error)) });
    }
  }

  function refreshSoon(): void {
    clearTimeout(timer);
    timer = setTimeout(() => void refresh(), AFTER_EDIT);
  }

  function markCursor(always = false): void {
    const at = visibleEditor(place)?.selection.active;
    if (!at) return;
    const here = drawn?.steps.find((step) => toRange(step.range).contains(at))?.name;
    if (here === current && !always) return;
    current = here;
    post({ kind: 'current', step: here });
  }

  async function reveal(name: string): Promise<void> {
    const step = drawn?.steps.find((candidate) => candidate.name === name);
    if (!step) return;
    const editor = await revealRange(place, step.nameRange);
    editor.revealRange(toRange(step.range), vscode.TextEditorRevealType.InCenterIfOutsideViewport);
    markCursor();
  }

  return {
    async onMessage(raw) {
      const message = raw as FromFlowPage;
      if (message.kind !== 'reveal') {
        faults = message.kind === 'ready' ? message.faults : message.wanted;
        return refresh();
      }
      try {
        await reveal(message.step);
      } catch (error) {
        throw new Error(vscode.l10n.t('The step cannot be shown: {0}', messageOf(error)), { cause: error });
      }
    },
    onAnalysed() {
      clearTimeout(timer);
      void refresh();
    },
    subscriptions: [
      vscode.workspace.onDidChangeTextDocument((event) => {
        if (event.document.uri.toString() === key && event.contentChanges.length > 0) refreshSoon();
      }),
      vscode.window.onDidChangeTextEditorSelection((event) => {
        if (event.textEditor.document.uri.toString() === key) markCursor();
      }),
      { dispose: () => clearTimeout(timer) },
    ],
  };
}
