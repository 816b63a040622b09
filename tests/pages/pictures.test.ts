/** Figures that the procedure shows, and pictures that the technician takes: on the page, in the browser's store, in the record. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { checkRecord } from '../../server/src/run/record.ts';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';
import type { RunRecord } from '../../server/src/run/record.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { checklistOf, fixture } from './checklist-fixture.ts';
import { accessibilityProblems, bundleOf, removePages, show } from './harness.ts';
import type { Bundle } from './harness.ts';
import { begin, pressNext } from './technician.ts';

let browser: Browser;
let bundle: Bundle;
let checklist: ChecklistDocument;

const SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20" width="400" height="200"><script>parent.ran = 1</script><rect width="40" height="20" fill="gray"/></svg>';

beforeAll(async () => {
  [browser, bundle] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
  checklist = checklistOf(fixture('spinner.procedure.yaml').replace('    time: 4 min\n', '    time: 4 min\n    photo: The marked-off area, from the driver\'s side.\n    figure: figures/area.svg\n'), 'GR-02');
});

afterAll(async () => {
  await browser?.close();
  removePages();
});

/** A picture of a real camera's size, made in the browser that will read it. */
async function picture(page: Page, width: number, height: number): Promise<Buffer> {
  const base64 = await page.evaluate(([wide, high]) => {
    const canvas = globalThis.document.createElement('canvas');
    canvas.width = wide!;
    canvas.height = high!;
    const context = canvas.getContext('2d')!;
    for (let stripe = 0; stripe < wide!; stripe += 40) {
      context.fillStyle = `hsl(${stripe % 360} 70% 50%)`;
      context.fillRect(stripe, 0, 40, high!);
    }
    return canvas.toDataURL('image/png').split(',')[1]!;
  }, [width, height]);
  return Buffer.from(base64, 'base64');
}

async function record(page: Page): Promise<RunRecord> {
  await page.locator('[data-test="extras"]').evaluate((details) => { (details as HTMLDetailsElement).open = true; });
  await page.locator('[data-test="stop-field"]').fill('Enough.');
  await page.locator('[data-test="stop"]').click();
  await page.locator('[data-test="record"]').waitFor();
  const [download] = await Promise.all([page.waitForEvent('download'), page.locator('[data-test="record-show"]').click()]);
  return JSON.parse(readFileSync(await download.path(), 'utf8')) as RunRecord;
}

async function take(page: Page, bytes: Buffer, caption: string): Promise<void> {
  const before = await page.locator('[data-test="photo"]').count();
  await page.locator('[data-test="photo-file"]').setInputFiles({ name: '../../etc/IMG 0001.png', mimeType: 'image/png', buffer: bytes });
  await page.locator('[data-test="photo-caption"]').fill(caption);
  await page.locator('[data-test="photo-add"]').click();
  await page.locator('[data-test="photo"]').nth(before).waitFor();
}

describe('pictures taken', () => {
  test('are made smaller, kept over a reload, and stand in the record with their digests', async () => {
    const { page, context, requests, errors } = await show(browser, checklistPageHtml(checklist, bundle.script, bundle.styles));
    await begin(page);
    expect(await page.locator('[data-test="photos"]').textContent()).toContain('The marked-off area');
    await take(page, await picture(page, 3200, 2400), 'Cones <b>and</b> tape');
    await take(page, await picture(page, 300, 200), 'By mistake');
    await page.reload();
    await page.locator('[data-test="photo"] img').nth(1).waitFor();
    const shown = await page.locator('[data-test="photo"] img').first().evaluate((image) => ({ width: (image as HTMLImageElement).naturalWidth, alt: (image as HTMLImageElement).alt }));
    expect(shown).toEqual({ width: 1600, alt: 'Cones <b>and</b> tape' });
    expect(await accessibilityProblems(page)).toEqual([]);
    await page.locator('[data-test="photo-remove"]').nth(1).click();
    await page.waitForFunction(() => document.querySelectorAll('[data-test="photo"]').length === 1);

    const written = await record(page);
    expect(written.photos).toMatchObject([{ name: 'photo-01.jpg', caption: 'Cones <b>and</b> tape', step: 'make_safe' }]);
    // Nothing is overwritten: the events keep what was taken and what was taken away.
    expect(written.events.filter((link) => link.event.kind === 'photo')).toHaveLength(3);
    expect(written.attachments).toHaveLength(1);
    const [attachment] = written.attachments!;
    const bytes = Buffer.from(attachment!.data, 'base64');
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(attachment!.digest);
    expect(attachment!.digest).toBe(written.photos[0]!.digest);
    // A JPEG (ITU-T T.81: it begins with the marker SOI) of bounded size.
    expect(bytes.subarray(0, 2).toString('hex')).toBe('ffd8');
    expect(bytes.length).toBeLessThan(400_000);
    expect(checkRecord(written, checklist)).toEqual([]);
    const schema = JSON.parse(readFileSync(new URL('../../schemas/record.schema.json', import.meta.url), 'utf8')) as object;
    const validate = new Ajv2020({ strict: true }).compile(schema);
    expect(validate(written), JSON.stringify(validate.errors)).toBe(true);
    // A picture exchanged afterwards shows.
    const forged = { ...written, attachments: [{ ...attachment!, data: Buffer.from('another').toString('base64') }] };
    expect(checkRecord(forged, checklist)).not.toEqual([]);
    expect(requests.filter((url) => !url.startsWith('data:'))).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('what is no picture is refused, and nothing is entered', async () => {
    const { page, context } = await show(browser, checklistPageHtml(checklist, bundle.script, bundle.styles));
    await begin(page);
    const entries = await page.locator('main').getAttribute('data-entries');
    await page.locator('[data-test="photo-file"]').setInputFiles({ name: 'x.png', mimeType: 'image/png', buffer: Buffer.from('<script>') });
    await page.getByText('no picture that can be shown').waitFor();
    expect(await page.locator('[data-test="photo-add"]').count()).toBe(0);
    expect(await page.locator('main').getAttribute('data-entries')).toBe(entries);
    await context.close();
  });

  test('a picture that cannot be kept is not entered either', async () => {
    const { page, context } = await show(browser, checklistPageHtml(checklist, bundle.script, bundle.styles));
    await begin(page);
    const bytes = await picture(page, 300, 200);
    await page.evaluate(() => {
      IDBObjectStore.prototype.put = () => {
        throw new DOMException('No room.', 'QuotaExceededError');
      };
    });
    await page.locator('[data-test="photo-file"]').setInputFiles({ name: 'x.png', mimeType: 'image/png', buffer: bytes });
    await page.locator('[data-test="photo-add"]').click();
    await page.getByText(/could not be kept.*no room/is).waitFor();
    expect(await page.locator('main').getAttribute('data-entries')).toBe('1');
    await context.close();
  });
});

describe('figures', () => {
  test('are shown from the page itself; one that holds a script runs none', async () => {
    const figures = { 'spinner_stopped/figures/area.svg': `data:image/svg+xml;base64,${Buffer.from(SVG).toString('base64')}` };
    const { page, context, requests, errors } = await show(browser, checklistPageHtml(checklist, bundle.script, bundle.styles, { figures }));
    await begin(page);
    const image = page.locator('[data-test="figure"] img');
    await image.waitFor();
    expect(await image.evaluate(async (one) => { await (one as HTMLImageElement).decode(); return (one as HTMLImageElement).naturalWidth; })).toBe(400);
    expect(await image.getAttribute('alt')).toBe('Figure for Make safe');
    expect(await page.evaluate(() => (window as unknown as { ran?: number }).ran)).toBeUndefined();
    expect(requests.filter((url) => !url.startsWith('data:'))).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('one that is not there is said to be missing', async () => {
    const { page, context } = await show(browser, checklistPageHtml(checklist, bundle.script, bundle.styles));
    await begin(page);
    expect(await page.locator('[data-test="figure-missing"]').textContent()).toContain('figures/area.svg');
    await pressNext(page);
    expect(await page.locator('[data-test="figure-missing"]').count()).toBe(0);
    await context.close();
  });
});
