/** Long work over many files that lets messages in between: a keystroke or a cancellation never waits for the rest of it. */
import type { CancellationToken } from 'vscode-languageserver';

/** The longest stretch of work, in milliseconds. */
const STRETCH = 15;

/** Goes through the steps of some work; undefined where it was cancelled on the way. */
export async function takingTurns<R>(work: Generator<unknown, R>, token: CancellationToken): Promise<R | undefined> {
  for (let begun = performance.now(); ; ) {
    const step = work.next();
    if (step.done) return step.value;
    if (performance.now() - begun < STRETCH) continue;
    await turn();
    if (token.isCancellationRequested) return undefined;
    begun = performance.now();
  }
}

/** Resolves after the messages that lie ready were read. */
export function turn(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, 0));
}
