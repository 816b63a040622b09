/** What changed between two versions of a text: one stretch, with everything before and after it the same. */
import type { Span } from './span.ts';

export interface TextChange {
  /** Where the two versions begin to differ. */
  readonly start: number;
  /** Where they are the same again: in the old version, and in the new one. */
  readonly oldEnd: number;
  readonly newEnd: number;
}

/** Texts are compared in slices of this length first: comparing a slice is one call, whatever its length. */
const SLICE = 4096;

/** The shortest stretch whose replacement turns one text into the other; empty at both ends where they are equal. */
export function changeBetween(before: string, after: string): TextChange {
  const shorter = Math.min(before.length, after.length);
  let start = 0;
  while (start + SLICE <= shorter && before.slice(start, start + SLICE) === after.slice(start, start + SLICE)) start += SLICE;
  while (start < shorter && before.charCodeAt(start) === after.charCodeAt(start)) start++;
  let oldEnd = before.length;
  let newEnd = after.length;
  while (oldEnd - SLICE >= start && newEnd - SLICE >= start && before.slice(oldEnd - SLICE, oldEnd) === after.slice(newEnd - SLICE, newEnd)) {
    oldEnd -= SLICE;
    newEnd -= SLICE;
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
