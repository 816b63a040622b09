/**
 * The printed sheets in a real browser, as they are laid out for paper: every step fits on one sheet, so that nothing parts it from its
 * cautions; no word is cut; the code on every sheet can be scanned.
 */
import jsQR from 'jsqr';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { renderChecklistHtml } from '../../server/src/render/checklist-html.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { libraryChecklist, LIBRARY_NAMES } from './depot.ts';

/** CSS pixels of a millimetre. */
const MM = 96 / 25.4;
/** Sizes of ISO 216 and ANSI/ASME Y14.1 (from memory) less the margins of the sheet. */
const ROOM = { a4: { width: (210 - 28) * MM, height: (297 - 27) * MM }, letter: { width: (215.9 - 28) * MM, height: (279.4 - 27) * MM } };

let browser: Browser;
let page: Page;

beforeAll(async () => {
  browser = await launchBrowser();
  // About 190 dots to the inch: what a phone sees of a sheet held before it.
  page = await browser.newPage({ viewport: { width: Math.floor(ROOM.a4.width), height: 1000 }, deviceScaleFactor: 2 });
  await page.emulateMedia({ media: 'print' });
});
afterAll(() => browser?.close());

/** As a page of its own: written into another, it would be held by the other's content policy too. */
async function open(html: string): Promise<void> {
  await page.goto(`data:text/html;charset=utf-8;base64,${Buffer.from(html).toString('base64')}`);
}

describe.each(LIBRARY_NAMES)('%s', (name) => {
  test.each([['en', 'a4'], ['de', 'a4'], ['de', 'letter']] as const)('in %s on %s: each step fits on a sheet under its head, the end with its signature too, and no word is cut', async (language, paper) => {
    await page.setViewportSize({ width: Math.floor(ROOM[paper].width), height: 1000 });
    await open(renderChecklistHtml(libraryChecklist(name), { language, paper, address: `https://checklists.example/${name}.html` }));
    const found = await page.evaluate(() => {
      const head = document.querySelector('thead')!.getBoundingClientRect().height;
      const rows = [...document.querySelectorAll<HTMLElement>('tbody > tr:not(.long)')].map((row) => ({ what: (row.querySelector('h3, h2, h1')?.textContent ?? '').trim(), height: row.getBoundingClientRect().height }));
      // A caution stands in the row of its step.
      const apart = [...document.querySelectorAll('.safety')].filter((panel) => panel.closest('.step, .change') === null).length;
      const kept = [...document.querySelectorAll('tbody > tr:not(.long)')].filter((row) => getComputedStyle(row).breakInside !== 'avoid').length;
      const cut = [...document.querySelectorAll<HTMLElement>('.label, .given, .when, .then, .signal, .message, h3')].filter((element) => element.scrollWidth > element.clientWidth + 1 && getComputedStyle(element).display !== 'inline').map((element) => element.textContent);
      const wide = document.documentElement.scrollWidth > document.documentElement.clientWidth;
      return { head, rows, apart, kept, cut, wide };
    });
    expect(found.rows.length).toBeGreaterThan(4);
    expect(found.rows.filter(({ height }) => height + found.head > ROOM[paper].height)).toEqual([]);
    expect({ apart: found.apart, kept: found.kept, cut: found.cut, wide: found.wide }).toEqual({ apart: 0, kept: 0, cut: [], wide: false });
  });
});

describe('the code on every sheet', () => {
  test.each([['a short address', 'https://c.example/a.html'], ['the longest address', `https://checklists.example/${'x'.repeat(270)}.html`]])('with %s is read from a picture of the paper', async (_, address) => {
    await open(renderChecklistHtml(libraryChecklist('trailer_lamps'), { address }));
    const code = page.locator('.running .scan');
    const { module } = await code.evaluate((svg) => ({ module: svg.getBoundingClientRect().width / (svg as unknown as SVGSVGElement).viewBox.baseVal.width }));
    // 0.4 mm a module: what the cameras of phones read without trouble (common practice, no source).
    expect(module / MM).toBeGreaterThanOrEqual(0.39);
    const picture = await code.screenshot({ type: 'png' });
    const pixels = await page.evaluate(async (base64) => {
      const image = await createImageBitmap(new Blob([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))], { type: 'image/png' }));
      const canvas = new OffscreenCanvas(image.width, image.height);
      const context = canvas.getContext('2d')!;
      context.drawImage(image, 0, 0);
      return { width: canvas.width, height: canvas.height, data: [...context.getImageData(0, 0, canvas.width, canvas.height).data] };
    }, picture.toString('base64'));
    expect(jsQR(Uint8ClampedArray.from(pixels.data), pixels.width, pixels.height)?.data).toMatch(new RegExp(`^${address.replaceAll('.', '\\.')}#procedure=trailer_lamps&revision=\\d+&content=[0-9a-f]{64}$`));
  });
});
