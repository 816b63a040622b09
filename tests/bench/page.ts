/**
 * The checklist page of a long procedure: its size, and the time until the first step can be worked. The same file without its
 * script is the baseline of the same run: what it costs the browser to read that many bytes and show nothing.
 * Alone: `node server/scripts/run-typescript.mjs tests/bench/page.ts`.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { build } from 'esbuild';
import type { Browser } from 'playwright-core';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { buildChecklist } from '../../server/src/run/checklist.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { BENCH_SHOP, generateProcedure } from './generate.ts';
import { figure, median, printTable, ROOT, SCRATCH } from './tools.ts';

interface Times {
  /** Milliseconds from the start of navigation. */
  readonly firstSheet: number;
  readonly firstStep: number;
}

export async function benchPage(quick = true): Promise<void> {
  const { script, styles } = await bundle();
  const browser = await launchBrowser();
  try {
    const sizes: string[][] = [];
    const times: string[][] = [];
    for (const steps of [6, 60, 300]) {
      const workspace = new Workspace();
      workspace.setFile('shop.yaml', BENCH_SHOP);
      workspace.setFile('long.procedure.yaml', generateProcedure(steps));
      const document = buildChecklist(workspace.analyse('long.procedure.yaml'), undefined, workspace);
      const html = checklistPageHtml(document, script, styles);
      const kilobytes = (text: string): string => figure(Buffer.byteLength(text) / 1000);
      sizes.push([
        `${document.procedure.steps.length} steps`, kilobytes(html), figure(gzipSync(html).length / 1000), kilobytes(script), kilobytes(JSON.stringify(document)),
      ]);
      const rounds = quick ? 7 : 25;
      const page = await measured(browser, written(`page-${steps}`, html), rounds);
      const baseline = await loaded(browser, written(`bytes-${steps}`, html.replace(/<script>[\s\S]*<\/script>\s*<\/body>/, '</body>')), rounds);
      times.push([
        `${document.procedure.steps.length} steps`, figure(baseline), figure(page.firstSheet), figure(page.firstSheet / baseline), figure(page.firstStep), figure(page.firstStep / baseline),
      ]);
    }
    printTable('Size of the page, kilobytes', ['', 'the file', 'compressed', 'its script', 'its document'], sizes);
    printTable('Time of the page, milliseconds, median', ['', 'bytes alone', 'first sheet', 'x bytes', 'first step', 'x bytes'], times);
  } finally {
    await browser.close();
  }
}

/** Script and styles as esbuild.config.mjs makes them. */
async function bundle(): Promise<{ script: string; styles: string }> {
  const result = await build({
    entryPoints: ['tsx', 'css'].map((ending) => join(ROOT, `client/src/pages/checklist-page.${ending}`)), bundle: true, write: false, outdir: '/out', platform: 'browser',
    format: 'iife', target: 'es2022', minify: true, charset: 'utf8', jsx: 'automatic', jsxImportSource: 'preact', loader: { '.yaml': 'text' }, logLevel: 'error',
  });
  const text = (ending: string): string => result.outputFiles.find((file) => file.path.endsWith(ending))?.text ?? '';
  return { script: text('.js'), styles: text('.css') };
}

function written(name: string, html: string): string {
  const path = join(SCRATCH, `${name}.html`);
  writeFileSync(path, html);
  return pathToFileURL(path).href;
}

async function measured(browser: Browser, url: string, rounds: number): Promise<Times> {
  const times: Times[] = [];
  for (let round = 0; round < rounds; round++) {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.addInitScript(() => {
      const seen: { firstSheet?: number; pressed?: number; firstStep?: number } = {};
      (window as unknown as { seen: typeof seen }).seen = seen;
      new MutationObserver(() => {
        const next = document.querySelector<HTMLElement>('[data-test="next"]');
        if (next && seen.firstSheet === undefined) {
          seen.firstSheet = performance.now();
          // Nobody waits before pressing: the time is the page's own. The press comes once the sheet is on the screen.
          requestAnimationFrame(() => {
            seen.pressed = performance.now();
            next.click();
          });
        }
        if (document.querySelector('main[data-entries="1"]') && seen.firstStep === undefined) seen.firstStep = performance.now();
      }).observe(document, { subtree: true, childList: true, attributes: true });
    });
    await page.goto(url);
    await page.locator('main[data-entries="1"]').waitFor();
    const seen = await page.evaluate(() => (window as unknown as { seen: { firstSheet: number; firstStep: number } }).seen);
    // The first round warms the browser.
    if (round > 0) times.push(seen);
    await context.close();
  }
  return { firstSheet: median(times.map((one) => one.firstSheet)), firstStep: median(times.map((one) => one.firstStep)) };
}

async function loaded(browser: Browser, url: string, rounds: number): Promise<number> {
  const times: number[] = [];
  for (let round = 0; round < rounds; round++) {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(url);
    const time = await page.evaluate(() => (performance.getEntriesByType('navigation')[0] as PerformanceNavigationTiming).domContentLoadedEventEnd);
    if (round > 0) times.push(time);
    await context.close();
  }
  return median(times);
}

if (process.argv[1]?.endsWith('page.ts')) {
  benchPage(!process.argv.includes('--long')).catch((error: unknown) => {
    console.error(error);
    process.exitCode = 1;
  });
}
