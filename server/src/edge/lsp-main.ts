/**
 * The language server on Node: files, journals and the way the editor speaks to it, by IPC or over standard input and output as
 * its arguments say. What the server answers is decided in lsp/.
 */
import { existsSync, readFileSync, realpathSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import type { ServerHost } from '../lsp/host.ts';
import { startServer } from '../lsp/server.ts';
import { diagnoseOnThread, diagnosisOnThread } from './diagnosis-thread.ts';
import { compileLate } from './engine-flags.ts';
import { findFiles, findFilesAround } from './find-files.ts';
import { gitTexts } from './git-texts.ts';
import { layoutOnThread } from './layout-worker.ts';
import { readTextFile } from './read-text-file.ts';
import { releasedTexts } from './released-texts.ts';
import { runStore } from './run-store.ts';

const SCRIPT = realpathSync(process.argv[1] ?? '.');
const BUNDLES = dirname(SCRIPT);
/** The package's folder. */
const HOME = dirname(BUNDLES);
/** In milliseconds: more than twice what the layout of 2,000 steps was seen to take. */
const LONGEST_LAYOUT = 10_000;

const host: ServerHost = {
  async readFile(key) {
    const file = await readTextFile(key);
    return 'text' in file ? file.text : undefined;
  },
  listFiles: async (folder) => (await findFiles(folder)).files,
  listFilesAround: findFilesAround,
  fileExists: existsSync,
  checkPage(check) {
    const page = join(HOME, 'server', 'docs', 'checks', `${check}.md`);
    return existsSync(page) ? pathToFileURL(page).href : undefined;
  },
  runs: runStore(),
  textsAt: gitTexts,
  releasedText: releasedTexts(),
  layout: layoutOnThread(join(BUNDLES, 'elk', 'elk.bundled.js'), LONGEST_LAYOUT),
  diagnosis: diagnosisOnThread(SCRIPT),
};

compileLate();
// Started as a thread, this file works out diagnoses and serves no editor.
if (!diagnoseOnThread()) serve();

function serve(): void {
  const connection = createConnection(ProposedFeatures.all);
  // What is printed here must not get into the stream of messages.
  console.log = console.info = (...words: unknown[]) => connection.console.log(words.map(String).join(' '));
  process.on('uncaughtException', (error) => connection.console.error(`uncaught: ${error.stack ?? String(error)}`));
  process.on('unhandledRejection', (reason) =>
    connection.console.error(`unhandled: ${reason instanceof Error ? reason.stack : String(reason)}`),
  );
  startServer(connection, host, versionOf());
}

function versionOf(): string {
  try {
    return (JSON.parse(readFileSync(join(HOME, 'package.json'), 'utf8')) as { version: string }).version;
  } catch {
    return 'unknown';
  }
}
