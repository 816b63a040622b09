/**
 * The typed model of what a writer wrote, with places. Any field may be missing: reading never fails. Names are not yet
 * resolved here (see scope.ts); bands and quantities are parsed but not judged.
 */
import type { Band, Expression } from '../quantity/expression.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { QuantityWord } from '../quantity/quantity-words.ts';
import type { Problem } from '../findings/finding.ts';
import type { ScalarNode } from '../syntax/tree.ts';
import type { Span } from '../text/span.ts';

/** A value with the place where it was written. */
export interface At<T> {
  readonly value: T;
  readonly span: Span;
  /** The scalar it came from, where there is one: maps positions inside the text to the file. */
  readonly node?: ScalarNode;
}

/** A text a person reads. */
export type Prose = At<string>;
/** A name that refers to something declared elsewhere. */
export type Name = At<string>;

/** States to hold or to bring about: state name → the values that will do (one, for `sets`). */
export interface StateCondition {
  readonly state: Name;
  readonly values: readonly Name[];
  readonly span: Span;
}

export type Status = 'draft' | 'in_review' | 'released' | 'withdrawn';
export type Purpose = 'fault_finding' | 'inspection';
export type StepKind = 'do' | 'ask' | 'measure' | 'decide' | 'run';
export type Judge = 'highest' | 'lowest' | 'mean' | 'spread' | 'each';
export type Grade = 'minor' | 'major' | 'dangerous';
export type SignalWord = 'danger' | 'warning' | 'caution' | 'notice';

/** How a walk goes on from a step or a result. `next` is the next step in the list. */
export type WayOn =
  | { readonly kind: 'go'; readonly step: Name; readonly span: Span }
  | { readonly kind: 'finds'; readonly fault: Name; readonly span: Span }
  | { readonly kind: 'by_elimination'; readonly fault: Name; readonly span: Span }
  | { readonly kind: 'refer'; readonly text: Prose; readonly span: Span }
  | { readonly kind: 'passes'; readonly span: Span }
  | { readonly kind: 'next'; readonly span: Span };

/** What a result's `when` says, after the kind of its step. */
export type When =
  | { readonly kind: 'answer'; readonly text: string; readonly span: Span }
  | { readonly kind: 'band'; readonly text: string; readonly band: Band | undefined; readonly span: Span; readonly node?: ScalarNode }
  | { readonly kind: 'choice'; readonly text: string; readonly span: Span }
  | { readonly kind: 'ending'; readonly text: string; readonly ending: 'passed' | 'referred' | 'finds' | 'raised'; readonly fault?: Name; readonly span: Span }
  | { readonly kind: 'found' | 'not_found'; readonly text: string; readonly span: Span }
  | { readonly kind: 'otherwise'; readonly text: string; readonly span: Span };

export interface Result {
  /** The whole list item. */
  readonly span: Span;
  readonly when?: When;
  readonly says?: Prose;
  readonly rulesOut: readonly Name[];
  /** Absent when the result has no `leaves`; an empty list leaves nothing. */
  readonly leaves?: readonly Name[];
  readonly sets: readonly StateCondition[];
  readonly raises?: Name;
  readonly way: WayOn;
}

/** A point of `at_each`, or a probe place of `at`. */
export interface Point {
  readonly name: Name;
  readonly title?: Prose;
  /** Probe → place, where the point gives its own. */
  readonly at: readonly Probe[];
}

export interface Probe {
  /** `red`, `black`, `port` … */
  readonly probe: Name;
  readonly place: Prose;
}

/** A caution named from the catalogue, or written out in place. */
export type CautionUse =
  | { readonly kind: 'named'; readonly name: Name }
  | { readonly kind: 'written'; readonly caution: Caution };

export interface Step {
  readonly span: Span;
  readonly section: 'steps' | 'after_repair';
  readonly name?: Name;
  /** Absent when none, or more than one, of the five kinds is given (the first one given then stands). */
  readonly kind?: StepKind;
  readonly kindSpan?: Span;
  readonly title?: Prose;
  /** `do`: one action each. */
  readonly actions: readonly Prose[];
  /** `ask`. */
  readonly question?: Prose;
  /** `measure`. */
  readonly quantity?: At<QuantityWord | string>;
  /** `decide`: an expression, or the name of a fact alone. */
  readonly decide?: { readonly text: string; readonly expression: Expression | undefined; readonly span: Span; readonly node?: ScalarNode };
  /** `run`. */
  readonly run?: Name;
  readonly text?: Prose;
  readonly why?: Prose;
  readonly note?: Prose;
  readonly needs: readonly StateCondition[];
  readonly during: readonly StateCondition[];
  readonly sets: readonly StateCondition[];
  /** Facts or states that must hold, else the step is passed over. */
  readonly onlyIf: readonly StateCondition[];
  readonly cautions: readonly CautionUse[];
  /** Where `cautions:` stands, or undefined. */
  readonly cautionsSpan?: Span;
  readonly hazards: readonly Name[];
  readonly instrument?: Name;
  readonly tools: readonly Prose[];
  readonly people?: At<number>;
  readonly time?: At<Quantity>;
  readonly wait?: At<Quantity>;
  readonly maxTime?: At<Quantity>;
  readonly rest?: At<Quantity>;
  readonly circuit?: Name;
  readonly range?: At<Quantity>;
  readonly at: readonly Probe[];
  readonly atEach: readonly Point[];
  readonly judge?: At<Judge>;
  /** There is a `judge`, and it cannot be read: it may be any. */
  readonly judgeUnread?: true;
  readonly seek?: { readonly text: string; readonly band: Band | undefined; readonly span: Span; readonly node?: ScalarNode };
  readonly provesDead?: Name;
  readonly repeatAtMost?: At<number>;
  /** The writer keeps it ahead of other tests, whatever the numbers say. */
  readonly keepFirst?: Span;
  readonly qualified: readonly Name[];
  readonly photo?: Prose;
  readonly figure?: Prose;
  readonly go?: Name;
  readonly results: readonly Result[];
  /** Where `results:` stands, or undefined when the step has none. */
  readonly resultsSpan?: Span;
}

export interface Fact {
  readonly name: Name;
  /** Choices of a fact that is a word; absent for a number. */
  readonly choices?: readonly Name[];
  readonly quantity?: At<QuantityWord | string>;
  readonly from?: Prose;
  readonly title?: Prose;
  readonly span: Span;
}

export interface State {
  readonly name: Name;
  readonly title?: Prose;
  readonly values: readonly Name[];
  readonly atStart?: Name;
  /** Values every ending must leave; absent demands nothing. */
  readonly atEnd?: readonly Name[];
  /** Values that someone must hold, and only briefly. */
  readonly held: readonly Name[];
  readonly changes: readonly StateChange[];
  readonly span: Span;
}

/** How to bring a state to a value: what a fix inserts and a plan counts. */
export interface StateChange {
  readonly to: Name;
  readonly do: readonly Prose[];
  readonly time?: At<Quantity>;
  readonly cautions: readonly CautionUse[];
  readonly span: Span;
}

export interface Circuit {
  readonly name: Name;
  readonly title?: Prose;
  readonly nominal?: At<Quantity>;
  /** As 'AC' or 'DC' after the nominal voltage says; absent: DC. */
  readonly current?: 'ac' | 'dc';
  /** Alternatives; dead when every condition of one of them holds. Absent: never dead. */
  readonly deadWhen?: readonly (readonly StateCondition[])[];
  /** Alternatives; absent: live whenever it is not dead. */
  readonly liveWhen?: readonly (readonly StateCondition[])[];
  /** How long stored energy needs to bleed away once isolated. */
  readonly dischargeWait?: At<Quantity>;
  /** IEC 61010 measurement category of the place, as CAT II. */
  readonly category?: Prose;
  readonly from?: Prose;
  readonly span: Span;
}

export interface Fault {
  readonly name: Name;
  readonly title?: Prose;
  readonly weight?: At<number>;
  readonly remedy?: Prose;
  /** Cautions shown with the remedy. */
  readonly cautions?: readonly CautionUse[];
  /** What the person who carries the remedy out must hold. */
  readonly qualified?: readonly Name[];
  readonly time?: At<Quantity>;
  readonly grade?: At<Grade>;
  /** A procedure that goes on from here. */
  readonly procedure?: Name;
  /** The step of `after_repair` with which the proof of this repair begins; else its first. */
  readonly afterRepair?: Name;
  readonly span: Span;
}

export interface Reference {
  readonly id: Name;
  readonly title?: Prose;
  readonly sheet?: Prose;
  readonly span: Span;
}

export interface AcceptedDeviation {
  readonly check?: Name;
  /** A step, or another name the finding concerns; absent: the whole procedure. */
  readonly at?: Name;
  readonly because?: Prose;
  readonly by?: Prose;
  readonly span: Span;
}

export interface Caution {
  readonly name: Name;
  readonly signal?: At<SignalWord | string>;
  readonly hazard?: Prose;
  readonly consequence?: Prose;
  readonly avoid?: Prose;
  readonly wear: readonly Name[];
  readonly covers: readonly Name[];
  readonly from?: Prose;
  readonly span: Span;
}

/** When a hazard arises; the conditions are alternatives. */
export interface HazardTriggers {
  /** States held while the step is done (`during`). */
  readonly during: readonly StateCondition[][];
  /** States that hold at the step, brought about by whatever step. */
  readonly states: readonly StateCondition[][];
  /** States the step itself (or one of its results) brings about. */
  readonly sets: readonly StateCondition[][];
  /** Phrases in `do`, `ask`, `text`, `title`: any case, whole words. */
  readonly words: readonly Prose[];
  /** Quantities measured. */
  readonly quantities: readonly Name[];
  /** Instruments and tools, by name. */
  readonly tools: readonly Name[];
  /** A live or not proved-dead circuit whose nominal voltage is above this. */
  readonly dcAbove?: At<Quantity>;
  readonly acAbove?: At<Quantity>;
}

export interface Hazard {
  readonly name: Name;
  readonly title?: Prose;
  readonly arisesFrom: HazardTriggers;
  readonly repeat: 'every_step' | 'once_before';
  /** Only a person with this qualification may do it. */
  readonly qualified?: Name;
  readonly from?: Prose;
  readonly span: Span;
}

export interface Instrument {
  readonly name: Name;
  readonly title?: Prose;
  /** As written: CAT III 600 V. */
  readonly category?: Prose;
  readonly measures: readonly InstrumentFunction[];
  /** Quantity → the words it shows (lit, dark). */
  readonly shows: readonly { readonly quantity: Name; readonly words: readonly Name[] }[];
  /** Until when it is calibrated (ISO 8601 dates): one, or one for each number where there are several. Absent: not said. */
  readonly calibrated?: readonly { readonly number?: Prose; readonly until: Prose }[];
  readonly span: Span;
}

export interface InstrumentFunction {
  readonly quantity: Name;
  readonly upTo?: At<Quantity>;
  readonly from?: At<Quantity>;
  readonly resolution?: At<Quantity>;
  /** As written: 0.5 % + 2 counts. */
  readonly accuracy?: Prose;
  readonly span: Span;
}

export interface ShopValue {
  readonly name: Name;
  readonly is?: At<Quantity>;
  readonly from?: Prose;
  readonly span: Span;
}

export interface Qualification {
  readonly name: Name;
  readonly title?: Prose;
  readonly from?: Prose;
  readonly span: Span;
}

export interface AppliesTo {
  readonly fact: Name;
  /** As written; a list gives alternatives. */
  readonly values: readonly Name[];
  readonly span: Span;
}

export interface Procedure {
  readonly file: string;
  readonly span: Span;
  readonly name?: Name;
  readonly title?: Prose;
  readonly revision?: At<string>;
  readonly status?: At<Status | string>;
  readonly purpose: Purpose;
  readonly purposeSpan?: Span;
  readonly complaint?: Prose;
  readonly approved?: { readonly by?: Prose; readonly on?: Prose; readonly span: Span };
  readonly appliesTo: readonly AppliesTo[];
  readonly interval?: Prose;
  readonly references: readonly Reference[];
  readonly facts: readonly Fact[];
  readonly states: readonly State[];
  readonly circuits: readonly Circuit[];
  readonly faults: readonly Fault[];
  readonly cautions: readonly Caution[];
  readonly hazards: readonly Hazard[];
  readonly instruments: readonly Instrument[];
  readonly values: readonly ShopValue[];
  readonly qualifications: readonly Qualification[];
  /** What the person doing the whole procedure must hold. */
  readonly qualified: readonly Name[];
  readonly steps: readonly Step[];
  readonly afterRepair: readonly Step[];
  readonly accept: readonly AcceptedDeviation[];
  readonly stepsSpan?: Span;
  readonly problems: readonly Problem[];
}

export interface Shop {
  readonly file: string;
  readonly span: Span;
  readonly title?: Prose;
  readonly states: readonly State[];
  readonly circuits: readonly Circuit[];
  readonly instruments: readonly Instrument[];
  readonly hazards: readonly Hazard[];
  readonly cautions: readonly Caution[];
  readonly qualifications: readonly Qualification[];
  readonly values: readonly ShopValue[];
  /** Wording settings: terms and the spellings they replace, abbreviations explained. */
  readonly terms: readonly { readonly term: Name; readonly insteadOf: readonly Prose[] }[];
  readonly abbreviations: readonly { readonly short: Name; readonly means: Prose }[];
  /** Check name → severity or `off`. */
  readonly checks: readonly { readonly check: Name; readonly setting: Name }[];
  readonly problems: readonly Problem[];
}

export interface Asset {
  readonly id: Name;
  readonly facts: readonly { readonly name: Name; readonly value: At<string> }[];
  readonly span: Span;
}

export interface Assets {
  readonly file: string;
  readonly span: Span;
  readonly assets: readonly Asset[];
  readonly problems: readonly Problem[];
}
