/** The shape of a record, as `schemas/record.schema.json` describes it. Types alone. */
import type { ChainLink } from './chain.ts';
import type { CarriedOver, WalkLine } from './walk-state.ts';

export interface RunRecord {
  readonly format: 1;
  /** The run's own id. */
  readonly run: string;
  readonly procedure: RecordProcedure & { readonly purpose: 'fault_finding' | 'inspection'; readonly status?: string };
  /** Procedures run from it. */
  readonly called: readonly RecordProcedure[];
  /** Of the checklist that the run began with; `carriedOver` says by which it went on. */
  readonly contentHash: string;
  /** Where the run went on by another text of the procedure, in order. Absent: it did not. */
  readonly carriedOver?: readonly CarriedOver[];
  /** What stood against the procedure when the run was made. */
  readonly standing: { readonly errors: number; readonly warnings: number; readonly accepted: number; readonly remarks: readonly string[] };
  readonly asset?: string;
  readonly shop?: string;
  readonly facts: readonly { readonly name: string; readonly value: string; readonly source: 'asset' | 'given' }[];
  readonly people: readonly string[];
  /** The seal of each person named in it. Absent where the run had no salt. */
  readonly identities?: readonly RecordIdentity[];
  readonly startedAt: string;
  readonly endedAt: string;
  readonly workedSeconds: number;
  readonly instruments: readonly RecordInstrument[];
  readonly walk: readonly RecordLine[];
  readonly corrections: readonly RecordCorrection[];
  readonly acknowledged: readonly RecordAcknowledgement[];
  readonly defects: readonly RecordDefect[];
  readonly outcome: RecordOutcome;
  /** State name → the values it may have at the end: one where it is certain. */
  readonly statesAtEnd: Readonly<Record<string, readonly string[]>>;
  /** States not left as every ending should leave them, in words. */
  readonly notPutBack: readonly string[];
  readonly notes: readonly { readonly text: string; readonly step: string; readonly at: string; readonly person?: string }[];
  readonly photos: readonly RecordPhoto[];
  /** The pictures themselves, where the record carries them. */
  readonly attachments?: readonly RecordAttachment[];
  /** Where times run backward. */
  readonly clock: readonly string[];
  /** Cautions about the limits of any record. */
  readonly closing: readonly string[];
  /** How many events there are. */
  readonly count: number;
  readonly events: readonly ChainLink[];
  /** SHA-256, lower-case hex, of the canonical JSON of everything above, names of people as their seals (seal-people.ts). */
  readonly digest: string;
}

export interface RecordPhoto {
  readonly name: string;
  readonly digest?: string;
  readonly caption?: string;
  readonly step: string;
  readonly at: string;
  readonly person?: string;
}

export interface RecordAttachment {
  /** The photo's name. */
  readonly name: string;
  /** Media type: `image/jpeg`. */
  readonly type: string;
  /** SHA-256 of the file, lower-case hex. */
  readonly digest: string;
  /** The file, in base64. */
  readonly data: string;
}

export interface RecordIdentity {
  /** Name, number or pseudonym, as it stands in this record. */
  readonly person: string;
  /** SHA-256, lower-case hex, over the run's salt and the name that was given. */
  readonly seal: string;
}

export interface RecordProcedure {
  readonly name: string;
  readonly title: string;
  readonly revision?: string;
  readonly textHash: string;
}

export interface RecordInstrument {
  readonly instrument: string;
  readonly title: string;
  readonly category?: string;
  readonly accuracy?: string;
  /** The number of the very instrument, where it was given. */
  readonly id?: string;
  readonly calibratedUntil?: string;
}

export interface RecordLine {
  readonly kind: WalkLine['kind'];
  /** Titles from the procedure run down to the one of this step. */
  readonly inside: readonly string[];
  readonly procedure: string;
  readonly section?: 'steps' | 'after_repair';
  readonly step: string;
  readonly title: string;
  readonly number: number;
  readonly entries: readonly RecordEntry[];
  readonly words: string;
  readonly limits: readonly string[];
  readonly results: readonly string[];
  readonly judgement?: string;
  readonly remarks: readonly string[];
  readonly startedAt: string;
  readonly endedAt: string;
  readonly person?: string;
  /** The second person, at a step for two or more, where one was named. */
  readonly helper?: string;
  readonly instrument?: string;
  /** Until when that instrument is calibrated. */
  readonly calibratedUntil?: string;
}

export interface RecordEntry {
  /** Number of its event, from 1. */
  readonly event: number;
  readonly point?: string;
  readonly typed: string;
  readonly understood: string;
  /** The understood reading for other programs. Absent where it is no number, where UCUM has no code for its unit, and in records of earlier versions. */
  readonly quantity?: RecordQuantity;
  readonly at: string;
  readonly person?: string;
  /** What was first typed, where a correction counts in its place. */
  readonly original?: string;
}

/** A number with the UCUM code of its unit: 24.6 and `V`, 21 and `Cel`; `1` is a bare number. */
export interface RecordQuantity {
  readonly value: number;
  readonly ucum: string;
}

export interface RecordCorrection {
  /** Number of the correcting event, and of the one it corrects. */
  readonly event: number;
  readonly of: number;
  /** Absent for what was done rather than typed. */
  readonly original?: string;
  /** Absent where the entry was taken back. */
  readonly typed?: string;
  /** Numbers of the events that ceased to count with it. */
  readonly setAside: readonly number[];
  readonly at: string;
  readonly person?: string;
  readonly reason?: string;
}

export interface RecordAcknowledgement {
  readonly cautions: readonly string[];
  readonly step: string;
  readonly at: string;
  readonly person?: string;
}

export interface RecordDefect {
  readonly fault: string;
  readonly title: string;
  readonly grade?: 'minor' | 'major' | 'dangerous';
  readonly step: string;
  readonly procedure: string;
  readonly remedy?: string;
}

export interface RecordOutcome {
  readonly kind: 'passed' | 'referred' | 'found' | 'repaired' | 'stopped' | 'no_way_on';
  readonly words: string;
  readonly fault?: string;
  readonly faultTitle?: string;
  /** Faults not ruled out at the end, where none was found. */
  readonly faultsLeft: readonly string[];
  /** Of an inspection that passed, and of no other: the worst grade raised. */
  readonly verdict?: 'no_defect' | 'minor' | 'major' | 'dangerous';
  readonly remedies: readonly RecordRemedy[];
  /** Steps by which the repair was proved, as titles; empty where it was not. */
  readonly proof: readonly string[];
  /** What this means for the use of the asset: whether it may be used or driven, and what must be done first. */
  readonly disposition: string;
}

export interface RecordRemedy {
  readonly fault: string;
  readonly title: string;
  /** The remedy as the procedure gives it. */
  readonly remedy?: string;
  readonly carriedOut: boolean;
  readonly text?: string;
  readonly at: string;
  readonly person?: string;
}

export interface RecordProblem {
  readonly kind: 'not_a_record' | 'altered' | 'missing' | 'moved' | 'repeated' | 'not_complete' | 'does_not_follow' | 'picture';
  /** Number of the event it concerns. */
  readonly event?: number;
  readonly message: string;
}
