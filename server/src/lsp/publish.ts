/**
 * Decides when a file is analysed and tells the editor what was found: open files first, then the rest of the folders, one at a
 * time between messages, so that typing never waits. Findings of a file replace each other whole.
 */
import type { Diagnostic } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { toDiagnostic } from './convert.ts';
import { attempting, log } from './guard.ts';
import type { AnalysedParams } from './protocol.ts';
import type { Session } from './session.ts';

export interface Publisher {
  /** The text of a file changed: it, and what depends on it, is to be checked again. */
  changed(key: string): void;
  /** To be called before a file goes: those that leaned on it are checked again, and its own findings are cleared. */
  removed(key: string, uri: string): void;
  /** Everything again, as after a change of settings. */
  all(): void;
  /** Forgets what waits of files that nobody has open. */
  leaveClosed(): void;
  /** Nothing is sent before this: findings of a half-read folder would be wrong. */
  start(): void;
}

/** The longest time that a change waits for more of them, in milliseconds: it lets a burst of keys be one. */
const LONGEST_WAIT = 80;
/** Below this an analysis is so short that waiting would cost more than doing it twice. */
const SHORT = 16;

/** So long after an edit nothing is checked that nobody looks at, in milliseconds. */
const QUIET = 150;
/** In a workspace of more files than this, what was worked out of a closed one is let go of once its findings are told. */
const MANY_FILES = 300;

/** `watch` is told after each file how many still wait. */
export function createPublisher(session: () => Session, watch: (left: number) => void = () => undefined): Publisher {
  const waiting = new Set<string>();
  const sent = new Map<string, string>();
  let started = false;
  let timer: { readonly due: number; readonly cancel: () => void } | undefined;
  let lastEdit = -Infinity;
  /** What the latest check of an open file after an edit took, in milliseconds; what it took when it was opened says nothing of edits. */
  const costs = new Map<string, number>();

  function changed(key: string): void {
    waiting.add(key);
    if (session().open.has(key)) lastEdit = performance.now();
    for (const dependant of session().workspace.dependants(key)) waiting.add(dependant);
    const cost = costs.get(key) ?? 0;
    schedule(cost < SHORT ? 0 : Math.min(LONGEST_WAIT, cost / 2));
  }

  function removed(key: string, uri: string): void {
    for (const dependant of session().workspace.dependants(key)) if (dependant !== key) waiting.add(dependant);
    waiting.delete(key);
    sent.delete(key);
    if (started) send(uri, undefined, []);
    schedule(0);
  }

  function all(): void {
    for (const key of session().workspace.files()) waiting.add(key);
    schedule(0);
  }

  function start(): void {
    started = true;
    schedule(0);
  }

  function schedule(wait: number): void {
    if (!started || waiting.size === 0) return;
    const due = performance.now() + wait;
    if (timer) {
      if (timer.due <= due) return;
      timer.cancel();
    }
    if (wait === 0) {
      const immediate = setImmediate(turn);
      timer = { due, cancel: () => clearImmediate(immediate) };
    } else {
      const timeout = setTimeout(turn, wait);
      timer = { due, cancel: () => clearTimeout(timeout) };
    }
  }

  function turn(): void {
    timer = undefined;
    const key = nextKey();
    if (key === undefined) return;
    const quietIn = session().open.has(key) ? 0 : lastEdit + QUIET - performance.now();
    if (quietIn > 0) {
      schedule(quietIn);
      return;
    }
    waiting.delete(key);
    attempting(session(), `checking ${key}`, () => check(key));
    watch(waiting.size);
    schedule(0);
  }

  function leaveClosed(): void {
    for (const key of waiting) if (!session().open.has(key)) waiting.delete(key);
    watch(waiting.size);
  }

  /** The file that someone looks at comes first. */
  function nextKey(): string | undefined {
    const { open } = session();
    for (const key of waiting) if (open.has(key)) return key;
    for (const key of waiting) return key;
    return undefined;
  }

  function check(key: string): void {
    const { workspace, open, files, settings, connection, client } = session();
    const openFile = open.get(key);
    // An editor that asks for findings asks for those of closed files, too.
    if (!openFile && client.pullsOnly) return;
    if (!openFile && !settings.checkWholeFolder) {
      if (sent.delete(key)) send(files.uriOf(key), undefined, []);
      return;
    }
    const begun = performance.now();
    let analysis: Analysis;
    try {
      analysis = workspace.analyse(key);
    } catch (error) {
      // The findings that were true before stay: an empty list would say that all is well.
      log(session(), `checking ${key}`, error);
      return;
    }
    if (openFile) costs.set(key, costs.has(key) ? performance.now() - begun : 0);
    else costs.delete(key);
    const uri = files.uriOf(key);
    const version = openFile?.document.version;
    if (!client.pullsOnly) {
      const diagnostics = diagnosticsOf(session(), analysis);
      const said = JSON.stringify([version, diagnostics]);
      // A clean file that was never spoken of needs no empty list; an open one does, as its sign of life.
      const news = sent.has(key) ? sent.get(key) !== said : openFile !== undefined || diagnostics.length > 0;
      if (news) {
        sent.set(key, said);
        send(uri, version, diagnostics);
      }
    }
    if (!openFile && workspace.files().length > MANY_FILES) workspace.release(key);
    if (openFile && client.panels) {
      const params: AnalysedParams = { uri, version: version ?? null };
      void connection.sendNotification('faultwright/analysed', params);
    }
  }

  function send(uri: string, version: number | undefined, diagnostics: Diagnostic[]): void {
    void session().connection.sendDiagnostics(version === undefined ? { uri, diagnostics } : { uri, version, diagnostics });
  }

  return { changed, removed, all, leaveClosed, start };
}

/** The findings as the editor shows them: accepted deviations are left to reviews and checklists. */
export function diagnosticsOf(session: Session, analysis: Analysis): Diagnostic[] {
  return analysis.findings
    .filter((finding) => !finding.accepted && (session.settings.showHints || finding.severity !== 'hint'))
    .map((finding) => toDiagnostic(finding, analysis.lines, session.files, session.host.checkPage(finding.check)));
}
