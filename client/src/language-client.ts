/**
 * The client of the language server: starts it, speaks to it, ends it. A bundle of its own, as it is most of what the extension weighs: it is
 * loaded once a file of ours, or a command, asks for the server. It shows nothing itself.
 */
import * as vscode from 'vscode';
import { LanguageClient, RevealOutputChannelOn, State, TransportKind } from 'vscode-languageclient/node';
import type { FaultwrightNotifications } from '../../server/src/lsp/protocol.ts';
import { codeLinks } from './check-pages.ts';
import type { ServerLink } from './server-link.ts';
import { answerForFiles } from './virtual-files.ts';

const PATTERNS = ['**/*.procedure.{yaml,yml}', '**/shop.{yaml,yml}', '**/assets.{yaml,yml}'];

export interface ClientOptions {
  /** The extension's folder. */
  readonly home: vscode.Uri;
  readonly log: vscode.LogOutputChannel;
  /** Kinds of folder whose files the server reads. */
  readonly schemes: ReadonlySet<string>;
  readonly notified: (method: keyof FaultwrightNotifications, params: unknown) => void;
}

export interface RunningClient {
  readonly request: ServerLink['request'];
  stop(): Promise<void>;
}

/** Resolves once the server answers; rejects where it does not start. */
export async function startClient({ home, log, schemes, notified }: ClientOptions): Promise<RunningClient> {
  const module = vscode.Uri.joinPath(home, 'dist', 'server.cjs').fsPath;
  const client = new LanguageClient(
    'faultwright',
    'Faultwright',
    {
      run: { module, transport: TransportKind.ipc },
      debug: { module, transport: TransportKind.ipc, options: { execArgv: ['--nolazy', '--inspect=6019'] } },
    },
    {
      documentSelector: [
        ...[...schemes].flatMap((scheme) => PATTERNS.map((pattern) => ({ scheme, pattern }))),
        { scheme: 'untitled', language: 'yaml' },
      ],
      outputChannel: log,
      revealOutputChannelOn: RevealOutputChannelOn.Never,
      middleware: codeLinks,
      // Of a folder that nobody trusts, what version control would run is not known.
      initializationOptions: { panels: true, files: true, git: vscode.workspace.isTrusted },
    },
  );
  for (const method of ['faultwright/analysed'] as const) client.onNotification(method, (params) => notified(method, params));
  answerForFiles(client);
  await client.start();
  return {
    request: (method, params) => client.sendRequest(method, params),
    stop: async () => {
      if (client.state !== State.Stopped) await client.stop();
    },
  };
}
