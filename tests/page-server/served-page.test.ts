/** The served checklist in a real browser: from the list to the record, reloaded, on two tablets, with the server away for a while. */
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { startPageServer, type PageServer } from '../../server/src/edge/page-server.ts';
import { readRecords, unfinishedRuns } from '../../server/src/edge/record-files.ts';
import { servedLibrary } from '../../server/src/edge/served-library.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { bundleOf, type Bundle } from '../pages/harness.ts';
import { choose, next, pressNext, upToEntry } from '../pages/technician.ts';

let browser: Browser;
let bundle: Bundle;
let depot = '';
let records = '';
let server: PageServer;
const errors: string[] = [];
const foreign: string[] = [];

const start = async (port = 0): Promise<void> => {
  server = await startPageServer({ library: servedLibrary(depot, undefined, 0), port, page: bundle, lanKey: 'c0ffee00c0ffee00c0ffee00c0ffee00' });
};

beforeAll(async () => {
  [browser, bundle] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
  depot = mkdtempSync(join(tmpdir(), 'faultwright-served-page-'));
  records = join(depot, 'records');
  cpSync(fileURLToPath(new URL('../run/fixtures/', import.meta.url)), depot, { recursive: true });
  await start();
});
afterAll(async () => {
  await browser.close();
  await server.close();
  rmSync(depot, { recursive: true, force: true });
});
beforeEach(() => {
  rmSync(records, { recursive: true, force: true });
  errors.length = 0;
  foreign.length = 0;
});

async function tablet(context?: BrowserContext): Promise<{ page: Page; context: BrowserContext }> {
  const own = context ?? (await browser.newContext({ viewport: { width: 820, height: 1180 }, hasTouch: true }));
  const page = await own.newPage();
  page.setDefaultTimeout(10_000);
  page.on('pageerror', (error) => errors.push(String(error)));
  page.on('request', (request) => {
    if (!request.url().startsWith(`http://127.0.0.1:${server.port}/`) && !/^(blob|data):/.test(request.url())) foreign.push(request.url());
  });
  await page.goto(`http://127.0.0.1:${server.port}/?key=c0ffee00c0ffee00c0ffee00c0ffee00`);
  return { page, context: own };
}

async function begin(page: Page, person: string): Promise<void> {
  await page.getByRole('link', { name: 'TL-07' }).last().click();
  await page.locator('[data-test="person"]').fill(person);
  await next(page).click();
}

describe('the served checklist', () => {
  it('goes from the list to a record on the server, through a reload, and nothing leaves for elsewhere', async () => {
    const { page, context } = await tablet();
    expect(page.url()).not.toContain('key');
    if (process.env['FAULTWRIGHT_SHOTS']) await page.screenshot({ path: join(process.env['FAULTWRIGHT_SHOTS'], 'list.png'), fullPage: true });
    await begin(page, 'Technician 4');
    await page.locator('[data-test="position"]').waitFor();
    await upToEntry(page);
    await pressNext(page);
    await choose(page, 'motor_runs');
    await page.reload();
    await page.locator('[data-test="position"]').waitFor();
    expect(await page.locator('#step-title').textContent()).toContain('Oil level');
    await choose(page, 'below the mark');
    await page.locator('[data-test="remedy-choice"][data-when="later"]').click();
    await pressNext(page);
    await page.locator('[data-test="verdict"]').waitFor();
    const shot = process.env['FAULTWRIGHT_SHOTS'];
    if (shot) await page.screenshot({ path: join(shot, 'verdict.png'), fullPage: true });
    while (!(await next(page).textContent())?.includes('record')) await pressNext(page);
    await next(page).click();
    await page.locator('[data-test="record"]').waitFor();
    if (shot) await page.screenshot({ path: join(shot, 'record.png'), fullPage: true });
    const where = await page.locator('[data-test="record"]').textContent();
    expect(where).toMatch(/^records\/\d{4}\/.*_tail_lift_no_raise_TL-07_.*\.json$/);
    const { records: files, problems } = readRecords(records);
    expect(problems).toEqual([]);
    expect(files[0]?.record).toMatchObject({ asset: 'TL-07', people: ['Technician 4'], outcome: { kind: 'found', fault: 'low_oil' } });
    expect(files[0]?.record.identities).toHaveLength(1);
    expect(unfinishedRuns(records).runs).toEqual([]);
    expect([errors, foreign]).toEqual([[], []]);
    await context.close();
  });

  it('says on a second tablet that the asset is being worked on', async () => {
    const one = await tablet();
    await begin(one.page, 'Technician 4');
    await one.page.locator('[data-test="position"]').waitFor();
    const two = await tablet();
    await begin(two.page, 'Technician 7');
    await two.page.getByText('TL-07 is being worked on').waitFor();
    expect(await two.page.getByRole('alert').first().textContent()).toContain('begun by Technician 4');
    await Promise.all([one.context.close(), two.context.close()]);
  });

  it('keeps what is entered while the server is away, and writes it once it is back', async () => {
    const { page, context } = await tablet();
    await begin(page, 'T');
    await page.locator('[data-test="position"]').waitFor();
    await upToEntry(page);
    const { port } = server;
    await server.close();
    await next(page).click();
    await page.getByText('does not answer').first().waitFor();
    await start(port);
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.locator('#step-title', { hasText: 'Listen' }).waitFor();
    await choose(page, 'silent');
    const [run] = unfinishedRuns(records).runs;
    const { readJournal } = await import('../../server/src/edge/journal.ts');
    const kinds = readJournal(run?.path ?? '').events.map((event) => event.kind);
    expect(kinds.filter((kind) => kind === 'done')).toHaveLength(1);
    await context.close();
  });

  it('shows a tablet with the same run open where it stands when it went on elsewhere', async () => {
    const one = await tablet();
    await begin(one.page, 'T');
    await one.page.locator('[data-test="position"]').waitFor();
    await upToEntry(one.page);
    const two = await tablet();
    await two.page.getByRole('link', { name: 'TL-07' }).last().click();
    await two.page.locator('[data-test="resume"]').click();
    await two.page.locator('[data-test="position"]').waitFor();
    await upToEntry(two.page);
    await pressNext(two.page);
    await next(one.page).click();
    await one.page.getByText('gone on with elsewhere').first().waitFor();
    await one.page.reload();
    await one.page.locator('[data-test="position"]').waitFor();
    expect(await one.page.locator('#step-title').textContent()).toContain('Listen');
    await Promise.all([one.context.close(), two.context.close()]);
  });
});
