/**
 * A finding: what is wrong, where, on which walk, and the way out. Plain data; it knows neither the editor's protocol nor
 * how it will be shown.
 */
import type { Place, Span } from '../text/span.ts';

/** Clean means no errors and no warnings; a hint is advice. */
export type Severity = 'error' | 'warning' | 'hint';

/** One step of a walk, and the result that led on from it (absent at the last step, or where a step has no results). */
export interface WitnessStep {
  readonly step: string;
  /** The result's `when` as the writer put it, or a word such as 'passed over'. */
  readonly result?: string;
  /** Where the step's name stands, where it is known. */
  readonly place?: Place;
}

export interface TextEdit {
  readonly file: string;
  readonly span: Span;
  readonly newText: string;
}

/** A way out that a machine can write. */
export interface Fix {
  /** A command to the editor, as a menu shows it: 'Insert the step that turns the isolator off'. */
  readonly title: string;
  readonly edits: readonly TextEdit[];
  /** True where a limit, unit, state, caution or branch changes: such a fix is never applied without being shown. */
  readonly altersMeaning: boolean;
}

export interface RelatedPlace extends Place {
  readonly message: string;
}

/** What a check reports: everything but its name and severity, which its metadata and the settings decide. */
export interface Report {
  readonly span: Span;
  /** What is wrong: one short sentence with the names in it. */
  readonly message: string;
  /** Why: the circumstance, in a sentence. The walk goes in `witness`, not here. */
  readonly note?: string;
  /** What to do, as a command. */
  readonly help?: string;
  /** The shortest walk that shows it. */
  readonly witness?: readonly WitnessStep[];
  /** The other culprits. */
  readonly related?: readonly RelatedPlace[];
  readonly fixes?: readonly Fix[];
  /** The step it concerns, for accepted deviations (`at:`) and for the checklist. */
  readonly step?: string;
  /** Another name it concerns (a fault, a state, a fact), which `at:` may give too. */
  readonly subject?: string;
  /** True where the exploration was cut short and the walk may not exist. */
  readonly approximate?: boolean;
}

export interface Acceptance {
  readonly by?: string;
  readonly because?: string;
}

export interface Finding extends Report {
  readonly check: string;
  readonly severity: Severity;
  readonly file: string;
  /** Set where the writer accepted the finding as a deviation; it stays visible but no longer counts. */
  readonly accepted?: Acceptance;
}

/** A problem that reading or building met, before any check ran: a report that knows its check's name. */
export interface Problem extends Report {
  readonly check: string;
}
