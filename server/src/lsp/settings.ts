/** Settings of the editor, read from what it answers; what it leaves out, or gives in another kind, is as it was shipped. */
import type { InlayHintSettings } from '../features/inlay-hints.ts';
import type { LensSettings } from '../features/code-lens.ts';

/** Those of a shop stand in its shop.yaml. */
export interface EditorSettings {
  readonly checkWholeFolder: boolean;
  readonly showHints: boolean;
  readonly inlayHints: InlayHintSettings;
  readonly codeLens: LensSettings;
}

export const DEFAULT_SETTINGS: EditorSettings = {
  checkWholeFolder: true,
  showHints: true,
  inlayHints: { otherUnits: true, minutesSoFar: true, faultsLeft: true },
  codeLens: { procedure: true, steps: true },
};

export function settingsFrom(given: unknown): EditorSettings {
  return filled(DEFAULT_SETTINGS, given);
}

/** The shape of `defaults`, with every switch that `given` has. */
function filled<T extends object>(defaults: T, given: unknown): T {
  const source = given !== null && typeof given === 'object' ? (given as Record<string, unknown>) : {};
  return Object.fromEntries(Object.entries(defaults).map(([key, usual]: [string, unknown]) => {
    const value = Object.hasOwn(source, key) ? source[key] : undefined;
    if (usual !== null && typeof usual === 'object') return [key, filled(usual, value)];
    return [key, typeof value === typeof usual ? value : usual];
  })) as T;
}
