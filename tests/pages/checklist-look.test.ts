/**
 * How the checklist page is read: axe-core over every kind of sheet in light and dark, sizes from phone to desktop, forced
 * colours, targets wide enough, one source of the signal colours. With FAULTWRIGHT_SCREENSHOTS set to a folder, pictures are left
 * there to look at.
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { SIGNAL_COLOURS } from '../../server/src/render/signal-colours.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { checklistOf, fixture } from './checklist-fixture.ts';
import { accessibilityProblems, bundleOf, removePages, show } from './harness.ts';
import { begin, choose, next, pressNext, read, upToEntry } from './technician.ts';

let browser: Browser;
let html: string;
let styles: string;

beforeAll(async () => {
  const [started, bundle] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
  browser = started;
  styles = bundle.styles;
  const draft = fixture('spinner.procedure.yaml').replace('status: released', 'status: draft');
  html = checklistPageHtml(checklistOf(draft, 'GR-02'), bundle.script, bundle.styles);
});

afterAll(async () => {
  await browser?.close();
  removePages();
});

const SIZES = { phone: { width: 390, height: 844 }, tablet: { width: 820, height: 1180 }, desktop: { width: 1280, height: 900 } };

/** Walks to a fault and its end, stopping to look at every kind of sheet. */
async function everySheet(page: Page, look: (name: string) => Promise<void>): Promise<void> {
  await look('start');
  await begin(page);
  await look('do');
  await pressNext(page);
  await look('caution');
  await pressNext(page);
  await look('states');
  await upToEntry(page);
  await page.locator('[data-test="answer"]').first().click();
  await look('answer');
  await pressNext(page);
  await pressNext(page);
  await upToEntry(page);
  await page.locator('[data-test="reading"]').fill('24 bar');
  await next(page).click();
  await page.locator('[data-test="refused"]:not(:empty)').waitFor();
  await look('refused');
  await page.locator('[data-test="reading"]').fill('24.6');
  await next(page).click();
  await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
  await look('judged');
  await pressNext(page);
  await upToEntry(page);
  await look('points');
  await read(page, '0.1');
  await read(page, '0.1');
  await look('wait');
  await page.locator('[data-test="wait-already"]').click();
  await next(page).waitFor();
  await pressNext(page);
  await read(page, 'OL');
  await page.locator('[data-test="remedy-choice"][data-when="done"]').click();
  await look('remedy');
  await pressNext(page);
  await pressNext(page);
  await choose(page, 'yes');
  await page.locator('[data-test="history"] summary').click();
  await page.locator('[data-test="correct"]').first().click();
  await page.locator('[data-test="history"]').evaluate((details) => {
    (details as HTMLDetailsElement).open = true;
  });
  await look('verdict');
  await upToEnd(page);
  await page.locator('[data-test="record"]').waitFor();
  await look('record');
}

/** Puts back what is to be put back, and finishes. */
async function upToEnd(page: Page): Promise<void> {
  for (let count = 0; count < 3; count++) {
    await page.locator('[data-test="next"], [data-test="record"]').first().waitFor();
    if ((await next(page).count()) === 0) return;
    await pressNext(page);
  }
}

async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env['FAULTWRIGHT_SCREENSHOTS'];
  if (!folder) return;
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
}

describe('axe-core finds nothing', () => {
  for (const colorScheme of ['light', 'dark'] as const) {
    test(`on any sheet in ${colorScheme}`, async () => {
      const { page, context } = await show(browser, html, { colorScheme, viewport: SIZES.tablet });
      await everySheet(page, async (name) => {
        expect({ sheet: name, problems: await accessibilityProblems(page) }).toEqual({ sheet: name, problems: [] });
        await picture(page, `tablet-${colorScheme}-${name}`);
      });
      await context.close();
    }, 120_000);
  }
});

describe('sizes', () => {
  for (const [size, viewport] of Object.entries(SIZES)) {
    test(`on a ${size} nothing is cut off and every target is large enough`, async () => {
      const { page, context } = await show(browser, html, { viewport, hasTouch: size !== 'desktop' });
      await everySheet(page, async (name) => {
        await picture(page, `${size}-light-${name}`);
        const bad = await page.evaluate(() => {
          const wide =
            document.documentElement.scrollWidth > document.documentElement.clientWidth ? ['the page scrolls sideways'] : [];
          // 44 CSS pixels: WCAG 2.2, success criterion 2.5.5 (target size, enhanced).
          const small = [
            ...document.querySelectorAll<HTMLElement>('button, summary, input:not([type="radio"]), select, label.choice'),
          ]
            .filter((element) => element.checkVisibility())
            .filter((element) => Math.round(element.getBoundingClientRect().height) < 44)
            .map((element) => `${element.tagName} ${element.textContent ?? ''}: ${element.getBoundingClientRect().height}`);
          return [...wide, ...small];
        });
        expect({ sheet: name, bad }).toEqual({ sheet: name, bad: [] });
      });
      await context.close();
    }, 120_000);
  }

  test('forced colours keep the signal word readable and the choice visible', async () => {
    const { page, context } = await show(browser, html, { forcedColors: 'active', colorScheme: 'dark', viewport: SIZES.tablet });
    await begin(page);
    await pressNext(page);
    const word = page.locator('.caution-word').first();
    expect(await word.evaluate((element) => getComputedStyle(element).backgroundColor)).toBe('rgb(255, 209, 0)');
    expect(await word.evaluate((element) => getComputedStyle(element).color)).toBe('rgb(0, 0, 0)');
    await upToEntry(page);
    await page.locator('[data-test="answer"]').first().click();
    const outlines = await page
      .locator('.choice')
      // The settings have choices of their own.
      .evaluateAll((choices) => choices
        .filter((choice) => choice.matches('[data-test="answer"]') || choice.querySelector('[data-test="answer"]') !== null)
        .map((choice) => getComputedStyle(choice).outlineStyle));
    expect(outlines.length).toBeGreaterThan(1);
    expect(outlines).toEqual(['solid', ...outlines.slice(1).map(() => 'none')]);
    await picture(page, 'tablet-forced-answer');
    await context.close();
  });

  test('nothing moves with reduced motion', async () => {
    const { page, context } = await show(browser, html, { reducedMotion: 'reduce' });
    await begin(page);
    const moving = await page.evaluate(() => document.getAnimations().length);
    expect(moving).toBe(0);
    await context.close();
  });
});

describe('signal colours', () => {
  test('are those of paper and drawings, on every kind of caution', async () => {
    const { page, context } = await show(browser, html);
    await begin(page);
    await pressNext(page);
    for (const [word, { ground, ink }] of Object.entries(SIGNAL_COLOURS)) {
      const seen = await page.locator('.caution').first().evaluate((panel, name) => {
        panel.setAttribute('class', `caution caution-${name}`);
        const style = getComputedStyle(panel.querySelector('.caution-word')!);
        return { ground: style.backgroundColor, ink: style.color };
      }, word);
      expect({ word, ...seen }).toEqual({ word, ground: asRgb(ground), ink: asRgb(ink) });
    }
    await context.close();
  });

  test('stand in no style sheet, and caution panels alone use them', () => {
    for (const { ground } of Object.values(SIGNAL_COLOURS)) expect(styles.toLowerCase()).not.toContain(ground);
    const rules = styles.split('}').filter((rule) => /var\(--(danger|warning|caution|notice)-/.test(rule));
    expect(rules.length).toBe(4);
    for (const rule of rules) expect(rule).toMatch(/^\.caution-/);
  });
});

function asRgb(hex: string): string {
  return `rgb(${[1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)).join(', ')})`;
}
