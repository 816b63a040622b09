/**
 * What can happen in a run. Events are the only truth of a run: they are kept in order, none is ever changed or removed, and
 * everything else is computed from them. Each carries its time and the person; the core asks no clock.
 */

interface Stamp {
  /** ISO 8601 with offset: `2026-11-25T09:30:00+01:00`. */
  readonly at: string;
  /** Who did it, as they give their name or number. Absent: the person the run was last handed to. */
  readonly person?: string;
}

/** The first event of every run. */
export interface StartedEvent extends Stamp {
  readonly kind: 'started';
  readonly procedure: string;
  readonly revision?: string;
  /** `contentHash` of the checklist that is run. */
  readonly contentHash: string;
  readonly asset?: string;
  /** Facts and data-sheet values known at the start, as written: those of the asset. */
  readonly facts: Readonly<Record<string, string>>;
  /** Calibration of the shop's instruments at the start. `id`: the number of the very instrument, where there are several. */
  readonly instruments?: readonly InstrumentCalibration[];
  /** Random text that names of people are sealed with (seal-people.ts); it is no part of what the chain covers. */
  readonly salt?: string;
}

export interface InstrumentCalibration {
  /** As the procedure names it. */
  readonly instrument: string;
  readonly id?: string;
  /** ISO 8601 date: the last day on which its calibration holds. */
  readonly calibratedUntil: string;
}

/** From here on the run goes by another text of the procedure, which agrees with the earlier one in all that was walked. */
export interface CarriedOverEvent extends Stamp {
  readonly kind: 'carried_over';
  /** `contentHash` of the checklist up to here, and from here on. */
  readonly was: string;
  readonly contentHash: string;
  readonly wasRevision?: string;
  readonly revision?: string;
}

/** Cautions of the step at hand, read and acknowledged, by name. */
export interface AcknowledgedEvent extends Stamp {
  readonly kind: 'acknowledged';
  readonly cautions: readonly string[];
}

/** The states that the step at hand needs hold: the person has seen to it. State name → value. */
export interface StatesConfirmedEvent extends Stamp {
  readonly kind: 'states_confirmed';
  readonly states: Readonly<Record<string, string>>;
}

/** A fact that the asset's data do not give, read from where the procedure says. */
export interface FactEvent extends Stamp {
  readonly kind: 'fact';
  readonly fact: string;
  readonly typed: string;
}

/** The answer to an `ask` step, at one point where it has points. */
export interface AnswerEvent extends Stamp {
  readonly kind: 'answer';
  /** The name of the step, as a guard against an entry meant for another. */
  readonly step?: string;
  readonly point?: string;
  readonly typed: string;
}

/** A reading of a `measure` step, at one point where it has points, as typed. */
export interface ReadingEvent extends Stamp {
  readonly kind: 'reading';
  readonly step?: string;
  readonly point?: string;
  readonly typed: string;
}

/** A `do` step is done. */
export interface DoneEvent extends Stamp {
  readonly kind: 'done';
  readonly step?: string;
}

/** The remedy of the fault found: carried out, or left for later. */
export interface RemedyEvent extends Stamp {
  readonly kind: 'remedy';
  readonly carriedOut: boolean;
  /** What was done, or why not. */
  readonly text?: string;
}

/**
 * Puts right an earlier entry. With `typed`, the entry counts as if this had been typed, and the walk after it is judged again:
 * later entries stand as long as they still belong to the walk. Without `typed`, the entry and all after it are taken back and
 * its step is open again. What was entered stays in the record either way.
 */
export interface CorrectionEvent extends Stamp {
  readonly kind: 'correction';
  /** Index, from 0, of the event that held the entry: an answer, reading, fact, done or remedy. */
  readonly of: number;
  readonly typed?: string;
  readonly reason?: string;
}

export interface NoteEvent extends Stamp {
  readonly kind: 'note';
  readonly text: string;
}

export interface PhotoEvent extends Stamp {
  readonly kind: 'photo';
  /** File name of the picture; never a path. */
  readonly name: string;
  /** SHA-256 of the picture's file, lower-case hex. */
  readonly digest?: string;
  /** What it shows, in the person's words. */
  readonly caption?: string;
  /** True where an earlier picture of this name is taken back: it stays among the events and counts no more. */
  readonly removed?: boolean;
}

/** The instrument in the hand: its own number and until when it is calibrated. */
export interface InstrumentEvent extends Stamp {
  readonly kind: 'instrument';
  /** As the procedure names it. */
  readonly instrument: string;
  readonly id: string;
  /** ISO 8601 date. */
  readonly calibratedUntil?: string;
}

/** The wait of the step at hand begins: what comes before it is done. It moves nothing. */
export interface WaitStartedEvent extends Stamp {
  readonly kind: 'wait_started';
  /** The name of the step, as a guard against a wait meant for another. */
  readonly step?: string;
  /** True where the person says that the wait was kept before: nothing is counted. */
  readonly already?: boolean;
}

export interface PausedEvent extends Stamp {
  readonly kind: 'paused';
}

export interface ResumedEvent extends Stamp {
  readonly kind: 'resumed';
}

/** From here on `who` works beside the person, as steps for two people want; an empty text: nobody any more. */
export interface HelperEvent extends Stamp {
  readonly kind: 'helper';
  readonly who: string;
}

/** From here on `to` does the work. */
export interface HandedOverEvent extends Stamp {
  readonly kind: 'handed_over';
  readonly to: string;
}

/** Given up before an ending. */
export interface StoppedEvent extends Stamp {
  readonly kind: 'stopped';
  readonly reason: string;
}

/** The ending that the walk has reached is agreed to; nothing can follow. */
export interface FinishedEvent extends Stamp {
  readonly kind: 'finished';
}

export type RunEvent =
  | StartedEvent | AcknowledgedEvent | StatesConfirmedEvent | FactEvent | AnswerEvent | ReadingEvent | DoneEvent | RemedyEvent
  | CorrectionEvent | NoteEvent | PhotoEvent | InstrumentEvent | PausedEvent | ResumedEvent | HelperEvent | HandedOverEvent
  | StoppedEvent | FinishedEvent | CarriedOverEvent | WaitStartedEvent;
