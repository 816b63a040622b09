/** What was worked out of short texts, kept: quantities, limits and words stand again and again in the files of a shop. */
import { ownText } from './own-text.ts';

const LONGEST = 60;
const MOST = 4000;

/** The same function, which works out the same short text once. It must depend on nothing but the text, and its outcome must not be altered. */
export function keptByText<T>(work: (text: string) => T): (text: string) => T {
  const known = new Map<string, T>();
  return (text) => {
    if (text.length > LONGEST) return work(text);
    let found = known.get(text);
    if (found === undefined) {
      if (known.size >= MOST) known.clear();
      const own = ownText(text);
      known.set(own, (found = work(own)));
    }
    return found;
  };
}
