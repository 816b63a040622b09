/** Features about one place in a file that answer while someone types or selects: signature help, growing selections, linked names. */
import { MarkupKind } from 'vscode-languageserver';
import type { LinkedEditingRanges, SelectionRange, ServerCapabilities, SignatureHelp } from 'vscode-languageserver';
import { LINKED_NAME_PATTERN, linkedNamesAt } from '../features/linked-names.ts';
import { spansAround } from '../features/selection.ts';
import { signatureAt } from '../features/signature.ts';
import { analysisOf, placeOf } from './asked.ts';
import { toOffset, toRange } from './convert.ts';
import { answering } from './guard.ts';
import type { Session } from './session.ts';

export const PLACE_CAPABILITIES: ServerCapabilities = {
  signatureHelpProvider: { triggerCharacters: ['(', ',', ' '], retriggerCharacters: [')'] },
  selectionRangeProvider: true,
  linkedEditingRangeProvider: true,
};

export function handlePlaces(session: Session): void {
  const { connection, workspace } = session;

  connection.onSignatureHelp(
    answering(session, 'signature', (params): SignatureHelp | null => {
      const place = placeOf(session, params);
      const found = place && signatureAt(place.analysis, place.offset, session.words);
      if (!found) return null;
      const documentation = (value: string): { kind: MarkupKind; value: string } => ({ kind: MarkupKind.Markdown, value });
      return {
        signatures: [{
          label: found.label,
          documentation: documentation(found.says),
          parameters: found.parameters.map(({ start, end, says }) => ({ label: [start, end], documentation: documentation(says) })),
        }],
        activeSignature: 0,
        activeParameter: found.active,
      };
    }),
  );

  connection.onSelectionRanges(
    answering(session, 'selection', ({ textDocument, positions }): SelectionRange[] | null => {
      const analysis = analysisOf(session, textDocument.uri);
      if (!analysis) return null;
      // One for each position, whatever there is at it.
      return positions.map((position) => {
        const spans = spansAround(analysis, toOffset(analysis.lines, position));
        return spans.reduceRight<SelectionRange | undefined>(
          (parent, span) => ({ range: toRange(analysis.lines, span), ...(parent ? { parent } : {}) }), undefined,
        ) ?? { range: { start: position, end: position } };
      });
    }),
  );

  connection.languages.onLinkedEditingRange(
    answering(session, 'linked names', (params): LinkedEditingRanges | null => {
      const place = placeOf(session, params);
      const spans = place && linkedNamesAt(workspace, place.analysis, place.offset);
      return spans ? { ranges: spans.map((span) => toRange(place.analysis.lines, span)), wordPattern: LINKED_NAME_PATTERN } : null;
    }),
  );
}
