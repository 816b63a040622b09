/**
 * The checklist panel: *Run as checklist*. It stands between the page and the server: documents, events and records pass through,
 * nothing is decided here. Each event is answered once the server has it on disk, so that a closed or hidden panel loses nothing.
 */
import * as vscode from 'vscode';
import type { RunEvent } from '../../../server/src/run/engine.ts';
import type { ChecklistResult } from '../../../server/src/lsp/protocol.ts';
import type { ChecklistCalls, PageAnswer, PageCall } from '../pages/messages.ts';
import type { ServerLink } from '../server-link.ts';
import { shellHtml, shellOptions } from './webview-shell.ts';

export const CHECKLIST_VIEW_TYPE = 'faultwright.checklist';

/** One panel for each procedure: two would write to the same run. */
const open = new Map<string, vscode.WebviewPanel>();

/** Opens the checklist of `document`, for `options.asset` where one is given, or shows the panel that has it. */
export async function openChecklistPanel(
  context: vscode.ExtensionContext,
  link: ServerLink,
  document: vscode.TextDocument,
  options: { readonly asset?: string } = {},
): Promise<void> {
  const shown = open.get(document.uri.toString());
  if (shown) {
    shown.reveal();
    return;
  }
  if (document.isDirty) {
    // The server reads what stands in the editor, saved or not; the record names the text's hash.
    void vscode.window.setStatusBarMessage(vscode.l10n.t('The checklist follows the text as it stands, not yet saved.'), 6_000);
  }
  const panel = vscode.window.createWebviewPanel(
    CHECKLIST_VIEW_TYPE,
    checklistTitle(document.uri),
    vscode.ViewColumn.Active,
    shellOptions(context.extensionUri),
  );
  attachChecklistPanel(context, link, panel, document.uri, options.asset);
}

/** Makes `panel`, new or restored by the editor, the checklist of the file at `uri`. */
export function attachChecklistPanel(
  context: vscode.ExtensionContext,
  link: ServerLink,
  panel: vscode.WebviewPanel,
  uri: vscode.Uri,
  firstAsset?: string,
): void {
  const key = uri.toString();
  open.set(key, panel);
  panel.title = checklistTitle(uri);
  panel.webview.options = shellOptions(context.extensionUri);

  let folder: string | undefined;
  let record: string | undefined;
  let asset = firstAsset;

  const checklist = async (wanted: string | undefined): Promise<ChecklistResult> => {
    const found = await link.request('faultwright/checklist', wanted === undefined ? { uri: key } : { uri: key, asset: wanted });
    if (!found) throw new Error(vscode.l10n.t('This file has no procedure that can be run. Look at its findings.'));
    folder = found.folder;
    return found;
  };
  const inFolder = async (): Promise<string> => folder ?? (await checklist(undefined)).folder;

  const calls: { [M in keyof ChecklistCalls]: (params: ChecklistCalls[M][0]) => Promise<ChecklistCalls[M][1]> } = {
    async look(params) {
      const wanted = params.asset ?? asset;
      asset = undefined;
      const found = await checklist(wanted);
      const unfinished = (await link.request('faultwright/runsUnfinished', { folder: found.folder }))
        .filter((run) => run.procedure === found.document.procedure.name);
      return { document: found.document, assets: found.assets, unfinished };
    },
    async open({ runId, asset: wanted }) {
      if (runId !== undefined) {
        const opened = await link.request('faultwright/runOpen', { folder: await inFolder(), runId });
        return { ...opened, figures: await figuresOf(opened.document, uri) };
      }
      const found = await checklist(wanted !== undefined && (await known(wanted)) ? wanted : undefined);
      const opened = await link.request('faultwright/runOpen', { folder: found.folder, document: found.document });
      return { ...opened, figures: await figuresOf(opened.document, uri) };
    },
    async carryOver({ runId, at, person }) {
      const folder = await inFolder();
      const { document } = await link.request('faultwright/runOpen', { folder, runId });
      const text = await checklist(document.asset && (await known(document.asset.id)) ? document.asset.id : undefined);
      const opened = await link.request('faultwright/runCarryOver', { folder, runId, document: text.document, at, person });
      return { ...opened, figures: await figuresOf(opened.document, uri) };
    },
    async keepPhoto({ runId, name, data }) {
      await vscode.workspace.fs.writeFile(photoUri(await inFolder(), runId, name), Buffer.from(data, 'base64'));
      return null;
    },
    async photo({ runId, name }) {
      try {
        return Buffer.from(await vscode.workspace.fs.readFile(photoUri(await inFolder(), runId, name))).toString('base64');
      } catch {
        return null;
      }
    },
    async append({ runId, index, event }) {
      await link.request('faultwright/runAppend', { folder: await inFolder(), runId, index, event: event as RunEvent });
      return null;
    },
    async finish({ runId }) {
      const result = await link.request('faultwright/runFinish', { folder: await inFolder(), runId });
      record = result.uri;
      return { where: vscode.workspace.asRelativePath(vscode.Uri.parse(result.uri)) };
    },
    async discard({ runId }) {
      await link.request('faultwright/runDiscard', { folder: await inFolder(), runId });
      return null;
    },
    async reveal({ step }) {
      const flow = await link.request('faultwright/flow', { uri: key });
      const at = flow?.steps.find((candidate) => candidate.name === step)?.nameRange;
      const selection = at && new vscode.Range(at.start.line, at.start.character, at.end.line, at.end.character);
      await vscode.window.showTextDocument(uri, { viewColumn: vscode.ViewColumn.Beside, selection });
      return null;
    },
    async openRecord() {
      if (record !== undefined) await vscode.commands.executeCommand('faultwright.openRecord', record);
      return null;
    },
  };

  /** An asset number that the library does not list is only written down; the document is then made without one. */
  async function known(id: string): Promise<boolean> {
    return (await checklist(undefined)).assets.includes(id);
  }

  const subscriptions = [
    panel.webview.onDidReceiveMessage(async ({ call, method, params }: PageCall) => {
      const answer = async (): Promise<PageAnswer> => {
        try {
          if (!Object.hasOwn(calls, method))
            throw new Error(vscode.l10n.t('The page asked for {0}, which this panel does not know.', String(method)));
          return { call, result: await (calls[method] as (given: unknown) => Promise<unknown>)(params) };
        } catch (error) {
          return { call, error: error instanceof Error ? error.message : String(error) };
        }
      };
      await panel.webview.postMessage({ ...(await answer()), uri: key });
    }),
    panel.onDidDispose(() => {
      if (open.get(key) === panel) open.delete(key);
      for (const subscription of subscriptions) subscription.dispose();
    }),
  ];
  panel.webview.html = shellHtml(panel.webview, context.extensionUri, {
    bundle: 'checklist-page',
    title: checklistTitle(uri),
    language: vscode.env.language,
  });
}

/** Pictures of a run stand beside its record: `records/photos/RUN/NAME`. Names come from a page: none may lead elsewhere. */
function photoUri(folder: string, runId: string, name: string): vscode.Uri {
  for (const part of [runId, name]) {
    if (!/^[A-Za-z0-9][A-Za-z0-9._-]{0,120}$/.test(part)) throw new Error(vscode.l10n.t('The picture has a name that is not taken here.'));
  }
  return vscode.Uri.joinPath(vscode.Uri.file(folder), 'records', 'photos', runId, name);
}

const IMAGE_TYPES: Readonly<Record<string, string>> = {
  png: 'image/png', jpg: 'image/jpeg', jpeg: 'image/jpeg', webp: 'image/webp', gif: 'image/gif', svg: 'image/svg+xml',
};

/** Larger ones are left out: the page says that the figure is not there. */
const LARGEST_FIGURE = 8_000_000;

/** The figures of the procedures that lie beside `uri`: `PROCEDURE/FIGURE` → data URI. What leads out of the folder is left out. */
async function figuresOf(document: ChecklistResult['document'], uri: vscode.Uri): Promise<Record<string, string>> {
  const figures: Record<string, string> = {};
  const folder = vscode.Uri.joinPath(uri, '..');
  for (const sheet of [document.procedure, ...Object.values(document.called)]) {
    for (const { figure } of sheet.steps) {
      const type = figure === undefined ? undefined : IMAGE_TYPES[figure.slice(figure.lastIndexOf('.') + 1).toLowerCase()];
      if (figure === undefined || type === undefined) continue;
      const file = vscode.Uri.joinPath(folder, figure);
      if (!file.path.startsWith(`${folder.path}/`)) continue;
      try {
        const bytes = await vscode.workspace.fs.readFile(file);
        if (bytes.length <= LARGEST_FIGURE) figures[`${sheet.name}/${figure}`] = `data:${type};base64,${Buffer.from(bytes).toString('base64')}`;
      } catch {
        // The page says that it is missing.
      }
    }
  }
  return figures;
}

function checklistTitle(uri: vscode.Uri): string {
  const name = uri.path.slice(uri.path.lastIndexOf('/') + 1).replace(/\.procedure\.ya?ml$/, '');
  return vscode.l10n.t('Checklist: {0}', name);
}
