/**
 * The diagnosis panel: what the tests of a procedure prove and what their order costs, beside its text. It asks the server whenever the file was
 * analysed anew; the page works the numbers out. An edit is shown by the editor and made only once a person confirms it.
 */
import * as vscode from 'vscode';
import type { DiagnosisProposalResult, FlowStep } from '../../../server/src/lsp/protocol.ts';
import type { FromDiagnosisPage, ToDiagnosisPage } from '../pages/messages.ts';
import type { ServerLink } from '../server-link.ts';
import { shellHtml, shellOptions } from './webview-shell.ts';

export const DIAGNOSIS_VIEW_TYPE = 'faultwright.diagnosis';

/** Wait after the last analysis before the diagnosis is asked for, in ms: it follows the text, never a keystroke. */
const AFTER_ANALYSIS = 500;

const open = new Map<string, vscode.WebviewPanel>();

/** Opens the diagnosis of `document` beside it, or shows the panel that has it. The text keeps the cursor. */
export function openDiagnosisPanel(context: vscode.ExtensionContext, link: ServerLink, document: vscode.TextDocument): void {
  const shown = open.get(document.uri.toString());
  if (shown) {
    shown.reveal(undefined, true);
    return;
  }
  const panel = vscode.window.createWebviewPanel(
    DIAGNOSIS_VIEW_TYPE,
    diagnosisTitle(document.uri),
    { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
    shellOptions(context.extensionUri),
  );
  attachDiagnosisPanel(context, link, panel, document.uri);
}

/** Makes `panel`, new or restored by the editor, the diagnosis of the file at `uri`. */
export function attachDiagnosisPanel(
  context: vscode.ExtensionContext,
  link: ServerLink,
  panel: vscode.WebviewPanel,
  uri: vscode.Uri,
): void {
  const key = uri.toString();
  open.set(key, panel);
  panel.title = diagnosisTitle(uri);
  panel.webview.options = shellOptions(context.extensionUri);

  let steps: readonly FlowStep[] = [];
  let proposed: DiagnosisProposalResult | undefined;
  let asked = 0;
  let known = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let closed = false;
  const post = (message: ToDiagnosisPage) => void panel.webview.postMessage(message);

  async function refresh(): Promise<void> {
    const mine = ++asked;
    try {
      const result = await link.request('faultwright/diagnosis', { uri: key });
      if (closed || mine !== asked) return;
      if (!result) {
        post({
          kind: 'trouble',
          text: known
            ? 'The text cannot be diagnosed as it stands. This is the last diagnosis that could be made.'
            : 'There is nothing to diagnose yet: a procedure needs faults and steps.',
        });
        return;
      }
      known = true;
      steps = result.steps;
      proposed = undefined;
      post({ kind: 'diagnosis', uri: key, outcome: result.outcome });
    } catch (error) {
      if (!closed && mine === asked) post({ kind: 'trouble', text: `The diagnosis could not be made: ${messageOf(error)}` });
    }
  }

  async function propose(): Promise<void> {
    const mine = asked;
    const result = await link.request('faultwright/diagnosisProposal', { uri: key });
    if (closed || mine !== asked) return;
    proposed = result ?? undefined;
    const found = result?.proposal;
    post({
      kind: 'proposal',
      obstacles: result?.obstacles ?? [],
      ...(found ? { moves: found.moves, minutes: found.minutes, before: found.before } : {}),
    });
  }

  async function apply(): Promise<void> {
    const found = proposed?.proposal;
    if (!found) return;
    const document = await vscode.workspace.openTextDocument(uri);
    if (proposed?.version !== null && proposed?.version !== document.version) {
      void vscode.window.showInformationMessage('The text has changed since the order was proposed. Look for a better order again.');
      return;
    }
    const { start, end } = found.range;
    const edit = new vscode.WorkspaceEdit();
    edit.replace(uri, new vscode.Range(start.line, start.character, end.line, end.character), found.newText, {
      label: 'Move steps into a better order',
      description: `${found.before.toFixed(2)} to ${found.minutes.toFixed(2)} minutes to a finding`,
      needsConfirmation: true,
    });
    await vscode.workspace.applyEdit(edit);
  }

  async function reveal(name: string): Promise<void> {
    const step = steps.find((candidate) => candidate.name === name);
    if (!step) return;
    const visible = vscode.window.visibleTextEditors.find((candidate) => candidate.document.uri.toString() === key);
    const { start, end } = step.nameRange;
    await vscode.window.showTextDocument(await vscode.workspace.openTextDocument(uri), {
      viewColumn:
        visible?.viewColumn ?? (panel.viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Beside : vscode.ViewColumn.One),
      selection: new vscode.Range(start.line, start.character, end.line, end.character),
    });
  }

  const telling = (work: Promise<void>): void => {
    work.catch((error: unknown) => void vscode.window.showErrorMessage(messageOf(error)));
  };
  const subscriptions = [
    panel.webview.onDidReceiveMessage((message: FromDiagnosisPage) => {
      if (message.kind === 'ready') void refresh();
      else if (message.kind === 'reveal') telling(reveal(message.step));
      else if (message.kind === 'propose') telling(propose());
      else telling(apply());
    }),
    link.onNotification('faultwright/analysed', (params) => {
      if (params.uri !== key) return;
      clearTimeout(timer);
      timer = setTimeout(() => void refresh(), AFTER_ANALYSIS);
    }),
    panel.onDidDispose(() => {
      closed = true;
      clearTimeout(timer);
      if (open.get(key) === panel) open.delete(key);
      for (const subscription of subscriptions) subscription.dispose();
    }),
  ];
  panel.webview.html = shellHtml(panel.webview, context.extensionUri, { bundle: 'diagnosis-page', title: diagnosisTitle(uri) });
}

function diagnosisTitle(uri: vscode.Uri): string {
  const name = uri.path.slice(uri.path.lastIndexOf('/') + 1).replace(/\.procedure\.ya?ml$/, '');
  return `Diagnosis: ${name}`;
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
