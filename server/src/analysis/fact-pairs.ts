/**
 * Which names are the two ends of some band, over all procedures, told by the letters of their texts: `between coil_low and coil_high`. An asset
 * for which the first is above the second has a limit that nothing meets. No text needs to be read as a procedure for it.
 */
import type { FactPair } from '../checks/limits-reversed.ts';

export class FactPairs {
  readonly #ofFile = new Map<string, readonly string[]>();
  readonly #counts = new Map<string, number>();
  #state = 0;

  /** A number that is another whenever some pair has come or gone. */
  get state(): number {
    return this.#state;
  }

  put(path: string, text: string): void {
    const pairs = pairsIn(text);
    const before = this.#ofFile.get(path) ?? NONE;
    if (before.length === pairs.length && before.every((pair, index) => pair === pairs[index])) return;
    this.#count(before, -1);
    this.#count(pairs, 1);
    if (pairs.length > 0) this.#ofFile.set(path, pairs);
    else this.#ofFile.delete(path);
  }

  remove(path: string): void {
    this.#count(this.#ofFile.get(path) ?? NONE, -1);
    this.#ofFile.delete(path);
  }

  /** Each pair once, in one order, whatever the order of the files. */
  all(): readonly FactPair[] {
    return [...this.#counts.keys()].sort().map((pair) => {
      const [low = '', high = ''] = pair.split(' ');
      return { low, high };
    });
  }

  #count(pairs: readonly string[], by: 1 | -1): void {
    for (const pair of pairs) {
      const count = (this.#counts.get(pair) ?? 0) + by;
      if (count > 0) this.#counts.set(pair, count);
      else this.#counts.delete(pair);
      if (count === 0 || (count === 1 && by === 1)) this.#state++;
    }
  }
}

const NONE: readonly string[] = [];

/** A name alone on each side: where something is added to it, another place judges. */
const BETWEEN = /\bbetween ([a-z][a-z0-9_]*) and ([a-z][a-z0-9_]*)(?!\w)(?![^\S\n]*[-+*/(.])/gu;
const FROM_TO = /(?:\bat least|>=) ?([a-z][a-z0-9_]*) and (?:at most|<=) ?([a-z][a-z0-9_]*)(?!\w)(?![^\S\n]*[-+*/(.])/gu;

function pairsIn(text: string): readonly string[] {
  if (!text.includes('between ') && !text.includes(' and ')) return NONE;
  const found = new Set<string>();
  for (const pattern of [BETWEEN, FROM_TO]) for (const [, low = '', high = ''] of text.matchAll(pattern)) if (low !== high) found.add(`${low} ${high}`);
  return found.size === 0 ? NONE : [...found];
}
