/**
 * Codes to scan, read back by a general-purpose reader: the record on the page, and procedure, revision and content on every printed
 * sheet. Base45 against the examples of RFC 9285.
 */
import jsQR from 'jsqr';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { renderChecklistHtml } from '../../server/src/render/checklist-html.ts';
import { base45, fromBase45, readRecordScan, recordScanText } from '../../server/src/render/record-scan.ts';
import { scanCode } from '../../server/src/render/scan-code.ts';
import { replayRun } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord } from '../../server/src/run/record.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { tailLift } from '../run/fixtures.ts';
import { Choices, walkByChance } from '../run/chance.ts';
import { checklistOf } from './checklist-fixture.ts';
import { bundleOf, removePages, show } from './harness.ts';
import { begin, choose, next, pressNext, settled } from './technician.ts';

/** The text that a reader finds in a drawing of dark modules, each drawn four pixels wide. */
function readCode(size: number, path: string): string | undefined {
  const scale = 4;
  const side = size * scale;
  const pixels = new Uint8ClampedArray(side * side * 4).fill(255);
  for (const [, x, y, width] of path.matchAll(/M(\d+) (\d+)h(\d+)v1h-\d+z/g)) {
    for (let row = Number(y) * scale; row < (Number(y) + 1) * scale; row++) {
      for (let column = Number(x) * scale; column < (Number(x) + Number(width)) * scale; column++) pixels.fill(0, (row * side + column) * 4, (row * side + column) * 4 + 3);
    }
  }
  return jsQR(pixels, side, side)?.data;
}

function codeIn(html: string): { size: number; path: string; name: string } {
  const [, size = '', name = '', path = ''] = /<svg class="scan" viewBox="0 0 (\d+) \d+" role="img" aria-label="([^"]*)"[^>]*><path[^>]*\/><path fill="#000000" d="([^"]+)"/.exec(html) ?? [];
  return { size: Number(size), name, path };
}

describe('base45', () => {
  const bytes = (text: string) => new TextEncoder().encode(text);
  // RFC 9285, section 4.3 and 4.4.
  test.each([['AB', 'BB8'], ['Hello!!', '%69 VD92EX0'], ['base-45', 'UJCLQE7W581'], ['ietf!', 'QED8WEX0']])('%s ↔ %s', (plain, encoded) => {
    expect(base45(bytes(plain))).toBe(encoded);
    expect(new TextDecoder().decode(fromBase45(encoded))).toBe(plain);
  });

  test.each(['GGW', ':::', 'A', 'ab0', '::'])('%s is refused', (text) => expect(() => fromBase45(text)).toThrow(RangeError));
});

describe('a record as a text to scan', () => {
  const document = tailLift();
  const run = walkByChance(document, new Choices([3, 1, 4, 1, 5, 9, 2, 6]), { most: 25, corrections: true });
  const record = buildRecord(run, 'run-1');

  test('gives back the same record, to whoever has the checklist', async () => {
    const text = (await recordScanText(record))!;
    expect(text).toMatch(/^FAULTWRIGHT RECORD 1 [0-9A-Z $%*+\-./:]+$/);
    const { size, path } = scanCode(text, 'L');
    const scanned = await readRecordScan(readCode(size, path)!);
    expect(scanned).toMatchObject({ run: 'run-1', procedure: document.procedure.name, contentHash: document.contentHash, digest: record.digest });
    const again = buildRecord(replayRun(document, scanned.events).run, scanned.run);
    expect(again).toEqual(record);
  });

  test('is not made where the run is too long for a code', async () => {
    const notes = Array.from({ length: 60 }, (_, index) => ({ kind: 'note' as const, text: `${index} ${Math.sin(index)} ${Math.cos(index)}`, at: '2026-11-25T09:30:00+01:00' }));
    const long = { ...record, events: [...record.events, ...notes.map((event, index) => ({ number: index + 100, event, digest: '' }))] };
    expect(await recordScanText(long)).toBeUndefined();
  });

  test.each([
    ['', /begin with/],
    ['FAULTWRIGHT RECORD 2 BB8', /begin with/],
    ['FAULTWRIGHT RECORD 1 BB8', /damaged/],
    ['FAULTWRIGHT RECORD 1 ', /damaged/],
  ])('%s is refused with a reason', async (text, reason) => {
    await expect(readRecordScan(text)).rejects.toThrow(reason);
  });

  test('cut off, it is refused', async () => {
    const text = (await recordScanText(record))!;
    await expect(readRecordScan(text.slice(0, -30))).rejects.toThrow(/damaged/);
  });
});

describe('on every printed sheet', () => {
  const document = checklistOf(undefined, 'GR-02');

  test('which text it is, without an address', () => {
    const { size, path, name } = codeIn(renderChecklistHtml(document));
    expect(readCode(size, path)).toBe(`spinner_stopped, revision 3, content ${document.contentHash}`);
    expect(name).toBe('Code to scan: procedure, revision and content of this sheet');
  });

  test('the way to the page, with one', () => {
    const html = renderChecklistHtml(document, { address: 'https://checklists.brackwater.example/spinner.html' });
    const { size, path } = codeIn(html);
    expect(readCode(size, path)).toBe(`https://checklists.brackwater.example/spinner.html#procedure=spinner_stopped&revision=3&content=${document.contentHash}`);
    // It stands in the head that every sheet repeats, and is no link that is followed.
    expect(html.slice(html.indexOf('<thead>'), html.indexOf('</thead>'))).toContain('class="scan"');
    expect(html).not.toMatch(/<a |src="http/);
  });
});

describe('on the page', () => {
  let browser: Browser;
  let bundle: { script: string; styles: string };
  beforeAll(async () => {
    [browser, bundle] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
  });
  afterAll(async () => {
    await browser?.close();
    removePages();
  });

  test('the record of a run stands as a code; what it holds is whole', async () => {
    const document = checklistOf(undefined, 'GR-02');
    const { page, context, requests } = await show(browser, checklistPageHtml(document, bundle.script, bundle.styles));
    await begin(page);
    await pressNext(page);
    await choose(page, 'stuck');
    await page.locator('[data-test="remedy-choice"][data-when="later"]').click();
    for (let count = 0; count < 4 && (await next(page).count()) > 0; count++) await pressNext(page);
    await page.locator('[data-test="scan-record"] summary').click();
    await settled(page);
    const svg = page.locator('[data-test="scan-record"] svg');
    const size = Number((await svg.getAttribute('viewBox'))!.split(' ')[2]);
    const text = readCode(size, (await svg.locator('.scan-marks').getAttribute('d'))!);
    const scanned = await readRecordScan(text!);
    const record = buildRecord(replayRun(document, scanned.events).run, scanned.run);
    expect(record.digest).toBe(scanned.digest);
    expect(checkRecord(record, document)).toEqual([]);
    expect(requests).toEqual([]);
    await context.close();
  });

  test('opened from a sheet of another text it says so, before and during the work', async () => {
    const document = checklistOf(undefined, 'GR-02');
    const html = checklistPageHtml(document, bundle.script, bundle.styles);
    const first = await show(browser, html);
    for (const [content, hook] of [['0'.repeat(64), 'sheet-other'], [document.contentHash, 'sheet-same']] as const) {
      const { page } = await show(browser, html, { into: first.context, url: `${first.url}#procedure=spinner_stopped&revision=2&content=${content}` });
      await page.locator(`[data-test="${hook}"]`).waitFor();
      if (hook === 'sheet-other') expect(await page.locator('[data-test="sheet-other"]').textContent()).toContain('revision 2');
      await begin(page);
      await page.locator(`[data-test="${hook}"]`).waitFor();
      await page.close();
      await first.page.evaluate(() => localStorage.clear());
    }
    await first.context.close();
  });
});
