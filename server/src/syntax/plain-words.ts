/** What the YAML library found wrong, in words that a writer of procedures understands, and what to do about it. */
import type { Problem } from '../findings/finding.ts';
import type { LibraryError } from './compose-piece.ts';
import type { SourcePiece } from './source-piece.ts';
import { shortened } from './yaml-traps.ts';

/** The errors that no repair met, one for each line: what follows on the same line follows from it. */
export function errorsInPlainWords(errors: readonly LibraryError[], piece: SourcePiece): Problem[] {
  const lines = new Set<number>();
  return errors.filter((error) => {
    const line = piece.text.lastIndexOf('\n', Math.max(0, error.start - 1));
    return !lines.has(line) && lines.add(line);
  }).map((error) => inPlainWords(error, piece));
}

/** One problem for an error. */
function inPlainWords(error: LibraryError, piece: SourcePiece): Problem {
  const { text } = piece;
  const at = Math.min(error.start, text.length);
  const lineStart = text.lastIndexOf('\n', Math.max(0, at - 1)) + 1;
  const lineEnd = text.indexOf('\n', at) < 0 ? text.length : text.indexOf('\n', at);
  const line = shortened(text.slice(lineStart, lineEnd));
  const words = wordsFor(error, text.slice(error.start, error.end), line);
  const start = piece.at(error.start);
  const end = Math.max(start, piece.at(Math.max(error.end, error.start)));
  return { check: 'yaml-syntax', span: { start, end }, ...words };
}

function wordsFor(error: LibraryError, found: string, line: string): { message: string; help: string } {
  const near = line === '' ? '' : ` in the line '${line}'`;
  const sign = shortened(found, 20);
  switch (error.code) {
    case 'ODD_SPACE':
      return { message: 'This line is indented with spaces that YAML does not take for spaces.', help: 'Indent with ordinary spaces, two for each level.' };
    case 'TAB_AS_INDENT':
      return { message: 'This line is indented with a tab, which YAML does not allow.', help: 'Indent with spaces, two for each level.' };
    case 'MISSING_CHAR':
      if (/quote/.test(error.message)) {
        return { message: 'A quotation mark is opened and never closed.', help: 'Close the text with the same quotation mark that opens it.' };
      }
      if (/followed by map values/.test(error.message)) {
        return { message: `'${line}' stands where a key is expected, and has no colon.`, help: "Write it as 'key: value', or indent it as part of the text above." };
      }
      if (/must end with a|Missing , /.test(error.message)) {
        return { message: `A list or map in brackets is not written to its end${near}.`, help: "Part its items with commas and close it with the bracket that fits: '[…]' or '{…}'." };
      }
      return { message: `Something is missing here${near}: ${error.message}.`, help: 'Compare the line with its neighbours.' };
    case 'BAD_INDENT':
      if (/sufficiently indented and end with/.test(error.message)) {
        return { message: `A '${/\]$/.test(error.message) ? '[' : '{'}' is opened and never closed.`, help: 'Close it on the same line, or indent every line up to the one that closes it.' };
      }
      return { message: `'${line}' is not indented as its neighbours are.`, help: 'Let all keys of one map, and all dashes of one list, begin at the same column.' };
    case 'BLOCK_AS_IMPLICIT_KEY':
    case 'MULTILINE_IMPLICIT_KEY':
      return { message: `There is a second colon where one 'key: value' is expected${near}.`, help: 'Put a text that holds a colon in quotes, or begin the second key on its own line, at the column of the first.' };
    case 'BAD_DQ_ESCAPE':
      return { message: `In double quotes a backslash begins a special sign, and '${sign}' is none.`, help: "Use single quotes: '…'." };
    case 'BAD_SCALAR_START':
      return { message: `A text cannot begin with '${sign.slice(0, 1)}'.`, help: 'Put the text in quotes.' };
    case 'UNEXPECTED_TOKEN':
      return { message: `'${sign === '' ? line : sign}' is not expected here${near}.`, help: 'If it belongs to a text, put the whole text in quotes.' };
    case 'BAD_ALIAS': case 'ALIAS_PROPS': case 'MULTIPLE_ANCHORS': case 'MULTIPLE_TAGS': case 'BAD_PROP_ORDER':
      return { message: `A text cannot begin with '*', '&' or '!'${near}.`, help: 'Put the text in quotes.' };
    case 'BLOCK_IN_FLOW':
      return { message: "Inside '[…]' or '{…}' a list cannot be written with dashes, nor a map line by line.", help: 'Write the whole of it line by line, without brackets.' };
    case 'TOO_DEEP':
      return { message: 'Lists and maps are nested more than 60 deep here; what lies deeper is not read.', help: 'Write it with fewer levels.' };
    case 'RESOURCE_EXHAUSTION': case 'IMPOSSIBLE':
      return { message: 'This part is too tangled to be read.', help: 'Write it with fewer levels and brackets.' };
    default:
      return { message: `YAML cannot read this${near}: ${error.message}.`, help: 'Compare the line with its neighbours.' };
  }
}
