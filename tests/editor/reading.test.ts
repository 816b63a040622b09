/**
 * Reading and writing a procedure in a real editor: hints, lenses and what they open, a whole step from completion, a rename over all files. Set
 * FAULTWRIGHT_SCREENSHOTS to a folder to keep pictures, FAULTWRIGHT_THEME to the name of a colour theme to see them in it.
 */
import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { packageExtension, ROOT } from './extension-package.ts';
import { goToLine, picture, runCommand, startWorkbench } from './workbench.ts';
import type { Workbench } from './workbench.ts';

const SLOW = 120_000;
const LIFT = 'tail_lift_no_raise.procedure.yaml';
const theme = process.env['FAULTWRIGHT_THEME'];
let folder: string;
let library: string;
let workbench: Workbench;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'faultwright-reading-'));
  workbench = await startWorkbench(packageExtension(folder), { 'editor.minimap.enabled': false, ...(theme ? { 'workbench.colorTheme': theme } : {}) });
}, 400_000);
beforeEach(() => {
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

function lineOf(what: string, name = LIFT): number {
  const line = readFileSync(join(library, name), 'utf8').split('\n').findIndex((one) => one.includes(what)) + 1;
  expect(line).toBeGreaterThan(0);
  return line;
}

/** Opens the file and waits until its lenses are there. */
async function open(name: string): Promise<void> {
  page = await workbench.open(library, join(library, name));
  await page.locator('.codelens-decoration a', { hasText: 'Run as checklist' }).first().waitFor({ timeout: 60_000 });
}

/** The lines that the editor shows, as a reader sees them. */
async function shown(): Promise<string> {
  return (await page.locator('.view-line').allTextContents()).join('\n').replaceAll('\u00a0', ' ');
}

/** One window for what is only looked at: starting one takes longer than all that is done in it. */
test('hints, lenses, hover, whole steps and signatures', { timeout: SLOW }, async () => {
  await open(LIFT);
  await picture(page, 'reading-top');
  await goToLine(page, lineOf('step: motor_voltage') + 6);
  await expect.poll(shown, { timeout: 20_000 }).toMatch(/motor_voltage ?after 12 min, \d+ of 11 faults left/);
  await picture(page, 'reading-steps');
  await lensesLead();
  await hoverTells();
  await signature();
  await wholeStep();
  await lensOpensFlow();
  await definitionInCatalogue();
});

/** What a lens opens: the places that lead to a step, and the walk to it, to be gone through by keyboard alone. */
async function lensesLead(): Promise<void> {
  const reached = page.locator('.codelens-decoration a', { hasText: 'Reached from battery_of_power_side (passed)' }).first();
  await reached.waitFor();
  await reached.click();
  await page.locator('.peekview-widget').waitFor();
  await picture(page, 'reading-reached-from');
  await page.keyboard.press('Escape');

  await page.locator('.codelens-decoration a', { hasText: 'Shortest walk here: 3 steps' }).first().click();
  const list = page.locator('.quick-input-widget');
  await list.locator('.quick-input-title', { hasText: 'Shortest walk to motor_voltage' }).waitFor();
  await expect.poll(async () => (await list.locator('.monaco-list-row').allTextContents()).map((row) => row.trim())).toEqual([
    '1. make_safe', '2. listenclick only', '3. battery_of_power_sidepassed', '4. motor_voltage',
  ]);
  await page.keyboard.press('ArrowDown');
  await picture(page, 'reading-walk');
  await page.keyboard.press('Enter');
  await page.locator('.statusbar-item', { hasText: `Ln ${lineOf('step: listen')},` }).waitFor();
}

async function hoverTells(): Promise<void> {
  await goToLine(page, lineOf('go: oil_level'), 15);
  await runCommand(page, 'Show or Focus Hover');
  const hover = page.locator('.monaco-hover', { hasText: 'Reached from listen (motor runs).' }).first();
  await hover.waitFor();
  expect(await hover.textContent()).toContain('Still possible here: low_oil, relief_valve');
  await picture(page, 'reading-hover');
  await page.keyboard.press('Escape');
}

/** Taken from completion, it stands in the text as it should, and its places are filled one after the other. */
async function wholeStep(): Promise<void> {
  await goToLine(page, lineOf('step: motor_voltage') - 1);
  await page.keyboard.type('\n  - ');
  await page.keyboard.press('Control+Space');
  await page.locator('.suggest-widget .monaco-list-row', { hasText: 'measure step' }).first().waitFor();
  await picture(page, 'reading-completion');
  await page.keyboard.type('measure step');
  await page.waitForTimeout(500);
  await page.keyboard.press('Enter');
  await expect.poll(shown, { timeout: 20_000 }).toMatch(
    /\n {2}- step: name.*\n {4}measure: dc_voltage\n {4}circuit: lift_power\n {4}with: multimeter\n {4}at: \{red: place, black: place\}\n {4}results:\n {6}- when: at least 12\.4 V.*\n {8}rules_out: \[low_battery\]\n {6}- when: below 12\.4 V/,
  );
  await picture(page, 'reading-whole-step');
  await page.keyboard.type('lamp_volts');
  await page.keyboard.press('Tab');
  await page.locator('.suggest-widget .monaco-list-row', { hasText: 'ac_voltage' }).first().waitFor();
  await page.keyboard.press('Escape');
  await page.keyboard.press('Escape');
}

async function signature(): Promise<void> {
  await goToLine(page, lineOf('when: at least 20 V'));
  await page.keyboard.press('End');
  await page.keyboard.type(' + min(1 V, ');
  await page.locator('.parameter-hints-widget', { hasText: 'min(quantity, …)' }).waitFor();
  await picture(page, 'reading-signature');
  await page.keyboard.press('Escape');
  await page.keyboard.press('Escape');
}

async function lensOpensFlow(): Promise<void> {
  await goToLine(page, 1);
  await page.locator('.codelens-decoration a', { hasText: 'Show the flow' }).first().click();
  await page.locator('.tab', { hasText: 'Flow: tail_lift_no_raise' }).waitFor();
}

/** A state that ships with the tool leads to the text that declares it. */
async function definitionInCatalogue(): Promise<void> {
  await page.locator('.tab', { hasText: LIFT }).first().click();
  await goToLine(page, lineOf('sets: {parking_brake'), 16);
  await page.keyboard.press('F12');
  await page.locator('.tab', { hasText: 'built-in.shop.yaml' }).waitFor();
  await expect.poll(shown, { timeout: 20_000 }).toContain('  parking_brake:');
  await picture(page, 'reading-catalogue');
}

test('a name is changed in every file at once', { timeout: SLOW }, async () => {
  const name = 'battery_condition.procedure.yaml';
  await open(name);
  await goToLine(page, lineOf('  discharged:', name), 5);
  await page.keyboard.press('F2');
  const box = page.locator('.rename-box input, .rename-input').first();
  await box.waitFor();
  await box.fill('flat');
  await page.keyboard.press('Enter');
  await runCommand(page, 'File: Save All');
  await expect.poll(() => readFileSync(join(library, LIFT), 'utf8'), { timeout: 20_000 }).toContain('- when: finds flat\n');
  expect(readFileSync(join(library, LIFT), 'utf8')).not.toContain('finds discharged');
});
