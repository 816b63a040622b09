/**
 * What the checklist page itself says: the table of the language in use, and words that are the same in all. Procedures bring
 * their own texts.
 */
import { ENGLISH } from './words-english.ts';
import { GERMAN } from './words-german.ts';

export type Language = 'en' | 'de';

/** A table with the keys of the English one, and any words. */
export type Words = Widened<typeof ENGLISH>;

type Widened<T> = T extends string
  ? string
  : T extends (...given: infer G) => string
    ? (...given: G) => string
    : { readonly [K in keyof T]: Widened<T[K]> };

export const TABLES: Readonly<Record<Language, Words>> = { en: ENGLISH, de: GERMAN };

/** The words of the language in use. */
export let WORDS: Words = ENGLISH;

let inUse: Language = 'en';

export function languageInUse(): Language {
  return inUse;
}

/** From here on the page speaks this language: what is shown already has to be drawn again. */
export function setLanguage(language: Language): void {
  inUse = language;
  WORDS = TABLES[language];
}

/** Narrow no-break space: between a number and its unit. */
const THIN = '\u202f';


/** '45 s', '12 min', '1 h 05 min'. */
export function durationWords(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  if (whole < 60) return `${whole}${THIN}s`;
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return whole % 60 && minutes < 10 ? `${minutes}${THIN}min ${whole % 60}${THIN}s` : `${minutes}${THIN}min`;
  return `${Math.floor(minutes / 60)}${THIN}h ${String(minutes % 60).padStart(2, '0')}${THIN}min`;
}

/** '4:05': what a countdown shows. */
export function clockWords(seconds: number): string {
  const whole = Math.max(0, Math.ceil(seconds));
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  const two = (n: number) => String(n).padStart(2, '0');
  return hours > 0 ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}

/** `motor_runs` as a person reads it. */
export function plainName(name: string): string {
  return name.replace(/_/g, ' ');
}

/** An answer to choose: 'yes' and its like in the language of the page, all else in the procedure's words. */
export function answerName(name: string): string {
  return Object.hasOwn(WORDS.answers, name) ? WORDS.answers[name as keyof Words['answers']] : plainName(name);
}

/** `in_review` as a person reads it; a status of the writer's own stays as it is. */
export function statusName(status: string): string {
  return Object.hasOwn(WORDS.status, status) ? WORDS.status[status as keyof Words['status']] : plainName(status);
}

/** A written quantity whose unit stays with its number at the end of a line: '600 V', 'CAT III 600 V'. */
export function tied(text: string): string {
  return text.replace(/(\d)\s+(?=[A-Za-zΩµ°%])/g, `$1${THIN}`);
}

/** '14:05:12', as the reader writes it. `at` in ms. */
export function timeOfDay(at: number): string {
  return new Date(at).toLocaleTimeString(inUse === 'de' ? 'de' : undefined, { hour: '2-digit', minute: '2-digit', second: '2-digit' });
}

/** First letter large. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** '25 Nov 2026, 09:30', in the reader's own order of day and month. */
export function momentWords(iso: string | undefined): string {
  const date = iso ? new Date(iso) : undefined;
  if (!date || Number.isNaN(date.getTime())) return iso ?? '';
  return date.toLocaleString(inUse === 'de' ? 'de' : undefined, { day: 'numeric', month: 'short', year: 'numeric', hour: '2-digit', minute: '2-digit' });
}
