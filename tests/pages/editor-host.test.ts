/** The page in the editor's panel, with a panel of the test's own behind it: what it asks for, and what it does with the answers. */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { RunEvent } from '../../server/src/run/engine.ts';
import { startedEvent } from '../../server/src/run/engine.ts';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { checklistOf, fixture } from './checklist-fixture.ts';
import { bundleOf, removePages, show } from './harness.ts';
import { begin, next, pressNext } from './technician.ts';

let browser: Browser;
let bundle: { script: string; styles: string };

beforeAll(async () => {
  [browser, bundle] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
});

afterAll(async () => {
  await browser?.close();
  removePages();
});

interface Panel {
  readonly document: ChecklistDocument;
  /** A run that was begun, with the text that it was begun with. */
  readonly unfinished?: { readonly document: ChecklistDocument; readonly events: readonly RunEvent[] };
}

/** Opens the page over a panel that keeps everything it is asked in `calls`. */
async function inPanel({ document, unfinished }: Panel) {
  const calls: { method: string; params: Record<string, unknown> }[] = [];
  const kept = new Map<string, string>();
  const context = await browser.newContext();
  await context.exposeFunction('askPanel', (method: string, params: Record<string, unknown>): unknown => {
    calls.push({ method, params });
    switch (method) {
      case 'look':
        return { document, assets: [], unfinished: unfinished ? [{ runId: 'old', events: unfinished.events.length, startedAt: '2026-11-25T09:30:00+01:00' }] : [] };
      case 'open':
        return params['runId'] === undefined ? { runId: 'new', document, events: [] } : { runId: 'old', ...unfinished };
      case 'finish':
        return { where: 'records/run.record.json' };
      case 'keepPhoto':
        kept.set(String(params['name']), String(params['data']));
        return null;
      case 'photo':
        return kept.get(String(params['name'])) ?? null;
      default:
        return null;
    }
  });
  await context.addInitScript(() => {
    const ask = (window as unknown as { askPanel(method: string, params: unknown): Promise<unknown> }).askPanel;
    let state: unknown;
    Object.assign(window, {
      acquireVsCodeApi: () => ({
        postMessage: ({ call, method, params }: { call: number; method: string; params: unknown }) => void ask(method, params).then((result) => postMessage({ call, result }, '*')),
        getState: () => state,
        setState: (next: unknown) => { state = next; },
      }),
    });
  });
  const html = `<!doctype html><html lang="en"><head><title>Checklist</title><style>${bundle.styles}</style></head><body><div id="page"></div><script>${bundle.script.replace(/<\/script/g, '<\\/script')}</script></body></html>`;
  return { ...(await show(browser, html, { into: context })), calls };
}

describe('a run of a text that was changed since', () => {
  const earlier = checklistOf(undefined, 'GR-02');
  const now = checklistOf(fixture('spinner.procedure.yaml').replace('revision: 3', 'revision: 4').replace('at least 23.6 V', 'at least 23.0 V').replace('below 23.6 V', 'below 23.0 V'), 'GR-02');
  const events = [startedEvent(earlier, { at: '2026-11-25T09:30:00+01:00', person: 'T-14' })];

  test('is refused in the open, and can be stopped with its record', async () => {
    const { page, calls, context } = await inPanel({ document: now, unfinished: { document: earlier, events } });
    // The panel's list knows no hashes: it shows when the run is opened.
    await page.locator('[data-test="resume"]').click();
    await page.locator('[data-test="changed"]').waitFor();
    expect(await page.locator('[data-test="changed"]').textContent()).toMatch(/was changed.*judged by the old text/s);
    expect(await page.locator('[data-test="resume"]').count()).toBe(0);
    expect(calls.filter((call) => call.method === 'append')).toEqual([]);
    await page.locator('[data-test="stop-changed"]').click();
    await page.locator('[data-test="record"]').waitFor();
    expect(calls.filter((call) => call.method === 'append').map((call) => call.params)).toMatchObject([{ runId: 'old', index: 1, event: { kind: 'stopped' } }]);
    expect(calls.at(-1)).toMatchObject({ method: 'finish', params: { runId: 'old' } });
    await context.close();
  });

  test('of the same text goes on', async () => {
    const { page, context } = await inPanel({ document: earlier, unfinished: { document: earlier, events } });
    await page.locator('[data-test="resume"]').click();
    await page.locator('[data-test="position"]').waitFor();
    expect(await next(page).textContent()).toContain('step 2');
    await context.close();
  });
});

test('a picture goes to the panel before the entry that names it', async () => {
  const { page, calls, context } = await inPanel({ document: checklistOf(undefined, 'GR-02') });
  await begin(page);
  await page.locator('[data-test="extras"] summary').click();
  const base64 = await page.evaluate(() => {
    const canvas = document.createElement('canvas');
    canvas.width = canvas.height = 60;
    return canvas.toDataURL('image/png').split(',')[1]!;
  });
  await page.locator('[data-test="photo-file"]').setInputFiles({ name: 'a.png', mimeType: 'image/png', buffer: Buffer.from(base64, 'base64') });
  await page.locator('[data-test="photo-add"]').click();
  await page.locator('[data-test="photo"] img').waitFor();
  const asked = calls.filter((call) => call.method === 'keepPhoto' || (call.method === 'append' && (call.params['event'] as RunEvent).kind === 'photo'));
  expect(asked.map((call) => call.method)).toEqual(['keepPhoto', 'append']);
  expect(asked[0]!.params).toMatchObject({ runId: 'new', name: 'photo-01.jpg' });
  await pressNext(page);
  await context.close();
});
