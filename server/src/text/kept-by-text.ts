/** What was worked out of short texts, kept: quantities, limits and words stand again and again in the files of a shop. */

const LONGEST = 60;
const MOST = 4000;
/** Up to this length a slice of a text is a text of its own; a longer one would hold on to the whole file that it was cut from. */
const LONGEST_COPY = 12;

/** The same function, which works out the same short text once. It must depend on nothing but the text, and its outcome must not be altered. */
export function keptByText<T>(work: (text: string) => T): (text: string) => T {
  const known = new Map<string, T>();
  return (text) => {
    if (text.length > LONGEST) return work(text);
    let found = known.get(text);
    if (found === undefined) {
      if (known.size >= MOST) known.clear();
      const own = text.length > LONGEST_COPY ? text.split('').join('') : text;
      known.set(own, (found = work(own)));
    }
    return found;
  };
}
