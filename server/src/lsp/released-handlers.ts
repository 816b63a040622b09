/**
 * Finds out the last released text of open procedures, for the check that holds a revision against it. Never between a keystroke and its findings:
 * when a file is opened or saved, and after a pause in typing, as a commit may have come between.
 */
import type { TextDocuments } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { kindOf } from '../analysis/file-paths.ts';
import { keyOfDocument } from './documents.ts';
import { isVirtual } from './editor-files.ts';
import { attempting } from './guard.ts';
import type { Session } from './session.ts';

/** Files with their last released text, as far as it is known. */
export type ReleasedTexts = Map<string, string>;

/** After a file was opened or saved, in milliseconds: its findings come first. */
const SOON = 250;
/** How long nothing must have been typed, in milliseconds. */
const PAUSE = 1_500;
/** How long one look is good enough, in milliseconds. */
const BETWEEN = 10_000;

export function handleReleased(session: Session, documents: TextDocuments<TextDocument>, texts: ReleasedTexts): void {
  const lookedAt = new Map<string, number>();
  const timers = new Map<string, ReturnType<typeof setTimeout>>();

  function lookIn(wait: number, document: TextDocument): void {
    if (!session.client.git || !session.host.releasedText) return;
    const key = keyOfDocument(session, document.uri);
    if (document.uri.startsWith('untitled:') || isVirtual(key) || kindOf(key) !== 'procedure') return;
    stop(key);
    const timer = setTimeout(() => {
      lookedAt.set(key, performance.now());
      attempting(session, 'reading the released text', () => look(key));
    }, wait);
    timer.unref();
    timers.set(key, timer);
  }

  async function look(key: string): Promise<void> {
    await session.ready;
    const text = await session.host.releasedText?.(key);
    if (text === texts.get(key)) return;
    if (text === undefined) texts.delete(key);
    else texts.set(key, text);
    session.workspace.forgetFindings(key);
    session.publisher.changed(key);
  }

  function stop(key: string): void {
    clearTimeout(timers.get(key));
    timers.delete(key);
  }

  documents.onDidOpen(({ document }) => lookIn(SOON, document));
  documents.onDidSave(({ document }) => lookIn(SOON, document));
  documents.onDidChangeContent(({ document }) => {
    const at = lookedAt.get(keyOfDocument(session, document.uri));
    // Of one that was just opened a look is on its way.
    if (at !== undefined && performance.now() - at >= BETWEEN) lookIn(PAUSE, document);
  });
  documents.onDidClose(({ document }) => {
    const key = keyOfDocument(session, document.uri);
    stop(key);
    lookedAt.delete(key);
  });
}
