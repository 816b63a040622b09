/**
 * Keys for numbers on the page itself, each as large as a gloved thumb needs: the device's own keyboard would cover the limits and the
 * large button. What the keys write stands in the field, and any other keyboard writes there too.
 */
import { WORDS } from './words.ts';

interface NumberKeysProps {
  readonly typed: string;
  readonly onTyped: (typed: string) => void;
}

export function NumberKeys({ typed, onTyped }: NumberKeysProps) {
  const mark = WORDS.decimalMark;
  return (
    <div class="number-keys" role="group" aria-label={WORDS.keysTitle} data-test="number-keys">
      {['7', '8', '9', '4', '5', '6', '1', '2', '3', mark, '0'].map((key) => (
        <button key={key} type="button" class="plain number" data-key={key} disabled={key === mark && /[.,]/.test(typed)} onClick={() => onTyped(typed + key)}>
          {key}
        </button>
      ))}
      <button type="button" class="plain" data-key="back" aria-label={WORDS.keyBack} title={WORDS.keyBack} onClick={() => onTyped(withoutLast(typed))}>
        <svg viewBox="0 0 28 20" aria-hidden="true" focusable="false">
          <path d="M9 2h17v16H9L2 10z M13 6.5l7 7 M20 6.5l-7 7" />
        </svg>
      </button>
    </div>
  );
}

/** Overload is one thing, and goes as one. */
function withoutLast(typed: string): string {
  return typed === WORDS.overload ? '' : typed.slice(0, -1);
}

/** Whether this is a device that is worked by touch alone. */
export function touchAlone(): boolean {
  return typeof matchMedia === 'function' && matchMedia('(hover: none) and (pointer: coarse)').matches;
}
