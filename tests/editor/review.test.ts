/**
 * The review panel in a real editor, on a folder that git keeps: what a released procedure lost since the last commit, with the walk that shows it; by
 * keyboard alone another revision, a place in the text, and back to what was. Set FAULTWRIGHT_SCREENSHOTS to a folder to keep pictures of it,
 * FAULTWRIGHT_THEME to the name of a colour theme to see it in that.
 */
import { execFileSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FrameLocator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { packageExtension, ROOT } from './extension-package.ts';
import { goToLine, insideWebview, picture, runCommand, startWorkbench } from './workbench.ts';
import type { Workbench } from './workbench.ts';

const NAME = 'air_pressure.procedure.yaml';
const CAUTION = '    cautions: [compressed_air]\n';
const theme = process.env['FAULTWRIGHT_THEME'];
let folder: string;
let library: string;
let workbench: Workbench;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'faultwright-review-'));
  library = join(folder, 'library');
  cpSync(join(ROOT, 'procedures'), library, { recursive: true, filter: (path) => !path.includes('records') });
  git('init', '--quiet');
  git('add', '-A');
  git('commit', '--quiet', '-m', 'As released');
  git('tag', 'released-1');
  const released = readFileSync(join(library, NAME), 'utf8');
  expect(released).toContain(CAUTION);
  writeFileSync(join(library, NAME), released.replace(CAUTION, ''));
  workbench = await startWorkbench(packageExtension(folder), { 'git.enabled': true, 'editor.minimap.enabled': false, ...(theme ? { 'workbench.colorTheme': theme } : {}) });
}, 400_000);
afterEach(async ({ task }) => {
  if (page && task.result?.state === 'fail') await picture(page, `failed ${task.name.slice(0, 40)}`);
});
afterAll(async () => {
  await workbench?.stop();
  rmSync(folder, { recursive: true, force: true });
});

function git(...words: string[]): void {
  execFileSync('git', ['-c', 'user.name=Depot', '-c', 'user.email=depot@example.invalid', '-c', 'commit.gpgsign=false', ...words], { cwd: library, stdio: 'ignore' });
}

test('what a change does to safety is seen beside the text, shown in it, and gone once it is put back', { timeout: 180_000 }, async () => {
  page = await workbench.open(library, join(library, NAME));
  await runCommand(page, 'Faultwright: Show what changed since a revision');
  const panel = await insideWebview(page, 'main.review h2');
  await page.locator('.tab', { hasText: 'Review: air_pressure' }).waitFor();
  const lessSafe = panel.locator('section', { hasText: 'Less safe than before' });
  await lessSafe.getByText("'fit_gauge' has a hazard without a caution: compressed air and whipping hoses.").waitFor();
  expect(await lessSafe.innerText()).toContain('make_safe → fit_gauge');
  await panel.getByText("'fit_gauge' no longer gives the caution compressed_air.").waitFor();
  await picture(page, 'review');
  // The number on the sheet was released with other content: found from git as well.
  await page.locator('.squiggly-error').first().waitFor();
  await runCommand(page, 'View: Focus Problems');
  await page.locator('.markers-panel .monaco-list-row', { hasText: 'Revision 4 was released before, with other content.' }).waitFor();
  await runCommand(page, 'View: Toggle Panel');

  // By keyboard alone: into the panel, to its field, to its first sentence.
  await page.keyboard.press('Control+2');
  await expect.poll(() => focused(panel, 'Tab')).toBe('since');
  const since = panel.getByLabel('Compare with');
  await since.fill('v9');
  await page.keyboard.press('Enter');
  await panel.getByRole('status').getByText('The repository has no revision v9.').waitFor();
  await picture(page, 'review-refused');
  // What was shown before stays.
  await panel.getByText("'fit_gauge' no longer gives the caution compressed_air.").waitFor();
  await since.fill('released-1');
  await page.keyboard.press('Enter');
  await expect.poll(() => panel.getByRole('status').innerText()).toBe('');
  await expect.poll(() => focused(panel, 'Tab')).toContain("'fit_gauge' has a hazard without a caution");
  await picture(page, 'review-focus');
  await page.keyboard.press('Enter');
  const line = readFileSync(join(library, NAME), 'utf8').split('\n').findIndex((one) => one.includes('step: fit_gauge')) + 1;
  // Where the hazard arises: the tool that the step is done with.
  await page.locator('.statusbar-item', { hasText: new RegExp(`^Ln ${line + 3}, .*selected`) }).waitFor();

  // The text is put back by hand, and the panel follows it.
  await goToLine(page, line + 4);
  await page.keyboard.press('End');
  await page.keyboard.type('\ncautions: [compressed_air]');
  await panel.getByText('Nothing has changed since released-1 that bears on the procedure.').waitFor();
  await picture(page, 'review-nothing');
});

/** Presses a key in the panel, and says what has the focus then: its id, else its text. */
async function focused(panel: FrameLocator, key: string): Promise<string> {
  await page.keyboard.press(key);
  const [found] = await panel.locator(':focus').evaluateAll((all) => all.map((one) => one.id || (one.textContent ?? '')));
  return found ?? '';
}
