/**
 * The colours of a caution's signal word, after ANSI Z535.1 (safety red, orange, yellow and blue, as screen values from memory).
 * Each pair of word and ground has a contrast of at least 4.5 to 1 (WCAG 2.2, 1.4.3); a test holds that.
 */
export interface SignalColours {
  readonly ground: string;
  readonly ink: string;
}

export const SIGNAL_COLOURS: Readonly<Record<'danger' | 'warning' | 'caution' | 'notice', SignalColours>> = {
  danger: { ground: '#c8102e', ink: '#ffffff' },
  warning: { ground: '#ff8200', ink: '#000000' },
  caution: { ground: '#ffd100', ink: '#000000' },
  notice: { ground: '#005eb8', ink: '#ffffff' },
};

/** The signal words, the gravest first. */
export const SIGNAL_WORDS = ['danger', 'warning', 'caution', 'notice'] as const;

export type SignalName = (typeof SIGNAL_WORDS)[number];

/** Whether a word is one of the four. */
export function isSignalName(word: string): word is SignalName {
  return (SIGNAL_WORDS as readonly string[]).includes(word);
}
