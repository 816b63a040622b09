/**
 * The main job as a user does it, in a real editor: open the library, see what is wrong, put it right, see the flow, run a checklist to
 * its verdict, find the record on disk. Set FAULTWRIGHT_SCREENSHOTS to a folder to keep pictures of it.
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FrameLocator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { packageExtension, ROOT } from './extension-package.ts';
import { goToLine, insideWebview, picture, runCommand, startWorkbench } from './workbench.ts';
import { pressNext, upToEntry } from './checklist-sheet.ts';
import type { Workbench } from './workbench.ts';

const SLOW = 180_000;
let folder: string;
let library: string;
let workbench: Workbench;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'faultwright-main-job-'));
  workbench = await startWorkbench(packageExtension(folder));
}, 400_000);
beforeEach(() => {
  // The editor keeps unsaved texts of a folder: each test has one of its own.
  library = mkdtempSync(join(folder, 'library-'));
  cpSync(join(ROOT, 'procedures'), library, { recursive: true, filter: (path) => !path.includes('records') });
});
afterEach(async ({ task }) => {
  if (page && task.result?.state === 'fail') await picture(page, `failed ${task.name.slice(0, 40)}`);
  await page?.close();
});
afterAll(async () => {
  await workbench?.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function open(name: string): Promise<void> {
  page = await workbench.open(library, join(library, name));
}

/** What stands in the list of problems about a file, a line each. */
async function problemsOf(name: string): Promise<string[]> {
  if (!(await page.locator('.markers-panel').isVisible())) await page.keyboard.press('Control+Shift+m');
  const panel = page.locator('.part.panel');
  const filter = panel.locator('input[placeholder^="Filter"]').first();
  // The whole folder has been checked once this draft is in the list.
  await filter.fill('spreader_stands_still');
  await panel.locator('.monaco-list-row', { hasText: 'spreader_stands_still' }).first().waitFor();
  await filter.fill(name);
  await panel.locator('.monaco-list-row', { hasText: 'spreader_stands_still' }).first().waitFor({ state: 'hidden' });
  await page.waitForTimeout(500);
  return panel.locator('.markers-panel .monaco-list-row').allTextContents();
}

/** Waits until the editor shows a text in one of its lines. */
async function shows(text: string): Promise<void> {
  await expect
    .poll(async () => (await page.locator('.view-line').allTextContents()).join('\n').replaceAll('\u00a0', ' '), {
      timeout: 20_000,
    })
    .toContain(text);
}

test(
  'a planted flaw is marked in the text and stands in the list of problems, with a page that explains it',
  { timeout: SLOW },
  async () => {
    await open('drafts/work_lamp_dark.procedure.yaml');
    await page.locator('.squiggly-error').first().waitFor();
    const problems = (await problemsOf('work_lamp_dark')).join('\n');
    expect(problems).toContain("'testlamp'");
    await picture(page, 'problems');
    const link = page.locator('.markers-panel a.monaco-link', { hasText: 'unknown-name' }).first();
    await link.click();
    const explained = await insideWebview(page, 'h1');
    expect(await explained.locator('h1').first().textContent()).toBe('unknown-name');
    await picture(page, 'check-page');
  },
);

test('a clean procedure of the library is marked nowhere', { timeout: SLOW }, async () => {
  await open('tail_lift_no_raise.procedure.yaml');
  expect(await problemsOf('tail_lift_no_raise')).toEqual([]);
  expect(await page.locator('.squiggly-error, .squiggly-warning').count()).toBe(0);
});

test('a fix from the light bulb puts the text right, and its finding goes', { timeout: SLOW }, async () => {
  const name = 'drafts/cab_stays_cold.procedure.yaml';
  await open(name);
  await page.locator('.squiggly-error, .squiggly-warning').first().waitFor();
  const before = readFileSync(join(library, name), 'utf8');
  const line = before.split('\n').findIndex((one) => one.includes('fuse #12')) + 1;
  await goToLine(page, line, 22);
  await fix(page, 'Put the text in quotes');
  await shows("- 'Pull out fuse #12 from the fuse box.'");
  await page.keyboard.press('Control+s');
  await expect.poll(() => readFileSync(join(library, name), 'utf8')).toContain("- 'Pull out fuse #12 from the fuse box.'");
});

test('a fix that alters what the procedure says is shown before it is made', { timeout: SLOW }, async () => {
  const name = 'drafts/work_lamp_dark.procedure.yaml';
  await open(name);
  await page.locator('.squiggly-error').first().waitFor();
  const text = readFileSync(join(library, name), 'utf8');
  writeFileSync(join(library, name), text.replace('finds: bulb', 'finds: bulp'));
  const line = text.split('\n').findIndex((one) => one.includes('finds: bulb')) + 1;
  await shows('finds: bulp');
  await goToLine(page, line, 17);
  await fix(page, "Spell it 'bulb' (changes what the procedure says)");
  await page.locator('.refactor-preview, .bulk-edit-panel').first().waitFor();
  await picture(page, 'fix-shown-first');
  expect(readFileSync(join(library, name), 'utf8')).toContain('finds: bulp');
  await page
    .locator('.refactor-preview .monaco-list-row, .bulk-edit-panel .monaco-list-row')
    .last()
    .locator('input, .monaco-checkbox')
    .first()
    .click();
  await page.locator('.monaco-button', { hasText: 'Apply' }).first().click();
  await shows('finds: bulb');
});

test('words are offered as one types, and hovering says what they mean', { timeout: SLOW }, async () => {
  await open('tail_lift_no_raise.procedure.yaml');
  await ready();
  const lines = readFileSync(join(library, 'tail_lift_no_raise.procedure.yaml'), 'utf8').split('\n');
  const at = lines.findIndex((line) => line.includes('sets: {parking_brake: applied, platform: grounded}'));
  await goToLine(page, at + 1, (lines[at] as string).length + 1);
  await page.keyboard.type('\nwith: multi');
  await page.locator('.suggest-widget .monaco-list-row', { hasText: 'multimeter' }).first().waitFor();
  await picture(page, 'completion');
  await page.keyboard.press('Enter');
  await shows('with: multimeter');
  const caution = page.locator('.view-line span[class*="mtk"]', { hasText: /^moving_platform$/ }).first();
  const box = await caution.boundingBox();
  await page.mouse.move((box?.x ?? 0) + 30, (box?.y ?? 0) + 8);
  await page.mouse.move((box?.x ?? 0) + 34, (box?.y ?? 0) + 9);
  await page.locator('.monaco-hover', { hasText: 'The platform moves while the control is held' }).first().waitFor();
  await picture(page, 'hover');
});

test('the flow stands beside the text, leads into it, and follows it', { timeout: SLOW }, async () => {
  await open('tail_lift_no_raise.procedure.yaml');
  await ready();
  await runCommand(page, 'Faultwright: Show flow beside the text');
  const flow = await insideWebview(page, '[data-step="oil_level"]');
  await picture(page, 'flow');
  await flow.locator('[data-step="oil_level"]').click();
  const text = readFileSync(join(library, 'tail_lift_no_raise.procedure.yaml'), 'utf8');
  const line = text.split('\n').findIndex((one) => one.includes('step: oil_level')) + 1;
  await page.locator('.statusbar-item', { hasText: `Ln ${line},` }).waitFor();
  await goToLine(page, line, text.split('\n')[line - 1]?.length ?? 1);
  await page.keyboard.press('End');
  await page.keyboard.type('_checked');
  await flow.locator('[data-step="oil_level_checked"]').waitFor();
});

test('a checklist is run to its verdict, and the record is on disk', { timeout: SLOW }, async () => {
  await open('tail_lift_no_raise.procedure.yaml');
  await ready();
  await runCommand(page, 'Faultwright: Run as checklist');
  const sheet = await insideWebview(page, '[data-test="next"]');
  await sheet.locator('select[data-test="asset"]').selectOption('TL-07');
  await sheet.locator('[data-test="person"]').fill('T-14');
  await pressNext(sheet);
  await sheet.locator('[data-test="position"]').waitFor();
  await picture(page, 'checklist-first-step');
  await upToEntry(sheet);
  await pressNext(sheet);
  await choose(sheet, 'motor runs');
  await upToEntry(sheet);
  await sheet.locator('[data-test="answer"][data-when="below the mark"]').click();
  await picture(page, 'checklist-judged');
  await pressNext(sheet);
  await sheet.locator('[data-test="remedy-choice"][data-when="done"]').click();
  await picture(page, 'checklist-remedy');
  await pressNext(sheet);
  await choose(sheet, 'yes');
  await sheet.locator('[data-test="verdict"]').waitFor();
  await picture(page, 'checklist-verdict');
  expect(await sheet.locator('[data-test="verdict"]').textContent()).toContain('oil level too low');
  expect(readdirSync(join(library, 'records', 'unfinished')).filter((name) => name.endsWith('.jsonl'))).toHaveLength(1);
  await pressNext(sheet);
  await sheet.locator('[data-test="record"]').waitFor();
  await picture(page, 'checklist-record');

  const years = readdirSync(join(library, 'records')).filter((name) => /^\d{4}$/.test(name));
  const records = years.flatMap((year) =>
    readdirSync(join(library, 'records', year)).map((name) => join(library, 'records', year, name)),
  );
  expect(records).toHaveLength(1);
  const record = JSON.parse(readFileSync(records[0] as string, 'utf8')) as Record<string, unknown> & {
    outcome: Record<string, unknown>;
  };
  expect(record['asset']).toBe('TL-07');
  expect(record['people']).toEqual(['T-14']);
  expect(record.outcome).toMatchObject({ kind: 'repaired', fault: 'low_oil' });
  expect(readdirSync(join(library, 'records', 'unfinished')).filter((name) => name.endsWith('.jsonl'))).toEqual([]);
});

/** The server has checked the folder: a flawed draft shows its number in the explorer. */
async function ready(): Promise<void> {
  await page
    .locator('.statusbar-item', { hasText: /^\s*\d*[1-9]\d*\s/ })
    .first()
    .waitFor();
}

async function fix(on: Page, title: string): Promise<void> {
  const item = on.locator('.action-widget .monaco-list-row', { hasText: title }).first();
  await expect
    .poll(
      async () => {
        await on.keyboard.press('Escape');
        await on.keyboard.press('Control+.');
        await on.waitForTimeout(700);
        return item.count();
      },
      { timeout: 20_000 },
    )
    .toBeGreaterThan(0);
  await item.click();
}

async function choose(sheet: FrameLocator, when: string): Promise<void> {
  await upToEntry(sheet);
  await sheet.locator(`[data-test="answer"][data-when="${when}"]`).click();
  await pressNext(sheet);
}
