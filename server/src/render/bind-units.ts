/** Keeps a number and its unit on one line, with a thin space between them, as print does. */
import { isUnitSpelling } from '../quantity/unit.ts';

/** The text with U+202F (narrow no-break space) between each number and the unit that follows it. */
export function bindUnits(text: string): string {
  return text.replace(/(\d)[ \u00a0]([^\s\d,;:()[\]{}"'?!]+)/g, (whole, digit: string, word: string) => {
    const unit = word.replace(/\.+$/, '');
    return isUnitSpelling(unit) && !NOT_UNITS.has(unit) ? `${digit}\u202f${word}` : whole;
  });
}

/** Spellings of units that are more often words in a sentence. */
const NOT_UNITS = new Set(['in', 'at', 'a', 'to', 'as', 'and', 'or']);
