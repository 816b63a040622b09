/** Escaping for XML, SVG and HTML. Everything a writer wrote goes through one of these; no markup passes. */
import { harmlessLine, harmlessText } from './harmless-text.ts';

/** Text for an element or a double-quoted attribute, on one line. */
export function escapeMarkup(text: string): string {
  return escape(harmlessLine(text));
}

/** Text for an element, line breaks kept. */
export function escapeMarkupLines(text: string): string {
  return escape(harmlessText(text));
}

function escape(text: string): string {
  return text
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/'/g, '&#39;');
}
