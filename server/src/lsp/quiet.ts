/**
 * Waits for a pause in typing, so that what is only looked at (hints, lenses, colours) never stands between a keystroke and its findings. It knows
 * no document.
 */
import type { CancellationToken } from 'vscode-languageserver';

export interface Quiet {
  /** A text has just changed. */
  disturbed(): void;
  /** Resolves with true after a pause, with false as soon as the answer is no longer wanted. */
  wait(token: CancellationToken): Promise<boolean>;
}

/** How long nothing must have changed, in milliseconds: a little longer than between two keys of a fast typist. */
const PAUSE = 120;
/** Someone who types without end sees hints all the same, now and then. */
const LONGEST_WAIT = 2_000;

export function createQuiet(): Quiet {
  let last = -Infinity;
  return {
    disturbed() {
      last = performance.now();
    },
    async wait(token) {
      const begun = performance.now();
      for (;;) {
        // Messages that lie ready, a cancellation among them, are read first.
        await sleep(Math.max(1, last + PAUSE - performance.now()), token);
        if (token.isCancellationRequested) return false;
        const now = performance.now();
        if (now - last >= PAUSE || now - begun >= LONGEST_WAIT) return true;
      }
    },
  };
}

function sleep(milliseconds: number, token: CancellationToken): Promise<void> {
  return new Promise((resolve) => {
    const done = (): void => {
      clearTimeout(timer);
      listening.dispose();
      resolve();
    };
    const timer = setTimeout(done, milliseconds);
    const listening = token.onCancellationRequested(done);
  });
}
