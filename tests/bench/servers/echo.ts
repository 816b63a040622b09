/** The floor of the protocol: keeps documents in step and answers at once, without looking into them. */
import { createConnection, ProposedFeatures, TextDocuments, TextDocumentSyncKind } from 'vscode-languageserver/node';
import { TextDocument } from 'vscode-languageserver-textdocument';

const connection = createConnection(ProposedFeatures.all);
const documents = new TextDocuments(TextDocument);
connection.onInitialize(() => ({
  capabilities: { textDocumentSync: TextDocumentSyncKind.Incremental, completionProvider: {}, hoverProvider: true },
}));
documents.onDidChangeContent(({ document }) => {
  void connection.sendDiagnostics({ uri: document.uri, version: document.version, diagnostics: [] });
});
connection.onCompletion(() => [{ label: 'echo' }]);
connection.onHover(() => ({ contents: 'echo' }));
documents.listen(connection);
connection.listen();
