/** The names of functions in expressions: the three of the language, and the computations of the catalogue. */
import { COMPUTATIONS } from './computations.ts';

export const FUNCTION_NAMES: ReadonlySet<string> = new Set(['min', 'max', 'abs', ...COMPUTATIONS.map((each) => each.name)]);
