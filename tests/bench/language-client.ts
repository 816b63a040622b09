/** A plain client that drives any language server over stdio, as an editor would, and keeps time. */
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { createProtocolConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-languageserver/node';

export interface Position {
  readonly line: number;
  readonly character: number;
}

export interface Driven {
  /** Opens a document; resolves with its first findings. */
  open(path: string, text: string): Promise<void>;
  /** Types at a place; resolves when the findings of the new version are there. */
  type(path: string, at: Position, letters: string): Promise<void>;
  /** Types and asks at once; resolves with the answer, and leaves the findings of the edit to `settled`. */
  typeAndAsk(path: string, at: Position, letters: string, method: string, where: Position): Promise<unknown>;
  /** Resolves when the findings of every edit so far are there. */
  settled(path: string): Promise<void>;
  /** The most memory it has had so far, in MB. */
  memory(): number;
  stop(): Promise<void>;
}

export interface ServerCommand {
  readonly script: string;
  readonly words?: readonly string[];
  readonly environment?: Readonly<Record<string, string>>;
  /** What it is told when it asks for settings, by section. */
  readonly settings?: Readonly<Record<string, unknown>>;
  /** It says which version of a document its findings are of. */
  readonly saysVersion: boolean;
}

/** Starts a server and shakes hands with it. */
export async function drive(command: ServerCommand, folder: string): Promise<Driven> {
  const child = spawn(process.execPath, [command.script, ...(command.words ?? []), '--stdio'], {
    stdio: ['pipe', 'pipe', 'ignore'], cwd: folder, env: { ...process.env, ...command.environment },
  });
  const connection = createProtocolConnection(new StreamMessageReader(child.stdout), new StreamMessageWriter(child.stdin));
  const versions = new Map<string, number>();
  const found = new Map<string, { version: number; count: number }>();
  let awaken: (() => void)[] = [];
  connection.onNotification('textDocument/publishDiagnostics', ({ uri, version }: { uri: string; version?: number }) => {
    const count = (found.get(uri)?.count ?? 0) + 1;
    found.set(uri, { version: version ?? -1, count });
    const waiting = awaken;
    awaken = [];
    for (const wake of waiting) wake();
  });
  connection.onRequest('workspace/configuration', ({ items }: { items: { section?: string }[] }) => items.map(({ section }) => command.settings?.[section ?? ''] ?? null));
  connection.onRequest('client/registerCapability', () => null);
  connection.listen();
  const uri = pathToFileURL(folder).href;
  await connection.sendRequest('initialize', {
    processId: process.pid, rootUri: uri, workspaceFolders: [{ uri, name: 'bench' }],
    capabilities: {
      textDocument: { publishDiagnostics: { versionSupport: true, relatedInformation: true }, completion: { completionItem: { snippetSupport: true } }, hover: {} },
      workspace: { configuration: true, workspaceFolders: true, didChangeConfiguration: { dynamicRegistration: true } },
    },
  });
  await connection.sendNotification('initialized', {});
  await connection.sendNotification('workspace/didChangeConfiguration', { settings: command.settings ?? {} });

  const uriOf = (path: string): string => pathToFileURL(path).href;
  const wake = (): Promise<void> => new Promise((resolve) => awaken.push(resolve));
  /** How many findings have to have come; servers that name no version are taken at their word, one for each edit. */
  let expected = 0;
  const settled = async (path: string): Promise<void> => {
    const of = uriOf(path);
    const isThere = (): boolean => {
      const last = found.get(of);
      return last !== undefined && (command.saysVersion ? last.version >= (versions.get(of) ?? 0) : last.count >= expected);
    };
    while (!isThere()) await wake();
    expected = found.get(of)?.count ?? 0;
  };
  const change = (path: string, at: Position, letters: string): Promise<void> => {
    const of = uriOf(path);
    const version = (versions.get(of) ?? 0) + 1;
    versions.set(of, version);
    expected = (found.get(of)?.count ?? 0) + 1;
    return connection.sendNotification('textDocument/didChange', {
      textDocument: { uri: of, version }, contentChanges: [{ range: { start: at, end: at }, text: letters }],
    });
  };
  return {
    async open(path, text) {
      versions.set(uriOf(path), 1);
      expected = 1;
      await connection.sendNotification('textDocument/didOpen', { textDocument: { uri: uriOf(path), languageId: 'yaml', version: 1, text } });
      await settled(path);
    },
    async type(path, at, letters) {
      await change(path, at, letters);
      await settled(path);
    },
    async typeAndAsk(path, at, letters, method, where) {
      void change(path, at, letters);
      return connection.sendRequest(method, { textDocument: { uri: uriOf(path) }, position: where });
    },
    settled,
    memory() {
      // The peak that the system has seen; where it does not say, nothing is claimed.
      const status = readable(`/proc/${child.pid ?? 0}/status`);
      return Number(/VmHWM:\s+(\d+)/.exec(status)?.[1] ?? NaN) / 1024;
    },
    async stop() {
      const gone = new Promise((resolve) => child.once('exit', resolve));
      await Promise.race([connection.sendRequest('shutdown').then(() => connection.sendNotification('exit')), new Promise((resolve) => setTimeout(resolve, 3000))]);
      connection.dispose();
      child.kill();
      await gone;
    },
  };
}

function readable(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return '';
  }
}
