/** A field beside the entry of a step, with its own button. Enter takes it, and does not press the large button of the step. */
import { useState } from 'preact/hooks';

interface SideFieldProps {
  readonly label: string;
  readonly action: string;
  /** Hooks for tests: `TEST-field` and `TEST`. */
  readonly test: string;
  /** Most characters. */
  readonly longest: number;
  readonly onTake: (text: string) => void;
}

export function SideField({ label, action, test, longest, onTake }: SideFieldProps) {
  const [text, setText] = useState('');
  const take = (): void => {
    if (text.trim() !== '') onTake(text.trim());
  };
  return (
    <div class="side-field">
      <label>
        <span>{label}</span>
        <input
          type="text"
          class="wide"
          data-test={`${test}-field`}
          maxLength={longest}
          autoComplete="off"
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
          onKeyDown={(event) => {
            if (event.key !== 'Enter') return;
            event.preventDefault();
            take();
          }}
        />
      </label>
      <button type="button" class="plain" data-test={test} onClick={take}>
        {action}
      </button>
    </div>
  );
}
