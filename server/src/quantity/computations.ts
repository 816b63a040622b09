/** placeholder */
import type { Rational } from './rational.ts';

export interface ComputationParameter {
  readonly name: string;
  readonly title: string;
  readonly dimension: string;
  /** May be left out; then this much, in base units, is taken. */
  readonly otherwise?: Rational;
}

export type ComputationOutcome = { readonly value: Rational } | { readonly problem: string };

export interface Computation {
  readonly name: string;
  readonly title: string;
  readonly parameters: readonly ComputationParameter[];
  /** The last parameter may be repeated. */
  readonly variadic?: true;
  /** True where no result is below zero. */
  readonly notNegative?: true;
  readonly result: { readonly dimension: string; readonly unit: string };
  readonly range: string;
  readonly source: string;
  readonly basis: 'read' | 'from memory' | 'common practice, no source';
  /** Arguments and result in base units. */
  compute(values: readonly Rational[]): ComputationOutcome;
}

export const COMPUTATIONS: readonly Computation[] = [];

export function findComputation(name: string): Computation | undefined {
  return COMPUTATIONS.find((each) => each.name === name);
}
