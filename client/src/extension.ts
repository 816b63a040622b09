/** Starts the server and registers commands; nothing else. What a panel shows stands in panels/. */
import * as vscode from 'vscode';
import { openCheckPage } from './check-pages.ts';
import { registerWritingCommands } from './commands/writing-commands.ts';
import type { RunningClient } from './language-client.ts';
import { registerLensCommands } from './lens-commands.ts';
import { alignNewLines } from './new-lines.ts';
import { openChecklistPanel } from './panels/checklist-panel.ts';
import { diagnosisPanels } from './panels/diagnosis-panel.ts';
import { flowPanels } from './panels/flow-panel.ts';
import { reviewPanels } from './panels/review-panel.ts';
import { restorePanels } from './panels/restore-panels.ts';
import type { ServerLink } from './server-link.ts';
import { schemesOfFolders } from './virtual-files.ts';

const PROCEDURE = /\.procedure\.ya?ml$/i;
const OURS = /(?:\.procedure|[/\\](?:shop|assets))\.ya?ml$/i;
const SCHEMES = ['file', 'vscode-vfs', 'vscode-remote'];

export function activate(context: vscode.ExtensionContext): void {
  const server = serverOf(context);
  context.subscriptions.push(
    vscode.commands.registerCommand('faultwright.openFlow', (uri?: vscode.Uri) =>
      withProcedure(uri, (document) => flowPanels.open(context, server.link, document)),
    ),
    vscode.commands.registerCommand('faultwright.openDiagnosis', (uri?: vscode.Uri) =>
      withProcedure(uri, (document) => diagnosisPanels.open(context, server.link, document)),
    ),
    vscode.commands.registerCommand('faultwright.openReview', (uri?: vscode.Uri) =>
      withProcedure(uri, (document) => reviewPanels.open(context, server.link, document)),
    ),
    vscode.commands.registerCommand('faultwright.runChecklist', (uri?: vscode.Uri, asset?: string) =>
      withProcedure(uri, (document) => openChecklistPanel(context, server.link, document, asset === undefined ? {} : { asset })),
    ),
    vscode.commands.registerCommand('faultwright.openCheckPage', (check: string) => openCheckPage(context.extensionUri, check)),
    vscode.commands.registerCommand('faultwright.openRecord', (uri: string) =>
      vscode.window.showTextDocument(vscode.Uri.parse(uri)),
    ),
    vscode.commands.registerCommand('faultwright.restartServer', () => server.restart()),
    vscode.commands.registerCommand('faultwright.showLog', () => server.showLog()),
    registerLensCommands(),
    alignNewLines(),
    registerWritingCommands(server.link),
    vscode.workspace.onDidChangeWorkspaceFolders(() => server.schemesChanged()),
    vscode.workspace.onDidGrantWorkspaceTrust(() => server.trusted()),
    vscode.workspace.registerTextDocumentContentProvider('faultwright-catalogue', { provideTextDocumentContent: () => server.link.request('faultwright/catalogue', null) }),
    restorePanels(context, server.link),
    { dispose: () => void server.stop() },
  );
  void startWhenNeeded(context, server);
}

interface Server {
  readonly link: ServerLink;
  start(): Promise<RunningClient>;
  restart(): Promise<void>;
  /** A folder of another kind came: its files are looked at from now on. */
  schemesChanged(): Promise<void>;
  /** Version control may be read from now on. */
  trusted(): Promise<void>;
  stop(): Promise<void>;
  showLog(): void;
}

/** The server, started when first asked for: other YAML files alone never start it. */
function serverOf(context: vscode.ExtensionContext): Server {
  const log = vscode.window.createOutputChannel('Faultwright', { log: true });
  context.subscriptions.push(log);
  const listeners = new Set<{ readonly method: string; readonly handler: (params: never) => void }>();
  let started: Promise<RunningClient> | undefined;
  let known: ReadonlySet<string> = new Set(SCHEMES);

  const start = (): Promise<RunningClient> => {
    started ??= (async () => {
      known = new Set([...SCHEMES, ...schemesOfFolders()]);
      const { startClient } = await import('./language-client.ts');
      return startClient({
        home: context.extensionUri,
        log,
        schemes: known,
        notified: (method, params) => {
          for (const listener of listeners) if (listener.method === method) listener.handler(params as never);
        },
      });
    })().catch((error: unknown) => {
      started = undefined;
      throw error;
    });
    return started;
  };
  const stop = async (): Promise<void> => {
    const running = started;
    started = undefined;
    const client = await running?.catch(() => undefined);
    await client?.stop();
  };
  const restart = async (): Promise<void> => {
    await stop();
    await start();
  };
  const link: ServerLink = {
    request: async (method, params) => (await start()).request(method, params),
    onNotification: (method, handler) => {
      const listener = { method, handler: handler as (params: never) => void };
      listeners.add(listener);
      return new vscode.Disposable(() => listeners.delete(listener));
    },
  };
  return {
    link,
    start,
    stop,
    restart,
    schemesChanged: async () => {
      if (started && schemesOfFolders().some((scheme) => !known.has(scheme))) await restart();
    },
    trusted: async () => {
      if (started) await restart();
    },
    showLog: () => log.show(),
  };
}

/** At once where a file of ours is open or in the folder; else when the first one is opened. */
async function startWhenNeeded(context: vscode.ExtensionContext, server: Server): Promise<void> {
  const wanted = (document: vscode.TextDocument): boolean =>
    OURS.test(document.uri.path) || (document.isUntitled && document.languageId === 'yaml');
  const start = async (): Promise<void> => {
    waiting.dispose();
    try {
      await server.start();
    } catch (error) {
      void vscode.window.showErrorMessage(vscode.l10n.t('The Faultwright server did not start: {0}', String(error)));
    }
  };
  const waiting = vscode.workspace.onDidOpenTextDocument((document) => {
    if (wanted(document)) void start();
  });
  context.subscriptions.push(waiting);
  if (vscode.workspace.textDocuments.some(wanted)) return start();
  const [found] = await vscode.workspace.findFiles('**/*.procedure.{yaml,yml}', undefined, 1);
  if (found) await start();
}

/** The procedure a command was meant for: the file it was called on, else the one in the active editor. */
async function withProcedure(
  uri: vscode.Uri | undefined,
  act: (document: vscode.TextDocument) => void | Promise<void>,
): Promise<void> {
  const active = vscode.window.activeTextEditor?.document;
  const wanted = uri instanceof vscode.Uri ? uri : active?.uri;
  if (!wanted || !(PROCEDURE.test(wanted.path) || (wanted.scheme === 'untitled' && active?.languageId === 'yaml'))) {
    void vscode.window.showInformationMessage(
      vscode.l10n.t('Open a procedure first: a file whose name ends in .procedure.yaml.'),
    );
    return;
  }
  try {
    await act(await vscode.workspace.openTextDocument(wanted));
  } catch (error) {
    void vscode.window.showErrorMessage(error instanceof Error ? error.message : String(error));
  }
}
