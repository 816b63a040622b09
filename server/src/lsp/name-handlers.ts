/** Features about names over all files: definition, references, highlights, rename, and the names of a workspace. */
import { ErrorCodes, ResponseError, SymbolKind } from 'vscode-languageserver';
import type { LocationLink, ServerCapabilities, SymbolInformation, WorkspaceEdit } from 'vscode-languageserver';
import { CATALOGUE_TEXT } from '../catalogue/load-catalogue.ts';
import { definitionsAt } from '../features/definition.ts';
import { highlightsAt, referencesAt } from '../features/references.ts';
import { rename, renameTarget } from '../features/rename.ts';
import { namesMatching } from '../features/workspace-names.ts';
import { placeOf } from './asked.ts';
import { toLocation, toRange, toWorkspaceEdit } from './convert.ts';
import { answering, answeringLater } from './guard.ts';
import type { Session } from './session.ts';
import { takingTurns } from './taking-turns.ts';

export const NAME_CAPABILITIES: ServerCapabilities = {
  definitionProvider: true,
  referencesProvider: true,
  documentHighlightProvider: true,
  renameProvider: { prepareProvider: true },
  workspaceSymbolProvider: true,
};

export function handleNames(session: Session): void {
  const { connection, workspace, files } = session;

  connection.onDefinition(
    answering(session, 'definition', (params): LocationLink[] | null => {
      const place = placeOf(session, params);
      if (!place) return null;
      return definitionsAt(workspace, place.analysis, place.offset).flatMap(({ from, file, span, whole }) => {
        const lines = files.linesOf(file);
        return lines
          ? [
              {
                originSelectionRange: toRange(place.analysis.lines, from),
                targetUri: files.uriOf(file),
                targetRange: toRange(lines, whole),
                targetSelectionRange: toRange(lines, span),
              },
            ]
          : [];
      });
    }),
  );

  connection.onRequest('faultwright/catalogue', () => CATALOGUE_TEXT);

  connection.onReferences(
    answering(session, 'references', (params) => {
      const place = placeOf(session, params);
      if (!place) return null;
      return referencesAt(workspace, place.analysis, place.offset, params.context.includeDeclaration).flatMap(
        (one) => toLocation(files, one) ?? [],
      );
    }),
  );

  connection.onDocumentHighlight(
    answeringLater(session, 'highlights', (params) => {
      const place = placeOf(session, params);
      if (!place) return null;
      return highlightsAt(workspace, place.analysis, place.offset).map(({ span }) => ({
        range: toRange(place.analysis.lines, span),
      }));
    }),
  );

  connection.onPrepareRename(async (params, token) => {
    const target = await answering(session, 'rename', () => {
      const place = placeOf(session, params);
      if (!place) return null;
      const found = renameTarget(workspace, place.analysis, place.offset);
      return 'problem' in found ? found : { range: toRange(place.analysis.lines, found.span), placeholder: found.name };
    })(params, token);
    return refuse(target);
  });

  connection.onRenameRequest(async (params, token) => {
    const renamed = await answering(session, 'rename', (): WorkspaceEdit | { problem: string } | null => {
      const place = placeOf(session, params);
      if (!place) return null;
      const outcome = rename(workspace, place.analysis, place.offset, params.newName);
      return 'problem' in outcome ? outcome : (toWorkspaceEdit(files, outcome.edits) ?? null);
    })(params, token);
    return refuse(renamed);
  });

  connection.onWorkspaceSymbol(
    answering(session, 'names', async ({ query }, token) =>
      (await takingTurns(namesMatching(workspace, query), token))?.flatMap((one): SymbolInformation[] => {
        const location = toLocation(files, one);
        return location
          ? [
              {
                name: one.symbol.name,
                kind: KINDS[one.symbol.kind] ?? SymbolKind.Variable,
                location,
                containerName: one.container,
              },
            ]
          : [];
      }) ?? null,
    ),
  );
}

const KINDS: Partial<Record<string, SymbolKind>> = {
  procedure: SymbolKind.File,
  step: SymbolKind.Function,
  fault: SymbolKind.Event,
  circuit: SymbolKind.Class,
  instrument: SymbolKind.Class,
  caution: SymbolKind.Interface,
  hazard: SymbolKind.Interface,
  asset: SymbolKind.Object,
  value: SymbolKind.Constant,
};

/** A rename that cannot be done is an answer to the person who asked, not a fault of the server. */
function refuse<T>(outcome: T | { problem: string } | null): T | null {
  if (outcome !== null && typeof outcome === 'object' && 'problem' in outcome)
    throw new ResponseError(ErrorCodes.InvalidRequest, outcome.problem);
  return outcome;
}
