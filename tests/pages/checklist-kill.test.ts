/**
 * The browser is killed at random moments of runs: its process and all that it started, by their group, with the signal that nothing
 * can catch. Every entry that the page had acknowledged is there afterwards, none twice, and the run goes on to a record that is
 * whole. FAULTWRIGHT_KILLS says how often (15 without it).
 */
import { spawn } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, expect, test } from 'vitest';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { replayRun } from '../../server/src/run/engine.ts';
import type { RunEvent } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord } from '../../server/src/run/record.ts';
import { findChromium } from '../browser/chromium.ts';
import { checklistOf } from './checklist-fixture.ts';
import { bundleOf } from './harness.ts';
import { chanceFrom, stored, watchEntries, work } from './tab-at-work.ts';

const KILLS = Number(process.env['FAULTWRIGHT_KILLS'] ?? 15);
/** The longest that a browser lives after its page is there, in ms. */
const LONGEST_LIFE = 5_000;

const folder = mkdtempSync(join(tmpdir(), 'faultwright-kill-'));
const running = new Set<ChildProcess>();

afterAll(async () => {
  await Promise.all([...running].map(kill));
  rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
});

interface Life {
  readonly process: ChildProcess;
  readonly browser: Browser;
  readonly page: Page;
  /** Run → how many entries the page has said are written down. */
  readonly acknowledged: Map<string, number>;
}

/** A browser of our own over the same profile, with the page open. */
async function live(url: string): Promise<Life> {
  const found = await findChromium();
  const started = spawn(found.path, [
    ...found.args, '--headless=new', '--remote-debugging-port=0', `--user-data-dir=${join(folder, 'profile')}`, 'about:blank',
  ], { detached: true, stdio: ['ignore', 'ignore', 'pipe'], env: { ...process.env, ...found.env } });
  running.add(started);
  const address = await new Promise<string>((resolve, reject) => {
    let text = '';
    started.stderr!.on('data', (chunk: Buffer) => {
      text += chunk.toString();
      const match = /DevTools listening on (ws:\S+)/.exec(text);
      if (match) resolve(match[1]!);
    });
    started.once('exit', () => reject(new Error(`The browser did not start. ${text.slice(-400)}`)));
  });
  const browser = await chromium.connectOverCDP(address);
  const context = browser.contexts()[0]!;
  const acknowledged = new Map<string, number>();
  const page = await context.newPage();
  page.setDefaultTimeout(10_000);
  await watchEntries(page, acknowledged);
  await page.goto(url);
  return { process: started, browser, page, acknowledged };
}

async function kill(started: ChildProcess): Promise<void> {
  running.delete(started);
  if (started.exitCode !== null || started.signalCode !== null) return;
  const ended = new Promise((resolve) => started.once('exit', resolve));
  // The group that this test started, and no other.
  process.kill(-started.pid!, 'SIGKILL');
  await ended;
}

test(`killed ${KILLS} times, it loses nothing that it acknowledged and has nothing twice`, async () => {
  const { script, styles } = await bundleOf('checklist-page');
  const document = checklistOf(undefined, 'GR-02');
  writeFileSync(join(folder, 'checklist.html'), checklistPageHtml(document, script, styles));
  const url = pathToFileURL(join(folder, 'checklist.html')).href;
  const seed = Number(process.env['FAULTWRIGHT_SEED'] ?? 7);
  const chance = chanceFrom(seed);
  const acknowledged = new Map<string, number>();
  /** Run → its events as they were last found: none of them may ever change. */
  const known = new Map<string, readonly RunEvent[]>();
  let entries = 0;

  for (let count = 0; count <= KILLS; count++) {
    const life = await live(url);
    if (count > 0) {
      const found = await stored(life.page);
      for (const { runId, events: counted } of found.runs) {
        const own = found.events.filter(({ key }) => key[0] === runId);
        const place = { seed, kill: count, runId };
        expect({ ...place, keys: own.map(({ key }) => key[1]) }).toEqual({ ...place, keys: own.map((_, index) => index) });
        expect({ ...place, enough: own.length >= (acknowledged.get(runId) ?? 0), counted }).toEqual({ ...place, enough: true, counted: own.length });
        const events = own.map(({ event }) => event);
        expect(events.slice(0, known.get(runId)?.length ?? 0)).toEqual(known.get(runId) ?? []);
        known.set(runId, events);
        expect(replayRun(document, events).refused).toEqual([]);
      }
      for (const runId of acknowledged.keys()) expect(found.runs.map((run) => run.runId)).toContain(runId);
    }
    if (count < KILLS) {
      const moment = new Promise((resolve) => setTimeout(resolve, chance() * LONGEST_LIFE));
      // What was asked of a browser that is gone fails: that is the test.
      const worked = work(life.page, Math.floor(chance() * 10_000)).catch(() => undefined);
      await moment;
      await kill(life.process);
      await worked;
      for (const [runId, written] of life.acknowledged) if (runId !== '') acknowledged.set(runId, Math.max(written, acknowledged.get(runId) ?? 0));
    } else {
      entries = [...known.values()].reduce((sum, events) => sum + events.length, 0);
      await kill(life.process);
    }
    await life.browser.close().catch(() => undefined);
  }

  // The test has tested something: runs were under way, and some came to their end.
  expect(entries).toBeGreaterThan(KILLS);
  expect([...acknowledged.values()].reduce((sum, written) => sum + written, 0)).toBeGreaterThan(KILLS / 2);
  for (const [runId, events] of known) {
    const { run } = replayRun(document, events);
    if (run.walk.stage === 'finished') expect(checkRecord(buildRecord(run, runId), document)).toEqual([]);
  }
}, 60_000 + KILLS * 15_000);
