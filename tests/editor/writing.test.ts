/**
 * Writing a procedure in a real editor, by keyboard: a new one by questions, a draft from a document, a new line, formatting, a
 * fix, steps taken out and written out again. Set FAULTWRIGHT_SCREENSHOTS to a folder to keep pictures, FAULTWRIGHT_THEME to a
 * colour theme to see them in it.
 */
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { packageExtension, ROOT } from './extension-package.ts';
import { goToLine, picture, runCommand, startWorkbench } from './workbench.ts';
import type { Workbench } from './workbench.ts';

const SLOW = 180_000;
const theme = process.env['FAULTWRIGHT_THEME'];
const LIST = readFileSync(join(ROOT, 'tests/features/prose/battery.txt'), 'utf8');
let folder: string;
let library: string;
let workbench: Workbench;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'faultwright-writing-'));
  library = mkdtempSync(join(folder, 'library-'));
  cpSync(join(ROOT, 'procedures'), library, { recursive: true, filter: (path) => !path.includes('records') });
  writeFileSync(join(library, 'old_list.txt'), LIST);
  workbench = await startWorkbench(packageExtension(folder), {
    'editor.minimap.enabled': false,
    'editor.codeLens': false,
    'editor.inlayHints.enabled': 'off',
    'editor.formatOnType': true,
    'editor.tabSize': 2,
    ...(theme ? { 'workbench.colorTheme': theme } : {}),
  });
  page = await workbench.open(library, join(library, 'wheel_torque.procedure.yaml'));
}, 400_000);
afterEach(async ({ task }) => {
  if (page && task.result?.state === 'fail') await picture(page, `failed ${task.name.slice(0, 40)}`);
});
afterAll(async () => {
  await workbench?.stop();
  rmSync(folder, { recursive: true, force: true });
});

const onDisk = (name: string): string => readFileSync(join(library, name), 'utf8');

/** The lines that the editor shows, as a reader sees them. */
async function shown(): Promise<string> {
  return (await page.locator('.monaco-editor[data-uri] .view-line, .editor-instance .view-line').allTextContents())
    .join('\n')
    .replaceAll('\u00a0', ' ');
}

/** Answers the question that is asked, once it is. */
async function answer(question: string, typed?: string): Promise<void> {
  const input = page.locator('.quick-input-widget');
  await input
    .locator(`text=${question}`)
    .or(input.locator(`input[placeholder*="${question}"]`))
    .first()
    .waitFor();
  if (typed !== undefined) await input.locator('.quick-input-box input').fill(typed);
  await page.waitForTimeout(250);
  await page.keyboard.press('Enter');
}

test('a new procedure is asked for, written, and has no findings', { timeout: SLOW }, async () => {
  await runCommand(page, 'Faultwright: New procedure');
  await page.locator('.quick-input-widget', { hasText: 'A complaint' }).waitFor();
  await picture(page, 'writing-new-purpose');
  await answer('What is the procedure for?');
  await answer('What does the operator report?', 'Beacon stays dark');
  await answer('What is its name');
  await answer('Which equipment is it for?', 'gritter');
  await answer('What kind of machine is it?', 'vehicle');
  await answer('When does it happen', 'The beacon stays dark. The other lamps light.');
  await answer('Which faults can cause it?', 'Lamp failed');
  await page.locator('.quick-input-widget .quick-input-message', { hasText: 'name at least two' }).waitFor();
  await picture(page, 'writing-new-refused');
  // The reason stands where the question stood.
  await answer('name at least two', 'Lamp failed; No supply; Ground lead open');
  await page.locator('.quick-input-widget', { hasText: 'By a reading: DC voltage' }).waitFor();
  await picture(page, 'writing-new-first-test');
  await answer("How does the first test show 'Lamp failed'?", 'DC voltage');
  await answer('What is the nominal voltage');
  await answer('Which DC voltage is good?', '>= 22V');
  await answer('Which question shows', 'Does the beacon light?');
  await page.locator('.tab', { hasText: 'beacon_stays_dark.procedure.yaml' }).waitFor();
  await expect.poll(shown, { timeout: 20_000 }).toContain('    at: {red: first test point, black: second test point}');
  await page.waitForTimeout(1500);
  expect(await page.locator('.squiggly-error, .squiggly-warning').count()).toBe(0);
  await picture(page, 'writing-new-written');
  expect(onDisk('beacon_stays_dark.procedure.yaml')).toContain('when: at least 22 V');
});

test(
  'a new line begins where it should, an untidy step is formatted, a cut-off text is put right',
  { timeout: SLOW },
  async () => {
    const lines = onDisk('beacon_stays_dark.procedure.yaml').split('\n');
    await goToLine(page, lines.findIndex((line) => line.includes('Park on level ground.')) + 1);
    await page.keyboard.press('End');
    await page.keyboard.press('Enter');
    await page.waitForTimeout(700);
    await page.keyboard.type('Take fuse #7 out.');
    await expect.poll(shown, { timeout: 10_000 }).toContain('      - Take fuse #7 out.');
    // The fix: a text that ends at its number sign.
    await page.locator('.squiggly-warning').first().waitFor();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('Control+.');
    const menu = page.locator('.action-widget', { hasText: 'Put the text in quotes' });
    await menu.waitFor();
    await picture(page, 'writing-fix');
    await page.keyboard.press('Enter');
    await expect.poll(shown, { timeout: 10_000 }).toContain("      - 'Take fuse #7 out.'");
    await goToLine(page, lines.findIndex((line) => line.includes('circuit: supply')) + 2);
    await page.keyboard.press('End');
    await page.keyboard.type('\ntime:   2minutes');
    await page.keyboard.press('Escape');
    await runCommand(page, 'Format Document');
    await expect.poll(shown, { timeout: 20_000 }).toContain('    time: 2 min');
    await picture(page, 'writing-formatted');
    await runCommand(page, 'File: Save All');
    await expect
      .poll(() => onDisk('beacon_stays_dark.procedure.yaml'), { timeout: 10_000 })
      .toContain("      - 'Take fuse #7 out.'\n");
    expect(onDisk('beacon_stays_dark.procedure.yaml')).toContain('second test point}\n    time: 2 min\n    results:');
  },
);

test('steps become a procedure, and are written out again', { timeout: SLOW }, async () => {
  const before = onDisk('beacon_stays_dark.procedure.yaml');
  const lines = before.split('\n');
  await goToLine(page, lines.findIndex((line) => line.includes('step: check_lamp_failed')) + 1);
  for (
    let count =
      lines.findIndex((line) => line.includes('finds: lamp_failed')) -
      lines.findIndex((line) => line.includes('step: check_lamp_failed'));
    count > 0;
    count--
  )
    await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Shift+End');
  await page.keyboard.press('Control+k');
  await page.keyboard.press('Alt+e');
  await answer('The name of the new procedure.', 'beacon_supply');
  await expect.poll(() => existsSync(join(library, 'beacon_supply.procedure.yaml')), { timeout: 20_000 }).toBe(true);
  await expect.poll(shown, { timeout: 20_000 }).toContain('run: beacon_supply');
  await picture(page, 'writing-extracted');
  expect(onDisk('beacon_supply.procedure.yaml')).toContain('passes: true');
  await page.locator('.tab', { hasText: 'beacon_stays_dark' }).first().click();
  await runCommand(page, 'File: Save All');
  const text = onDisk('beacon_stays_dark.procedure.yaml').split('\n');
  await goToLine(page, text.findIndex((line) => line.includes('run: beacon_supply')) + 1, 8);
  await runCommand(page, 'Write out the steps');
  await expect.poll(shown, { timeout: 20_000 }).not.toContain('run: beacon_supply');
  await runCommand(page, 'File: Save All');
  await expect
    .poll(() => onDisk('beacon_stays_dark.procedure.yaml').split('\n').sort(), { timeout: 10_000 })
    .toEqual(before.split('\n').sort());
});

test('a list from a document becomes a draft with findings to resolve', { timeout: SLOW }, async () => {
  await page.keyboard.press('Control+p');
  await page.locator('.quick-input-widget .quick-input-box input').fill('old_list.txt');
  await page.locator('.quick-input-list .monaco-list-row', { hasText: 'old_list.txt' }).first().click();
  await page.locator('.tab.active', { hasText: 'old_list.txt' }).waitFor();
  await runCommand(page, 'Faultwright: Draft from a document');
  await page
    .locator('.quick-input-widget', { hasText: 'Where is the list of steps?' })
    .or(page.locator('input[placeholder="Where is the list of steps?"]'))
    .first()
    .waitFor();
  await picture(page, 'writing-draft-source');
  await page.locator('.quick-input-list .monaco-list-row', { hasText: 'The text in the editor' }).first().click();
  await page.locator('.tab', { hasText: 'sweeper_sw_01_cranks_slowly' }).waitFor();
  await page.locator('.notification-toast', { hasText: 'A draft of 6 steps' }).waitFor();
  await expect.poll(shown, { timeout: 20_000 }).toContain('# A draft from a document.');
  await page.locator('.squiggly-error').first().waitFor();
  await picture(page, 'writing-draft');
});
