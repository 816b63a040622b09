/** The words of editor features in the language of an editor. */
import { ENGLISH, type FeatureWords } from './words-english.ts';
import { GERMAN } from './words-german.ts';

/** By a locale as editors give it, `de` or `de-AT`; English where there is no other. */
export function featureWords(locale: string | undefined): FeatureWords {
  return /^de\b/i.test(locale ?? '') ? GERMAN : ENGLISH;
}
