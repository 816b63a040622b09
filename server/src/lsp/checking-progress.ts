/**
 * Tells the editor how far the check of a large folder has come, and lets a person end it: then the open files alone are checked until something
 * changes. Knows nothing of findings.
 */
import type { WorkDoneProgressServerReporter } from 'vscode-languageserver';
import { attempting } from './guard.ts';
import type { Session } from './session.ts';

/** Fewer files than this are done before anyone could read of it. */
const MANY_FILES = 100;
/** Milliseconds between two reports. */
const BETWEEN = 200;

/** To be told how many files still wait, after each. */
export function createCheckingProgress(session: () => Session): (left: number) => void {
  let most = 0;
  let reporter: WorkDoneProgressServerReporter | undefined;
  let asked = false;
  let reportedAt = 0;

  async function begin(): Promise<void> {
    const created = await session().connection.window.createWorkDoneProgress();
    if (!asked) return;
    created.begin(session().words.progress.checking, 0, undefined, true);
    created.token.onCancellationRequested(() => session().publisher.leaveClosed());
    reporter = created;
  }

  function end(): void {
    reporter?.done();
    reporter = undefined;
    asked = false;
    most = 0;
  }

  return (left) => {
    most = Math.max(most, left);
    if (left === 0) return end();
    if (!asked && left >= MANY_FILES && session().client.workDoneProgress) {
      asked = true;
      attempting(session(), 'showing progress', begin);
    }
    const now = performance.now();
    if (!reporter || now - reportedAt < BETWEEN) return;
    reportedAt = now;
    reporter.report(Math.floor((100 * (most - left)) / most), session().words.progress.of(most - left, most));
  };
}
