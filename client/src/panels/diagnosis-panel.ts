/**
 * The diagnosis panel: what the tests of a procedure prove and what their order costs, beside its text. It asks the server whenever the file was
 * analysed anew; the page works the numbers out. An edit is shown beside the text, and made only once a person applies it.
 */
import * as vscode from 'vscode';
import type { DiagnosisParams, DiagnosisProposalResult, FlowStep } from '../../../server/src/lsp/protocol.ts';
import type { FromDiagnosisPage, ToDiagnosisPage } from '../pages/messages.ts';
import { documentPanels, messageOf, nameOf, revealRange, toRange, visibleEditor, type AttachedPanel, type PanelPlace } from './document-panel.ts';

type WhatIf = NonNullable<DiagnosisParams['change']>;

/** Wait after the last analysis before the diagnosis is asked for, in ms: it follows the text, never a keystroke. */
const AFTER_ANALYSIS = 500;

const PROPOSAL_SCHEME = 'faultwright-proposal';

export const diagnosisPanels = documentPanels({
  viewType: 'faultwright.diagnosis',
  title: (name) => vscode.l10n.t('Diagnosis: {0}', name),
  bundle: 'diagnosis-page',
  attach: attachDiagnosis,
});

function attachDiagnosis(place: PanelPlace): AttachedPanel {
  const { key, link, panel, uri } = place;
  let steps: readonly FlowStep[] = [];
  let proposed: DiagnosisProposalResult | undefined;
  let asked = 0;
  let known = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const post = (message: ToDiagnosisPage): void => void panel.webview.postMessage(message);

  async function refresh(): Promise<void> {
    const mine = ++asked;
    const isOld = (): boolean => place.isClosed() || mine !== asked;
    try {
      const result = await link.request('faultwright/diagnosis', { uri: key });
      if (isOld()) return;
      if (!result) {
        post({
          kind: 'trouble',
          text: known
            ? vscode.l10n.t('The text cannot be diagnosed as it stands. This is the last diagnosis that could be made.')
            : vscode.l10n.t('There is nothing to diagnose yet: a procedure needs faults and steps.'),
        });
        return;
      }
      known = true;
      steps = result.steps;
      proposed = undefined;
      post({ kind: 'diagnosis', uri: key, outcome: result.outcome });
    } catch (error) {
      // Another text is being analysed: what it comes to is asked for then.
      if (!isOld() && !isSuperseded(error)) post({ kind: 'trouble', text: vscode.l10n.t('The diagnosis could not be made: {0}', messageOf(error)) });
    }
  }

  async function propose(change: WhatIf): Promise<void> {
    const mine = asked;
    try {
      const result = await link.request('faultwright/diagnosisProposal', { uri: key, change });
      if (place.isClosed() || mine !== asked) return;
      proposed = result ?? undefined;
      const { proposal, beyond } = result ?? {};
      post({ kind: 'proposal', obstacles: result?.obstacles ?? [], ...(proposal ? { proposal } : {}), ...(beyond ? { beyond } : {}) });
    } catch (error) {
      const reason = isSuperseded(error)
        ? vscode.l10n.t('The text was changed meanwhile.')
        : vscode.l10n.t('A better order could not be looked for: {0}', messageOf(error));
      if (!place.isClosed()) post({ kind: 'proposal', obstacles: [], failed: reason });
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
    const title = vscode.l10n.t('{0}: as written ↔ proposed', nameOf(uri));
    const options = { viewColumn: visibleEditor(place)?.viewColumn ?? vscode.ViewColumn.One, preserveFocus: true };
    await vscode.commands.executeCommand('vscode.diff', uri, shown, title, options);
    post({ kind: 'shown' });
  }

  async function apply(): Promise<void> {
    const found = proposed?.proposal;
    if (!found || !(await unchanged())) return;
    const edit = new vscode.WorkspaceEdit();
    edit.replace(uri, toRange(found.range), found.newText);
    await vscode.workspace.applyEdit(edit);
    await closeProposal(place);
  }

  return {
    async onMessage(raw) {
      const message = raw as FromDiagnosisPage;
      switch (message.kind) {
        case 'ready':
          return refresh();
        case 'reveal': {
          const step = steps.find(({ name }) => name === message.step);
          if (step) await revealRange(place, step.nameRange);
          return;
        }
        case 'propose':
          return propose(message.change as WhatIf);
        case 'show':
          return show();
        case 'apply':
          return apply();
      }
    },
    onAnalysed() {
      clearTimeout(timer);
      timer = setTimeout(() => void refresh(), AFTER_ANALYSIS);
    },
    subscriptions: [{ dispose: () => clearTimeout(timer) }],
  };
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

async function closeProposal({ uri, key }: PanelPlace): Promise<void> {
  const shown = proposalUri(uri).toString();
  const tabs = vscode.window.tabGroups.all.flatMap((group) => group.tabs);
  await vscode.window.tabGroups.close(tabs.filter(({ input }) => input instanceof vscode.TabInputTextDiff && input.modified.toString() === shown), true);
  proposals.delete(key);
}

function proposalUri(uri: vscode.Uri): vscode.Uri {
  return vscode.Uri.from({ scheme: PROPOSAL_SCHEME, path: uri.path, query: uri.toString() });
}

/** ContentModified of the language server protocol: the text was changed before the answer came. */
function isSuperseded(error: unknown): boolean {
  return (error as { code?: unknown } | undefined)?.code === -32801;
}
