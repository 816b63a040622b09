/** Features about one file: completion, hover, outline, folding, links, colours. Each is asked of features/ and put in protocol terms. */
import {
  CompletionItemKind,
  FoldingRangeKind,
  InsertTextFormat,
  InsertTextMode,
  MarkupKind,
  SemanticTokensBuilder,
  SymbolKind,
} from 'vscode-languageserver';
import type { CompletionItem, CompletionList, ServerCapabilities, DocumentSymbol } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { completionsAt } from '../features/completion.ts';
import type { Completion, CompletionKind } from '../features/completion-item.ts';
import { foldsOf } from '../features/folding.ts';
import { hoverAt } from '../features/hover.ts';
import { linksIn } from '../features/links.ts';
import { outlineOf } from '../features/outline.ts';
import type { OutlineItem } from '../features/outline.ts';
import type { Span } from '../text/span.ts';
import { TOKEN_TYPES, tokensOf } from '../features/semantic-tokens.ts';
import { analysisOf, placeOf } from './asked.ts';
import { toRange } from './convert.ts';
import { answering, answeringLater } from './guard.ts';
import type { Session } from './session.ts';

export const LANGUAGE_CAPABILITIES: ServerCapabilities = {
  completionProvider: { triggerCharacters: [' ', ':', '-', '{', '[', ',', '.'], resolveProvider: true },
  hoverProvider: true,
  documentSymbolProvider: true,
  foldingRangeProvider: true,
  documentLinkProvider: {},
  semanticTokensProvider: { legend: { tokenTypes: [...TOKEN_TYPES], tokenModifiers: ['declaration'] }, full: { delta: true } },
};

export function handleLanguage(session: Session): void {
  const { connection, workspace } = session;

  let offered: readonly Completion[] = [];
  connection.onCompletion(
    answering(session, 'completion', (params): CompletionList | null => {
      const place = placeOf(session, params);
      const found = place && completionsAt(workspace, place.analysis, place.offset);
      if (!place || !found) return null;
      offered = found.items;
      const items = found.items.map((item, index) => completionItem(session, place.analysis, item, index, found.replace));
      return {
        // A band offers other words as it grows.
        isIncomplete: found.items.some((item) => item.replace !== undefined),
        ...(session.client.itemDefaults ? { itemDefaults: { editRange: toRange(place.analysis.lines, found.replace) } } : {}),
        items,
      };
    }),
  );
  connection.onCompletionResolve(async (item, token) => {
    const resolved = answering(session, 'completion', (): CompletionItem | null => {
      const chosen = typeof item.data === 'number' ? offered[item.data] : undefined;
      const documentation = chosen?.label === item.label ? chosen.documentation?.(session.words) : undefined;
      return documentation === undefined ? null : { ...item, documentation: { kind: MarkupKind.Markdown, value: documentation } };
    });
    return (await resolved(item, token)) ?? item;
  });

  connection.onHover(
    answering(session, 'hover', (params) => {
      const place = placeOf(session, params);
      const hover = place && hoverAt(workspace, place.analysis, place.offset, session.words);
      return hover
        ? { contents: { kind: MarkupKind.Markdown, value: hover.markdown }, range: toRange(place.analysis.lines, hover.span) }
        : null;
    }),
  );

  connection.onDocumentSymbol(
    answeringLater(session, 'outline', ({ textDocument }) => {
      const analysis = analysisOf(session, textDocument.uri);
      return analysis ? outlineOf(analysis).map((item) => documentSymbol(analysis, item)) : null;
    }),
  );

  connection.onFoldingRanges(
    answeringLater(session, 'folding', ({ textDocument }) => {
      const analysis = analysisOf(session, textDocument.uri);
      return analysis
        ? foldsOf(analysis).map(({ from, to, comment }) => ({
            startLine: from,
            endLine: to,
            ...(comment ? { kind: FoldingRangeKind.Comment } : {}),
          }))
        : null;
    }),
  );

  connection.onDocumentLinks(
    answeringLater(session, 'links', ({ textDocument }) => {
      const analysis = analysisOf(session, textDocument.uri);
      return analysis
        ? linksIn(workspace, analysis, session.words).map(({ span, file, tooltip }) => ({
            range: toRange(analysis.lines, span),
            target: session.files.uriOf(file),
            tooltip,
          }))
        : null;
    }),
  );

  handleColours(session);
}

/** Colours of a whole file; of one that was coloured before, what is no longer as it was. */
function handleColours(session: Session): void {
  const { semanticTokens } = session.connection.languages;
  const builders = new Map<string, SemanticTokensBuilder>();
  const coloured = (uri: string): SemanticTokensBuilder => {
    const open = new Set([...session.open.values()].map(({ document }) => document.uri));
    for (const known of builders.keys()) if (!open.has(known)) builders.delete(known);
    const builder = builders.get(uri) ?? new SemanticTokensBuilder();
    builders.set(uri, builder);
    return builder;
  };
  semanticTokens.on(answeringLater(session, 'colours', ({ textDocument }) => {
    const builder = coloured(textDocument.uri);
    builder.previousResult('');
    pushTokens(session, textDocument.uri, builder);
    return builder.build();
  }));
  semanticTokens.onDelta(answeringLater(session, 'colours', ({ textDocument, previousResultId }) => {
    const builder = coloured(textDocument.uri);
    builder.previousResult(previousResultId);
    pushTokens(session, textDocument.uri, builder);
    return builder.buildEdits();
  }));
}

function pushTokens(session: Session, uri: string, builder: SemanticTokensBuilder): void {
  const analysis = analysisOf(session, uri);
  for (const { span, type, declares } of analysis ? tokensOf(session.workspace, analysis) : []) {
    const { start, end } = toRange((analysis as Analysis).lines, span);
    // A token must not run over a line's end.
    if (start.line === end.line) builder.push(start.line, start.character, end.character - start.character, TOKEN_TYPES.indexOf(type), declares ? 1 : 0);
  }
}

const COMPLETION_KINDS: Record<CompletionKind, CompletionItemKind> = {
  key: CompletionItemKind.Property,
  name: CompletionItemKind.Reference,
  word: CompletionItemKind.Keyword,
  value: CompletionItemKind.EnumMember,
  skeleton: CompletionItemKind.Snippet,
  quantity: CompletionItemKind.Unit,
};

function completionItem(session: Session, analysis: Analysis, item: Completion, index: number, replace: Span): CompletionItem {
  const { snippets, insertTextModes, itemDefaults, panels } = session.client;
  const newText = item.snippet && !snippets ? withoutPlaces(item.insert) : item.insert;
  return {
    label: item.label,
    kind: COMPLETION_KINDS[item.kind],
    ...(item.detail === undefined ? {} : { detail: item.detail }),
    ...(item.order === undefined ? {} : { sortText: item.order }),
    ...(item.filter === undefined ? {} : { filterText: item.filter }),
    ...(item.snippet && snippets ? { insertTextFormat: InsertTextFormat.Snippet } : {}),
    // Lines that follow are indented already: an editor that does it again would put them one level too deep.
    ...(insertTextModes && newText.includes('\n') ? { insertTextMode: InsertTextMode.asIs } : {}),
    ...(itemDefaults && item.replace === undefined
      ? (newText === item.label ? {} : { textEditText: newText })
      : { textEdit: { range: toRange(analysis.lines, item.replace ?? replace), newText } }),
    ...(panels && item.next ? { command: NEXT[item.next] } : {}),
    data: index,
  };
}

/** Commands of the editor that our own client runs in. */
const NEXT = {
  suggestions: { title: 'Suggest', command: 'editor.action.triggerSuggest' },
  parameters: { title: 'Show parameters', command: 'editor.action.triggerParameterHints' },
} as const;

/** For editors without snippets: what each place proposes, or nothing. */
function withoutPlaces(snippet: string): string {
  return snippet
    .replace(/\$\{\d+\|((?:\\.|[^,|\\])*)(?:\\.|[^|\\])*\|\}/g, (_, first: string) => first.replace(/\\(.)/g, '$1'))
    .replace(/\$\{\d+(?::((?:\\.|[^}\\])*))?\}|\$\d+/g, (_, proposed: string | undefined) => (proposed ?? '').replace(/\\(.)/g, '$1'));
}

const SYMBOL_KINDS: Record<OutlineItem['kind'], SymbolKind> = {
  section: SymbolKind.Namespace,
  result: SymbolKind.EnumMember,
  procedure: SymbolKind.File,
  step: SymbolKind.Function,
  fault: SymbolKind.Event,
  state: SymbolKind.Variable,
  state_value: SymbolKind.EnumMember,
  fact: SymbolKind.Variable,
  choice: SymbolKind.EnumMember,
  circuit: SymbolKind.Class,
  caution: SymbolKind.Interface,
  hazard: SymbolKind.Interface,
  instrument: SymbolKind.Class,
  qualification: SymbolKind.Interface,
  value: SymbolKind.Constant,
  point: SymbolKind.Property,
  reference: SymbolKind.Key,
  asset: SymbolKind.Object,
};

function documentSymbol(analysis: Analysis, item: OutlineItem): DocumentSymbol {
  const range = toRange(analysis.lines, item.span);
  return {
    // The protocol refuses a name of nothing but white space.
    name: item.name.trim() || '(no name)',
    detail: item.detail,
    kind: SYMBOL_KINDS[item.kind],
    range,
    selectionRange: toRange(analysis.lines, item.nameSpan),
    children: item.children.map((child) => documentSymbol(analysis, child)),
  };
}
