/** The lines around a place in a text, with the place underlined: what a person needs to find it again. */
import type { LineIndex } from '../text/line-index.ts';
import type { Span } from '../text/span.ts';
import { displayWidth, harmlessText } from './harmless-text.ts';

export interface FrameLine {
  /** The line's number from 1; undefined under a line, where the underline stands. */
  readonly number: number | undefined;
  readonly text: string;
}

/**
 * The line where `span` begins, one before and one after, and the underline. Of a long line the part around the span is shown.
 * A span over several lines is underlined on its first.
 */
export function codeFrame(text: string, lines: LineIndex, span: Span, width = 100): FrameLine[] {
  const start = lines.positionAt(span.start);
  const end = lines.positionAt(Math.max(span.start, span.end));
  const own = lineText(text, lines, start.line);
  const until = end.line === start.line ? end.column : own.trimEnd().length;
  const shift = own.length > width ? Math.max(0, start.column - Math.floor(width / 3)) : 0;
  const cut = (line: string): string => {
    const part = line.slice(shift, shift + width);
    return `${shift > 0 && part ? '…' : ''}${part}${line.length > shift + width ? '…' : ''}`;
  };
  const lead = displayWidth(harmlessText(own.slice(shift, start.column))) + (shift > 0 ? 1 : 0);
  const length = displayWidth(harmlessText(own.slice(start.column, Math.min(until, shift + width))));
  const frame: FrameLine[] = [];
  const before = start.line > 0 ? lineText(text, lines, start.line - 1) : '';
  if (before.trim()) frame.push({ number: start.line, text: harmlessText(cut(before)) });
  frame.push({ number: start.line + 1, text: harmlessText(cut(own)) });
  frame.push({ number: undefined, text: `${' '.repeat(lead)}${'^'.repeat(Math.max(1, length))}` });
  const after = start.line + 1 < lines.lineCount ? lineText(text, lines, start.line + 1) : '';
  if (after.trim()) frame.push({ number: start.line + 2, text: harmlessText(cut(after)) });
  return frame;
}

function lineText(text: string, lines: LineIndex, line: number): string {
  const end = line + 1 < lines.lineCount ? lines.lineStart(line + 1) : text.length;
  return text.slice(lines.lineStart(line), end).replace(/[\r\n]+$/, '');
}
