/** Someone who works a checklist page: by the pointer, or by keyboard alone. */
import { expect } from 'vitest';
import type { Page } from 'playwright-core';

export const next = (page: Page) => page.locator('[data-test="next"]');

/** Presses the large button and waits until the page has taken it. */
export async function pressNext(page: Page): Promise<void> {
  await next(page).click();
  await settled(page);
}

/** Acknowledges and confirms whatever stands before the entry. */
export async function upToEntry(page: Page): Promise<void> {
  for (let count = 0; count < 6; count++) {
    const label = await next(page).textContent();
    if (!/I have read|in this state/.test(label ?? '')) return;
    await pressNext(page);
  }
  throw new Error('The entry never came.');
}

export async function choose(page: Page, when: string): Promise<void> {
  await upToEntry(page);
  await page.locator(`[data-test="answer"][data-when="${when}"]`).click();
  await pressNext(page);
}

/** Types a reading, has it judged, and goes on. */
export async function read(page: Page, typed: string): Promise<void> {
  await upToEntry(page);
  await page.locator('[data-test="reading"]').fill(typed);
  await pressNext(page);
  await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
  await pressNext(page);
}

export async function begin(page: Page): Promise<void> {
  await page.locator('[data-test="person"]').fill('T-14');
  await pressNext(page);
  await page.locator('[data-test="position"]').waitFor();
}

/** From the start to the supply reading at step 4. */
export async function walkToSupply(page: Page): Promise<void> {
  await begin(page);
  await pressNext(page);
  await choose(page, 'free');
  await pressNext(page);
  await upToEntry(page);
  expect(await title(page)).toBe('Supply at the motor plug');
}

export async function title(page: Page): Promise<string> {
  return (await page.locator('#step-title span:last-child').textContent()) ?? '';
}

export async function position(page: Page): Promise<string> {
  return (await page.locator('[data-test="position"]').textContent()) ?? '';
}

/** Nothing is on its way to the store, and the large button can be pressed again. */
export async function settled(page: Page): Promise<void> {
  await page.waitForFunction(() => document.querySelector('[data-test="next"][aria-disabled="true"]') === null);
}

/** Moves the focus by Tab until an element matches. Fails where the keyboard never comes there. */
export async function tabTo(page: Page, selector: string): Promise<void> {
  for (let count = 0; count < 60; count++) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`The keyboard does not reach ${selector}.`);
}

/** Presses the large button by keyboard. */
export async function enterNext(page: Page): Promise<void> {
  await settled(page);
  await tabTo(page, '[data-test="next"]');
  await page.keyboard.press('Enter');
  await settled(page);
}
