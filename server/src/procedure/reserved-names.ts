/** Reports names that a band or an expression could not tell from something else: units, functions, keywords. */
import { reservedName } from '../quantity/reserved.ts';
import type { Name } from './model.ts';
import { shown, type Reader } from './reader.ts';

const MEANING = { unit: 'the spelling of a unit', function: 'a function', keyword: 'a word of bands' } as const;

/** `what` is what it names, as 'a fact'. */
export function reportReserved(reader: Reader, name: Name, what: string): void {
  const reserved = reservedName(name.value);
  if (reserved === undefined) return;
  reader.report('wrong-kind', {
    span: name.span, message: `'${shown(name.value)}' cannot name ${what}: in a band it is ${MEANING[reserved]}.`, help: 'Give it a longer name.',
  });
}
