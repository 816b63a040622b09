/** Texts and names as they are written into a procedure. Knows YAML's rules for one line, and what may be a name. */
import { reservedName } from '../quantity/reserved.ts';

/** A text on one line after a key or a dash: as it is where YAML lets it stand, else in quotes. */
export function lineText(text: string): string {
  const line = text.replace(/\s+/g, ' ').trim();
  return isPlain(line) ? line : quoted(line);
}

/** The same inside braces or brackets, where commas and brackets mean something. */
export function textInBraces(text: string): string {
  const line = text.replace(/\s+/g, ' ').trim();
  return isPlain(line) && !/[,[\]{}]/.test(line) ? line : quoted(line);
}

/** A name that the format takes, made of a text: small letters, digits and `_`, at most `longest` characters, none of `taken`. */
export function nameFrom(text: string, taken: ReadonlySet<string>, longest = 32): string {
  const words = text
    .normalize('NFKD')
    .toLowerCase()
    .replace(/ß/g, 'ss')
    .replace(/[\u0300-\u036f]/g, '')
    .replace(/['’]/g, '')
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== '');
  const telling = words.filter((word) => !SMALL_WORDS.has(word));
  let name = '';
  for (const word of telling.length > 0 ? telling : words) {
    if (name !== '' && name.length + word.length + 1 > longest) break;
    name += name === '' ? word.slice(0, longest) : `_${word}`;
  }
  if (!/^[a-z]/.test(name)) name = name === '' ? 'step' : `the_${name}`;
  if (name === 'null' || reservedName(name) !== undefined) name = `the_${name}`;
  if (!taken.has(name)) return name;
  for (let count = 2; ; count++) if (!taken.has(`${name}_${count}`)) return `${name}_${count}`;
}

/** Words that tell nothing in a name. */
const SMALL_WORDS = new Set([
  'a',
  'an',
  'the',
  'of',
  'to',
  'and',
  'or',
  'is',
  'are',
  'with',
  'at',
  'for',
  'does',
  'do',
  'it',
  'its',
  'that',
  'this',
  'by',
  'from',
]);

function isPlain(line: string): boolean {
  // Nothing that begins with a sign YAML knows, no `: ` or ` #` inside, no colon at its end, no word that is none.
  return (
    line !== '' &&
    !/^[\s\-?:,[\]{}#&*!|>'"%@`]/.test(line) &&
    !/:(?:\s|$)|\s#/.test(line) &&
    !/^(?:~|null|Null|NULL|---.*|\.\.\..*)$/.test(line) &&
    // eslint-disable-next-line no-control-regex
    !/[\x00-\x1f\x7f\u0085\u2028\u2029\ufeff]/.test(line)
  );
}

function quoted(line: string): string {
  return `'${line.replaceAll("'", "''")}'`;
}
