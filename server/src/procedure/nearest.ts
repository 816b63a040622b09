/** 'Did you mean': the nearest known word, only where it is near; silence beats a wild guess. */

/** The candidate nearest to `word`, or undefined where none is near. Case, blanks and hyphens count for little. */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
  const wanted = folded(word);
  if (wanted === '' || word.length > 60) return undefined;
  const limit = wanted.length <= 3 ? 1 : wanted.length <= 7 ? 2 : 3;
  let best: string | undefined;
  let bestDistance = limit + 1;
  for (const candidate of candidates) {
    const distance = editDistance(wanted, folded(candidate), bestDistance - 1);
    if (distance < bestDistance && distance < Math.max(wanted.length, 2)) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

function folded(word: string): string {
  return word.toLowerCase().replace(/[\s\-_]+/g, '_');
}

/** Damerau-Levenshtein distance (adjacent letters swapped count once), or more than `limit` as soon as that is certain. */
function editDistance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let cost = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, (beforeLast[j - 2] ?? 0) + 1);
      row.push(cost);
    }
    if (Math.min(...row) > limit) return limit + 1;
    beforeLast = last;
    last = row;
  }
  return last[b.length] ?? limit + 1;
}
