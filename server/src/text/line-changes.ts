/**
 * Which lines differ between two texts: the shortest set of changes (E. W. Myers, An O(ND) Difference Algorithm and Its
 * Variations, Algorithmica 1986). Knows nothing of what the lines say.
 */

/** Lines `from` to `to` (not included) of the old text become `lines`. */
export interface LineChange {
  readonly from: number;
  readonly to: number;
  readonly lines: readonly string[];
}

/** Past this many differences one change from the first to the last of them is as good as any. */
const MOST_DIFFERENCES = 800;

/** The changes that make the new lines of the old ones, in order, apart from each other. */
export function lineChanges(before: readonly string[], after: readonly string[]): LineChange[] {
  let start = 0;
  while (start < before.length && start < after.length && before[start] === after[start]) start++;
  let end = 0;
  while (
    end < before.length - start &&
    end < after.length - start &&
    before[before.length - 1 - end] === after[after.length - 1 - end]
  )
    end++;
  const old = before.slice(start, before.length - end);
  const fresh = after.slice(start, after.length - end);
  if (old.length === 0 && fresh.length === 0) return [];
  const kept = old.length === fresh.length ? sameRows(old, fresh) : keptPairs(old, fresh);
  const changes: LineChange[] = [];
  let [i, j] = [0, 0];
  for (const [x, y] of [...kept, [old.length, fresh.length] as const]) {
    if (x > i || y > j) changes.push({ from: start + i, to: start + x, lines: fresh.slice(j, y) });
    [i, j] = [x + 1, y + 1];
  }
  return changes;
}

/** Of texts of one length, the lines that stayed in their place, where those are most; else as `keptPairs` finds them. */
function sameRows(before: readonly string[], after: readonly string[]): (readonly [number, number])[] {
  const kept = before.flatMap((line, index) => (line === after[index] ? [[index, index] as const] : []));
  return kept.length * 2 >= before.length ? kept : keptPairs(before, after);
}

/** Pairs of equal lines that both texts keep, in order. Empty where too much differs. */
function keptPairs(before: readonly string[], after: readonly string[]): (readonly [number, number])[] {
  const most = Math.min(before.length + after.length, MOST_DIFFERENCES);
  const furthest = new Map<number, number>([[1, 0]]);
  const trace: Map<number, number>[] = [];
  for (let distance = 0; distance <= most; distance++) {
    trace.push(new Map(furthest));
    for (let diagonal = -distance; diagonal <= distance; diagonal += 2) {
      let x = stepsDown(furthest, diagonal, distance) ? (furthest.get(diagonal + 1) ?? 0) : (furthest.get(diagonal - 1) ?? 0) + 1;
      while (x < before.length && x - diagonal < after.length && before[x] === after[x - diagonal]) x++;
      furthest.set(diagonal, x);
      if (x >= before.length && x - diagonal >= after.length) return pairsOf(trace, before.length, after.length);
    }
  }
  return [];
}

function stepsDown(furthest: ReadonlyMap<number, number>, diagonal: number, distance: number): boolean {
  return (
    diagonal === -distance || (diagonal !== distance && (furthest.get(diagonal - 1) ?? -1) < (furthest.get(diagonal + 1) ?? -1))
  );
}

function pairsOf(
  trace: readonly ReadonlyMap<number, number>[],
  oldLength: number,
  newLength: number,
): (readonly [number, number])[] {
  const pairs: (readonly [number, number])[] = [];
  let [x, y] = [oldLength, newLength];
  for (let distance = trace.length - 1; distance >= 0; distance--) {
    const furthest = trace[distance] as ReadonlyMap<number, number>;
    const diagonal = x - y;
    const before = stepsDown(furthest, diagonal, distance) ? diagonal + 1 : diagonal - 1;
    const fromX = furthest.get(before) ?? 0;
    const fromY = fromX - before;
    while (x > fromX && y > fromY && x > 0 && y > 0) pairs.push([--x, --y]);
    [x, y] = [fromX, fromY];
  }
  return pairs.reverse();
}
