/**
 * The page as the person wants it: language, working hand, bright sun. Remembered, right for keyboard and screen reader, clean by
 * axe-core in every mode, and every target wide enough for a glove. With FAULTWRIGHT_SCREENSHOTS set to a folder, pictures are left there.
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { checklistOf, fixture } from './checklist-fixture.ts';
import { accessibilityProblems, bundleOf, removePages, show } from './harness.ts';
import type { Bundle } from './harness.ts';
import { begin, next, read, settled, tabTo, walkToSupply } from './technician.ts';

let browser: Browser;
let bundle: Bundle;
let html: string;

beforeAll(async () => {
  [browser, bundle] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
  html = checklistPageHtml(checklistOf(fixture('spinner.procedure.yaml').replace('status: released', 'status: draft'), 'GR-02'), bundle.script, bundle.styles);
});

afterAll(async () => {
  await browser?.close();
  removePages();
});

async function set(page: Page, setting: string, value: string): Promise<void> {
  const part = page.locator('[data-test="settings"]');
  if (!(await part.evaluate((details) => (details as HTMLDetailsElement).open))) await part.locator('summary').click();
  await page.locator(`[data-test="setting-${setting}"][data-when="${value}"]`).click();
}

async function press(page: Page): Promise<void> {
  await next(page).click();
  await settled(page);
}

/** The sheets that differ most, whatever the language. */
async function someSheets(page: Page, look: (name: string) => Promise<void>): Promise<void> {
  await look('start');
  await page.locator('[data-test="person"]').fill('T-14');
  await press(page);
  await page.locator('[data-test="position"]').waitFor();
  await look('do');
  await press(page);
  await look('caution');
  await press(page);
  await look('states');
  await press(page);
  await page.locator('[data-test="answer"][data-when="free"]').click();
  await look('answer');
  await press(page);
  await press(page);
  await press(page);
  await page.locator('[data-test="reading"]').fill('22,4');
  await next(page).click();
  await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
  await look('judged');
  await press(page);
  await page.locator('[data-test="remedy-choice"][data-when="later"]').click();
  await look('remedy');
  await press(page);
  await look('verdict');
  for (let count = 0; count < 3 && (await next(page).count()) > 0; count++) await press(page);
  await page.locator('[data-test="scan-record"] summary').click();
  await look('record');
}

async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env['FAULTWRIGHT_SCREENSHOTS'];
  if (!folder) return;
  mkdirSync(folder, { recursive: true });
  // As it is held in the hand, then whole.
  await page.screenshot({ path: join(folder, `${name}.png`) });
  await page.screenshot({ path: join(folder, `${name}-whole.png`), fullPage: true });
}

/** 56 CSS pixels, about 9 mm on a tablet: more than the 44 of WCAG 2.2, 2.5.5, for a hand in a glove. */
const GLOVE = 56;

async function problemsOfSheet(page: Page): Promise<string[]> {
  const layout = await page.evaluate((least) => {
    const wide = document.documentElement.scrollWidth > document.documentElement.clientWidth ? ['the page scrolls sideways'] : [];
    const targets = [...document.querySelectorAll<HTMLElement>('button, summary, input:not([type="radio"]), select, label.choice')];
    const small = targets.filter((element) => element.checkVisibility()).filter((element) => Math.round(element.getBoundingClientRect().height) < least);
    return [...wide, ...small.map((element) => `${element.tagName} ${element.textContent ?? ''}: ${element.getBoundingClientRect().height}`)];
  }, GLOVE);
  return [...layout, ...(await accessibilityProblems(page))];
}

const MODES = [
  { name: 'phone-sun', viewport: { width: 390, height: 844 }, settings: { light: 'sun' } },
  { name: 'tablet-sun-of-a-dark-device', viewport: { width: 820, height: 1180 }, colorScheme: 'dark', settings: { light: 'sun' } },
  { name: 'phone-left-german', viewport: { width: 390, height: 844 }, settings: { hand: 'left', language: 'de' } },
  { name: 'tablet-left-german-dark', viewport: { width: 820, height: 1180 }, colorScheme: 'dark', settings: { hand: 'left', language: 'de' } },
  { name: 'desktop-german', viewport: { width: 1280, height: 900 }, settings: { language: 'de' } },
] as const;

describe.each(MODES)('$name', ({ name, viewport, settings, ...rest }) => {
  test('nothing is cut off, every target fits a glove, axe-core finds nothing', async () => {
    const { page, context, errors } = await show(browser, html, { viewport, colorScheme: 'colorScheme' in rest ? rest.colorScheme : 'light' });
    for (const [setting, value] of Object.entries(settings)) await set(page, setting, value);
    await page.locator('[data-test="settings"] summary').click();
    await someSheets(page, async (sheet) => {
      await picture(page, `${name}-${sheet}`);
      expect({ sheet, problems: await problemsOfSheet(page) }).toEqual({ sheet, problems: [] });
    });
    expect(errors).toEqual([]);
    await context.close();
  }, 180_000);
});

describe('settings', () => {
  test('are remembered, and hold on the sheet at hand without losing what was typed', async () => {
    const { page, context, url } = await show(browser, html);
    await page.locator('[data-test="person"]').fill('T-14');
    await set(page, 'language', 'de');
    expect(await page.locator('[data-test="person"]').inputValue()).toBe('T-14');
    expect(await next(page).textContent()).toBe('Beginnen');
    expect(await page.locator('html').getAttribute('lang')).toBe('de');
    await set(page, 'hand', 'left');
    await set(page, 'light', 'sun');
    await press(page);
    await page.locator('[data-test="position"]').waitFor();
    expect(await page.locator('[data-test="position"]').textContent()).toBe('Schritt 1 von etwa 7');
    await set(page, 'language', 'en');
    expect(await page.locator('[data-test="position"]').textContent()).toBe('Step 1 of about 7');
    await set(page, 'language', 'de');
    const again = await show(browser, html, { into: context, url });
    await again.page.locator('[data-test="position"]').waitFor();
    expect(await again.page.locator('[data-test="position"]').textContent()).toBe('Schritt 1 von etwa 7');
    expect(await again.page.evaluate(() => ({ ...document.documentElement.dataset }))).toMatchObject({ hand: 'left', light: 'sun' });
    await context.close();
  });

  test('without one, the page speaks as the browser asks, and else as it was made', async () => {
    for (const [locale, made, expected] of [
      ['de-AT', undefined, 'Beginnen'],
      ['fr-FR', undefined, 'Begin'],
      ['fr-FR', 'de', 'Beginnen'],
    ] as const) {
      const file = checklistPageHtml(checklistOf(undefined, 'GR-02'), bundle.script, bundle.styles, made ? { language: made } : {});
      const { page, context } = await show(browser, file, { locale });
      expect({ locale, words: await next(page).textContent() }).toEqual({ locale, words: expected });
      await context.close();
    }
  });

  test('are reached and changed by keyboard alone', async () => {
    const { page, context } = await show(browser, html);
    await tabTo(page, '[data-test="settings"] summary');
    await page.keyboard.press('Enter');
    await tabTo(page, 'input[name="setting-hand"]');
    await page.keyboard.press('ArrowLeft');
    expect(await page.locator('html').getAttribute('data-hand')).toBe('left');
    expect(await page.evaluate(() => (document.activeElement as HTMLInputElement).name)).toBe('setting-hand');
    await context.close();
  });

  test('what was stored by another hand or version does no harm', async () => {
    const context = await browser.newContext();
    await context.addInitScript(() => localStorage.setItem('faultwright-page', '{"language":"<img>","hand":7,"light":null,"sound":"no"}'));
    const { page, errors } = await show(browser, html, { into: context });
    expect(await next(page).textContent()).toBe('Begin');
    expect(await page.locator('html').getAttribute('data-hand')).toBe('right');
    expect(errors).toEqual([]);
    await context.close();
  });
});

describe('the working hand', () => {
  for (const [hand, side] of [['left', 'left'], ['right', 'right']] as const) {
    test(`${hand}: the large button and the marks are on that side of a tablet`, async () => {
      const { page, context } = await show(browser, html, { viewport: { width: 1180, height: 820 } });
      await set(page, 'hand', hand);
      await page.locator('[data-test="person"]').fill('T-14');
      for (let count = 0; count < 4; count++) await press(page);
      const middle = await page.locator('main').evaluate((main) => main.getBoundingClientRect().x + main.getBoundingClientRect().width / 2);
      const button = (await next(page).boundingBox())!;
      const mark = (await page.locator('.choice input').first().boundingBox())!;
      expect(button.x + button.width / 2 < middle ? 'left' : 'right').toBe(side);
      expect(mark.x < middle ? 'left' : 'right').toBe(side);
      await context.close();
    });
  }

  test('the button is at hand while something is to be entered, and at the end of what must be read first', async () => {
    const { page, context } = await show(browser, html, { viewport: { width: 390, height: 640 } });
    await begin(page);
    await press(page);
    const inView = async () => {
      await page.evaluate(() => scrollTo(0, 0));
      return next(page).evaluate((button) => button.getBoundingClientRect().bottom <= innerHeight + 1);
    };
    // How to bring about the states is to be read first.
    expect(await next(page).textContent()).toBe('The machine is in this state');
    expect(await inView()).toBe(false);
    await press(page);
    expect(await next(page).textContent()).toBe('Choose an answer');
    expect(await inView()).toBe(true);
    // What has the focus is never hidden behind it.
    await page.locator('.choice input').last().focus();
    const hidden = await page.evaluate(() => {
      const field = document.activeElement!.getBoundingClientRect();
      const dock = document.querySelector('.dock')!.getBoundingClientRect();
      return field.bottom > dock.top && field.top < dock.bottom;
    });
    expect(hidden).toBe(false);
    await context.close();
  });
});

describe('bright sun', () => {
  test('is black on white whatever the device is set to', async () => {
    const { page, context } = await show(browser, html, { colorScheme: 'dark' });
    await set(page, 'light', 'sun');
    expect(await page.evaluate(() => [getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color])).toEqual(['rgb(255, 255, 255)', 'rgb(0, 0, 0)']);
    await context.close();
  });
});

describe('the sound at the end of a wait', () => {
  for (const [sound, tones] of [['on', 2], ['off', 0]] as const) {
    test(`${sound}: ${tones} tones, also where the page was loaded anew meanwhile and any press has allowed it`, async () => {
      const context = await browser.newContext();
      await context.addInitScript(() => {
        const counted = window as unknown as { tones: number };
        counted.tones = 0;
        const create = AudioContext.prototype.createOscillator;
        AudioContext.prototype.createOscillator = function oscillator(this: AudioContext) {
          counted.tones += 1;
          return create.call(this);
        };
      });
      const { page, errors } = await show(browser, html, { into: context });
      await set(page, 'sound', sound);
      await walkToSupply(page);
      await read(page, '24.6');
      await read(page, '0.1');
      await read(page, '0.1');
      await page.locator('[data-test="wait-start"]').click();
      // It counts once it is written down.
      await page.locator('[data-test="wait-start"]').waitFor({ state: 'detached' });
      await page.reload();
      await page.locator('[data-test="wait"]').waitFor();
      await page.locator('h1').first().click();
      await next(page).waitFor({ timeout: 10_000 });
      expect(await page.evaluate(() => (window as unknown as { tones: number }).tones)).toBe(tones);
      expect(errors).toEqual([]);
      await context.close();
    });
  }
});

test('without a network it is opened, worked, reloaded and ended', async () => {
  const context = await browser.newContext();
  await context.setOffline(true);
  const { page, errors, requests } = await show(browser, html, { into: context });
  await begin(page);
  await press(page);
  await page.reload();
  await page.locator('[data-test="position"]').waitFor();
  expect(await page.locator('[data-test="position"]').textContent()).toMatch(/^Step 2/);
  expect({ errors, requests }).toEqual({ errors: [], requests: [] });
  await context.close();
});
