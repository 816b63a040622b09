/** Names declared anywhere in a library, found by a few letters of them. */
import { declarationsIn } from './symbols.ts';
import type { Library, Occurrence } from './symbols.ts';

export interface FoundName extends Occurrence {
  /** The procedure or file that declares it. */
  readonly container: string;
}

const MOST = 500;

/** Names that hold the letters of `query` in order, in any case; what begins with it first. */
export function namesMatching(library: Library, query: string): FoundName[] {
  const wanted = query.toLowerCase().replace(/\s+/g, '');
  const found: FoundName[] = [];
  for (const file of library.files()) {
    const analysis = library.analyse(file);
    const container =
      analysis.procedure?.title?.value ?? analysis.procedure?.name?.value ?? file.slice(file.lastIndexOf('/') + 1);
    for (const one of declarationsIn(analysis)) {
      if (
        one.symbol.kind !== 'state_value' &&
        one.symbol.kind !== 'choice' &&
        holdsInOrder(one.symbol.name.toLowerCase(), wanted)
      )
        found.push({ ...one, container });
    }
  }
  const rank = ({ symbol }: FoundName): number =>
    symbol.name.toLowerCase().startsWith(wanted) ? 0 : symbol.name.toLowerCase().includes(wanted) ? 1 : 2;
  return found.sort((a, b) => rank(a) - rank(b)).slice(0, MOST);
}

function holdsInOrder(name: string, letters: string): boolean {
  let at = 0;
  for (const letter of letters) {
    at = name.indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}
