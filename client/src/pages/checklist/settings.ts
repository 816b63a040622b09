/** How the person wants the page: language, working hand, light, sound. Remembered by the browser, put on the page's root element. */
import { createContext } from 'preact';
import { setLanguage } from './words.ts';
import type { Language } from './words.ts';

export interface Settings {
  /** `auto`: what the file was made for, else what the browser asks for. */
  readonly language: 'auto' | Language;
  /** Buttons and marks stand on the side of this hand. */
  readonly hand: 'right' | 'left';
  /** `sun`: black on white, larger, whatever the device is set to. */
  readonly light: 'device' | 'sun';
  readonly sound: boolean;
  /** Keys for numbers: of the device, on the page, or `auto`: on the page where the device is worked by touch alone. */
  readonly keys: 'auto' | 'page' | 'device';
}

export const FIRST_SETTINGS: Settings = { language: 'auto', hand: 'right', light: 'device', sound: true, keys: 'auto' };

export interface SettingsInUse {
  readonly settings: Settings;
  readonly change: (part: Partial<Settings>) => void;
}

export const SettingsContext = createContext<SettingsInUse>({ settings: FIRST_SETTINGS, change: () => undefined });

const KEY = 'faultwright-page';

export function rememberedSettings(): Settings {
  try {
    return cleaned(JSON.parse(localStorage.getItem(KEY) ?? '{}'));
  } catch {
    return FIRST_SETTINGS;
  }
}

export function rememberSettings(settings: Settings): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(settings));
  } catch {
    // They hold as long as the page is open.
  }
}

/** Makes the page so. `made` is the language that the file was made for. */
export function applySettings(settings: Settings, made: Language | undefined): void {
  const language = settings.language === 'auto' ? (made ?? wantedLanguage(navigator.languages)) : settings.language;
  setLanguage(language);
  const root = document.documentElement;
  root.lang = language;
  root.dataset['hand'] = settings.hand;
  root.dataset['light'] = settings.light;
}

/** The first of the browser's languages that the page speaks; English where there is none. */
export function wantedLanguage(languages: readonly string[]): Language {
  for (const tag of languages) {
    const language = tag.slice(0, 2).toLowerCase();
    if (language === 'en' || language === 'de') return language;
  }
  return 'en';
}

/** What was stored may be of another version, or of another hand. */
function cleaned(stored: Partial<Record<keyof Settings, unknown>> | null): Settings {
  const one = <T>(value: unknown, possible: readonly T[], otherwise: T): T => possible.find((candidate) => candidate === value) ?? otherwise;
  return {
    language: one(stored?.language, ['auto', 'en', 'de'], 'auto'),
    hand: one(stored?.hand, ['right', 'left'], 'right'),
    light: one(stored?.light, ['device', 'sun'], 'device'),
    sound: stored?.sound !== false,
    keys: one(stored?.keys, ['auto', 'page', 'device'], 'auto'),
  };
}
