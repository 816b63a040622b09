/** Features about one file: completion, hover, outline, folding, links, colours. Each is asked of features/ and put in protocol terms. */
import {
  CompletionItemKind,
  FoldingRangeKind,
  InsertTextFormat,
  MarkupKind,
  SemanticTokensBuilder,
  SymbolKind,
} from 'vscode-languageserver';
import type { CompletionItem, CompletionList, ServerCapabilities, DocumentSymbol } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { completionsAt } from '../features/completion.ts';
import type { Completion, CompletionKind } from '../features/completion.ts';
import { possibleHints } from '../features/diagnosis-possible.ts';
import { foldsOf } from '../features/folding.ts';
import { hoverAt } from '../features/hover.ts';
import { linksIn } from '../features/links.ts';
import { outlineOf } from '../features/outline.ts';
import type { OutlineItem } from '../features/outline.ts';
import { TOKEN_TYPES, tokensOf } from '../features/semantic-tokens.ts';
import { analysisOf, placeOf } from './asked.ts';
import { toOffset, toRange } from './convert.ts';
import { answering } from './guard.ts';
import { diagnosticsOf } from './publish.ts';
import type { Session } from './session.ts';

export const LANGUAGE_CAPABILITIES: ServerCapabilities = {
  completionProvider: { triggerCharacters: [' ', ':', '-', '{', '[', ',', '.'], resolveProvider: true },
  hoverProvider: true,
  documentSymbolProvider: true,
  foldingRangeProvider: true,
  documentLinkProvider: {},
  inlayHintProvider: true,
  semanticTokensProvider: { legend: { tokenTypes: [...TOKEN_TYPES], tokenModifiers: ['declaration'] }, full: true },
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
      // A band offers other words as it grows.
      return { isIncomplete: found.items.some((item) => item.replace !== undefined), items };
    }),
  );
  connection.onCompletionResolve(async (item, token) => {
    const resolved = answering(session, 'completion', (): CompletionItem | null => {
      const chosen = typeof item.data === 'number' ? offered[item.data] : undefined;
      const documentation = chosen?.label === item.label ? chosen.documentation?.() : undefined;
      return documentation === undefined ? null : { ...item, documentation: { kind: MarkupKind.Markdown, value: documentation } };
    });
    return (await resolved(item, token)) ?? item;
  });

  connection.onHover(
    answering(session, 'hover', (params) => {
      const place = placeOf(session, params);
      const hover = place && hoverAt(workspace, place.analysis, place.offset);
      return hover
        ? { contents: { kind: MarkupKind.Markdown, value: hover.markdown }, range: toRange(place.analysis.lines, hover.span) }
        : null;
    }),
  );

  connection.onDocumentSymbol(
    answering(session, 'outline', ({ textDocument }) => {
      const analysis = analysisOf(session, textDocument.uri);
      return analysis ? outlineOf(analysis).map((item) => documentSymbol(analysis, item)) : null;
    }),
  );

  connection.onFoldingRanges(
    answering(session, 'folding', ({ textDocument }) => {
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
    answering(session, 'links', ({ textDocument }) => {
      const analysis = analysisOf(session, textDocument.uri);
      return analysis
        ? linksIn(workspace, analysis).map(({ span, file, tooltip }) => ({
            range: toRange(analysis.lines, span),
            target: session.files.uriOf(file),
            tooltip,
          }))
        : null;
    }),
  );

  connection.languages.inlayHint.on(answering(session, 'faults still possible', ({ textDocument, range }) => {
    const analysis = analysisOf(session, textDocument.uri);
    if (!analysis || !session.settings.showHints) return null;
    const within = { start: toOffset(analysis.lines, range.start), end: toOffset(analysis.lines, range.end) };
    return possibleHints(analysis, within).map(({ offset, label, tooltip }) => ({
      position: toRange(analysis.lines, { start: offset, end: offset }).start, label, tooltip, paddingLeft: true,
    }));
  }));

  connection.languages.semanticTokens.on(
    async (params, token) =>
      (await answering(session, 'colours', () => {
        const analysis = analysisOf(session, params.textDocument.uri);
        const builder = new SemanticTokensBuilder();
        for (const { span, type, declares } of analysis ? tokensOf(workspace, analysis) : []) {
          const { start, end } = toRange((analysis as Analysis).lines, span);
          // A token must not run over a line's end.
          if (start.line === end.line)
            builder.push(
              start.line,
              start.character,
              end.character - start.character,
              TOKEN_TYPES.indexOf(type),
              declares ? 1 : 0,
            );
        }
        return builder.build();
      })(params, token)) ?? { data: [] },
  );

  connection.languages.diagnostics.on(
    async (params, token) =>
      (await answering(session, 'findings', () => {
        const analysis = analysisOf(session, params.textDocument.uri);
        return { kind: 'full' as const, items: analysis ? diagnosticsOf(session, analysis) : [] };
      })(params, token)) ?? { kind: 'full', items: [] },
  );
}

const COMPLETION_KINDS: Record<CompletionKind, CompletionItemKind> = {
  key: CompletionItemKind.Property,
  name: CompletionItemKind.Reference,
  word: CompletionItemKind.Keyword,
  value: CompletionItemKind.EnumMember,
  skeleton: CompletionItemKind.Snippet,
  quantity: CompletionItemKind.Unit,
};

function completionItem(
  session: Session,
  analysis: Analysis,
  item: Completion,
  index: number,
  replace: { start: number; end: number },
): CompletionItem {
  const { snippets } = session.client;
  return {
    label: item.label,
    kind: COMPLETION_KINDS[item.kind],
    detail: item.detail,
    sortText: item.order,
    // Editors match against what the edit replaces, which may hold more than the last word.
    filterText: item.label,
    insertTextFormat: item.snippet && snippets ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
    textEdit: {
      range: toRange(analysis.lines, item.replace ?? replace),
      newText: item.snippet && !snippets ? withoutPlaces(item.insert) : item.insert,
    },
    data: index,
  };
}

/** For editors without snippets: what each place proposes, or nothing. */
function withoutPlaces(snippet: string): string {
  return snippet.replace(/\$\{\d+(?::([^}]*))?\}|\$\d+/g, (_, proposed: string | undefined) => proposed ?? '');
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
