/** Prints an HTML page to PDF with a headless Chromium, where there is one. */
import { spawn } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { accessSync, constants } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import type { Readable, Writable } from 'node:stream';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome', 'msedge', 'microsoft-edge'];

const USUAL_PLACES = [
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
];

/** Where a Chromium is: FAULTWRIGHT_CHROMIUM if set, else on the PATH, else in its usual places; undefined where there is none. */
export function findBrowser(variables: NodeJS.ProcessEnv = process.env): string | undefined {
  const named = variables['FAULTWRIGHT_CHROMIUM'];
  if (named) return named;
  const folders = (variables['PATH'] ?? '').split(delimiter).filter(Boolean);
  const names = process.platform === 'win32' ? NAMES.map((name) => `${name}.exe`) : NAMES;
  return [...folders.flatMap((folder) => names.map((name) => join(folder, name))), ...USUAL_PLACES].find(isProgram);
}

/** The page as PDF. Throws an error with a message for the user. */
export async function printPdf(html: string, browser: string): Promise<Uint8Array> {
  const profile = await mkdtemp(join(tmpdir(), 'faultwright-'));
  const chromium = spawn(browser, [
    '--headless', '--disable-gpu', '--disable-dev-shm-usage', '--no-first-run', '--disable-extensions', '--disable-background-networking',
    // Chromium refuses its sandbox to root; the page is ours, without scripts, and loads nothing.
    ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
    `--user-data-dir=${profile}`, '--remote-debugging-pipe',
  ], { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] });
  try {
    const ask = conversation(chromium);
    const work = async (): Promise<Uint8Array> => {
      const { targetId } = await ask('Target.createTarget', { url: 'about:blank' });
      const { sessionId } = await ask('Target.attachToTarget', { targetId, flatten: true });
      const { frameTree } = await ask('Page.getFrameTree', {}, sessionId as string);
      await ask('Page.setDocumentContent', { frameId: (frameTree as { frame: { id: string } }).frame.id, html }, sessionId as string);
      const { data } = await ask('Page.printToPDF', { printBackground: true, preferCSSPageSize: true, generateTaggedPDF: true }, sessionId as string);
      return Buffer.from(data as string, 'base64');
    };
    return await Promise.race([work(), failure(chromium)]);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new Error(`The browser ${browser} could not print the checklist: ${reason} Write it as .html and print it from a browser.`);
  } finally {
    await end(chromium);
    await rm(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 }).catch(() => undefined);
  }
}

type Answer = Record<string, unknown>;

/** The browser's debugging protocol over a pipe: JSON messages, each ended by a null character. */
function conversation(browser: ChildProcess): (method: string, params: object, sessionId?: string) => Promise<Answer> {
  const [, , , commands, answers] = browser.stdio as unknown as [null, null, null, Writable, Readable];
  const waiting = new Map<number, { resolve: (answer: Answer) => void; reject: (error: Error) => void }>();
  commands.on('error', () => undefined);
  answers.on('error', () => undefined);
  let rest: Buffer[] = [];
  answers.on('data', (chunk: Buffer) => {
    for (let from = 0; ;) {
      const end = chunk.indexOf(0, from);
      rest.push(chunk.subarray(from, end < 0 ? undefined : end));
      if (end < 0) return;
      const message = JSON.parse(Buffer.concat(rest).toString('utf8')) as { id?: number; result?: Answer; error?: { message: string } };
      rest = [];
      from = end + 1;
      const asker = message.id === undefined ? undefined : waiting.get(message.id);
      if (message.error) asker?.reject(new Error(`${message.error.message}.`));
      else asker?.resolve(message.result ?? {});
    }
  });
  let next = 0;
  return (method, params, sessionId) => new Promise((resolve, reject) => {
    const id = ++next;
    waiting.set(id, { resolve, reject });
    commands.write(`${JSON.stringify({ id, method, params, ...(sessionId === undefined ? {} : { sessionId }) })}\0`);
  });
}

/** Rejects when the browser cannot start, ends early, or takes more than a minute. */
function failure(browser: ChildProcess): Promise<never> {
  return new Promise((_, reject) => {
    browser.once('error', (error) => reject(new Error(`it did not start (${error.message}).`)));
    browser.once('exit', (code, signal) => reject(new Error(`it ended early (${signal ?? `code ${code ?? 'unknown'}`}).`)));
    setTimeout(() => reject(new Error('it did not answer within a minute.')), 60_000).unref();
  });
}

async function end(browser: ChildProcess): Promise<void> {
  if (browser.exitCode !== null || browser.signalCode !== null || browser.pid === undefined) return;
  const ended = new Promise<void>((resolve) => browser.once('exit', () => resolve()));
  browser.kill('SIGKILL');
  await ended;
}

function isProgram(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
