/**
 * Which text a file has: the editor's while it is open, the disk's otherwise. Reads folders, follows changes, and keeps the
 * workspace in step. It analyses nothing itself.
 */
import { DidChangeWatchedFilesNotification, FileChangeType } from 'vscode-languageserver';
import type { FileEvent, TextDocuments } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { kindOf } from '../analysis/file-paths.ts';
import { keyOfUri } from './convert.ts';
import { attempting } from './guard.ts';
import type { Session } from './session.ts';

const WATCHED = ['**/*.procedure.{yaml,yml}', '**/shop.{yaml,yml}', '**/assets.{yaml,yml}'];

/** Follows what is opened, changed and closed in the editor. */
export function followDocuments(session: Session, documents: TextDocuments<TextDocument>): void {
  documents.onDidOpen(({ document }) => attempting(session, 'opening a document', () => opened(session, document)));
  documents.onDidChangeContent(({ document }) => attempting(session, 'changing a document', () => changed(session, document)));
  documents.onDidClose(({ document }) => attempting(session, 'closing a document', () => closed(session, document)));
  documents.listen(session.connection);
}

/** Follows what changes on disk, where the editor can tell. */
export function followDisk(session: Session): void {
  session.connection.onDidChangeWatchedFiles(({ changes }) =>
    attempting(session, 'reading changed files', async () => {
      for (const change of changes) await changedOnDisk(session, change);
    }),
  );
  if (session.client.watchedFiles) {
    void session.connection.client.register(DidChangeWatchedFilesNotification.type, {
      watchers: WATCHED.map((globPattern) => ({ globPattern })),
    });
  }
}

/** Reads every file of ours in a folder of the workspace. */
export async function readFolder(session: Session, folder: string): Promise<void> {
  session.roots.add(folder);
  await readAll(session, await session.host.listFiles(folder));
}

/** Forgets a folder that left the workspace; what is open in it stays. */
export function dropFolder(session: Session, folder: string): void {
  session.roots.delete(folder);
  for (const key of session.workspace.files()) {
    if (isInside(folder, key) && !session.open.has(key) && ![...session.roots].some((root) => isInside(root, key)))
      forget(session, key);
  }
}

/** The key of an open document: an unsaved one is taken to lie in the first folder of the workspace, whose shop it shares. */
export function keyOfDocument(session: Session, uri: string): string {
  const key = keyOfUri(uri);
  if (!uri.startsWith('untitled:') || key.startsWith('untitled:/')) return key.replace(/^untitled:\//, '/');
  const name = key.slice('untitled:'.length);
  const root = [...session.roots][0];
  const named = kindOf(name) === 'other' ? `${name}.procedure.yaml` : name;
  return root === undefined ? `untitled:/${named}` : `${root}/${named}`;
}

function opened(session: Session, document: TextDocument): void {
  const key = keyOfDocument(session, document.uri);
  session.open.set(key, { key, document, seen: document.version });
  take(session, key, document);
  if (key.includes(':/') && !/^[a-z]:\//i.test(key)) return;
  if ([...session.roots].some((root) => isInside(root, key))) return;
  attempting(session, 'reading the neighbours of a file', async () => {
    await session.ready;
    await readAll(session, await session.host.listFilesAround(key));
  });
}

function changed(session: Session, document: TextDocument): void {
  const key = keyOfDocument(session, document.uri);
  const open = session.open.get(key);
  // The library that keeps the documents reports an opened one as changed, too.
  if (!open || open.seen === document.version) return;
  open.seen = document.version;
  take(session, key, document);
}

/** An unsaved YAML text may be anything: it is ours once it says so. */
function take(session: Session, key: string, document: TextDocument): void {
  const text = document.getText();
  if (document.uri.startsWith('untitled:') && !/^procedure\s*:/m.test(text)) {
    if (session.workspace.textOf(key) !== undefined) forget(session, key, document.uri);
    return;
  }
  setText(session, key, text);
}

async function closed(session: Session, document: TextDocument): Promise<void> {
  const key = keyOfDocument(session, document.uri);
  session.open.delete(key);
  const text = document.uri.startsWith('untitled:') ? undefined : await session.host.readFile(key);
  if (session.open.has(key)) return;
  if (text === undefined) forget(session, key, document.uri);
  else setText(session, key, text);
}

async function changedOnDisk(session: Session, change: FileEvent): Promise<void> {
  const key = keyOfUri(change.uri);
  if (kindOf(key) === 'other' || session.open.has(key)) return;
  const text = change.type === FileChangeType.Deleted ? undefined : await session.host.readFile(key);
  if (session.open.has(key)) return;
  if (text === undefined) forget(session, key);
  else setText(session, key, text);
}

async function readAll(session: Session, keys: readonly string[]): Promise<void> {
  await Promise.all(
    keys.map(async (key) => {
      if (session.open.has(key)) return;
      const text = await session.host.readFile(key);
      if (text !== undefined && !session.open.has(key)) setText(session, key, text);
    }),
  );
}

function setText(session: Session, key: string, text: string): void {
  session.workspace.setFile(key, text);
  session.publisher.changed(key);
}

function forget(session: Session, key: string, uri = session.files.uriOf(key)): void {
  session.publisher.removed(key, uri);
  session.workspace.removeFile(key);
}

function isInside(folder: string, key: string): boolean {
  return key.startsWith(folder.endsWith('/') ? folder : `${folder}/`);
}
