/** Joins a connection to the parts that answer it. What each part does stands in its own file. */
import { DidChangeConfigurationNotification, InsertTextMode, TextDocumentSyncKind, TextDocuments } from 'vscode-languageserver';
import type { Connection, InitializeParams, InitializeResult } from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { Workspace } from '../analysis/workspace.ts';
import { CATALOGUE_FILE, CATALOGUE_TEXT } from '../catalogue/load-catalogue.ts';
import { featureWords } from '../features/words.ts';
import { LineIndex } from '../text/line-index.ts';
import { CALL_CAPABILITIES, handleCalls } from './call-handlers.ts';
import { createCheckingProgress } from './checking-progress.ts';
import { CATALOGUE_URI, keyOfUri, uriOfKey } from './convert.ts';
import { handleDiagnosis } from './diagnosis-handlers.ts';
import { handleReview } from './review-handlers.ts';
import { dropFolder, followDisk, followDocuments, readFolder } from './documents.ts';
import { handleDrawings } from './drawing-handlers.ts';
import { ACTION_KINDS, handleFixes } from './fix-handlers.ts';
import { FORMAT_CAPABILITIES, handleFormatting } from './format-handlers.ts';
import { withEditorFiles } from './editor-files.ts';
import { attempting } from './guard.ts';
import { handleHints, HINT_CAPABILITIES } from './hint-handlers.ts';
import type { ServerHost } from './host.ts';
import { handleLanguage, LANGUAGE_CAPABILITIES } from './language-handlers.ts';
import { handleNames, NAME_CAPABILITIES } from './name-handlers.ts';
import { handlePlaces, PLACE_CAPABILITIES } from './place-handlers.ts';
import { createPublisher } from './publish.ts';
import { handleRuns } from './run-handlers.ts';
import { handleWriting } from './writing-handlers.ts';
import { createQuiet } from './quiet.ts';
import { handleReleased, type ReleasedTexts } from './released-handlers.ts';
import { refreshing } from './refresh.ts';
import { DEFAULT_SETTINGS, settingsFrom } from './settings.ts';
import type { ClientAbilities, Session } from './session.ts';
import { createPulledFindings, handlePulls, PULL_CAPABILITIES } from './workspace-diagnostics.ts';

const NO_ABILITIES: ClientAbilities = {
  changeAnnotations: false,
  snippets: false,
  watchedFiles: false,
  configuration: false,
  workspaceFolders: false,
  pullsOnly: false,
  refreshes: { inlayHints: false, lenses: false, diagnostics: false },
  insertTextModes: false,
  itemDefaults: false,
  workDoneProgress: false,
  createsFiles: false,
  disabledActions: false,
  git: false,
  files: false,
  panels: false,
};

/** Serves one editor until it leaves. */
export function startServer(connection: Connection, host: ServerHost, version: string): void {
  const released: ReleasedTexts = new Map();
  const session = createSession(connection, host, released);
  const documents = new TextDocuments(TextDocument);
  let folders: string[] = [];

  connection.onInitialize((params): InitializeResult => {
    session.client = abilitiesOf(params);
    session.words = featureWords(params.locale);
    folders = foldersOf(params);
    for (const folder of folders) session.roots.add(folder);
    return { capabilities: capabilitiesFor(session), serverInfo: { name: 'faultwright', version } };
  });
  connection.onInitialized(() => {
    followDisk(session);
    followSettings(session);
    if (session.client.workspaceFolders) followFolders(session);
    session.ready = readFolders(session, folders);
  });
  followDocuments(session, documents);
  handleReleased(session, documents, released);
  handleLanguage(session);
  handleNames(session);
  handlePlaces(session);
  handleHints(session);
  handleCalls(session);
  handlePulls(session);
  handleFixes(session);
  handleFormatting(session);
  handleWriting(session);
  handleDrawings(session);
  handleDiagnosis(session);
  handleReview(session);
  handleRuns(session);
  connection.listen();
}

function createSession(connection: Connection, onDisk: ServerHost, released: ReleasedTexts): Session {
  const host = withEditorFiles(connection, onDisk, () => session.client.files);
  const workspace = new Workspace({ fileExists: (path) => host.fileExists(path), releasedText: (path) => released.get(path) });
  const session: Session = {
    connection,
    host,
    workspace,
    open: new Map(),
    roots: new Set(),
    files: {
      uriOf: (file) => (file === CATALOGUE_FILE ? CATALOGUE_URI : (session.open.get(file)?.document.uri ?? uriOfKey(file))),
      // Only our own client can show the catalogue.
      linesOf: (file) => (file === CATALOGUE_FILE ? (session.client.panels ? catalogueLines : undefined) : linesOf(workspace, file)),
    },
    publisher: refreshing(() => session, createPublisher(() => session, createCheckingProgress(() => session))),
    quiet: createQuiet(),
    pulled: createPulledFindings(() => session),
    client: NO_ABILITIES,
    settings: DEFAULT_SETTINGS,
    words: featureWords(undefined),
    ready: Promise.resolve(),
  };
  return session;
}

const catalogueLines = new LineIndex(CATALOGUE_TEXT);

const lineIndexes = new WeakMap<Workspace, Map<string, { readonly text: string; readonly lines: LineIndex }>>();

/** Lines of a file without analysing it: many places may lie in files that nobody has asked about yet. */
function linesOf(workspace: Workspace, file: string): LineIndex | undefined {
  const text = workspace.textOf(file);
  if (text === undefined) return undefined;
  let known = lineIndexes.get(workspace);
  if (!known) lineIndexes.set(workspace, (known = new Map()));
  const before = known.get(file);
  if (before?.text === text) return before.lines;
  const lines = new LineIndex(text);
  known.set(file, { text, lines });
  return lines;
}

function capabilitiesFor(session: Session): InitializeResult['capabilities'] {
  return {
    textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: true },
    workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
    ...(session.client.pullsOnly ? PULL_CAPABILITIES : {}),
    ...LANGUAGE_CAPABILITIES,
    ...NAME_CAPABILITIES,
    ...PLACE_CAPABILITIES,
    ...HINT_CAPABILITIES,
    ...CALL_CAPABILITIES,
    ...FORMAT_CAPABILITIES,
    codeActionProvider: { codeActionKinds: [...ACTION_KINDS] },
  };
}

function abilitiesOf({ capabilities, initializationOptions }: InitializeParams): ClientAbilities {
  const { textDocument, workspace, window } = capabilities;
  const options = (initializationOptions ?? {}) as { readonly panels?: unknown; readonly files?: unknown; readonly diagnostics?: unknown; readonly git?: unknown };
  const { completionItem, completionList } = textDocument?.completion ?? {};
  return {
    changeAnnotations:
      workspace?.workspaceEdit?.changeAnnotationSupport !== undefined && workspace.workspaceEdit.documentChanges === true,
    snippets: completionItem?.snippetSupport === true,
    watchedFiles: workspace?.didChangeWatchedFiles?.dynamicRegistration === true,
    configuration: workspace?.configuration === true,
    workspaceFolders: workspace?.workspaceFolders === true,
    // Findings that were both pushed and pulled would stand there twice.
    pullsOnly: textDocument?.diagnostic !== undefined && (textDocument.publishDiagnostics === undefined || options.diagnostics === 'pull'),
    refreshes: {
      inlayHints: workspace?.inlayHint?.refreshSupport === true,
      lenses: workspace?.codeLens?.refreshSupport === true,
      diagnostics: workspace?.diagnostics?.refreshSupport === true,
    },
    insertTextModes: completionItem?.insertTextModeSupport?.valueSet.includes(InsertTextMode.asIs) === true,
    itemDefaults: completionList?.itemDefaults?.includes('editRange') === true,
    workDoneProgress: window?.workDoneProgress === true,
    createsFiles: workspace?.workspaceEdit?.documentChanges === true && workspace.workspaceEdit.resourceOperations?.includes('create') === true,
    disabledActions: textDocument?.codeAction?.disabledSupport === true,
    git: options.git !== false,
    files: options.files === true,
    panels: options.panels === true,
  };
}

function foldersOf(params: InitializeParams): string[] {
  if (params.workspaceFolders) return params.workspaceFolders.map((folder) => keyOfUri(folder.uri));
  // Editors that know no workspace folders still name one root.
  return params.rootUri ? [keyOfUri(params.rootUri)] : [];
}

async function readFolders(session: Session, folders: readonly string[]): Promise<void> {
  try {
    await Promise.all(folders.map((folder) => readFolder(session, folder)));
  } catch (error) {
    session.connection.console.error(`reading the folders: ${String(error)}`);
  }
  session.publisher.start();
}

function followFolders(session: Session): void {
  session.connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) =>
    attempting(session, 'changing the folders', async () => {
      for (const folder of removed) dropFolder(session, keyOfUri(folder.uri));
      for (const folder of added) await readFolder(session, keyOfUri(folder.uri));
    }),
  );
}

function followSettings(session: Session): void {
  if (!session.client.configuration) return;
  const read = async (): Promise<void> => {
    session.settings = settingsFrom(await session.connection.workspace.getConfiguration('faultwright'));
    session.publisher.all();
  };
  attempting(session, 'reading the settings', read);
  session.connection.onDidChangeConfiguration(() => attempting(session, 'reading the settings', read));
  attempting(session, 'following the settings', async () => {
    await session.connection.client.register(DidChangeConfigurationNotification.type, { section: 'faultwright' });
  });
}
