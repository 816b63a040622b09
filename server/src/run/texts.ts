/** Words that several parts of a run share. Nothing here decides anything. */

/**
 * A text with the names in braces replaced: `Set the relief valve to {relief_pressure}.` A name that `valueOf` does not know
 * is shown in the words of the name, so that nobody takes it for a value: '(relief pressure)'.
 */
export function fillText(text: string, valueOf: (name: string) => string | undefined): string {
  return text.replace(NAME_IN_TEXT, (_, name: string) => valueOf(name) ?? `(${plainWords(name)})`);
}

/** The names that a text shows the value of. */
export function namesInText(text: string): string[] {
  return [...text.matchAll(NAME_IN_TEXT)].map((match) => match[1] ?? '');
}

const NAME_IN_TEXT = /\{([a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)?)\}/g;

/** A name in words: `tilt_sensor` → 'tilt sensor'. */
export function plainWords(name: string): string {
  return name.replace(/[_.]+/g, ' ').trim();
}

/** With a capital first letter. */
export function capitalised(text: string): string {
  const first = text.slice(0, 1);
  return first.toUpperCase() + text.slice(1);
}

/** With a small first letter, unless the word is an abbreviation or a unit (`ABS sensor`, `V belt`). */
export function uncapitalised(text: string): string {
  return /^\p{Lu}\p{Ll}/u.test(text) ? text.slice(0, 1).toLowerCase() + text.slice(1) : text;
}

/** 'a', 'a or b', 'a, b or c'. */
export function orList(words: readonly string[]): string {
  return joined(words, 'or');
}

/** 'a', 'a and b', 'a, b and c'. */
export function andList(words: readonly string[]): string {
  return joined(words, 'and');
}

/** Without a full stop at its end, so that a sentence can go on. */
export function withoutStop(text: string): string {
  return text.trim().replace(/[.\s]+$/u, '');
}

/** '40 s', '2 min', '1 h 5 min'. */
export function durationWords(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  if (whole < 60) return `${whole} s`;
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return whole % 60 === 0 || minutes >= 10 ? `${minutes} min` : `${minutes} min ${whole % 60} s`;
  return minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

function joined(words: readonly string[], last: string): string {
  if (words.length <= 1) return words[0] ?? '';
  return `${words.slice(0, -1).join(', ')} ${last} ${words[words.length - 1]}`;
}
