/**
 * Values of published sources, as data: tests/quantity/standards.test.ts checks each, and the page of sources counts them. A part names
 * its row in server/src/quantity/sources.ts.
 */
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

export interface SourcePart {
  /** The row of sources.ts. */
  readonly id: string;
  /** Where in the source, and how the values came here. */
  readonly note: string;
  readonly checks: readonly SourceCheck[];
}

/** All parts, in the order in which their files were imported. */
export const SOURCE_PARTS: SourcePart[] = [];

/** Adds a part. */
export function checkSource(id: string, note: string, checks: readonly SourceCheck[]): void {
  SOURCE_PARTS.push({ id, note, checks });
}

/** How many values a part holds. */
export function valuesOf(part: SourcePart): number {
  return part.checks.reduce((sum, check) => sum + (check.values ?? 1), 0);
}

/** Half a step of the last digit of a printed number, as a share of it: `6.894757` was rounded at its sixth decimal. */
export function printed(text: string): { readonly theirs: number; readonly within: number } {
  const theirs = Number(text);
  const digits = /^-?(\d*)\.?(\d*)(?:[eE]([+-]?\d+))?$/.exec(text);
  const step = 10 ** (Number(digits?.[3] ?? 0) - (digits?.[2]?.length ?? 0));
  return { theirs, within: Math.abs((0.5 * step) / theirs) * (1 + 1e-9) };
}
