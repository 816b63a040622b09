/** Breaks text into lines between words; a word longer than a line is broken inside, so nothing is ever cut off. */

/** Lines of at most `width`, as `measure` counts it. Ordinary spaces break; a no-break space (U+00A0, U+202F) does not. */
export function wrapText(text: string, width: number, measure: (part: string) => number): string[] {
  const lines: string[] = [];
  for (const paragraph of text.split('\n')) {
    let line = '';
    for (const word of paragraph.split(/[ \t]+/).filter(Boolean)) {
      const longer = line ? `${line} ${word}` : word;
      if (measure(longer) <= width) {
        line = longer;
        continue;
      }
      if (line) lines.push(line);
      line = word;
      while (measure(line) > width) {
        const part = fittingStart(line, width, measure);
        lines.push(part);
        line = line.slice(part.length);
      }
    }
    if (line) lines.push(line);
  }
  return lines.length > 0 ? lines : [''];
}

/** The longest start of a word that fits, preferring to break after an underscore, hyphen or slash; at least one character. */
function fittingStart(word: string, width: number, measure: (part: string) => number): string {
  let fitting = '';
  let good = '';
  for (const character of word) {
    if (fitting && measure(fitting + character) > width) break;
    fitting += character;
    if (/[_\-/]/.test(character)) good = fitting;
  }
  return good.length > fitting.length / 2 ? good : fitting;
}
