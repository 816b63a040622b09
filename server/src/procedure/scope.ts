/**
 * What a procedure's names mean: its own declarations over those of its shop files (the nearest first), over the built-in
 * catalogue. A later declaration of the same name replaces the earlier one whole.
 */
import type {
  Asset, Caution, Circuit, Fact, Fault, Hazard, Instrument, Qualification, ShopValue, State,
} from './model.ts';

export interface Declared<T> {
  readonly item: T;
  readonly origin: 'catalogue' | 'shop' | 'procedure';
  /** The file that declares it; `catalogue:` and a name for the built-in ones. */
  readonly file: string;
}

export type Names<T> = ReadonlyMap<string, Declared<T>>;

export interface Scope {
  readonly states: Names<State>;
  readonly circuits: Names<Circuit>;
  readonly instruments: Names<Instrument>;
  readonly hazards: Names<Hazard>;
  readonly cautions: Names<Caution>;
  readonly qualifications: Names<Qualification>;
  readonly values: Names<ShopValue>;
  readonly facts: Names<Fact>;
  readonly faults: Names<Fault>;
  readonly terms: readonly { readonly term: string; readonly insteadOf: readonly string[] }[];
  readonly abbreviations: ReadonlyMap<string, string>;
  /** Check name → 'error' | 'warning' | 'hint' | 'off', as the nearest shop file that speaks of it says. */
  readonly settings: ReadonlyMap<string, string>;
  readonly assets: readonly Declared<Asset>[];
  /** The shop's name, and its files, nearest first. */
  readonly shopTitle: string | undefined;
  readonly shopFiles: readonly string[];
}
