/**
 * The diagnosis panel in a real editor, as a writer uses it: open it beside the text, try another weight, see the numbers follow, look for a better
 * order, compare the edit with the text, apply it, and see what it came to. Set FAULTWRIGHT_SCREENSHOTS to a folder to keep pictures of it.
 */
import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FrameLocator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { packageExtension, ROOT } from './extension-package.ts';
import { insideWebview, picture, runCommand, startWorkbench } from './workbench.ts';
import type { Workbench } from './workbench.ts';

const NAME = 'air_pressure.procedure.yaml';
let folder: string;
let workbench: Workbench;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'faultwright-diagnosis-'));
  cpSync(join(ROOT, 'procedures'), join(folder, 'library'), { recursive: true, filter: (path) => !path.includes('records') });
  workbench = await startWorkbench(packageExtension(folder));
}, 400_000);
afterEach(async ({ task }) => {
  if (page && task.result?.state === 'fail') await picture(page, `failed ${task.name.slice(0, 40)}`);
});
afterAll(async () => {
  await workbench?.stop();
  rmSync(folder, { recursive: true, force: true });
});

test('a weight is tried, a better order is found, compared, applied, and the panel follows', { timeout: 180_000 }, async () => {
  page = await workbench.open(join(folder, 'library'), join(folder, 'library', NAME));
  await runCommand(page, 'Faultwright: Show diagnosis');
  const panel = await insideWebview(page, '#what-if');
  const live = panel.locator('.live');
  expect(await live.innerText()).toContain('As written 26.70');
  await panel.locator('.live', { hasText: 'best found 25.55' }).waitFor();
  await picture(page, 'diagnosis');

  // 5 → 60: (65 × 26 + 30 × 31 + 60 × 10) / 155 minutes, and first is where its test belongs.
  const weight = panel.getByLabel('Weight of Low-air warning comes too late', { exact: true });
  await weight.fill('60');
  await panel.locator('.live', { hasText: 'As written 20.77 · best found 20.77' }).waitFor();
  await picture(page, 'diagnosis-what-if');
  await panel.getByRole('button', { name: 'Back to what is written' }).press('Enter');
  await panel.locator('.live', { hasText: 'As written 26.70 · best found 25.55' }).waitFor();

  // By keyboard alone from here.
  await panel.getByRole('button', { name: 'Look for a better order as an edit' }).press('Enter');
  await panel.getByText("Move 'warning_pressure' before 'judge_build_up': 1.15 minutes fewer.").waitFor();
  await picture(page, 'diagnosis-proposal');
  await focusByTab(panel, 'Show the edit');
  await page.keyboard.press('Enter');
  await page.locator('.diffOverview, .monaco-diff-editor').first().waitFor();
  await page.getByText('air_pressure: as written ↔ proposed').first().waitFor();
  await picture(page, 'diagnosis-edit');
  const before = readFileSync(join(folder, 'library', NAME), 'utf8');
  await panel.getByRole('button', { name: 'Apply the edit' }).press('Enter');
  await panel.locator('.live', { hasText: 'As written 25.55 · best found 25.55' }).waitFor();
  await panel.getByText('The order as written is as good as the best one found.').waitFor();
  await page.getByText('air_pressure: as written ↔ proposed').first().waitFor({ state: 'detached' });
  await picture(page, 'diagnosis-applied');

  // Nothing is on the disk before the writer saves it; then it is the same text in another order.
  expect(readFileSync(join(folder, 'library', NAME), 'utf8')).toBe(before);
  await page.locator('.monaco-editor .view-line').first().click({ position: { x: 5, y: 5 } });
  await page.keyboard.press('Control+s');
  await expect.poll(() => readFileSync(join(folder, 'library', NAME), 'utf8')).not.toBe(before);
  const after = readFileSync(join(folder, 'library', NAME), 'utf8');
  expect(after.split('\n').sort()).toEqual(before.split('\n').sort());
  expect(after.indexOf('step: warning_pressure')).toBeGreaterThan(after.indexOf('step: judge_governor'));
});

/** Presses Tab until the button has the focus. */
async function focusByTab(panel: FrameLocator, name: string): Promise<void> {
  const wanted = panel.getByRole('button', { name, exact: true });
  for (let presses = 0; presses < 6; presses++) {
    if (await wanted.evaluate((button) => button === document.activeElement)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`'${name}' is not come to by keyboard.`);
}
