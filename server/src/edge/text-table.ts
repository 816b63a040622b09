/** Tables as lines of text and as CSV. It knows nothing of what is in them. */
import { displayWidth, harmlessLine } from '../render/harmless-text.ts';

/** Columns as wide as their widest cell, two spaces apart; numbers stand to the right. Every cell is one line, made safe to show. */
export function textTable(header: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  const numbers = header.map((_, at) => rows.length > 0 && rows.every((row) => typeof row[at] === 'number'));
  const lines = [header, ...rows].map((cells) => cells.map((cell) => harmlessLine(String(cell))));
  const widths = header.map((_, at) => Math.max(...lines.map((cells) => displayWidth(cells[at] ?? ''))));
  const shown = lines.map((cells) => cells.map((cell, at) => {
    const room = ' '.repeat((widths[at] ?? 0) - displayWidth(cell));
    if (numbers[at]) return room + cell;
    return at === cells.length - 1 ? cell : cell + room;
  }).join('  ').trimEnd());
  return `${shown.join('\n')}\n`;
}

/**
 * RFC 4180: a header line, CRLF, fields with commas, quotes or line breaks in quotes, quotes doubled. A field that a spreadsheet
 * would take for a formula gets an apostrophe in front, whatever white space or mark that cannot be seen it begins with.
 */
export function csvTable(header: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  const field = (value: string | number): string => {
    const text = typeof value === 'string' && FORMULA.test(value) ? `'${value}` : String(value);
    return /[",\r\n;\t]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
  };
  return [header, ...rows].map((row) => `${row.map(field).join(',')}\r\n`).join('');
}

/** What spreadsheets begin a formula with, in full width too; a tab or a carriage return at the very front is taken away by some of them. */
const FORMULA = /^(?:[\s\p{Cf}\p{Cc}]*[=+\-@\uff1d\uff0b\uff0d\uff20]|[\t\r\n])/u;
