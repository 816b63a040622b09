/**
 * Asks the editor to ask again: when a change in one file alters hints, lenses or pulled findings of another that is open, or a setting changed.
 * It stands around the publisher, as every change of a text passes there.
 */
import type { Publisher } from './publish.ts';
import type { Session } from './session.ts';

/** How long after the last change, in milliseconds. */
const AFTER = 400;
/** Of more changed files than this it is not looked up what each of them alters. */
const MANY = 20;

/** The publisher, with every change noted. */
export function refreshing(session: () => Session, publisher: Publisher): Publisher {
  const changedFiles = new Set<string>();
  let timer: ReturnType<typeof setTimeout> | undefined;

  function note(key: string): void {
    session().quiet.disturbed();
    if (session().client.pullsOnly) session().pulled.changed(key);
    // An editor asks again by itself about the file that it changed.
    changedFiles.add(key);
    clearTimeout(timer);
    timer = setTimeout(look, AFTER);
    timer.unref();
  }

  function look(): void {
    const { open, workspace } = session();
    const changed = [...changedFiles];
    changedFiles.clear();
    const others = (key: string): boolean => workspace.dependants(key).some((dependant) => dependant !== key && open.has(dependant));
    if (open.size === 0) return;
    if (changed.length > MANY || changed.some((key) => (open.has(key) && open.size === 1 ? false : others(key)))) askAgain(session());
  }

  return {
    changed(key) {
      note(key);
      publisher.changed(key);
    },
    removed(key, uri) {
      note(key);
      publisher.removed(key, uri);
    },
    all() {
      session().pulled.allChanged();
      publisher.all();
      askAgain(session());
    },
    leaveClosed: () => publisher.leaveClosed(),
    start: () => publisher.start(),
  };
}

/** Only what the editor says it can be asked. */
function askAgain({ connection, client }: Session): void {
  const { refreshes } = client;
  if (refreshes.inlayHints) connection.languages.inlayHint.refresh().catch(ignored);
  if (refreshes.lenses) connection.sendRequest('workspace/codeLens/refresh').catch(ignored);
  if (refreshes.diagnostics && client.pullsOnly) connection.sendRequest('workspace/diagnostic/refresh').catch(ignored);
}

/** An editor that goes away answers no more. */
function ignored(): void {
  return undefined;
}
