/** The panel's page in a real browser: numbers that follow a field, by keyboard, without a request; and nothing that axe-core objects to. */
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { changedReport } from '../../server/src/diagnosis/report.ts';
import { diagnosisOf } from '../../server/src/features/diagnosis.ts';
import { average } from '../../server/src/render/diagnosis-words.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { accessibilityProblems, removePages, show, type Shown } from '../pages/harness.ts';
import { depot, fileOf } from './depot.ts';

let browser: Browser;
let html: string;
const outcome = diagnosisOf(depot(), fileOf('no_crank'), { budget: { places: 0 }, found: new Map([['discharged_battery', 30]]) })!;

beforeAll(async () => {
  browser = await launchBrowser();
  const pages = fileURLToPath(new URL('../../client/src/pages/', import.meta.url));
  const { outputFiles } = await build({
    entryPoints: [`${pages}diagnosis-page.tsx`, `${pages}diagnosis-page.css`], bundle: true, write: false, outdir: '/out', platform: 'browser', format: 'iife',
    target: 'es2022', minify: true, charset: 'utf8', jsx: 'automatic', jsxImportSource: 'preact', loader: { '.yaml': 'text' }, logLevel: 'silent',
  });
  const part = (extension: string): string => outputFiles.find(({ path }) => path.endsWith(extension))?.text ?? '';
  html = `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Diagnosis</title><style>${part('.css')}</style></head><body><div id="page"></div>
<script>window.posted = []; window.acquireVsCodeApi = () => ({ postMessage: (message) => posted.push(message), getState: () => undefined, setState: () => {} });</script>
<script>${part('.js').replaceAll('</script', '<\\/script')}</script></body></html>`;
});
afterAll(async () => {
  await browser.close();
  removePages();
});

async function shown(): Promise<Shown> {
  const page = await show(browser, html);
  await page.page.evaluate((value) => window.postMessage({ kind: 'diagnosis', uri: 'x', outcome: value }, '*'), JSON.parse(JSON.stringify(outcome)) as object);
  await page.page.getByRole('heading', { name: 'What if' }).waitFor();
  return page;
}

test('a weight or a time typed changes the numbers at once, as the command line would give them', async () => {
  const { page, requests, errors } = await shown();
  const change = { weights: { open_fuse: 60 }, minutes: { listen: 9 } };
  await page.getByLabel('Weight of Fuse of the starter switch open', { exact: true }).fill('60');
  await page.getByLabel('Minutes of listen').fill('9');
  const { numbers } = changedReport(outcome.report, change);
  await page.locator('.live', { hasText: `As written ${average(numbers.written.minutes)} · best found ${average(numbers.best.minutes)}` }).waitFor();
  expect(await page.locator('.is-stale:not(:empty)').count()).toBe(0);
  expect(await page.locator('tr.is-changed').count()).toBe(2);
  await page.getByRole('button', { name: 'Back to what is written' }).click();
  await page.locator('.live', { hasText: average(outcome.report.numbers.written.minutes) }).waitFor();
  expect(await page.locator('tr.is-changed').count()).toBe(0);
  expect({ requests, errors }).toEqual({ requests: [], errors: [] });
});

test('by keyboard: a slider moves, a step is shown in the text, an edit is asked for and shown', async () => {
  const { page } = await shown();
  await page.getByLabel('Weight of Batteries discharged, slider').focus();
  await page.keyboard.press('ArrowRight');
  await expect.poll(() => page.getByLabel('Weight of Batteries discharged', { exact: true }).inputValue()).toBe('29');
  await page.getByRole('button', { name: 'ground_drop' }).first().focus();
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Look for a better order as an edit' }).focus();
  await page.keyboard.press('Enter');
  const { edit: _edit, text: _text, ...proposal } = diagnosisOf(depot(), fileOf('no_crank'), { propose: true })!.proposal!;
  await page.evaluate((found) => window.postMessage({ kind: 'proposal', proposal: found, obstacles: [] }, '*'), JSON.parse(JSON.stringify(proposal)) as object);
  // The button that had the focus is gone: the next press of Tab leads into what took its place.
  await page.getByText("Move 'feed_drop' before 'contact_drop': 0.19 minutes fewer.").waitFor();
  await page.keyboard.press('Tab');
  await page.keyboard.press('Tab');
  expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Show the edit');
  expect(await page.getByRole('button', { name: 'Apply the edit' }).count()).toBe(0);
  await page.keyboard.press('Enter');
  await page.evaluate(() => window.postMessage({ kind: 'shown' }, '*'));
  await page.getByRole('button', { name: 'Apply the edit' }).press('Enter');
  const posted = await page.evaluate(() => (window as unknown as { posted: { kind: string; step?: string }[] }).posted);
  expect(posted).toEqual([
    { kind: 'ready' }, { kind: 'reveal', step: 'ground_drop' }, { kind: 'propose', change: { weights: { discharged_battery: 29 } } }, { kind: 'show' }, { kind: 'apply' },
  ]);
});

test('nothing that axe-core objects to, in light and dark', async () => {
  const { page } = await shown();
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    expect(await accessibilityProblems(page)).toEqual([]);
  }
});
