/**
 * The colours of a caution's signal word, for paper, pages and drawings alike. ANSI Z535.1 names safety red, orange, yellow and blue by
 * Munsell notation and gives no screen values; these are the usual ones (from memory, near to ISO 3864-4 as well). The letters are the
 * standard's: white on red and blue, black on orange and yellow. Each pair has a contrast of at least 4.5 to 1 (WCAG 2.2, 1.4.3); a test
 * holds that.
 */
export interface SignalColours {
  readonly ground: string;
  readonly ink: string;
}

export const SIGNAL_COLOURS: Readonly<Record<'danger' | 'warning' | 'caution' | 'notice', SignalColours>> = {
  danger: { ground: '#c8102e', ink: '#ffffff' },
  warning: { ground: '#ff8200', ink: '#000000' },
  caution: { ground: '#ffd100', ink: '#000000' },
  notice: { ground: '#0072ce', ink: '#ffffff' },
};

/** The signal words, the gravest first. */
export const SIGNAL_WORDS = ['danger', 'warning', 'caution', 'notice'] as const;

export type SignalName = (typeof SIGNAL_WORDS)[number];

/** Whether a word is one of the four. */
export function isSignalName(word: string): word is SignalName {
  return (SIGNAL_WORDS as readonly string[]).includes(word);
}
