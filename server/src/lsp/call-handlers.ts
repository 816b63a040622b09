/** Which procedures run which, as an editor's call hierarchy. */
import { SymbolKind } from 'vscode-languageserver';
import type { CallHierarchyItem, ServerCapabilities } from 'vscode-languageserver';
import { calleesOf, callersOf, callItemAt } from '../features/calls.ts';
import type { CallItem } from '../features/calls.ts';
import { placeOf } from './asked.ts';
import { toRange } from './convert.ts';
import { answering } from './guard.ts';
import type { Session } from './session.ts';

export const CALL_CAPABILITIES: ServerCapabilities = { callHierarchyProvider: true };

export function handleCalls(session: Session): void {
  const { workspace, files } = session;
  const { callHierarchy } = session.connection.languages;

  callHierarchy.onPrepare(
    answering(session, 'call hierarchy', (params) => {
      const place = placeOf(session, params);
      const item = place && callItemAt(workspace, place.analysis, place.offset);
      const shown = item && protocolItem(session, item);
      return shown ? [shown] : null;
    }),
  );
  callHierarchy.onIncomingCalls(
    answering(session, 'callers', ({ item }) => {
      const called = procedureOf(session, item);
      return called && callersOf(workspace, called).flatMap(({ item: caller, spans }) => {
        const from = protocolItem(session, caller);
        const lines = files.linesOf(caller.file);
        return from && lines ? [{ from, fromRanges: spans.map((span) => toRange(lines, span)) }] : [];
      });
    }),
  );
  callHierarchy.onOutgoingCalls(
    answering(session, 'callees', ({ item }) => {
      const calling = procedureOf(session, item);
      const lines = calling && files.linesOf(calling.file);
      return calling && lines && calleesOf(workspace, calling).flatMap(({ item: called, spans }) => {
        const to = protocolItem(session, called);
        return to ? [{ to, fromRanges: spans.map((span) => toRange(lines, span)) }] : [];
      });
    }),
  );
}

function protocolItem({ files }: Session, { name, title, file, span, nameSpan }: CallItem): CallHierarchyItem | undefined {
  const lines = files.linesOf(file);
  return lines && {
    name, kind: SymbolKind.Module, uri: files.uriOf(file), range: toRange(lines, span), selectionRange: toRange(lines, nameSpan), data: file,
    ...(title === undefined ? {} : { detail: title }),
  };
}

/** The procedure that an item stood for, as its file is now. */
function procedureOf({ workspace }: Session, item: CallHierarchyItem): { file: string; procedure: NonNullable<ReturnType<typeof workspace.procedureIn>> } | null {
  const file = typeof item.data === 'string' ? item.data : undefined;
  const procedure = file === undefined ? undefined : workspace.procedureIn(file);
  return file !== undefined && procedure ? { file, procedure } : null;
}
