/** Which procedures run which: from `run:` of a step, and from the `procedure:` with which a fault goes on. Two procedures are told apart by file. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Name, Procedure } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import { allSteps, mayName, symbolAt } from './symbols.ts';
import type { Library } from './symbols.ts';

export interface CallItem {
  readonly name: string;
  readonly title?: string;
  readonly file: string;
  /** The whole procedure, and its name. */
  readonly span: Span;
  readonly nameSpan: Span;
}

export interface Call {
  readonly item: CallItem;
  /** Where the calling procedure says so. */
  readonly spans: readonly Span[];
}

/** The procedure that the name at a place stands for; elsewhere in a procedure, that procedure itself. */
export function callItemAt(library: Library, analysis: Analysis, offset: number): CallItem | undefined {
  const here = symbolAt(library, analysis, offset)?.symbol;
  if (here?.kind === 'procedure') return callItemOf(library, here.file);
  return analysis.procedure ? itemOf(analysis.file, analysis.procedure) : undefined;
}

/** The procedure in a file. */
export function callItemOf(library: Library, file: string): CallItem | undefined {
  const procedure = library.procedureIn(file);
  return procedure && itemOf(file, procedure);
}

/** The procedures that run the one in this file, by path. */
export function callersOf(library: Library, { file, procedure }: { readonly file: string; readonly procedure?: Procedure }): Call[] {
  const name = procedure?.name?.value;
  if (name === undefined) return [];
  return library.files().flatMap((other): Call[] => {
    if (!mayName(library.textOf(other) ?? '', name)) return [];
    const caller = library.procedureIn(other);
    const spans = caller ? callsIn(caller).flatMap((called) => (called.value === name && library.fileOfProcedure(name, other) === file ? [called.span] : [])) : [];
    return caller && spans.length > 0 ? [{ item: itemOf(other, caller), spans }] : [];
  }).sort((a, b) => (a.item.file < b.item.file ? -1 : 1));
}

/** The procedures that the one in this file runs, in the order of its text; those that are in no file are left out. */
export function calleesOf(library: Library, { file, procedure }: { readonly file: string; readonly procedure?: Procedure }): Call[] {
  const found = new Map<string, { readonly item: CallItem; readonly spans: Span[] }>();
  for (const called of procedure ? callsIn(procedure) : []) {
    const target = library.fileOfProcedure(called.value, file);
    const item = target === undefined ? undefined : callItemOf(library, target);
    if (!item) continue;
    const before = found.get(item.file);
    if (before) before.spans.push(called.span);
    else found.set(item.file, { item, spans: [called.span] });
  }
  return [...found.values()].sort((a, b) => (a.spans[0]?.start ?? 0) - (b.spans[0]?.start ?? 0));
}

function callsIn(procedure: Procedure): Name[] {
  return [...procedure.faults.flatMap((fault) => fault.procedure ?? []), ...allSteps(procedure).flatMap((step) => step.run ?? [])];
}

function itemOf(file: string, { name, title, span }: Procedure): CallItem {
  return {
    name: name?.value ?? file.slice(file.lastIndexOf('/') + 1),
    ...(title ? { title: title.value } : {}),
    file, span, nameSpan: name?.span ?? { start: span.start, end: span.start },
  };
}
