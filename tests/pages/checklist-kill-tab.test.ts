/**
 * The browser's tab is killed at random moments of runs: the process that draws the page and runs its script, with the signal that nothing can
 * catch, while the browser lives on and opens the page anew. Every entry that the page had acknowledged is there afterwards, none twice, and
 * runs come to records that are whole. FAULTWRIGHT_TAB_KILLS says how often (6 without it; FAULTWRIGHT_KILLS counts for it too). The browser
 * itself is killed in checklist-kill.test.ts.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, BrowserContext, CDPSession, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { replayRun } from '../../server/src/run/engine.ts';
import type { RunEvent } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord } from '../../server/src/run/record.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { checklistOf } from './checklist-fixture.ts';
import { bundleOf } from './harness.ts';
import { chanceFrom, stored, watchEntries, work } from './tab-at-work.ts';

const KILLS = Number(process.env['FAULTWRIGHT_TAB_KILLS'] ?? process.env['FAULTWRIGHT_KILLS'] ?? 6);
/** The longest that a tab lives after its page is there, in ms. */
const LONGEST_LIFE = 2_400;

const folder = mkdtempSync(join(tmpdir(), 'faultwright-kill-tab-'));
let browser: Browser;
let context: BrowserContext;
let session: CDPSession;

beforeAll(async () => {
  browser = await launchBrowser();
  context = await browser.newContext();
  session = await browser.newBrowserCDPSession();
});
afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Process numbers of the browser's own tabs. */
async function tabs(): Promise<number[]> {
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  return processInfo.filter((one) => one.type === 'renderer').map((one) => one.id);
}

/** A tab with the page, and the processes that came with it. */
async function opened(url: string, acknowledged: Map<string, number>): Promise<{ page: Page; processes: number[] }> {
  const before = new Set(await tabs());
  const page = await context.newPage();
  page.setDefaultTimeout(10_000);
  await watchEntries(page, acknowledged);
  await page.goto(url);
  return { page, processes: (await tabs()).filter((id) => !before.has(id)) };
}

/** What is known to be in the store of runs that are over is taken out of it: it would be read again each time. */
async function clear(page: Page, runs: readonly string[]): Promise<void> {
  await page.evaluate(async (gone) => {
    const database = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('faultwright-checklists');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(new Error('The store does not open.'));
    });
    const transaction = database.transaction(['runs', 'events'], 'readwrite');
    for (const run of gone) {
      transaction.objectStore('runs').delete(run);
      transaction.objectStore('events').delete(IDBKeyRange.bound([run, 0], [run, Number.MAX_SAFE_INTEGER]));
    }
    await new Promise((resolve) => (transaction.oncomplete = resolve));
    database.close();
  }, runs);
}

test(`its tab killed ${KILLS} times, it loses nothing that it acknowledged and has nothing twice`, async () => {
  const { script, styles } = await bundleOf('checklist-page');
  const document = checklistOf(undefined, 'GR-02');
  writeFileSync(join(folder, 'checklist.html'), checklistPageHtml(document, script, styles));
  const url = pathToFileURL(join(folder, 'checklist.html')).href;
  const seed = Number(process.env['FAULTWRIGHT_SEED'] ?? 11);
  const chance = chanceFrom(seed);
  const acknowledged = new Map<string, number>();
  /** Run → its events as they were last found: none of them may ever change. */
  const known = new Map<string, readonly RunEvent[]>();
  let [entries, records, between] = [0, 0, 0];

  for (let kill = 0; kill <= KILLS; kill++) {
    const { page, processes } = await opened(url, acknowledged);
    expect(processes.length).toBeGreaterThan(0);
    const found = await stored(page);
    const over: string[] = [];
    for (const { runId, events: counted, finished } of found.runs) {
      const own = found.events.filter(({ key }) => key[0] === runId);
      const place = { seed, kill, runId };
      expect({ ...place, keys: own.map(({ key }) => key[1]) }).toEqual({ ...place, keys: own.map((_, index) => index) });
      expect({ ...place, enough: own.length >= (acknowledged.get(runId) ?? 0), counted }).toEqual({ ...place, enough: true, counted: own.length });
      if (own.length > (acknowledged.get(runId) ?? 0)) between++;
      const events = own.map(({ event }) => event);
      expect(events.slice(0, known.get(runId)?.length ?? 0)).toEqual(known.get(runId) ?? []);
      entries += events.length - (known.get(runId)?.length ?? 0);
      known.set(runId, events);
      const { run, refused } = replayRun(document, events);
      expect(refused).toEqual([]);
      if (!finished) continue;
      expect(checkRecord(buildRecord(run, runId), document)).toEqual([]);
      records++;
      over.push(runId);
    }
    for (const runId of acknowledged.keys()) expect({ seed, kill, runs: found.runs.map((run) => run.runId) }).toMatchObject({ runs: expect.arrayContaining([runId]) as string[] });
    if (over.length > 0) {
      await clear(page, over);
      for (const runId of over) {
        known.delete(runId);
        acknowledged.delete(runId);
      }
      await page.reload();
    }
    if (kill === KILLS) break;
    const moment = new Promise((resolve) => setTimeout(resolve, chance() * LONGEST_LIFE));
    // What was asked of a tab that is gone fails: that is the test.
    const worked = work(page, Math.floor(chance() * 10_000)).catch(() => undefined);
    await moment;
    const crashed = new Promise((resolve) => page.once('crash', resolve));
    // Only what this browser started for this page.
    for (const id of processes) process.kill(id, 'SIGKILL');
    await crashed;
    await worked;
    acknowledged.delete('');
    await page.close();
  }
  // The test has tested something: entries were made, and runs came to their end.
  expect(entries).toBeGreaterThan(KILLS / 2);
  if (KILLS >= 200) {
    expect(records).toBeGreaterThan(0);
    // Some entry was on the disk and its acknowledgement not yet on the screen.
    expect(between).toBeGreaterThan(0);
  }
  console.log(`${KILLS} tabs killed: ${entries} entries, ${records} records, ${between} times an entry was written and not yet acknowledged.`);
}, 60_000 + KILLS * 10_000);
