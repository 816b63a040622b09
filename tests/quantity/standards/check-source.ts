/** Values of published sources, each a test; prints one line a source with how many were checked. */
import { afterAll, describe, expect, it } from 'vitest';
import { quantitySource } from '../../../server/src/quantity/sources.ts';

export interface SourceCheck {
  /** What the source says, as a person would look it up. */
  readonly says: string;
  readonly ours: () => number | string | undefined;
  readonly theirs: number | string;
  /** The greatest relative difference: half a step of the last printed digit, mostly. Left out: equal. */
  readonly within?: number;
  /** How many values this one check holds together, where it is not one. */
  readonly values?: number;
}

const held = new Map<string, { held: number; of: number }>();

/** Checks values of the source named in sources.ts; `note` says where in it, and how the values came here. */
export function checkSource(id: string, note: string, checks: readonly SourceCheck[]): void {
  const source = quantitySource(id);
  const count = held.get(id) ?? { held: 0, of: 0 };
  count.of += checks.reduce((sum, check) => sum + (check.values ?? 1), 0);
  held.set(id, count);
  describe(`${source?.source ?? id}: ${note}`, () => {
    it('is a listed source', () => expect(source).toBeDefined());
    it.each(checks.map((check) => [check.says, check] as const))('%s', (_, check) => {
      const ours = check.ours();
      if (typeof check.theirs === 'number' && check.within !== undefined) {
        expect(typeof ours).toBe('number');
        const off = Math.abs(Number(ours) - check.theirs);
        expect(off,
          `${String(ours)} against ${check.theirs}`).toBeLessThanOrEqual(Math.abs(check.theirs) * check.within || check.within);
      } else {
        expect(ours).toBe(check.theirs);
      }
      count.held += check.values ?? 1;
    });
  });
}

afterAll(() => {
  for (const [id, count] of held) {
    const source = quantitySource(id);
    process.stdout.write(`  ${count.held} of ${count.of} values agree: ${source?.source ?? id} (${source?.basis ?? 'no basis'})\n`);
  }
});

/** Half a step of the last digit of a printed number, as a share of it: `6.894757` was rounded at its sixth decimal. */
export function printed(text: string): { readonly theirs: number; readonly within: number } {
  const theirs = Number(text);
  const digits = /^-?(\d*)\.?(\d*)(?:[eE]([+-]?\d+))?$/.exec(text);
  const step = 10 ** (Number(digits?.[3] ?? 0) - (digits?.[2]?.length ?? 0));
  return { theirs, within: Math.abs((0.5 * step) / theirs) * (1 + 1e-9) };
}
