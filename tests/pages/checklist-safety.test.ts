/** Hostile text in procedures, answers and stored runs reaches no checklist page as code; no request leaves the machine. */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checklistPageHtml } from '../../server/src/render/checklist-page.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { checklistOf, fixture } from './checklist-fixture.ts';
import { bundleOf, removePages, show } from './harness.ts';
import type { Bundle } from './harness.ts';
import { begin, choose, next, pressNext, title, upToEntry } from './technician.ts';

let browser: Browser;
let bundle: Bundle;

beforeAll(async () => {
  [browser, bundle] = await Promise.all([launchBrowser(), bundleOf('checklist-page')]);
});

afterAll(async () => {
  await browser?.close();
  removePages();
});

const ATTACKS = [
  `</script><script>window.ran = 1</script>`,
  `<!--<script>`,
  `<img src="http://example.test/x.png" onerror="window.ran = 2">`,
  `"><svg onload="window.ran = 3">`,
  `javascript:window.ran=4`,
  `\u202eevil\u2066 \u0007\u0000 text\u2028next`,
  `{{constructor.constructor('window.ran=5')()}}`,
];

const ran = (page: { evaluate(work: () => unknown): Promise<unknown> }) =>
  page.evaluate(() => (window as unknown as { ran?: number }).ran);

describe('hostile text', () => {
  test('in every text of the document stays text', async () => {
    const evil = ATTACKS.join(' ');
    // Every string that a person reads gets the attack; names, kinds and hashes stay, so that the walk is the same.
    const kept = new Set([
      'name',
      'kind',
      'section',
      'purpose',
      'contentHash',
      'textHash',
      'state',
      'values',
      'when',
      'written',
      'step',
      'fault',
      'rulesOut',
      'leaves',
      'signal',
      'acknowledge',
      'to',
      'word',
      'unit',
      'units',
      'judge',
      'to',
      'asset',
      'id',
      'value',
      'choices',
      'shows',
      'quantity',
      'program',
      'held',
    ]);
    const poison = (value: unknown, key = ''): unknown => {
      if (kept.has(key)) return value;
      if (typeof value === 'string') return `${value} ${evil}`;
      if (Array.isArray(value)) return value.map((item) => poison(item, key));
      if (value && typeof value === 'object')
        return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, poison(inner, name)]));
      return value;
    };
    const document = poison(checklistOf(undefined, 'GR-02')) as ReturnType<typeof checklistOf>;
    const { page, requests, errors, context } = await show(browser, checklistPageHtml(document, bundle.script, bundle.styles));
    expect(await page.title()).toContain('</script>');
    await begin(page);
    await pressNext(page);
    await choose(page, 'free');
    await pressNext(page);
    await upToEntry(page);
    expect(await page.getByText('<img src="http://example.test/x.png"').count()).toBeGreaterThan(0);
    expect(await page.locator('#page img, #page script, #page svg[onload]').count()).toBe(0);
    expect(await ran(page)).toBeUndefined();
    expect(requests).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('in a procedure as written reaches the page as text', async () => {
    const text = fixture('spinner.procedure.yaml')
      .replace('title: Gritter spinner does not turn', `title: '${ATTACKS[0]}'`)
      .replace('Park on level ground.', `'${ATTACKS[2]}'`);
    const { page, requests, errors, context } = await show(
      browser,
      checklistPageHtml(checklistOf(text, 'GR-02'), bundle.script, bundle.styles),
    );
    await begin(page);
    expect(await page.getByText(ATTACKS[2]!, { exact: true }).count()).toBe(1);
    expect(await ran(page)).toBeUndefined();
    expect(requests).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('in what is typed stays text, and very long entries do no harm', async () => {
    const { page, requests, errors, context } = await show(
      browser,
      checklistPageHtml(checklistOf(undefined, 'GR-02'), bundle.script, bundle.styles),
    );
    await page.locator('[data-test="person"]').fill(ATTACKS[2]!);
    await pressNext(page);
    await page.locator('[data-test="extras"] summary').click();
    for (const attack of ATTACKS) {
      await page.locator('[data-test="note-field"]').fill(attack);
      await page.locator('[data-test="note"]').click();
    }
    await pressNext(page);
    await choose(page, 'free');
    await pressNext(page);
    await upToEntry(page);
    for (const attack of [...ATTACKS, '9'.repeat(5000), `1e${'9'.repeat(40)} V`, '∞', 'NaN V', '1/0 V']) {
      await page.locator('[data-test="reading"]').fill(attack);
      await next(page).click();
      await page.waitForFunction(
        () =>
          document.querySelector('[data-test="refused"]')?.textContent !== '' ||
          document.querySelector('[data-test="judgement"]')?.textContent !== '',
      );
    }
    await page.reload();
    await page.locator('[data-test="position"]').waitFor();
    expect(await ran(page)).toBeUndefined();
    expect(requests).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });
});

describe('a hand in a glove', () => {
  test('taps twice: the second tap is no answer to what the button says next', async () => {
    const html = checklistPageHtml(checklistOf(undefined, 'GR-02'), bundle.script, bundle.styles);
    const { page, context } = await show(browser, html);
    await begin(page);
    const twice = async () => {
      await next(page).click({ trial: true });
      const box = (await next(page).boundingBox())!;
      await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2, { clickCount: 2, delay: 10 });
    };
    await twice();
    await page.waitForFunction(() => document.querySelector('[data-test="position"]')?.textContent?.startsWith('Step 2'));
    await choose(page, 'free');
    await pressNext(page);
    expect(await next(page).textContent()).toMatch(/I have read/);
    await pressNext(page);
    await page.locator('[data-test="reading"]').fill('2.4');
    await twice();
    await page.locator('[data-test="judgement"]:not(:empty)').waitFor();
    // Judged, but not taken: the slip of the decimal point is seen before it counts.
    await page.waitForTimeout(600);
    expect(await title(page)).toBe('Supply at the motor plug');
    await context.close();
  });
});

describe('the file', () => {
  test('carries a policy that admits its own script and styles and nothing else', async () => {
    const html = checklistPageHtml(checklistOf(undefined, 'GR-02'), bundle.script, bundle.styles);
    const policy = /Content-Security-Policy" content="([^"]*)"/.exec(html)?.[1] ?? '';
    expect(policy).toMatch(/^default-src 'none'; script-src 'sha256-[^']+'; style-src 'sha256-[^']+';/);
    expect(policy).not.toMatch(/unsafe|\*|https?:/);
    const { page, context } = await show(browser, html);
    // A negative test of the policy itself: what a page may not do is refused by the browser.
    const refused = await page.evaluate(async () => {
      const script = document.createElement('script');
      script.textContent = 'window.ran = 9';
      document.body.append(script);
      const fetched = await fetch('http://127.0.0.1:9/').then(
        () => 'sent',
        () => 'refused',
      );
      return { ran: (window as unknown as { ran?: number }).ran, fetched };
    });
    expect(refused).toEqual({ ran: undefined, fetched: 'refused' });
    await context.close();
  });

  test('changed by one character of code, it does not run', async () => {
    const html = checklistPageHtml(checklistOf(undefined, 'GR-02'), bundle.script, bundle.styles);
    const tampered = html.replace(/<\/script>\s*<\/body>/, ';window.ran=1</script></body>');
    expect(tampered).not.toBe(html);
    const { page, context } = await show(browser, tampered);
    expect(await ran(page)).toBeUndefined();
    expect(await page.locator('[data-test="next"]').count()).toBe(0);
    await context.close();
  });

  test('works where the browser keeps nothing, and says so', async () => {
    const context = await browser.newContext();
    await context.addInitScript(() => {
      Object.defineProperty(window, 'indexedDB', {
        value: {
          open: () => {
            throw new Error('refused');
          },
        },
      });
      Object.defineProperty(window, 'localStorage', {
        get: () => {
          throw new Error('refused');
        },
      });
    });
    const { page, errors } = await show(
      browser,
      checklistPageHtml(checklistOf(undefined, 'GR-02'), bundle.script, bundle.styles),
      { into: context },
    );
    await page.getByText('lasts only while the page stays open').waitFor();
    await begin(page);
    await pressNext(page);
    await choose(page, 'stuck');
    expect(errors).toEqual([]);
    await context.close();
  });

  test('an entry that cannot be written down stays in the field, is said to be missing, and can be sent again', async () => {
    const html = checklistPageHtml(checklistOf(undefined, 'GR-02'), bundle.script, bundle.styles);
    const { page, context } = await show(browser, html);
    await begin(page);
    await pressNext(page);
    await upToEntry(page);
    await page.evaluate(() => {
      const add = IDBObjectStore.prototype.add;
      IDBObjectStore.prototype.add = function full() {
        IDBObjectStore.prototype.add = add;
        throw new DOMException('No room.', 'QuotaExceededError');
      };
    });
    await page.locator('[data-test="answer"][data-when="stuck"]').click();
    await next(page).click();
    await page.locator('[data-test="trouble"]').waitFor();
    expect(await page.locator('[data-test="trouble"]').textContent()).toMatch(/not written down.*no room/is);
    expect(await title(page)).toBe('Turn the disc by hand');
    expect(await page.locator('input[value="stuck"]').isChecked()).toBe(true);
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.locator('[data-test="remedy"]').waitFor();
    expect(await page.locator('[data-test="trouble"]').count()).toBe(0);
    await page.reload();
    await page.locator('[data-test="remedy"]').waitFor();
    await context.close();
  });
});
