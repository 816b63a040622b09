/** Puts the signal colours on the page's root element, where caution.css finds them: they have one source for all that is drawn. */
import { SIGNAL_COLOURS } from '../../../../server/src/render/signal-colours.ts';

export function setSignalVariables(root: HTMLElement): void {
  for (const [word, { ground, ink }] of Object.entries(SIGNAL_COLOURS)) {
    root.style.setProperty(`--${word}-ground`, ground);
    root.style.setProperty(`--${word}-ink`, ink);
  }
}
