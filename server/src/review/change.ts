/** What a review says: plain data, which text, page and JSON are made of. */
import type { Finding, WitnessStep } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';

/**
 * What a change bears on. `safety`: cautions, hazards, states, circuits, instruments, people, times of holding. `course`: limits, answers,
 * ways on, faults, order. `wording`: what is only said.
 */
export type Bearing = 'safety' | 'course' | 'wording';

/** Something that is written otherwise than before. */
export interface Change {
  readonly bearing: Bearing;
  /** The step or declaration it is at, as a person names it: 'listen', 'fault low_oil', 'head'. */
  readonly at: string;
  /** A sentence with the names in it. */
  readonly message: string;
  /** What was written, and what is; absent where there is nothing on that side. */
  readonly before?: string;
  readonly after?: string;
  readonly spanBefore?: Span;
  readonly spanAfter?: Span;
}

/** Something as it is written in one of the two revisions. */
export interface Written {
  readonly file: string;
  readonly span: Span;
  /** What is written there, on one line; absent where the place alone is meant, as where something is missing. */
  readonly text?: string;
  /** The line of `span`, from 1, where the text of the file is at hand. */
  readonly line?: number;
}

/** Something that a person who follows the procedure now meets otherwise, worked out over all its walks or from what is declared. */
export interface Effect {
  /** `risk`: something that kept people safe is less than it was. `gain`: more. `other`: neither, or not to be judged by a machine. */
  readonly kind: 'risk' | 'gain' | 'other';
  readonly message: string;
  /** The shortest walk that shows it. */
  readonly witness?: readonly WitnessStep[];
  /** The walk belongs to the text as it was. */
  readonly witnessIsBefore?: true;
  /** The step it is seen at, in the later text. */
  readonly span?: Span;
  /** What kept people safe, and what stands in its place. */
  readonly before?: Written;
  readonly after?: Written;
}

export interface Sheet {
  readonly file: string;
  readonly name: string;
  readonly title: string;
  readonly revision?: string;
  readonly status?: string;
}

export interface Comparison {
  readonly before?: Sheet;
  readonly after?: Sheet;
  readonly effects: readonly Effect[];
  /** Findings that the later text has and the earlier had not, and the reverse; accepted ones included. */
  readonly appeared: readonly Finding[];
  readonly gone: readonly Finding[];
  readonly changes: readonly Change[];
  /** Minutes to a finding on average, where both texts have faults. */
  readonly minutes?: { readonly before: number; readonly after: number };
  /** True where the walks were too many to follow one by one: an effect may then be missed or be none. */
  readonly approximate: boolean;
  /** The file had another name (or folder) in the earlier revision. */
  readonly renamed?: true;
}
