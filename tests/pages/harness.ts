/**
 * Pages under test: bundled as they ship, hosted as a file of their own or in a panel's stead, in a real browser that reports
 * every request and every error.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core';

const here = fileURLToPath(new URL('.', import.meta.url));
const pages = join(here, '../../client/src/pages');

export interface Bundle {
  readonly script: string;
  readonly styles: string;
}

/** Script and styles of a page, bundled as esbuild.config.mjs does. */
export async function bundleOf(page: 'checklist-page' | 'flow-page'): Promise<Bundle> {
  const result = await build({
    entryPoints: [join(pages, `${page}.tsx`), join(pages, `${page}.css`)],
    bundle: true,
    write: false,
    outdir: '/out',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
    minify: true,
    charset: 'utf8',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    loader: { '.yaml': 'text' },
    logLevel: 'silent',
  });
  const text = (extension: string) => result.outputFiles.find((file) => file.path.endsWith(extension))?.text ?? '';
  return { script: text('.js'), styles: text('.css') };
}

export interface Shown {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Every request beyond the page itself. */
  readonly requests: string[];
  /** Uncaught errors and refusals of the content security policy. */
  readonly errors: string[];
  readonly url: string;
}

/** Opens HTML from disk, as a technician does. Pass `context` to come back to the same browser storage. */
export async function show(
  browser: Browser,
  html: string,
  options: BrowserContextOptions & { readonly into?: BrowserContext; readonly url?: string } = {},
): Promise<Shown> {
  const { into, url: known, ...rest } = options;
  const context = into ?? (await browser.newContext({ viewport: { width: 820, height: 1180 }, ...rest }));
  const page = await context.newPage();
  page.setDefaultTimeout(8_000);
  const url = known ?? writePage(html);
  const requests: string[] = [];
  const errors: string[] = [];
  page.on('request', (request) => {
    if (request.url() !== url && !request.url().startsWith('blob:')) requests.push(request.url());
  });
  page.on('pageerror', (error) => errors.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  await page.goto(url);
  return { page, context, requests, errors, url };
}

/** What axe-core finds wrong on the page, in one line each. */
export async function accessibilityProblems(page: Page): Promise<string[]> {
  // As a debugger's script it is not subject to the page's policy.
  await page.evaluate(AXE);
  return page.evaluate(async () => {
    const axe = (
      globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; nodes: { html: string; failureSummary: string }[] }[] }> };
      }
    ).axe;
    const { violations } = await axe.run();
    return violations.flatMap((violation) =>
      violation.nodes.map((node) => `${violation.id}: ${node.html} ${node.failureSummary}`),
    );
  });
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const folders: string[] = [];

function writePage(html: string): string {
  const folder = mkdtempSync(join(tmpdir(), 'faultwright-page-'));
  folders.push(folder);
  writeFileSync(join(folder, 'checklist.html'), html);
  return pathToFileURL(join(folder, 'checklist.html')).href;
}

/** Call in `afterAll`. */
export function removePages(): void {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
}
