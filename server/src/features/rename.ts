/** Gives a name another spelling, wherever it is used, or says why that cannot be done. */
import type { Analysis } from '../analysis/analysis.ts';
import type { TextEdit } from '../findings/finding.ts';
import { reservedName } from '../quantity/reserved.ts';
import type { Span } from '../text/span.ts';
import { declarationsIn, occurrencesOf, symbolAt } from './symbols.ts';
import type { Library, Symbol, SymbolKind } from './symbols.ts';

export type Renaming = { readonly edits: readonly TextEdit[] } | { readonly problem: string };

/** What is to be renamed at a place: its span and present name, or why there is nothing. */
export function renameTarget(
  library: Library,
  analysis: Analysis,
  offset: number,
): { span: Span; name: string } | { problem: string } {
  const here = symbolAt(library, analysis, offset);
  if (!here) return { problem: 'There is no name here that could be changed.' };
  const fixed = whyFixed(here.symbol);
  return fixed === undefined ? { span: here.span, name: here.symbol.name } : { problem: fixed };
}

/** The edits of all files, or a sentence that says why the name cannot be used. */
export function rename(library: Library, analysis: Analysis, offset: number, newName: string): Renaming {
  const here = symbolAt(library, analysis, offset);
  if (!here) return { problem: 'There is no name here that could be changed.' };
  const { symbol } = here;
  const problem = whyFixed(symbol) ?? whyUnfit(symbol.kind, newName);
  if (problem !== undefined) return { problem };
  if (newName === symbol.name) return { edits: [] };
  const occurrences = occurrencesOf(library, symbol);
  for (const file of new Set(occurrences.map((occurrence) => occurrence.file))) {
    const clash = declarationsIn(library.analyse(file)).find(
      ({ symbol: other }) => other.name === newName && clashes(other, symbol),
    );
    if (clash)
      return {
        problem: `'${newName}' is the name of ${SAYS[clash.symbol.kind]} already, in ${file.slice(file.lastIndexOf('/') + 1)}. Choose another.`,
      };
  }
  const seen = new Set<string>();
  const edits: TextEdit[] = [];
  for (const { file, span } of occurrences) {
    const place = `${file} ${span.start}`;
    if (seen.has(place)) continue;
    seen.add(place);
    edits.push({ file, span, newText: newName });
  }
  return { edits };
}

const SAYS: Record<SymbolKind, string> = {
  procedure: 'a procedure',
  step: 'a step',
  fault: 'a fault',
  state: 'a state',
  state_value: 'a value of that state',
  fact: 'a fact',
  choice: 'a choice of that fact',
  circuit: 'a circuit',
  caution: 'a caution',
  hazard: 'a hazard',
  instrument: 'an instrument',
  qualification: 'a qualification',
  value: 'a value',
  point: 'a point of that step',
  reference: 'a reference',
  asset: 'an asset',
};

/** Names that may stand in one expression must differ from each other. */
const READABLE: ReadonlySet<SymbolKind> = new Set(['step', 'fact', 'value']);

function clashes(other: Symbol, symbol: Symbol): boolean {
  if (other.kind === symbol.kind) return other.of === symbol.of;
  return READABLE.has(other.kind) && READABLE.has(symbol.kind);
}

function whyFixed({ file, name, kind }: Symbol): string | undefined {
  if (file.startsWith('catalogue:'))
    return `'${name}' ships with the tool. Declare ${SAYS[kind]} of your own in shop.yaml under another name.`;
  return undefined;
}

function whyUnfit(kind: SymbolKind, name: string): string | undefined {
  if (kind === 'asset' || kind === 'reference')
    return /^[\p{L}\p{N}][\p{L}\p{N}._/-]*$/u.test(name)
      ? undefined
      : `'${name}' cannot be an identifier: letters, digits, '-', '.', '_' and '/' are possible.`;
  if (!/^[a-z][a-z0-9_]*$/.test(name))
    return `'${name}' cannot be a name: a small letter comes first, then small letters, digits and '_'.`;
  if (READABLE.has(kind) && reservedName(name) !== undefined)
    return `'${name}' means something in expressions already. Choose another name.`;
  return undefined;
}
