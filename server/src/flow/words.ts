/** Phrases in texts: any case, whole words, any white space between them. */

/** Where `phrase` first stands in `text`, or undefined. */
export function findPhrase(text: string, phrase: string): { readonly start: number; readonly end: number } | undefined {
  const parts = phrase.trim().split(/[\s_]+/u).filter(Boolean).map(escapePattern);
  if (parts.length === 0) return undefined;
  const pattern = cached(parts.join('\\s+'));
  const match = pattern.exec(text);
  return match ? { start: match.index, end: match.index + match[0].length } : undefined;
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
