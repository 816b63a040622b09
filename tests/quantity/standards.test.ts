/**
 * The quantity room against the published world: every value of tests/quantity/standards/, and one line a source with how many were
 * checked. `npx vitest run standards` runs this alone.
 */
import { afterAll, describe, expect, it } from 'vitest';
import { QUANTITY_SOURCES, quantitySource } from '../../server/src/quantity/sources.ts';
import { SOURCE_PARTS, valuesOf } from './standards/all.ts';

const held = new Map<string, number>();

describe.each(SOURCE_PARTS.map((part) => [`${quantitySource(part.id)?.source ?? part.id}: ${part.note}`, part] as const))('%s', (_, part) => {
  it.each(part.checks.map((check) => [check.says, check] as const))('%s', (__, check) => {
    const ours = check.ours();
    if (typeof check.theirs === 'number' && check.within !== undefined) {
      expect(typeof ours).toBe('number');
      const off = Math.abs(Number(ours) - check.theirs);
      expect(off, `${String(ours)} against ${check.theirs}`).toBeLessThanOrEqual(Math.abs(check.theirs) * check.within || check.within);
    } else {
      expect(ours).toBe(check.theirs);
    }
    held.set(part.id, (held.get(part.id) ?? 0) + (check.values ?? 1));
  });
});

describe('the list of sources', () => {
  it('holds every source that a value is checked against, and none besides', () => {
    expect([...new Set(SOURCE_PARTS.map((part) => part.id))].sort()).toEqual(QUANTITY_SOURCES.map((source) => source.id).sort());
  });

  it('says of each part how its values came here', () => {
    const silent = SOURCE_PARTS.filter((part) => !/\b(?:read|from memory|computed|worked by hand|random conversions)\b/.test(part.note));
    expect(silent.map((part) => part.note)).toEqual([]);
  });
});

afterAll(() => {
  const lines = QUANTITY_SOURCES.map(({ id, source, edition, basis }) => {
    const of = SOURCE_PARTS.filter((part) => part.id === id).reduce((sum, part) => sum + valuesOf(part), 0);
    return `  ${String(held.get(id) ?? 0).padStart(6)} of ${String(of).padEnd(6)} ${source}${edition === '' ? '' : `, ${edition}`} (${basis})`;
  });
  process.stdout.write(`\n  Values that agree, by source\n${lines.join('\n')}\n\n`);
});
