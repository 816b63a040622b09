/** Names declared anywhere in a library, found by a few letters of them. Files are looked into one by one, so that whoever asks can stop between two. */
import type { Analysis } from '../analysis/analysis.ts';
import { declarationsIn } from './symbols.ts';
import type { Library, Occurrence } from './symbols.ts';

export interface FoundName extends Occurrence {
  /** The procedure or file that declares it. */
  readonly container: string;
}

const MOST = 500;

/** Names that hold the letters of `query` in order, in any case; what begins with it first. Yields after each file until it returns them. */
export function* namesMatching(library: Library, query: string): Generator<undefined, FoundName[]> {
  const wanted = query.toLowerCase().replace(/\s+/g, '');
  const found: FoundName[] = [];
  for (const file of library.files()) {
    found.push(...namesOfFile(library, file).filter(({ symbol }) => holdsInOrder(symbol.name.toLowerCase(), wanted)));
    yield undefined;
  }
  const rank = ({ symbol }: FoundName): number =>
    symbol.name.toLowerCase().startsWith(wanted) ? 0 : symbol.name.toLowerCase().includes(wanted) ? 1 : 2;
  return found.sort((a, b) => rank(a) - rank(b)).slice(0, MOST);
}

/** Names of files by the text they had: kept, as the model of a file that nobody looks at may be let go. */
const known = new WeakMap<Library, Map<string, { readonly text: string; readonly names: readonly FoundName[] }>>();

function namesOfFile(library: Library, file: string): readonly FoundName[] {
  const text = library.textOf(file);
  if (text === undefined) return [];
  let ofLibrary = known.get(library);
  if (!ofLibrary) known.set(library, (ofLibrary = new Map()));
  const before = ofLibrary.get(file);
  if (before?.text === text) return before.names;
  const procedure = library.procedureIn(file);
  // Without its findings, a procedure is known in a small part of the time.
  const analysis: Pick<Analysis, 'file' | 'procedure' | 'shop' | 'assets' | 'scope'> = procedure ? { file, procedure } : library.analyse(file);
  const container = procedure?.title?.value ?? procedure?.name?.value ?? file.slice(file.lastIndexOf('/') + 1);
  const names = declarationsIn(analysis)
    .filter(({ symbol }) => symbol.kind !== 'state_value' && symbol.kind !== 'choice')
    .map((one): FoundName => ({ ...one, container }));
  ofLibrary.set(file, { text, names });
  return names;
}

function holdsInOrder(name: string, letters: string): boolean {
  let at = 0;
  for (const letter of letters) {
    at = name.indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}
