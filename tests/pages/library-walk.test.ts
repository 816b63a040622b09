/**
 * Every procedure of the library, run on the page to a record by someone who answers whatever comes: no sheet is a dead end, none
 * throws, none asks the network. The page speaks German, and none of what it says itself is left in English.
 */
import { readdirSync, readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { buildChecklist } from '../../server/src/run/checklist.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { englishLeft, textsOf } from './english-left.ts';
import { bundleOf, removePages, show } from './harness.ts';
import type { Bundle } from './harness.ts';
import { begin, next, settled } from './technician.ts';

const folder = new URL('../../procedures/', import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith('.procedure.yaml'));
const MOST_PRESSES = 400;

let browser: Browser;
let bundle: Bundle;
let workspace: Workspace;

beforeAll(async () => {
  [browser, bundle] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
  workspace = new Workspace();
  for (const name of readdirSync(folder).filter((entry) => entry.endsWith('.yaml'))) {
    workspace.setFile(`/depot/${name}`, readFileSync(new URL(name, folder), 'utf8'));
  }
});

afterAll(async () => {
  await browser?.close();
  removePages();
});

describe('the library on the page', () => {
  test('is there', () => expect(files.length).toBeGreaterThanOrEqual(10));

  for (const [index, file] of files.entries()) {
    // Side by side: most of the time a page waits until a person could have read it.
    test.concurrent(`${file} comes to a record`, async () => {
      const analysis = workspace.analyse(`/depot/${file}`);
      const plain = buildChecklist(analysis, undefined, workspace);
      const document = buildChecklist(analysis, plain.assets[0], workspace);
      const { page, requests, errors, context } = await show(browser, checklistPageHtml(document, bundle.script, bundle.styles, { language: 'de' }));
      const english = new Set<string>();
      const listen = async (): Promise<void> => {
        for (const line of englishLeft(await textsOf(page), document)) english.add(line);
      };
      await listen();
      await begin(page);
      const chance = chanceFrom(index + 1);
      let presses = 0;
      while ((await page.locator('[data-test="record"]').count()) === 0 && presses++ < MOST_PRESSES) await goOn(page, chance, listen);
      await listen();
      expect({ file, record: await page.locator('[data-test="record"]').count() }).toEqual({ file, record: 1 });
      expect([...english]).toEqual([]);
      expect(requests).toEqual([]);
      expect(errors).toEqual([]);
      await context.close();
    }, 120_000);
  }
});

const READINGS = ['12.6', '0.05', '25.1', '1', '8', '100', '400', '0', '60', '2000', '1000000', '-1'];

/** Does whatever the sheet asks for. */
async function goOn(page: Page, chance: () => number, listen: () => Promise<void>): Promise<void> {
  await page.locator('[data-test="next"], [data-test="wait-already"], [data-test="record"]').first().waitFor();
  if ((await page.locator('[data-test="record"]').count()) > 0) return;
  await listen();
  const wait = page.locator('[data-test="wait-already"]');
  if ((await wait.count()) > 0) {
    const title = await page.locator('[data-test="wait"] h3').textContent();
    await wait.click();
    await page.waitForFunction((before) => document.querySelector('[data-test="wait"] h3')?.textContent !== before, title);
    return;
  }
  const groups = page.locator('.step fieldset.choices');
  for (let group = 0; group < (await groups.count()); group++) {
    const choices = groups.nth(group).locator('label.choice');
    await choices.nth(Math.floor(chance() * (await choices.count()))).click();
    const other = groups.nth(group).locator('input[type="text"]');
    if ((await other.count()) > 0) await other.fill('Something unforeseen');
  }
  const reading = page.locator('[data-test="reading"]');
  if ((await reading.count()) > 0) {
    const start = Math.floor(chance() * READINGS.length);
    for (let count = 0; count < READINGS.length; count++) {
      await reading.fill(READINGS[(start + count) % READINGS.length]!);
      await next(page).click();
      await page.locator('[data-test="refused"]:not(:empty), [data-test="judgement"]:not(:empty)').first().waitFor();
      if ((await page.locator('[data-test="judgement"]:not(:empty)').count()) > 0) break;
    }
  } else if ((await page.locator('.step fieldset.choices input[type="text"]').count()) > 0) await next(page).click();
  await listen();
  await next(page).click();
  await settled(page);
}

/** Numbers in [0, 1), the same in every run: a linear congruential generator with the constants of ISO C's example `rand`. */
function chanceFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1103515245) + 12345) >>> 0;
    return ((state >>> 16) & 0x7fff) / 0x8000;
  };
}
