/**
 * The diagnosis panel: what the tests of a procedure prove and what their order costs, beside its text. It asks the server whenever the file was
 * analysed anew; the page works the numbers out. An edit is shown beside the text, and made only once a person applies it.
 */
import * as vscode from 'vscode';
import type { DiagnosisParams, DiagnosisProposalResult, FlowStep } from '../../../server/src/lsp/protocol.ts';
import type { FromDiagnosisPage, ToDiagnosisPage } from '../pages/messages.ts';
import type { ServerLink } from '../server-link.ts';
import { shellHtml, shellOptions } from './webview-shell.ts';

type WhatIf = NonNullable<DiagnosisParams['change']>;

export const DIAGNOSIS_VIEW_TYPE = 'faultwright.diagnosis';

/** Wait after the last analysis before the diagnosis is asked for, in ms: it follows the text, never a keystroke. */
const AFTER_ANALYSIS = 500;

const PROPOSAL_SCHEME = 'faultwright-proposal';

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
      // Another text is being analysed: what it comes to is asked for then.
      if (!closed && mine === asked && !isSuperseded(error)) post({ kind: 'trouble', text: `The diagnosis could not be made: ${messageOf(error)}` });
    }
  }

  async function propose(change: WhatIf): Promise<void> {
    const mine = asked;
    try {
      const result = await link.request('faultwright/diagnosisProposal', { uri: key, change });
      if (closed || mine !== asked) return;
      proposed = result ?? undefined;
      const { proposal, beyond } = result ?? {};
      post({ kind: 'proposal', obstacles: result?.obstacles ?? [], ...(proposal ? { proposal } : {}), ...(beyond ? { beyond } : {}) });
    } catch (error) {
      const reason = isSuperseded(error)
        ? vscode.l10n.t('The text was changed meanwhile.')
        : vscode.l10n.t('A better order could not be looked for: {0}', messageOf(error));
      if (!closed) post({ kind: 'proposal', obstacles: [], failed: reason });
    }
  }

  /** The document as long as it is the one that the proposal was made for. */
  async function unchanged(): Promise<vscode.TextDocument | undefined> {
    const document = await vscode.workspace.openTextDocument(uri);
    if (proposed?.version === null || proposed?.version === document.version) return document;
    void vscode.window.showInformationMessage(vscode.l10n.t('The text has changed since the order was proposed. Look for a better order again.'));
    return undefined;
  }

  async function show(): Promise<void> {
    const found = proposed?.proposal;
    const document = found && (await unchanged());
    if (!document) return;
    const whole = document.getText();
    const range = toRange(found.range);
    proposals.set(key, whole.slice(0, document.offsetAt(range.start)) + found.newText + whole.slice(document.offsetAt(range.end)));
    const shown = proposalUri(uri);
    proposalChanged.fire(shown);
    const column = vscode.window.visibleTextEditors.find((candidate) => candidate.document.uri.toString() === key)?.viewColumn;
    const title = vscode.l10n.t('{0}: as written ↔ proposed', nameOf(uri));
    await vscode.commands.executeCommand('vscode.diff', uri, shown, title, { viewColumn: column ?? vscode.ViewColumn.One, preserveFocus: true });
    post({ kind: 'shown' });
  }

  async function apply(): Promise<void> {
    const found = proposed?.proposal;
    if (!found || !(await unchanged())) return;
    const edit = new vscode.WorkspaceEdit();
    edit.replace(uri, toRange(found.range), found.newText);
    await vscode.workspace.applyEdit(edit);
    await closeProposal();
  }

  async function closeProposal(): Promise<void> {
    const shown = proposalUri(uri).toString();
    const tabs = vscode.window.tabGroups.all.flatMap((group) => group.tabs);
    await vscode.window.tabGroups.close(tabs.filter(({ input }) => input instanceof vscode.TabInputTextDiff && input.modified.toString() === shown), true);
    proposals.delete(key);
  }

  async function reveal(name: string): Promise<void> {
    const step = steps.find((candidate) => candidate.name === name);
    if (!step) return;
    const visible = vscode.window.visibleTextEditors.find((candidate) => candidate.document.uri.toString() === key);
    await vscode.window.showTextDocument(await vscode.workspace.openTextDocument(uri), {
      viewColumn:
        visible?.viewColumn ?? (panel.viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Beside : vscode.ViewColumn.One),
      selection: toRange(step.nameRange),
    });
  }

  const telling = (work: Promise<void>): void => {
    work.catch((error: unknown) => void vscode.window.showErrorMessage(messageOf(error)));
  };
  const subscriptions = [
    panel.webview.onDidReceiveMessage((message: FromDiagnosisPage) => {
      if (message.kind === 'ready') void refresh();
      else if (message.kind === 'reveal') telling(reveal(message.step));
      else if (message.kind === 'propose') telling(propose(message.change as WhatIf));
      else if (message.kind === 'show') telling(show());
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
  return vscode.l10n.t('Diagnosis: {0}', nameOf(uri));
}

function nameOf(uri: vscode.Uri): string {
  return uri.path.slice(uri.path.lastIndexOf('/') + 1).replace(/\.procedure\.ya?ml$/, '');
}

function toRange({ start, end }: FlowStep['range']): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}

/** Proposed texts by the file that they are for: shown beside it, and no files of their own. */
const proposals = new Map<string, string>();
const proposalChanged = new vscode.EventEmitter<vscode.Uri>();

/** Lets the editor show proposed texts. Call once in activate. */
export function provideProposals(): vscode.Disposable {
  return vscode.workspace.registerTextDocumentContentProvider(PROPOSAL_SCHEME, {
    onDidChange: proposalChanged.event,
    provideTextDocumentContent: (shown) => proposals.get(shown.query) ?? '',
  });
}

function proposalUri(uri: vscode.Uri): vscode.Uri {
  return vscode.Uri.from({ scheme: PROPOSAL_SCHEME, path: uri.path, query: uri.toString() });
}

/** ContentModified of the language server protocol: the text was changed before the answer came. */
function isSuperseded(error: unknown): boolean {
  return (error as { code?: unknown } | undefined)?.code === -32801;
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
