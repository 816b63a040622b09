/** The functions of expressions as a person reads them: parameters with their units, the result, the range, the source. Knows no place in a text. */
import { findComputation } from '../quantity/computations.ts';
import type { Computation, ComputationParameter } from '../quantity/computations.ts';
import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { describeQuantityWord, QUANTITY_WORDS } from '../quantity/quantity-words.ts';
import { lookUpUnit } from '../quantity/unit.ts';

export interface SignatureParameter {
  /** As it stands in the signature's label. */
  readonly name: string;
  /** Markdown. */
  readonly says: string;
}

export interface FunctionSignature {
  /** `state_of_charge(voltage, [temperature]) → %`. */
  readonly label: string;
  readonly title: string;
  readonly parameters: readonly SignatureParameter[];
  /** The last parameter may be repeated. */
  readonly variadic: boolean;
  /** Markdown: title, what it gives, range and source. */
  readonly says: string;
}

/** Undefined for a name that is no function. */
export function functionSignature(name: string): FunctionSignature | undefined {
  const computation = findComputation(name);
  return computation ? ofComputation(computation) : LANGUAGE.get(name);
}

/** Units in which a shop reads a dimension, the most usual first; empty where none is usual. */
export function unitsOfDimension(dimension: string): readonly string[] {
  const word = QUANTITY_WORDS.map(describeQuantityWord).find((one) => one.dimension === dimension && one.usualUnits.length > 0);
  return word?.usualUnits ?? [];
}

/** `V, mV or kV`. */
export function unitsInWords(units: readonly string[]): string {
  return units.length < 2 ? units.join('') : `${units.slice(0, -1).join(', ')} or ${units.at(-1) ?? ''}`;
}

function ofComputation(computation: Computation): FunctionSignature {
  const { title, parameters, result, range, source, basis } = computation;
  const shown = parameters.map((parameter) => (parameter.otherwise === undefined ? parameter.name : `[${parameter.name}]`));
  return {
    label: `${computation.name}(${shown.join(', ')}${computation.variadic ? ', …' : ''}) → ${result.unit}`,
    title,
    parameters: parameters.map((parameter, index) => ({ name: shown[index] ?? parameter.name, says: parameterSays(parameter) })),
    variadic: computation.variadic === true,
    says: [
      `${title}, in ${result.unit}.`,
      `Range: ${range}.`,
      `*Source: ${source}${basis === 'read' ? '' : ` (${basis})`}*`,
    ].join('\n\n'),
  };
}

function parameterSays({ title, dimension, otherwise }: ComputationParameter): string {
  const units = unitsOfDimension(dimension);
  const unit = lookUpUnit(units[0] ?? '')?.unit;
  const left = otherwise === undefined ? '' : ` May be left out: then ${formatQuantityPlain({ base: otherwise, unit })} is taken.`;
  return `${title}${units.length > 0 ? `, in ${unitsInWords(units)}` : ''}.${left}`;
}

const ONE = { name: 'quantity', says: 'A quantity, a reading, a fact or a value.' };
const ANY = { name: 'quantity', says: 'A quantity, a reading, a fact or a value; all of one kind.' };

/** The three of the language itself. */
const LANGUAGE: ReadonlyMap<string, FunctionSignature> = new Map([
  ['min', ofLanguage('min(quantity, …)', 'The least of its quantities', ANY, true)],
  ['max', ofLanguage('max(quantity, …)', 'The greatest of its quantities', ANY, true)],
  ['abs', ofLanguage('abs(quantity)', 'The size of a quantity, its sign left out', ONE, false)],
]);

function ofLanguage(label: string, title: string, parameter: SignatureParameter, variadic: boolean): FunctionSignature {
  return { label, title, parameters: [parameter], variadic, says: `${title}, in ${variadic ? 'their' : 'its'} unit.` };
}
