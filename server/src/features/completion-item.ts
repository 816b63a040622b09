/** One thing that may be written at the cursor. Plain data; what an editor shows of it is decided in lsp/. */
import type { Span } from '../text/span.ts';
import type { FeatureWords } from './words-english.ts';

export type CompletionKind = 'key' | 'name' | 'word' | 'value' | 'skeleton' | 'quantity';

export interface Completion {
  readonly label: string;
  readonly kind: CompletionKind;
  /** A few words beside the label. */
  readonly detail?: string;
  /** Markdown; computed when someone looks at it. */
  readonly documentation?: (words?: FeatureWords) => string | undefined;
  readonly insert: string;
  /** `insert` holds places to fill: `${1:what}`, `${1|this,that|}`. */
  readonly snippet?: boolean;
  /** What is matched with what was typed, where that is not the label. */
  readonly filter?: string;
  /** What comes first in the list. */
  readonly order?: string;
  /** Replaces this in place of the list's span. */
  readonly replace?: Span;
  /** What a writer wants to see next: what may follow, or the parameters of a function. */
  readonly next?: 'suggestions' | 'parameters';
}

export interface Completions {
  readonly replace: Span;
  readonly items: readonly Completion[];
}

export function word(text: string, detail?: string): Completion {
  return { label: text, kind: 'word', insert: text, ...(detail === undefined ? {} : { detail }) };
}

/** A number as text that sorts as the number does. */
export function inOrder(index: number): string {
  return String(index).padStart(5, '0');
}

/** A place to fill by choosing: the first option stands there at once. Without options, a word that says what is wanted. */
export function choice(place: number, options: readonly string[], wanted: string): string {
  const shown = options.slice(0, MOST_OPTIONS).map((option) => option.replace(/[\\,|]/g, '\\$&'));
  return shown.length === 0 ? `\${${place}:${wanted}}` : `\${${place}|${shown.join(',')}|}`;
}

const MOST_OPTIONS = 40;
