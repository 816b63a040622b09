/** What an afternoon makes: for every edit and every question the whole text through `yaml`, and its value through the schema. */
import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { createConnection, ProposedFeatures, TextDocuments, TextDocumentSyncKind } from 'vscode-languageserver/node';
import type { Diagnostic } from 'vscode-languageserver/node';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { parseDocument } from 'yaml';

const schema = JSON.parse(readFileSync(process.env['BENCH_SCHEMA'] ?? '', 'utf8')) as object;
const validate = new Ajv2020({ strict: false, allErrors: true }).compile(schema);
const connection = createConnection(ProposedFeatures.all);
const documents = new TextDocuments(TextDocument);
connection.onInitialize(() => ({
  capabilities: { textDocumentSync: TextDocumentSyncKind.Incremental, completionProvider: {}, hoverProvider: true },
}));
documents.onDidChangeContent(({ document }) => {
  const parsed = parseDocument(document.getText());
  const start = { line: 0, character: 0 };
  const diagnostics: Diagnostic[] = parsed.errors.map((error) => ({ message: error.message, range: { start: document.positionAt(error.pos[0]), end: document.positionAt(error.pos[1]) } }));
  validate(parsed.toJS());
  for (const error of validate.errors ?? []) diagnostics.push({ message: error.message ?? '', range: { start, end: start } });
  void connection.sendDiagnostics({ uri: document.uri, version: document.version, diagnostics });
});
connection.onCompletion(({ textDocument }) => {
  const parsed = parseDocument(documents.get(textDocument.uri)?.getText() ?? '');
  return [{ label: String(parsed.has('steps')) }];
});
connection.onHover(({ textDocument }) => ({ contents: String(parseDocument(documents.get(textDocument.uri)?.getText() ?? '').has('steps')) }));
documents.listen(connection);
connection.listen();
