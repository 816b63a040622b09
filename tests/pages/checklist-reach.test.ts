/**
 * The sheets where a mistake weighs most or room is short: the keypad, a control that is held and held too long, a wait, a procedure that was changed
 * meanwhile. On a narrow phone, with text twice as large, for the left hand, by keyboard alone. With FAULTWRIGHT_SCREENSHOTS set to
 * a folder, pictures are left there to look at.
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { checklistOf, fixture } from './checklist-fixture.ts';
import { accessibilityProblems, bundleOf, removePages, show } from './harness.ts';
import { begin, choose, next, pressNext, tabTo, upToEntry, walkToSupply } from './technician.ts';

let browser: Browser;
let scripts: { script: string; styles: string };
const quick = fixture('spinner.procedure.yaml').replace('max_time: 10 s', 'max_time: 1 s').replace('wait: 2 s', 'wait: 90 s');

beforeAll(async () => {
  [browser, scripts] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
});
afterAll(async () => {
  await browser?.close();
  removePages();
});

const htmlOf = (text: string): string => checklistPageHtml(checklistOf(text, 'GR-02'), scripts.script, scripts.styles);

async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env['FAULTWRIGHT_SCREENSHOTS'];
  if (!folder) return;
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
}

/** What is cut off, too small for a finger, or found by axe-core. 44 CSS pixels: WCAG 2.2, 2.5.5; no scrolling sideways: 1.4.10. */
async function problemsOf(page: Page): Promise<string[]> {
  const layout = await page.evaluate(() => {
    const width = document.documentElement.clientWidth;
    const seen = (selector: string) => [...document.querySelectorAll<HTMLElement>(selector)].filter((element) => element.checkVisibility());
    const named = (element: HTMLElement) => `${element.tagName}.${element.className} ${(element.textContent ?? '').trim().slice(0, 40)}`;
    return [
      ...(document.documentElement.scrollWidth > width ? ['the page scrolls sideways'] : []),
      ...seen('button, summary, input:not([type="radio"]), select, label.choice').filter((element) => Math.round(element.getBoundingClientRect().height) < 44).map((element) => `small: ${named(element)}`),
      ...seen('main *').filter((element) => element.getBoundingClientRect().right > width + 1 && !element.closest('.only-heard')).map((element) => `cut off: ${named(element)}`),
      ...seen('main section *').filter((element) => element.getBoundingClientRect().right > element.closest('section')!.getBoundingClientRect().right + 1 && !element.closest('.only-heard')).map((element) => `beyond its box: ${named(element)}`),
      ...seen('button').filter((element) => element.scrollWidth > element.clientWidth + 1).map((element) => `cut: ${named(element)}`),
    ];
  });
  return [...layout, ...(await accessibilityProblems(page))];
}

async function set(page: Page, settings: Record<string, string>): Promise<void> {
  await page.evaluate((wanted) => localStorage.setItem('faultwright-page', JSON.stringify(wanted)), settings);
  await page.reload();
}

const HOT = `procedure: runs_hot
title: Engine of the gritter runs hot
revision: 1
status: released
complaint: The needle stands in the red after ten minutes.
faults:
  cap: {title: Pressure cap leaks, weight: 3, remedy: Remove the radiator cap and fit a new one., cautions: [scalding_coolant], qualified: [electrical]}
  belt: {title: Belt slips, weight: 1, remedy: Fit a new belt.}
steps:
  - step: seal
    ask: Is the seal of the cap whole?
    results:
      - {when: no, finds: cap}
      - {when: yes, rules_out: [cap], by_elimination: belt}
`;

const VARIANTS = [
  { name: 'narrow phone', viewport: { width: 320, height: 568 }, colorScheme: 'light', text: 1, settings: { hand: 'right' } },
  { name: 'phone with text twice as large in the dark, left hand', viewport: { width: 390, height: 844 }, colorScheme: 'dark', text: 2, settings: { hand: 'left' } },
] as const;

describe.each(VARIANTS)('on a $name', ({ name, viewport, colorScheme, text, settings }) => {
  async function look(page: Page, sheet: string): Promise<void> {
    if (text !== 1) {
      await page.evaluate((times) => {
        const root = document.documentElement;
        root.style.fontSize = '';
        root.style.fontSize = `${Number.parseFloat(getComputedStyle(root).fontSize) * times}px`;
      }, text);
    }
    await picture(page, `${name.replaceAll(/\W+/g, '-')}-${sheet}`);
    expect({ sheet, problems: await problemsOf(page) }).toEqual({ sheet, problems: [] });
  }

  test('the keypad, a hold, its alarm and a wait are whole', async () => {
    const { page, context, errors } = await show(browser, htmlOf(quick), { viewport, colorScheme, hasTouch: true });
    await set(page, { ...settings, keys: 'page' });
    await walkToSupply(page);
    await look(page, 'keypad');
    for (const key of ['2', '4', '.', '6']) await page.locator(`[data-key="${key}"]`).click();
    await page.locator('[data-test="hold-start"]').click();
    await look(page, 'hold');
    await page.locator('[data-test="hold"] [role="alert"]:not(:empty)').waitFor();
    await look(page, 'hold-over');
    await next(page).click();
    await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
    await look(page, 'judged');
    await pressNext(page);
    await upToEntry(page);
    for (let point = 0; point < 2; point++) {
      await page.locator('[data-test="reading"]').fill('0.1');
      await next(page).click();
      await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
      await pressNext(page);
    }
    await page.locator('[data-test="wait-start"]').click();
    await page.locator('[data-test="wait-counts"]').waitFor();
    await look(page, 'wait');
    expect(errors).toEqual([]);
    await context.close();
  }, 120_000);

  test('a remedy stands below what it warns of and who may do it, whole', async () => {
    const { page, context, errors } = await show(browser, htmlOf(HOT), { viewport, colorScheme, hasTouch: true });
    await set(page, settings);
    await begin(page);
    await choose(page, 'no');
    const remedy = page.locator('[data-test="remedy"]');
    await remedy.waitFor();
    expect(await remedy.innerText()).toMatch(/^WARNING[^]*Hot coolant could[^]*Only for: Person qualified for work on[^]*Remove the radiator cap and fit a new one\./);
    await look(page, 'remedy');
    expect(errors).toEqual([]);
    await context.close();
  }, 60_000);

  test('the offer to go on by a changed text, and why it cannot, are whole', async () => {
    // In the language with the longer words.
    const { page, context } = await changed({ viewport, colorScheme }, { ...settings, language: 'de' });
    await look(page, 'changed');
    await page.locator('[data-test="carry-over"]').click();
    await page.locator('[data-test="carry-refused"]').waitFor();
    await look(page, 'not-carried-over');
    await page.locator('[data-test="discard"]').click();
    await look(page, 'give-up');
    await context.close();
  }, 120_000);
});

/** The page of a changed text over a run that was begun on the one before. */
async function changed(options: Parameters<typeof show>[2], settings: Record<string, string>): Promise<{ page: Page; context: BrowserContext }> {
  const shown = await show(browser, htmlOf(quick), options);
  await walkToSupply(shown.page);
  await shown.page.evaluate(() => localStorage.clear());
  await shown.page.close();
  const later = quick.replace('revision: 3', 'revision: 4').replace('ask: Does the disc turn freely by hand?', 'ask: Does the disc turn both ways by hand?');
  const { page } = await show(browser, htmlOf(later), { into: shown.context });
  await set(page, settings);
  await page.locator('[data-test="changed"]').waitFor();
  return { page, context: shown.context };
}

describe('by keyboard alone', () => {
  test('the keypad, the hold and the wait are worked', async () => {
    const { page, context } = await show(browser, htmlOf(quick));
    await set(page, { keys: 'page' });
    await walkToSupply(page);
    await tabTo(page, '[data-test="hold-start"]');
    await page.keyboard.press('Enter');
    await page.locator('[data-test="hold-stop"]').waitFor();
    expect(await page.evaluate(() => document.activeElement?.getAttribute('data-test'))).toBe('hold-stop');
    await page.keyboard.press('Space');
    await page.locator('[data-test="hold-start"]').waitFor();
    await tabTo(page, '[data-key="2"]');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await tabTo(page, '[data-key="back"]');
    await page.keyboard.press('Space');
    expect(await page.locator('[data-test="reading"]').inputValue()).toBe('2');
    await context.close();
  });

  test('a run of a changed text is refused, given up only when asked twice, and nothing is done by one key too many', async () => {
    const { page, context } = await changed({}, {});
    await tabTo(page, '[data-test="carry-over"]');
    await page.keyboard.press('Enter');
    await page.locator('[data-test="carry-refused"]').waitFor();
    // The button is gone: the keyboard stands where it goes on from, not at the top of the page.
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('data-test'))).toMatch(/stop-changed|discard/);
    await tabTo(page, '[data-test="discard"]');
    await page.keyboard.press('Enter');
    expect(await page.locator('[data-test="discard"]').textContent()).toBe('Give it up for good');
    expect(await page.locator('[data-test="unfinished"]').count()).toBe(1);
    await page.keyboard.press('Enter');
    await page.locator('[data-test="unfinished"]').waitFor({ state: 'detached' });
    await context.close();
  });
});
