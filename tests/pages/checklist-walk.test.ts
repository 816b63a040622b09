/** The checklist page in a real browser, opened from disk: walked to its verdict, corrected, left and resumed. */
import { readFileSync } from 'node:fs';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checkRecord } from '../../server/src/run/record.ts';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { checklistOf, fixture } from './checklist-fixture.ts';
import { bundleOf, removePages, show } from './harness.ts';
import {
  begin,
  choose,
  enterNext,
  next,
  position,
  pressNext,
  read,
  settled,
  tabTo,
  title,
  upToEntry,
  walkToSupply,
} from './technician.ts';

let browser: Browser;
let html: string;
let checklist: ChecklistDocument;
let scripts: { script: string; styles: string };

beforeAll(async () => {
  [browser, scripts] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
  checklist = checklistOf(undefined, 'GR-02');
  html = checklistPageHtml(checklist, scripts.script, scripts.styles);
});

afterAll(async () => {
  await browser?.close();
  removePages();
});

const text = (page: Page, hook: string) => page.locator(`[data-test="${hook}"]`).textContent();

async function savedRecord(page: Page): Promise<Record<string, unknown>> {
  const [download] = await Promise.all([page.waitForEvent('download'), page.locator('[data-test="record-show"]').click()]);
  return JSON.parse(readFileSync(await download.path(), 'utf8')) as Record<string, unknown>;
}

describe('a walk to the verdict', () => {
  test('by keyboard alone, to a fault, its remedy, its proof and the record', async () => {
    const { page, requests, errors, context } = await show(browser, html);
    const answer = async (when: string) => {
      await tabTo(page, 'input[type="radio"]');
      await page.keyboard.press('Space');
      for (let count = 0; count < 5; count++) {
        if (await page.evaluate((wanted) => (document.activeElement as HTMLInputElement).value === wanted, when)) break;
        await page.keyboard.press('ArrowDown');
      }
      await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
      await enterNext(page);
    };
    const reading = async (typed: string, expected: RegExp) => {
      await tabTo(page, '[data-test="reading"]');
      await page.keyboard.type(typed);
      await page.keyboard.press('Enter');
      await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
      expect(await text(page, 'judgement')).toMatch(expected);
      await enterNext(page);
    };

    await tabTo(page, '[data-test="person"]');
    await page.keyboard.type('T-14');
    await page.keyboard.press('Enter');
    await page.locator('[data-test="position"]').waitFor();
    expect(await position(page)).toMatch(/^Step 1 of about 7/);
    expect(await next(page).textContent()).toContain('step 2: Turn the disc by hand');
    await enterNext(page);

    // Cautions whole and first; then the states and how to get there; the question comes once they hold.
    expect(await page.locator('[data-test="caution"]').count()).toBe(1);
    expect(await page.getByText('Lock the isolator.').count()).toBe(1);
    expect(await page.getByText('Does the disc turn freely by hand?').count()).toBe(0);
    await enterNext(page);
    expect(await page.locator('[data-test="caution"]').count()).toBe(1);
    await answer('free');
    await enterNext(page);

    // A danger stands alone until it is acknowledged.
    expect(await page.getByText('DANGER').count()).toBe(1);
    expect(await page.getByText('pin 1 of the motor plug').count()).toBe(0);
    await enterNext(page);
    await reading('24,6', /24[.,]6\s*V.*23\.6\s*V/u);
    await enterNext(page);
    await reading('0.1', /./);
    await reading('0.62', /0\.62\s*V.*0\.4\s*V/u);
    expect(await title(page)).toContain('High resistance in the ground return');
    await tabTo(page, 'input[name="remedy"]');
    await page.keyboard.press('Space');
    await tabTo(page, '[data-test="remedy-text"]');
    await page.keyboard.type('Cleaned the ground point at the frame.');
    await enterNext(page);
    await enterNext(page);
    await enterNext(page);
    await answer('yes');
    expect(await text(page, 'verdict')).toContain('repair is proved');
    await enterNext(page);
    await page.locator('[data-test="record"]').waitFor();

    const record = await savedRecord(page);
    expect(checkRecord(record, checklist)).toEqual([]);
    expect(record).toMatchObject({ asset: 'GR-02', people: ['T-14'], outcome: { kind: 'repaired', fault: 'poor_return' } });
    expect(JSON.stringify(record)).toContain('"24,6"');
    // The record outlasts the page: whoever closes it before saving finds it on the first sheet.
    await page.reload();
    await page.locator('[data-test="finished"] summary').click();
    const [again] = await Promise.all([page.waitForEvent('download'), page.locator('[data-test="save-finished"]').click()]);
    expect(JSON.parse(readFileSync(await again.path(), 'utf8'))).toEqual(record);
    expect(requests).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('the keyboard stands at the new step after each entry', async () => {
    const { page, context } = await show(browser, html);
    await begin(page);
    await pressNext(page);
    await page.waitForFunction(() => document.activeElement?.id === 'step-title');
    await upToEntry(page);
    await page.waitForFunction(() => document.activeElement?.id === 'instruction');
    await context.close();
  });

  test('a fault that the first answer shows ends the search there; left for later, it says so', async () => {
    const { page, context } = await show(browser, html);
    await begin(page);
    await pressNext(page);
    await choose(page, 'stuck');
    expect(await title(page)).toContain('Spinner jammed by grit');
    await next(page).click();
    expect(await text(page, 'refused')).not.toBe('');
    await page.locator('[data-test="remedy-choice"][data-when="later"]').click();
    await pressNext(page);
    expect(await text(page, 'verdict')).toContain('has not been carried out');
    await context.close();
  });
});

describe('readings', () => {
  test('are understood in any fitting unit, and refused with a reason otherwise', async () => {
    const { page, context } = await show(browser, html);
    await walkToSupply(page);
    const entry = page.locator('[data-test="reading"]');
    for (const wrong of ['24 bar', 'plenty', '24 xyz', '--3', '']) {
      await entry.fill(wrong);
      await next(page).click();
      await page.locator('[data-test="refused"]:not(:empty)').waitFor();
      expect(await text(page, 'judgement')).toBe('');
      expect(await title(page)).toBe('Supply at the motor plug');
      expect(await page.evaluate(() => document.querySelector('[data-test="reading"]')?.getAttribute('aria-invalid'))).toBe(
        'true',
      );
    }
    await entry.fill('24 bar');
    await next(page).click();
    expect(await text(page, 'refused')).toMatch(/bar/);
    for (const right of ['24600 mV', '24,6V', '0.0246 kV']) {
      await entry.fill(right);
      await next(page).click();
      await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
      expect(await text(page, 'judgement')).toMatch(/23\.6/);
      expect(await text(page, 'refused')).toBe('');
    }
    // The unit beside the field counts where none was typed.
    await page.locator('[data-test="unit"]').selectOption('mV');
    await entry.fill('900');
    await next(page).click();
    await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
    expect(await next(page).textContent()).toContain('No supply at the spinner motor');
    // Nothing was written down while it was only judged.
    expect(await title(page)).toBe('Supply at the motor plug');
    await context.close();
  });

  test('values that differ from asset to asset are asked for where no asset gives them', async () => {
    const { page, context } = await show(browser, checklistPageHtml(checklistOf(), scripts.script, scripts.styles));
    await page.locator('[data-test="asset"]').fill('GR-09');
    await walkToSupply(page);
    await read(page, '24.6');
    await read(page, '0.1');
    await read(page, '0.1');
    await waitOut(page);
    await pressNext(page);
    expect(await page.locator('.step').textContent()).toContain('Data sheet of the motor');
    await read(page, '0.4');
    await read(page, '1200 mohm');
    expect(await page.locator('#limits').textContent()).toMatch(/0\.4\s*Ω.*1200\s*mΩ/su);
    await read(page, '0.8');
    expect(await text(page, 'verdict')).toContain('Spinner and supply are in order');
    expect(await text(page, 'where')).toContain('GR-09');
    await context.close();
  });

  test('the meter may show overload', async () => {
    const { page, context } = await show(browser, html);
    await walkToSupply(page);
    await read(page, '24.6');
    await read(page, '0.1');
    await read(page, '0.1');
    await waitOut(page);
    await pressNext(page);
    await upToEntry(page);
    await page.getByRole('button', { name: 'The meter shows overload' }).click();
    await next(page).click();
    await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
    expect(await next(page).textContent()).toContain('Spinner motor worn out');
    await context.close();
  });
});

describe('waits', () => {
  test('close the entry until they are over, and outlast a reload', async () => {
    const { page, context } = await show(browser, html);
    await walkToSupply(page);
    await read(page, '24.6');
    await read(page, '0.1');
    await read(page, '0.1');
    expect(await title(page)).toMatch(/Isolate/);
    expect(await next(page).count()).toBe(0);
    await page.locator('[data-test="wait-start"]').click();
    await page.locator('[data-test="wait-start"]').waitFor({ state: 'detached' });
    await page.reload();
    await page.locator('[data-test="wait"]').waitFor();
    expect(await page.locator('[data-test="wait-start"]').count()).toBe(0);
    await next(page).waitFor({ timeout: 10_000 });
    await context.close();
  });

  test('go on while the device is off, with nothing kept but the run: they say from when until when they count', async () => {
    const { page, context, url } = await show(browser, checklistPageHtml(checklistOf(fixture('spinner.procedure.yaml').replace('wait: 2 s', 'wait: 4 s'), 'GR-02'), scripts.script, scripts.styles));
    await walkToSupply(page);
    await read(page, '24.6');
    await read(page, '0.1');
    await read(page, '0.1');
    expect(await text(page, 'wait-counts')).toMatch(/^Do what stands above first/);
    await page.locator('[data-test="wait-start"]').click();
    await page.locator('[data-test="wait-start"]').waitFor({ state: 'detached' });
    expect(await text(page, 'wait-counts')).toMatch(/Counted from \d.*, over at \d.*while this page is closed or the device is off/);
    await page.evaluate(() => localStorage.clear());
    await page.close();
    await new Promise((resolve) => setTimeout(resolve, 4_200));
    const again = await show(browser, html, { into: context, url });
    await again.page.locator('[data-test="resume"]').click();
    await next(again.page).waitFor({ timeout: 2_000 });
    expect(await again.page.locator('[data-test="wait"]').count()).toBe(0);
    expect(await again.page.locator('.wait-kept').textContent()).toMatch(/^The wait of 4.s is over/);
    await context.close();
  });

  test('a wait that was kept before is passed over in the open', async () => {
    const { page, context } = await show(browser, html);
    await walkToSupply(page);
    await read(page, '24.6');
    await read(page, '0.1');
    await read(page, '0.1');
    await page.locator('[data-test="wait-already"]').click();
    await next(page).waitFor();
    await pressNext(page);
    await page.locator('[data-test="extras"] summary').click();
    await page.locator('[data-test="stop-field"]').fill('End of shift');
    await page.locator('[data-test="stop"]').click();
    await page.locator('[data-test="record"]').waitFor();
    expect(JSON.stringify(await savedRecord(page))).toContain('was said to have been kept before');
    await context.close();
  });
});

describe('what was done', () => {
  test('can be corrected; the first entry stays', async () => {
    const { page, context } = await show(browser, html);
    await walkToSupply(page);
    await read(page, '24.6');
    await page.locator('[data-test="history"] summary').click();
    const line = page.locator('[data-test="history"] li', { hasText: 'Supply at the motor plug' });
    await line.locator('[data-test="correct"]').click();
    await line.locator('[data-test="correction"]').fill('24 bar');
    await line.locator('[data-test="correction-save"]').click();
    await line.locator('.told:not(:empty)').waitFor();
    await line.locator('[data-test="correction"]').fill('11.2 V');
    await line.locator('[data-test="correction-reason"]').fill('Wrong pin');
    await line.locator('[data-test="correction-save"]').click();
    await page.waitForFunction(() =>
      document.querySelector('#step-title')?.textContent?.includes('No supply at the spinner motor'),
    );
    await page.locator('[data-test="history"]').evaluate((details) => {
      (details as HTMLDetailsElement).open = true;
    });
    expect(await line.textContent()).toMatch(/11\.2.*24\.6/su);
    await context.close();
  });

  test('can be taken back one by one', async () => {
    const { page, context } = await show(browser, html);
    await walkToSupply(page);
    await read(page, '24.6');
    expect(await position(page)).toMatch(/^Step 5/);
    await page.locator('[data-test="back"]').click();
    await page.waitForFunction(() => document.querySelector('[data-test="position"]')?.textContent?.startsWith('Step 4'));
    await context.close();
  });

  test('is there after a reload, and after the browser was closed', async () => {
    const shown = await show(browser, html);
    await walkToSupply(shown.page);
    await read(shown.page, '24.6');
    await shown.page.reload();
    await shown.page.locator('[data-test="position"]').waitFor();
    expect(await position(shown.page)).toMatch(/^Step 5/);
    await shown.page.close();

    const again = await show(browser, html, { into: shown.context, url: shown.url });
    await again.page.locator('[data-test="position"]').waitFor();
    expect(await position(again.page)).toMatch(/^Step 5/);
    await read(again.page, '0.1');
    await read(again.page, '0.9');
    expect(await title(again.page)).toContain('High resistance in the ground return');
    await shown.context.close();
  });

  test('a run in two tabs goes on in one of them; the other says so and loses nothing', async () => {
    const first = await show(browser, html);
    await begin(first.page);
    await pressNext(first.page);
    const second = await show(browser, html, { into: first.context, url: first.url });
    await second.page.locator('[data-test="position"]').waitFor();
    await choose(second.page, 'free');
    await first.page.bringToFront();
    await next(first.page).click();
    await first.page.locator('[data-test="trouble"]').waitFor();
    expect(await text(first.page, 'trouble')).toMatch(/another window/);
    await first.page.getByRole('button', { name: 'Reload' }).click();
    await first.page.waitForFunction(() => document.querySelector('[data-test="position"]')?.textContent?.startsWith('Step 3'));
    await first.context.close();
  });

  test('a run begun on another text is not gone on with: it says so, and can be stopped with its record', async () => {
    const shown = await show(browser, html);
    await walkToSupply(shown.page);
    await shown.page.evaluate(() => localStorage.clear());
    await shown.page.close();
    const changed = { ...checklist, contentHash: 'f'.repeat(64), procedure: { ...checklist.procedure, revision: '4' } };
    const newer = await show(browser, checklistPageHtml(changed, scripts.script, scripts.styles), { into: shown.context });
    const run = newer.page.locator('[data-test="unfinished"]');
    await run.waitFor();
    expect(await run.textContent()).toContain('revision 3');
    expect(await run.locator('[data-test="changed"]').textContent()).toMatch(/The procedure was changed\. This run was begun with revision 3/);
    expect(await run.locator('[data-test="resume"]').count()).toBe(0);
    await run.locator('[data-test="stop-changed"]').click();
    await newer.page.waitForFunction(() => document.querySelector('[data-test="unfinished"]') === null);
    await shown.context.close();
  });

  describe('of a run begun on another text', () => {
    /** A run at the supply reading, and then the page of a changed text over the same store. */
    async function afterChange(change: (written: string) => string): Promise<{ page: Page; context: BrowserContext }> {
      const shown = await show(browser, html);
      await walkToSupply(shown.page);
      await shown.page.evaluate(() => localStorage.clear());
      await shown.page.close();
      const changed = checklistOf(change(fixture('spinner.procedure.yaml').replace('revision: 3', 'revision: 4')), 'GR-02');
      const { page } = await show(browser, checklistPageHtml(changed, scripts.script, scripts.styles), { into: shown.context });
      await page.locator('[data-test="unfinished"]').waitFor();
      return { page, context: shown.context };
    }

    test('where the steps done are the same it goes on by the new one, in the open, and whoever does so is on record', async () => {
      const { page, context } = await afterChange((written) => written.replace('at most 0.4 V', 'at most 0.3 V').replace('above 0.4 V', 'above 0.3 V'));
      expect(await page.locator('[data-test="changed"]').textContent()).toMatch(/revision 3.*judged alike by both texts/s);
      await page.locator('[data-test="person"]').fill('T-21');
      await page.locator('[data-test="carry-over"]').click();
      await page.locator('[data-test="position"]').waitFor();
      expect(await position(page)).toMatch(/^Step 4/);
      expect(await text(page, 'remarks')).toMatch(/Carried over from revision 3 to revision 4 on .* by T-21/);
      await upToEntry(page);
      await read(page, '24.6');
      await read(page, '0.1');
      await read(page, '0.35');
      // By the new limit.
      expect(await title(page)).toContain('High resistance in the ground return');
      await page.reload();
      await page.locator('[data-test="remarks"]').waitFor();
      expect(await text(page, 'remarks')).toContain('Carried over');
      await page.locator('[data-test="extras"] summary').click();
      await page.locator('[data-test="stop-field"]').fill('End of shift');
      await page.locator('[data-test="stop"]').click();
      await page.locator('[data-test="record"]').waitFor();
      const record = JSON.stringify(await savedRecord(page));
      expect(record).toMatch(/"kind":"carried_over".*"wasRevision":"3".*"revision":"4"/);
      expect(record).toMatch(/"kind":"handed_over".*"to":"T-21"/);
      await context.close();
    });

    test('where a step that was done has been changed it does not, and says which and why, in both languages', async () => {
      const { page, context } = await afterChange((written) => written.replace('ask: Does the disc turn freely by hand?', 'ask: Does the disc turn both ways by hand?'));
      await page.locator('[data-test="carry-over"]').click();
      await page.locator('[data-test="carry-refused"]').waitFor();
      expect(await text(page, 'carry-refused')).toMatch(/cannot go on by the new text\. Step 2, Turn the disc by hand, was done and has been changed since: its question\./);
      expect(await page.locator('[data-test="carry-over"]').count()).toBe(0);
      await page.locator('[data-test="settings"] summary').click();
      await page.locator('[data-test="setting-language"][data-when="de"]').click();
      await page.reload();
      await page.locator('[data-test="carry-over"]').click();
      await page.locator('[data-test="carry-refused"]').waitFor();
      expect(await text(page, 'carry-refused')).toMatch(/kann er nicht weitergehen\. Schritt 2, Turn the disc by hand, wurde getan und ist seither geändert: Frage\./);
      await page.locator('[data-test="stop-changed"]').click();
      await page.locator('[data-test="record"]').waitFor();
      await context.close();
    });
  });

  test('pause, hand over and note are entries too', async () => {
    const { page, context } = await show(browser, html);
    await begin(page);
    await page.locator('[data-test="extras"] summary').click();
    await page.locator('[data-test="note-field"]').fill('Rain.');
    await page.locator('[data-test="note"]').click();
    await page.getByText('The note is in the record.').waitFor();
    await page.locator('[data-test="hand-field"]').fill('T-21');
    await page.locator('[data-test="hand"]').click();
    await settled(page);
    await page.locator('[data-test="pause"]').click();
    await page.getByText('This run is paused.').waitFor();
    await pressNext(page);
    expect(await position(page)).toMatch(/^Step 1/);
    await context.close();
  });
});

async function waitOut(page: Page): Promise<void> {
  await page.locator('[data-test="wait-start"]').click();
  await next(page).waitFor({ timeout: 10_000 });
}
