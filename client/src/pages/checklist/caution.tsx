/**
 * A caution as a panel with its signal word: header in the safety colour (ANSI Z535.1), safety alert symbol where a person may be
 * hurt, then hazard, consequence and how to avoid it, in that order (ANSI Z535.6). Colour is never the only sign.
 */
import type { CautionSheet } from '../../../../server/src/run/checklist.ts';
import { plainName, WORDS } from './words.ts';

const SIGNALS = ['danger', 'warning', 'caution', 'notice'];

export function CautionPanel({ caution }: { readonly caution: CautionSheet }) {
  const known = SIGNALS.includes(caution.signal);
  const word = known ? WORDS.signals[caution.signal as keyof typeof WORDS.signals] : plainName(caution.signal).toUpperCase();
  return (
    <section class={`caution ${known ? `caution-${caution.signal}` : 'caution-other'}`} aria-label={word} data-test="caution">
      <p class="caution-word">
        {caution.signal !== 'notice' && <AlertSymbol />}
        <span>{word}</span>
      </p>
      <div class="caution-body">
        {caution.hazard && <p class="caution-hazard">{caution.hazard}</p>}
        {caution.consequence && <p>{caution.consequence}</p>}
        {caution.avoid && <p class="caution-avoid">{caution.avoid}</p>}
        {caution.wear.length > 0 && <p>{WORDS.wear(caution.wear.map(plainName).join(', '))}</p>}
      </div>
    </section>
  );
}

/** The safety alert symbol of ANSI Z535.4: an exclamation mark in a triangle, in the colour of the word. */
function AlertSymbol() {
  return (
    <svg class="caution-symbol" viewBox="0 0 24 22" aria-hidden="true" focusable="false">
      <path d="M12 0.8 L23.4 20.6 A0.9 0.9 0 0 1 22.6 22 L1.4 22 A0.9 0.9 0 0 1 0.6 20.6 Z" class="caution-symbol-field" />
      <path d="M10.7 7.2 h2.6 l-0.5 7 h-1.6 z M10.8 15.8 h2.4 v2.6 h-2.4 z" class="caution-symbol-mark" />
    </svg>
  );
}
