/**
 * The procedure as its meaning needs it: names resolved to indexes, `next` resolved to a step, prose left behind. It is plain
 * JSON, so that a page can carry it. meaning.ts says what it does; explore.ts, the run engine, the planner and the drawings
 * all walk this and nothing else.
 */

/** Index of a step: those of `steps` in order, then those of `after_repair`. */
export type StepIndex = number;
export type StateIndex = number;
export type FactIndex = number;
export type FaultIndex = number;
export type CircuitIndex = number;

export interface ProgramState {
  readonly name: string;
  readonly values: readonly string[];
  /** Index of the value at the start; undefined: any of them. */
  readonly atStart: number | undefined;
  /** Values every ending must leave; undefined demands nothing. */
  readonly atEnd: readonly number[] | undefined;
  /** Values that someone must hold. */
  readonly held: readonly number[];
}

export interface ProgramFact {
  readonly name: string;
  /** Choices of a fact that is a word; empty for a number. */
  readonly choices: readonly string[];
  /** Choices that `applies_to` leaves; undefined: all. */
  readonly only: readonly number[] | undefined;
}

/** One of `values` must hold for `state`; a list of conditions must hold together. */
export interface Condition {
  readonly state: StateIndex;
  readonly values: readonly number[];
}

export interface Assignment {
  readonly state: StateIndex;
  readonly value: number;
}

export type Guard =
  | ({ readonly kind: 'state' } & Condition)
  | { readonly kind: 'fact'; readonly fact: FactIndex; readonly values: readonly number[] };

export interface ProgramCircuit {
  readonly name: string;
  /** Alternatives; empty: never dead. */
  readonly deadWhen: readonly (readonly Condition[])[];
  /** Alternatives; undefined: live whenever not dead. */
  readonly liveWhen: readonly (readonly Condition[])[] | undefined;
  /**
   * What makes it dead or live cannot be told: a name in it is unknown, or it would be dead whatever its states. Such an alternative holds never, and
   * what follows from it is not judged: the mistake is reported where it stands.
   */
  readonly unclear?: 'unknown name' | 'always dead';
}

export type Way =
  | { readonly kind: 'step'; readonly step: StepIndex }
  | { readonly kind: 'finds'; readonly fault: FaultIndex; readonly byElimination: boolean }
  | { readonly kind: 'refer' }
  | { readonly kind: 'passes' }
  /** Falls off the end of its list; `broken` where it names a step or fault that does not exist. */
  | { readonly kind: 'nowhere'; readonly broken?: true };

/** What selects a result. `text` is as written; the engine and the checks parse bands from it. */
export interface ProgramWhen {
  readonly kind: 'answer' | 'band' | 'choice' | 'ending' | 'found' | 'not_found' | 'otherwise' | 'missing';
  readonly text: string;
  /** Of a choice: its index in the fact. */
  readonly choice?: number;
  /** Of an ending: which, and of which fault of the procedure run (by name, as the two procedures differ). */
  readonly ending?: 'passed' | 'referred' | 'finds' | 'raised';
  readonly fault?: string;
}

export interface ProgramResult {
  readonly when: ProgramWhen;
  readonly rulesOut: readonly FaultIndex[];
  readonly leaves: readonly FaultIndex[] | undefined;
  readonly sets: readonly Assignment[];
  readonly raises: FaultIndex | undefined;
  readonly way: Way;
}

export interface ProgramStep {
  readonly index: StepIndex;
  readonly name: string;
  readonly section: 'steps' | 'after_repair';
  readonly kind: 'do' | 'ask' | 'measure' | 'decide' | 'run' | undefined;
  readonly needs: readonly Condition[];
  readonly during: readonly Assignment[];
  readonly sets: readonly Assignment[];
  readonly onlyIf: readonly Guard[];
  readonly circuit: CircuitIndex | undefined;
  readonly provesDead: CircuitIndex | undefined;
  /** Of a `decide` that names a fact with choices. */
  readonly decidesFact: FactIndex | undefined;
  /** Of a `run`: the name of the procedure. */
  readonly run: string | undefined;
  readonly repeatAtMost: number | undefined;
  readonly results: readonly ProgramResult[];
  /** The way on where the step has no results, or `only_if` passes it over is `passOver`. */
  readonly way: Way;
  /** The next step in the list: where a passed-over step leads. */
  readonly passOver: Way;
}

export interface Program {
  readonly name: string;
  readonly purpose: 'fault_finding' | 'inspection';
  readonly states: readonly ProgramState[];
  readonly facts: readonly ProgramFact[];
  readonly faults: readonly string[];
  /** For each fault, the step with which the proof of its repair begins; undefined where there is none. */
  readonly afterRepair: readonly (StepIndex | undefined)[];
  readonly circuits: readonly ProgramCircuit[];
  readonly steps: readonly ProgramStep[];
}
