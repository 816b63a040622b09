/**
 * Starts a real workbench with the packaged extension in it and drives it through a browser. Every start has a home of its own, so
 * that tests do not see each other. Must not know the product beyond what a user sees of it.
 */
import { spawn, execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, FrameLocator, Page } from 'playwright-core';
import { launchBrowser } from '../browser/chromium.ts';
import { installWorkbench } from './install-workbench.ts';

export interface Workbench {
  readonly url: string;
  /**
   * Opens a folder, and a file in it where one is given, in a new page and waits until the workbench stands. `language`: what the
   * editor says its display language is, as a language pack makes it; its own words stay English.
   */
  open(folder: string, file?: string, language?: string): Promise<Page>;
  stop(): Promise<void>;
}

const SETTINGS = {
  'security.workspace.trust.enabled': false,
  'workbench.startupEditor': 'none',
  'extensions.autoUpdate': false,
  'extensions.autoCheckUpdates': false,
  'telemetry.telemetryLevel': 'off',
  'update.mode': 'none',
  'git.enabled': false,
  'chat.disableAIFeatures': true,
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'editor.hover.delay': 100,
  'files.autoSave': 'off',
};

/** `vsix` is the packaged extension; `settings` are added to ours. */
export async function startWorkbench(vsix: string, settings: Record<string, unknown> = {}): Promise<Workbench> {
  const { node, entry } = installWorkbench();
  const home = mkdtempSync(join(tmpdir(), 'faultwright-editor-'));
  const userData = join(home, 'data');
  const folders = ['--user-data-dir', userData, '--extensions-dir', join(home, 'extensions')];
  const env = { ...process.env, HOME: home, XDG_CONFIG_HOME: join(home, 'config'), XDG_DATA_HOME: join(home, 'share') };
  mkdirSync(join(userData, 'User'), { recursive: true });
  writeFileSync(join(userData, 'User', 'settings.json'), JSON.stringify({ ...SETTINGS, ...settings }));
  execFileSync(node, [entry, ...folders, '--install-extension', vsix], { env, stdio: ['ignore', 'pipe', 'pipe'] });

  const port = await freePort();
  const url = `http://127.0.0.1:${port}`;
  const server = spawn(
    node,
    [
      entry,
      ...folders,
      '--bind-addr',
      `127.0.0.1:${port}`,
      '--auth',
      'none',
      '--disable-telemetry',
      '--disable-update-check',
      '--disable-workspace-trust',
      '--disable-getting-started-override',
    ],
    { env, detached: true, stdio: 'ignore' },
  );
  const ended = new Promise<void>((resolve) => server.once('exit', () => resolve()));
  let browser: Browser | undefined;
  const stop = async (): Promise<void> => {
    await browser?.close();
    try {
      // Its children outlive it otherwise.
      process.kill(-(server.pid as number), 'SIGKILL');
    } catch {
      /* it has ended by itself */
    }
    await ended;
    rmSync(home, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  };
  try {
    await answers(`${url}/healthz`);
    browser = await launchBrowser();
  } catch (error) {
    await stop();
    throw error;
  }
  const running = browser;
  return {
    url,
    stop,
    async open(folder, file, language) {
      const page = await running.newPage({ viewport: { width: 1400, height: 900 } });
      if (language !== undefined) {
        await page.addInitScript((tag) => Object.assign(globalThis, { _VSCODE_NLS_LANGUAGE: tag }), language);
      }
      const remote = `vscode-remote://127.0.0.1:${port}`;
      const payload =
        file === undefined ? '' : `&payload=${encodeURIComponent(JSON.stringify([['openFile', `${remote}${file}`]]))}`;
      await page.goto(`${url}/?folder=${encodeURIComponent(folder)}${payload}`);
      await page.waitForSelector(file === undefined ? '.monaco-workbench .explorer-folders-view' : '.monaco-editor .view-line', {
        timeout: 60_000,
      });
      return page;
    },
  };
}

/** Runs a command by its title, as a user does from the command palette. */
export async function runCommand(page: Page, title: string): Promise<void> {
  await page.keyboard.press('F1');
  const input = page.locator('.quick-input-widget .quick-input-box input');
  await input.waitFor();
  await input.fill(`>${title}`);
  const command = page.locator('.quick-input-list .monaco-list-row', { hasText: title }).first();
  // An extension's commands are offered only once it has been read.
  for (let tries = 0; tries < 20 && !(await command.isVisible()); tries++) {
    await page.waitForTimeout(500);
    await input.fill('>');
    await input.fill(`>${title}`);
    await page.waitForTimeout(300);
  }
  await command.click();
}

/** Puts the cursor of the active editor there. */
export async function goToLine(page: Page, line: number, column = 1): Promise<void> {
  await page.keyboard.press('Control+g');
  const input = page.locator('.quick-input-widget .quick-input-box input');
  await input.waitFor();
  await input.fill(`:${line}:${column}`);
  await page.keyboard.press('Enter');
  await page.locator('.quick-input-widget').waitFor({ state: 'hidden' });
}

/** The inside of the webview whose document holds `selector`. */
export async function insideWebview(page: Page, selector: string, timeout = 30_000): Promise<FrameLocator> {
  const until = Date.now() + timeout;
  for (;;) {
    const outer = page.locator('iframe.webview.ready');
    for (let i = 0; i < (await outer.count()); i++) {
      const frame = page.frameLocator('iframe.webview.ready').nth(i).frameLocator('#active-frame');
      if (
        await frame
          .locator(selector)
          .count()
          .catch(() => 0)
      )
        return frame;
    }
    if (Date.now() > until)
      throw new Error(`No webview shows ${selector} after ${timeout} ms; webviews: ${await outer.count()}.`);
    await page.waitForTimeout(200);
  }
}

/** Keeps a picture where FAULTWRIGHT_SCREENSHOTS names a folder. */
export async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env['FAULTWRIGHT_SCREENSHOTS'];
  if (!folder) return;
  await page.waitForTimeout(500);
  await page.screenshot({ path: join(folder, `${name}.png`) });
}

async function answers(url: string): Promise<void> {
  const until = Date.now() + 60_000;
  for (;;) {
    try {
      if ((await fetch(url)).ok) return;
    } catch {
      /* not yet */
    }
    if (Date.now() > until) throw new Error(`The workbench did not answer at ${url} within a minute.`);
    await new Promise((resolve) => setTimeout(resolve, 150));
  }
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => (address && typeof address === 'object' ? resolve(address.port) : reject(new Error('No free port.'))));
    });
  });
}
