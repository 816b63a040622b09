/**
 * Spoils the layout of a formatted file and nothing else: other indentation, dashes at the column of their key, keys of steps and
 * results in another order, blanks and quotes where they do not matter.
 */

/** `next` gives numbers from 0 on. */
export function disarranged(text: string, next: () => number): string {
  const lines = text.split('\n');
  const width = 2 + (next() % 3);
  const flatDashes = next() % 2 === 0;
  return relaid(shuffled(lines, next), width, flatDashes)
    .map((line) => spoiled(line, next))
    .join('\n');
}

/**
 * Keys of steps and results, each with the lines under it, in another order; the first stays, since it stands behind the dash.
 */
function shuffled(lines: readonly string[], next: () => number): string[] {
  const result: string[] = [];
  for (let index = 0; index < lines.length;) {
    const line = lines[index] as string;
    const item = /^( *)- (?:step|when): /.exec(line);
    if (!item) {
      result.push(line);
      index++;
      continue;
    }
    const inside = `${item[1] ?? ''}  `;
    const keys: string[][] = [];
    let end = index + 1;
    for (; end < lines.length; end++) {
      const below = lines[end] as string;
      if (!below.startsWith(inside) || below.trim() === '' || below.trim().startsWith('#')) break;
      if (/^[a-z]/.test(below.slice(inside.length))) keys.push([below]);
      else keys.at(-1)?.push(below);
    }
    result.push(line);
    // A comment or a blank line further down would have to go with one of them.
    if (next() % 3 > 0 && keys.length > 1 && lines[end]?.startsWith(inside) !== true) {
      for (let count = keys.length - 1; count > 0; count--) {
        const other = next() % (count + 1);
        [keys[count], keys[other]] = [keys[other] as string[], keys[count] as string[]];
      }
    }
    result.push(...keys.flatMap((key) => shuffled(key, next)));
    index = end;
  }
  return result;
}

/** Another width for each level; dashes at the column of their key, or further in; the text of blocks goes with its key. */
function relaid(lines: readonly string[], width: number, flatDashes: boolean): string[] {
  // Columns of the open levels: as they were, as they become.
  const levels = [{ was: 0, is: 0 }];
  let block: { readonly was: number; readonly is: number } | undefined;
  const open = (was: number, isDash: boolean): number => {
    while ((levels.at(-1) as { was: number }).was > was) levels.pop();
    const top = levels.at(-1) as { was: number; is: number };
    if (top.was === was) return top.is;
    const is = top.is + (isDash ? (flatDashes ? 0 : width) : width);
    levels.push({ was, is });
    return is;
  };
  return lines.map((line, index) => {
    const text = line.trimStart();
    const column = line.length - text.length;
    if (text === '') return line;
    if (block && column > block.was) return ' '.repeat(block.is + width + column - block.was - 2) + text;
    block = undefined;
    if (text.startsWith('#')) {
      const next = lines.slice(index).find((below) => below.trim() !== '' && !below.trim().startsWith('#'));
      const isNext = next !== undefined && next.length - next.trimStart().length === column;
      const known = levels.find((level) => level.was === column);
      return ' '.repeat(isNext ? open(column, next.trimStart().startsWith('- ')) : (known?.is ?? column)) + text;
    }
    let is = open(column, text.startsWith('- '));
    const start = is;
    let was = column;
    for (let rest = text; rest.startsWith('- '); rest = rest.slice(2)) {
      was += 2;
      is += 2;
      levels.push({ was, is });
    }
    if (/^[^'"#]*: [|>][-+]?$/.test(line)) block = { was, is };
    return ' '.repeat(start) + text;
  });
}

/** Blanks where they do not matter. */
function spoiled(line: string, next: () => number): string {
  if (/^\s*#/.test(line)) return line;
  let result = line;
  if (next() % 4 === 0) result = result.replace(/^(\s*(?:- )*[a-z_]+): (?=[\p{L}{[])/u, '$1:   ');
  if (next() % 4 === 0) result = result.replace(/^(\s*(?:- )*[a-z_]+: )\{(.*)\}$/, '$1{ $2 }');
  return next() % 9 === 0 && result.endsWith('}') ? `${result}  ` : result;
}
