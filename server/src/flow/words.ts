/** Phrases in texts: any case, whole words, any white space between them. */

/** Where `phrase` first stands in `text`, or undefined. */
export function findPhrase(text: string, phrase: string): { readonly start: number; readonly end: number } | undefined {
  const parts = phrase.trim().split(/[\s_]+/u).filter(Boolean).map(escapePattern);
  if (parts.length === 0) return undefined;
  const pattern = cached(parts.join('\\s+'));
  const match = pattern.exec(text);
  return match ? { start: match.index, end: match.index + match[0].length } : undefined;
}

/** Whether the text asks for what the phrase says: a phrase after 'do not' or 'never' in its sentence forbids it. */
export function asksFor(text: string, phrase: string): boolean {
  for (let from = 0; from < text.length; ) {
    const found = findPhrase(text.slice(from), phrase);
    if (found === undefined) return false;
    const before = text.slice(0, from + found.start);
    const sentence = before.slice(Math.max(...['.', '!', '?', ';', '\n'].map((mark) => before.lastIndexOf(mark))) + 1);
    if (!/\b(do not|don't|never|must not)\b/iu.test(sentence)) return true;
    from += found.end;
  }
  return false;
}

const patterns = new Map<string, RegExp>();

function cached(source: string): RegExp {
  let pattern = patterns.get(source);
  if (pattern === undefined) {
    pattern = new RegExp(`(?<![\\p{L}\\p{N}])${source}(?![\\p{L}\\p{N}])`, 'iu');
    patterns.set(source, pattern);
  }
  return pattern;
}

function escapePattern(word: string): string {
  return word.replace(/[.*+?^${}()|[\]\\/]/gu, '\\$&');
}
