/** What changed between two versions of a text: one stretch, with everything before and after it the same. */
import type { Span } from './span.ts';

export interface TextChange {
  /** Where the two versions begin to differ. */
  readonly start: number;
  /** Where they are the same again: in the old version, and in the new one. */
  readonly oldEnd: number;
  readonly newEnd: number;
}

/** Texts are compared in slices first, long ones before short ones: comparing a slice is one call, whatever its length. */
const SLICES = [65_536, 2048] as const;

/** The latest answer: an edit is asked about by whoever follows it. */
let latest: { readonly before: string; readonly after: string; readonly change: TextChange } | undefined;

/** The shortest stretch whose replacement turns one text into the other; empty at both ends where they are equal. */
export function changeBetween(before: string, after: string): TextChange {
  if (latest?.before !== before || latest.after !== after) latest = { before, after, change: compared(before, after) };
  return latest.change;
}

function compared(before: string, after: string): TextChange {
  const shorter = Math.min(before.length, after.length);
  let start = 0;
  for (const length of SLICES) while (start + length <= shorter && before.slice(start, start + length) === after.slice(start, start + length)) start += length;
  while (start < shorter && before.charCodeAt(start) === after.charCodeAt(start)) start++;
  let oldEnd = before.length;
  let newEnd = after.length;
  for (const length of SLICES) {
    while (oldEnd - length >= start && newEnd - length >= start && before.slice(oldEnd - length, oldEnd) === after.slice(newEnd - length, newEnd)) {
      oldEnd -= length;
      newEnd -= length;
    }
  }
  while (oldEnd > start && newEnd > start && before.charCodeAt(oldEnd - 1) === after.charCodeAt(newEnd - 1)) {
    oldEnd--;
    newEnd--;
  }
  return { start, oldEnd, newEnd };
}

/** Where an old offset lies now; undefined where it touches what changed, so that no one can say. */
export function offsetAfter(change: TextChange, offset: number): number | undefined {
  if (offset < change.start) return offset;
  return offset > change.oldEnd ? offset + change.newEnd - change.oldEnd : undefined;
}

/** Where an old span lies now; undefined where an end of it touches what changed. */
export function spanAfter(change: TextChange, span: Span): Span | undefined {
  const start = offsetAfter(change, span.start);
  const end = offsetAfter(change, span.end);
  return start === undefined || end === undefined ? undefined : { start, end };
}
