/**
 * The flow page in a real browser, in the panel's stead: follows edits, keeps the reader's place, picks and marks steps, runs
 * nothing.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launchBrowser } from '../browser/chromium.ts';
import { accessibilityProblems, bundleOf, removePages, show } from './harness.ts';
import type { Bundle, Shown } from './harness.ts';

let browser: Browser;
let bundle: Bundle;

beforeAll(async () => {
  [browser, bundle] = await Promise.all([launchBrowser(), bundleOf('flow-page')]);
});

afterAll(async () => {
  await browser?.close();
  removePages();
});

const STEPS = Array.from({ length: 30 }, (_, index) => `step_${index + 1}`);

function drawing(steps: readonly string[], inside = ''): string {
  const groups = steps.map(
    (step, index) => `
    <g data-step="${step}" transform="translate(60 ${40 + index * 120})"><title>${index + 1} ${step}</title>
      <rect class="box" width="240" height="70"/><text x="12" y="40">${step}</text></g>`,
  );
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 360 ${steps.length * 120 + 40}">
    <style>.box { fill: var(--vscode-editor-background, #ffffff); stroke: var(--vscode-editor-foreground, #222222); }
      text { fill: var(--vscode-editor-foreground, #222222); font-size: 16px; }</style>${groups.join('')}${inside}</svg>`;
}

/** The panel's HTML with its policy, and an editor that remembers. */
async function open(kept?: unknown): Promise<Shown> {
  const nonce = 'abc';
  const html = `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Flow</title>
    <meta http-equiv="Content-Security-Policy"
      content="default-src 'none'; script-src 'nonce-${nonce}'; style-src 'nonce-${nonce}'">
    <style nonce="${nonce}">${bundle.styles}</style></head><body><div id="page"></div>
    <script nonce="${nonce}">window.posted = []; window.keptState = ${JSON.stringify(kept ?? null)};
      window.acquireVsCodeApi = () => ({
        postMessage: (message) => window.posted.push(message),
        getState: () => window.keptState ?? undefined,
        setState: (state) => { window.keptState = state; },
      });
    </script><script nonce="${nonce}">${bundle.script}</script></body></html>`;
  const shown = await show(browser, html, { viewport: { width: 500, height: 600 } });
  await shown.page.waitForFunction(() => (window as unknown as { posted: unknown[] }).posted.length > 0);
  return shown;
}

const tell = (page: Page, message: unknown) => page.evaluate((sent) => window.postMessage(sent, '*'), message);
const posted = (page: Page) => page.evaluate(() => (window as unknown as { posted: { kind: string; step?: string }[] }).posted);
const draw = (page: Page, steps: readonly string[], inside?: string) =>
  tell(page, { kind: 'drawing', uri: 'file:///a.procedure.yaml', title: 'Tail lift', svg: drawing(steps, inside), steps });
const topOf = (page: Page, step: string) =>
  page.locator(`[data-step="${step}"]`).evaluate((group) => Math.round(group.getBoundingClientRect().top));

describe('flow page', () => {
  test('asks for the drawing, shows it and says when it cannot be newer', async () => {
    const { page, requests, errors } = await open();
    expect(await posted(page)).toEqual([{ kind: 'ready', faults: true }]);
    await draw(page, STEPS);
    expect(await page.locator('[data-step]').count()).toBe(30);
    await tell(page, { kind: 'trouble', text: 'The text cannot be drawn as it stands.' });
    await page.getByText('The text cannot be drawn as it stands.').waitFor();
    expect(await page.locator('[data-step]').count()).toBe(30);
    await tell(page, { kind: 'trouble', text: undefined });
    await page.getByText('The text cannot be drawn as it stands.').waitFor({ state: 'detached' });
    expect(requests).toEqual([]);
    expect(errors).toEqual([]);
    await page.context().close();
  });

  test('a click and the Enter key pick a step; arrow keys go from step to step', async () => {
    const { page } = await open();
    await draw(page, STEPS);
    await page.locator('[data-step="step_2"]').click();
    expect((await posted(page)).at(-1)).toEqual({ kind: 'reveal', step: 'step_2' });
    await page.locator('[data-step="step_2"]').focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    expect((await posted(page)).at(-1)).toEqual({ kind: 'reveal', step: 'step_4' });
    await page.context().close();
  });

  test('the faults still possible are hidden and shown again by a button that says which it is', async () => {
    const { page } = await open();
    await draw(page, STEPS);
    const button = page.getByRole('button', { name: 'Faults left' });
    expect(await button.getAttribute('aria-pressed')).toBe('true');
    await button.press('Enter');
    expect(await button.getAttribute('aria-pressed')).toBe('false');
    await button.press('Enter');
    expect((await posted(page)).slice(1)).toEqual([{ kind: 'faults', wanted: false }, { kind: 'faults', wanted: true }]);
    await page.context().close();
  });

  test('the step at the cursor is marked and comes into sight', async () => {
    const { page } = await open();
    await draw(page, STEPS);
    await tell(page, { kind: 'current', step: 'step_25' });
    await page.locator('[data-step="step_25"][aria-current="step"]').waitFor();
    const top = await topOf(page, 'step_25');
    expect(top).toBeGreaterThan(0);
    expect(top).toBeLessThan(600);
    await page.context().close();
  });

  test('an edit above keeps zoom and the place of what is read', async () => {
    const { page } = await open();
    await draw(page, STEPS);
    await tell(page, { kind: 'current', step: 'step_20' });
    await page.locator('[aria-current="step"]').waitFor();
    await page.getByRole('button', { name: 'Larger' }).click();
    const zoom = await page.locator('.flow-tools .number').textContent();
    const before = await topOf(page, 'step_20');
    await draw(page, ['step_0', ...STEPS]);
    await page.locator('[data-step="step_0"]').waitFor();
    expect(Math.abs((await topOf(page, 'step_20')) - before)).toBeLessThanOrEqual(2);
    expect(await page.locator('.flow-tools .number').textContent()).toBe(zoom);
    expect(await page.locator('[aria-current="step"]').getAttribute('data-step')).toBe('step_20');
    await page.context().close();
  });

  test('zoom by key and wheel stays about its point; a drag moves and picks nothing', async () => {
    const { page } = await open();
    await draw(page, STEPS);
    const box = (await page.locator('[data-step="step_3"] rect').boundingBox())!;
    const at = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    await page.mouse.move(at.x, at.y);
    await page.keyboard.down('Control');
    await page.mouse.wheel(0, -200);
    await page.keyboard.up('Control');
    await page.waitForFunction(() => document.querySelector('.flow-tools .number')?.textContent !== '100 %');
    const after = (await page.locator('[data-step="step_3"] rect').boundingBox())!;
    expect(Math.abs(after.y + after.height / 2 - at.y)).toBeLessThanOrEqual(3);
    expect(after.width).toBeGreaterThan(box.width);

    const count = (await posted(page)).length;
    const start = await topOf(page, 'step_3');
    await page.mouse.move(250, 400);
    await page.mouse.down();
    await page.mouse.move(250, 300, { steps: 5 });
    await page.mouse.up();
    expect(start - (await topOf(page, 'step_3'))).toBeGreaterThan(80);
    expect((await posted(page)).length).toBe(count);

    await page.locator('.flow-frame').focus();
    await page.keyboard.press('0');
    await page.waitForFunction(() => document.querySelector('.flow-tools .number')?.textContent === '100 %');
    await page.context().close();
  });

  test('comes back where it was after the panel was hidden', async () => {
    const { page } = await open({ uri: 'file:///a.procedure.yaml', view: { zoom: 2, left: 0, top: 900 } });
    await draw(page, STEPS);
    await page.waitForFunction(() => Math.abs((document.querySelector('.flow-frame')?.scrollTop ?? 0) - 900) < 2);
    await page.context().close();
  });

  test('a drawing that carries code does nothing but draw', async () => {
    const { page, requests, errors } = await open();
    await draw(
      page,
      ['a'],
      `<script>window.ran = 1</script><image href="http://example.test/x.png"/>
      <a href="javascript:window.ran=2"><text onclick="window.ran=3" y="20">press</text></a>
      <foreignObject>
        <iframe xmlns="http://www.w3.org/1999/xhtml" srcdoc="&lt;script&gt;parent.ran=4&lt;/script&gt;"/>
      </foreignObject>`,
    );
    await page.getByText('press').click();
    expect(await page.evaluate(() => (window as unknown as { ran?: number }).ran)).toBeUndefined();
    expect(requests).toEqual([]);
    expect(errors).toEqual([]);
    expect(await page.locator('svg script, svg image, svg foreignObject, svg [onclick]').count()).toBe(0);
    await page.context().close();
  });

  for (const colorScheme of ['light', 'dark'] as const) {
    test(`axe-core finds nothing in ${colorScheme}`, async () => {
      const { page } = await open();
      await page.emulateMedia({ colorScheme });
      await draw(page, STEPS);
      await tell(page, { kind: 'current', step: 'step_1' });
      await page.locator('[aria-current="step"]').waitFor();
      expect(await accessibilityProblems(page)).toEqual([]);
      await page.context().close();
    });
  }
});
