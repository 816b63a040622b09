/** What panels need of the running server: typed requests and notifications. They never see the language client itself. */
import type * as vscode from 'vscode';
import type { FaultwrightNotifications, FaultwrightRequests } from '../../server/src/lsp/protocol.ts';

export interface ServerLink {
  /** Rejects with a message that a person can read. */
  request<M extends keyof FaultwrightRequests>(method: M, params: FaultwrightRequests[M][0]): Promise<FaultwrightRequests[M][1]>;
  onNotification<M extends keyof FaultwrightNotifications>(
    method: M,
    handler: (params: FaultwrightNotifications[M]) => void,
  ): vscode.Disposable;
}
