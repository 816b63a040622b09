/**
 * The flow panel: a drawing of the procedure beside its text. It asks the server for the drawing whenever the file was analysed
 * anew, shows a picked step in the text, and marks the step at the cursor. It draws nothing itself.
 */
import * as vscode from 'vscode';
import type { FlowResult, FlowStep } from '../../../server/src/lsp/protocol.ts';
import type { FromFlowPage, ToFlowPage } from '../pages/messages.ts';
import type { ServerLink } from '../server-link.ts';
import { shellHtml, shellOptions } from './webview-shell.ts';

export const FLOW_VIEW_TYPE = 'faultwright.flow';

/** Wait after an edit before the drawing is asked for, in ms: the analysis that follows usually asks sooner. */
const AFTER_EDIT = 400;

const open = new Map<string, vscode.WebviewPanel>();

/** Opens the flow of `document` beside it, or shows the panel that has it. The text keeps the cursor. */
export function openFlowPanel(context: vscode.ExtensionContext, link: ServerLink, document: vscode.TextDocument): void {
  const shown = open.get(document.uri.toString());
  if (shown) {
    shown.reveal(undefined, true);
    return;
  }
  const panel = vscode.window.createWebviewPanel(
    FLOW_VIEW_TYPE,
    flowTitle(document.uri),
    { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
    shellOptions(context.extensionUri),
  );
  attachFlowPanel(context, link, panel, document.uri);
}

/** Makes `panel`, new or restored by the editor, the flow of the file at `uri`. */
export function attachFlowPanel(
  context: vscode.ExtensionContext,
  link: ServerLink,
  panel: vscode.WebviewPanel,
  uri: vscode.Uri,
): void {
  const key = uri.toString();
  open.set(key, panel);
  panel.title = flowTitle(uri);
  panel.webview.options = shellOptions(context.extensionUri);

  let steps: readonly FlowStep[] = [];
  let drawn: FlowResult | undefined;
  let faults = true;
  let asked = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let closed = false;
  /** The step that the page was last told of. */
  let current: string | undefined;

  const post = (message: ToFlowPage) => void panel.webview.postMessage(message);
  const textDocument = () => vscode.workspace.textDocuments.find((document) => document.uri.toString() === key);

  async function refresh(): Promise<void> {
    const mine = ++asked;
    try {
      const result = await link.request('faultwright/flow', { uri: key, faults });
      if (closed || mine !== asked) return;
      if (!result) {
        post({
          kind: 'trouble',
          text: drawn
            ? 'The text cannot be drawn as it stands. This is the last flow that could be.'
            : 'There is nothing to draw yet. The flow appears once the text has a step.',
        });
        return;
      }
      drawn = result;
      steps = result.steps;
      post({ kind: 'trouble', text: undefined });
      post({ kind: 'drawing', uri: key, title: result.title, svg: result.svg, steps: steps.map((step) => step.name) });
      markCursor(true);
    } catch (error) {
      if (!closed && mine === asked) post({ kind: 'trouble', text: `The flow could not be drawn: ${messageOf(error)}` });
    }
  }

  function refreshSoon(): void {
    clearTimeout(timer);
    timer = setTimeout(() => void refresh(), AFTER_EDIT);
  }

  function markCursor(always = false): void {
    const editor = vscode.window.visibleTextEditors.find((candidate) => candidate.document.uri.toString() === key);
    if (!editor) return;
    const at = editor.selection.active;
    const here = steps.find((step) => toRange(step.range).contains(at))?.name;
    if (here === current && !always) return;
    current = here;
    post({ kind: 'current', step: here });
  }

  async function reveal(name: string): Promise<void> {
    const step = steps.find((candidate) => candidate.name === name);
    if (!step) return;
    const visible = vscode.window.visibleTextEditors.find((candidate) => candidate.document.uri.toString() === key);
    const document = textDocument() ?? (await vscode.workspace.openTextDocument(uri));
    const range = toRange(step.nameRange);
    const editor = await vscode.window.showTextDocument(document, {
      viewColumn:
        visible?.viewColumn ?? (panel.viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Beside : vscode.ViewColumn.One),
      preserveFocus: false,
      selection: range,
    });
    editor.revealRange(toRange(step.range), vscode.TextEditorRevealType.InCenterIfOutsideViewport);
    markCursor();
  }

  const subscriptions = [
    panel.webview.onDidReceiveMessage((message: FromFlowPage) => {
      if (message.kind === 'ready' || message.kind === 'faults') {
        faults = message.kind === 'ready' ? message.faults : message.wanted;
        void refresh();
      } else if (message.kind === 'reveal') {
        reveal(message.step).catch(
          (error: unknown) => void vscode.window.showErrorMessage(vscode.l10n.t('The step cannot be shown: {0}', messageOf(error))),
        );
      }
    }),
    link.onNotification('faultwright/analysed', (params) => {
      if (params.uri !== key) return;
      clearTimeout(timer);
      void refresh();
    }),
    vscode.workspace.onDidChangeTextDocument((event) => {
      if (event.document.uri.toString() === key && event.contentChanges.length > 0) refreshSoon();
    }),
    vscode.window.onDidChangeTextEditorSelection((event) => {
      if (event.textEditor.document.uri.toString() === key) markCursor();
    }),
    panel.onDidDispose(() => {
      closed = true;
      clearTimeout(timer);
      if (open.get(key) === panel) open.delete(key);
      for (const subscription of subscriptions) subscription.dispose();
    }),
  ];
  panel.webview.html = shellHtml(panel.webview, context.extensionUri, { bundle: 'flow-page', title: flowTitle(uri) });
}

function flowTitle(uri: vscode.Uri): string {
  const name = uri.path.slice(uri.path.lastIndexOf('/') + 1).replace(/\.procedure\.ya?ml$/, '');
  return vscode.l10n.t('Flow: {0}', name);
}

function toRange(range: FlowStep['range']): vscode.Range {
  return new vscode.Range(range.start.line, range.start.character, range.end.line, range.end.character);
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
