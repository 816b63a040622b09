/**
 * A plain client of the language server: starts the built command line over stdio, as any editor would, and speaks the protocol.
 * Must not reach into the server.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { createProtocolConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-languageserver/node';
import type {
  ClientCapabilities,
  Diagnostic,
  InitializeResult,
  Position,
  ProtocolConnection,
  PublishDiagnosticsParams,
  TextDocumentContentChangeEvent,
  TextEdit,
  WorkspaceEdit,
} from 'vscode-languageserver/node';

export const ROOT = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const COMMAND = join(ROOT, 'dist', 'faultwright.cjs');

export const CAPABILITIES: ClientCapabilities = {
  textDocument: {
    publishDiagnostics: { relatedInformation: true, versionSupport: true, codeDescriptionSupport: true, dataSupport: true },
    completion: { completionItem: { snippetSupport: true } },
  },
  workspace: {
    workspaceFolders: true,
    workspaceEdit: { documentChanges: true, changeAnnotationSupport: {} },
  },
};

export interface Editor {
  readonly connection: ProtocolConnection;
  readonly initialized: InitializeResult;
  /** Folder in which its files are. */
  readonly folder: string;
  uri(name: string): string;
  open(name: string, text: string): Promise<Published>;
  /** Replaces what lies between two places of the text, or all of it. Resolves with the findings of the new version. */
  change(name: string, ...changes: TextDocumentContentChangeEvent[]): Promise<Published>;
  notify(method: string, params: unknown): Promise<void>;
  request<R>(method: string, params: unknown): Promise<R>;
  /** The first findings of a file that satisfy `wanted`, those already published included. */
  findings(uri: string, wanted?: (published: Published) => boolean): Promise<Published>;
  /** Resolves when the newest findings of a file satisfy `wanted`. */
  newest(uri: string, wanted: (published: Published) => boolean): Promise<Published>;
  /** Everything published for a file so far, in order. */
  published(uri: string): readonly Published[];
  stop(): Promise<void>;
  readonly ended: () => boolean;
}

export type Published = PublishDiagnosticsParams & { diagnostics: Diagnostic[] };

export interface EditorOptions {
  /** Name → text of files on disk in the workspace folder. */
  readonly files?: Readonly<Record<string, string>>;
  readonly capabilities?: ClientCapabilities;
  /** False: no workspace folder is opened. */
  readonly workspace?: boolean;
  /** What the editor answers when it is asked for the settings of `faultwright`; read anew each time. */
  readonly settings?: unknown;
  readonly initializationOptions?: unknown;
  /** The language that the editor is shown in. */
  readonly locale?: string;
}

export async function startEditor(options: EditorOptions = {}): Promise<Editor> {
  if (!existsSync(COMMAND)) throw new Error('dist/faultwright.cjs is not there. Run: npm run build');
  const folder = mkdtempSync(join(tmpdir(), 'faultwright-lsp-'));
  for (const [name, text] of Object.entries(options.files ?? {})) writeFile(join(folder, name), text);
  const server = spawn(process.execPath, [COMMAND, 'lsp', '--stdio'], { stdio: ['pipe', 'pipe', 'pipe'], cwd: tmpdir() });
  let ended = false;
  let said = '';
  const exit = new Promise<void>((resolve) =>
    server.once('exit', () => {
      ended = true;
      resolve();
    }),
  );
  server.stderr.on('data', (chunk: Buffer) => {
    said += chunk.toString();
  });
  const connection = createProtocolConnection(new StreamMessageReader(server.stdout), new StreamMessageWriter(server.stdin));

  const published = new Map<string, Published[]>();
  const waiting = new Set<() => void>();
  connection.onNotification('textDocument/publishDiagnostics', (params: Published) => {
    published.set(params.uri, [...(published.get(params.uri) ?? []), params]);
    for (const wake of waiting) wake();
  });
  connection.onRequest('client/registerCapability', () => null);
  connection.onRequest('workspace/configuration', ({ items }: { items: unknown[] }) => items.map(() => options.settings ?? null));
  connection.listen();

  const initialized = await connection.sendRequest<InitializeResult>('initialize', {
    processId: process.pid,
    rootUri: null,
    capabilities: options.capabilities ?? CAPABILITIES,
    initializationOptions: options.initializationOptions,
    ...(options.locale === undefined ? {} : { locale: options.locale }),
    workspaceFolders: options.workspace === false ? null : [{ uri: pathToFileURL(folder).href, name: 'library' }],
  });
  await connection.sendNotification('initialized', {});

  const waitFor = (of: string, find: (all: readonly Published[]) => Published | undefined): Promise<Published> =>
    new Promise((resolve, reject) => {
      const look = (): void => {
        const found = find(published.get(of) ?? []);
        if (!found) return;
        clearTimeout(timer);
        waiting.delete(look);
        resolve(found);
      };
      const timer = setTimeout(() => {
        waiting.delete(look);
        reject(
          new Error(
            `No such findings for ${of} came.${ended ? ' The server has ended.' : ''} Published: ${JSON.stringify(published.get(of))}\n${said}`,
          ),
        );
      }, 15_000);
      waiting.add(look);
      look();
    });

  const versions = new Map<string, number>();
  const uri = (name: string): string => (/^[a-z]+:/.test(name) ? name : pathToFileURL(join(folder, name)).href);
  const editor: Editor = {
    connection,
    initialized,
    folder,
    uri,
    async open(name, text) {
      versions.set(name, 1);
      const from = (published.get(uri(name)) ?? []).length;
      await connection.sendNotification('textDocument/didOpen', {
        textDocument: { uri: uri(name), languageId: 'yaml', version: 1, text },
      });
      return editor.findings(uri(name), (one) => one.version === 1 && (published.get(uri(name)) ?? []).indexOf(one) >= from);
    },
    async change(name, ...contentChanges) {
      const version = (versions.get(name) ?? 1) + 1;
      versions.set(name, version);
      await connection.sendNotification('textDocument/didChange', { textDocument: { uri: uri(name), version }, contentChanges });
      return editor.findings(uri(name), (one) => one.version === version);
    },
    notify: (method, params) => connection.sendNotification(method, params),
    request: (method, params) => connection.sendRequest(method, params),
    findings: (of, wanted = () => true) => waitFor(of, (all) => all.find(wanted)),
    newest: (of, wanted) => waitFor(of, (all) => all.slice(-1).find(wanted)),
    published: (of) => published.get(of) ?? [],
    async stop() {
      const killer = setTimeout(() => server.kill('SIGKILL'), 3_000);
      if (!ended) {
        await Promise.race([connection.sendRequest('shutdown').catch(() => undefined), exit]);
        await connection.sendNotification('exit').catch(() => undefined);
      }
      await exit;
      clearTimeout(killer);
      connection.dispose();
      rmSync(folder, { recursive: true, force: true });
    },
    ended: () => ended,
  };
  return editor;
}

export function writeFile(path: string, text: string): void {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
}

/** Where `needle` stands in `text`, as the protocol counts; `into` characters further in. */
export function positionOf(text: string, needle: string, into = 0): Position {
  const offset = text.indexOf(needle);
  if (offset < 0) throw new Error(`'${needle}' is not in the text.`);
  return positionAt(text, offset + into);
}

export function positionAt(text: string, offset: number): Position {
  const before = text.slice(0, offset).split('\n');
  return { line: before.length - 1, character: before.at(-1)?.length ?? 0 };
}

/** The text with the edits of one file made. */
export function applied(text: string, edits: readonly TextEdit[]): string {
  const lines = text.split('\n');
  const offset = ({ line, character }: Position): number =>
    lines.slice(0, line).reduce((sum, one) => sum + one.length + 1, 0) + character;
  let result = text;
  for (const edit of [...edits].sort((a, b) => offset(b.range.start) - offset(a.range.start))) {
    result = result.slice(0, offset(edit.range.start)) + edit.newText + result.slice(offset(edit.range.end));
  }
  return result;
}

/** The edits that a workspace edit holds for one file, in either of its two forms. */
export function editsFor(edit: WorkspaceEdit | null | undefined, uri: string): TextEdit[] {
  const inChanges = edit?.changes?.[uri] ?? [];
  const inDocuments = (edit?.documentChanges ?? []).flatMap((change) =>
    'edits' in change && change.textDocument.uri === uri ? (change.edits as TextEdit[]) : [],
  );
  return [...inChanges, ...inDocuments];
}

export function checksOf(published: Published): unknown[] {
  return published.diagnostics.map((diagnostic) => diagnostic.code);
}
