import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { renderChecklistHtml } from '../../server/src/render/checklist-html.ts';
import { layoutFlow } from '../../server/src/render/flow-layout.ts';
import { renderFlowSvg } from '../../server/src/render/flow-svg.ts';
import { launchBrowser } from '../browser/chromium.ts';
import { BATTERY, checklistFrom, drawingFrom, libraryChecklist, libraryDrawing, LIBRARY_NAMES, LIFT } from './depot.ts';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(async () => {
  await browser?.close();
});

interface AxeFinding {
  readonly id: string;
  readonly nodes: readonly { readonly html: string }[];
}

describe('the flow drawing, with the fonts of this machine', () => {
  test('no text reaches beyond its symbol', async () => {
    const page = await browser.newPage();
    for (const name of LIBRARY_NAMES) {
      await page.setContent(`<body>${renderFlowSvg(await layoutFlow(libraryDrawing(name)))}</body>`);
      const beyond = await page.evaluate(() => [...document.querySelectorAll('g.symbol')].flatMap((group) => {
        const shape = (group.querySelector('.shape') as SVGGraphicsElement).getBBox();
        return [...group.querySelectorAll(':scope > text:not(.head)')].filter((text) => {
          const box = (text as SVGGraphicsElement).getBBox();
          return box.x < shape.x || box.x + box.width > shape.x + shape.width || box.y < shape.y || box.y + box.height > shape.y + shape.height;
        }).map((text) => text.textContent);
      }));
      expect(beyond, name).toEqual([]);
    }
    await page.close();
  });

  test.each([['light', 'rgb(255, 255, 255)'], ['dark', 'rgb(26, 29, 33)']] as const)('follows the system: %s', async (colorScheme, paper) => {
    const page = await browser.newPage({ colorScheme });
    await page.setContent(renderFlowSvg(await layoutFlow(drawingFrom(LIFT))));
    expect(await page.evaluate(() => getComputedStyle(document.querySelector('.paper')!).fill)).toBe(paper);
    await page.close();
  });

  test('takes the colours that its page sets', async () => {
    const page = await browser.newPage();
    await page.setContent(`<style>:root { --flow-ink: rgb(1, 2, 3); --vscode-editor-background: rgb(4, 5, 6); }</style>${renderFlowSvg(await layoutFlow(drawingFrom(LIFT)))}`);
    expect(await page.evaluate(() => [getComputedStyle(document.querySelector('g.step text:not(.head)')!).fill, getComputedStyle(document.querySelector('.paper')!).fill])).toEqual(['rgb(1, 2, 3)', 'rgb(4, 5, 6)']);
    await page.close();
  });
});

describe('the printed checklist', () => {
  const html = renderChecklistHtml(checklistFrom({ lift: LIFT, battery_test: BATTERY }, 'TL-07'));

  test('its own content policy lets its style through and nothing is refused', async () => {
    const page = await browser.newPage();
    const complaints: string[] = [];
    page.on('console', (message) => complaints.push(message.text()));
    page.on('request', (request) => {
      if (!request.url().startsWith('data:') && request.url() !== 'about:blank') complaints.push(request.url());
    });
    await page.setContent(html);
    // ANSI Z535.1 safety red, for the one caution there is.
    expect(await page.evaluate(() => getComputedStyle(document.querySelector('.signal')!).backgroundColor)).toBe('rgb(200, 16, 46)');
    expect(await page.evaluate(() => getComputedStyle(document.querySelector('.safety')!).borderTopColor)).toBe('rgb(200, 16, 46)');
    expect(complaints).toEqual([]);
    await page.close();
  });

  test.each(['light', 'dark'] as const)('has no barrier that a machine can find (%s)', async (colorScheme) => {
    const context = await browser.newContext({ colorScheme, bypassCSP: true });
    const page = await context.newPage();
    await page.setContent(html);
    await page.addScriptTag({ content: AXE });
    const found = await page.evaluate(async () => {
      const axe = (globalThis as unknown as { axe: { run(options: object): Promise<{ violations: AxeFinding[] }> } }).axe;
      return (await axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa'] })).violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html ?? ''}`);
    });
    expect(found).toEqual([]);
    await context.close();
  });

  test('on paper nothing is cut off to the right, on a phone neither', async () => {
    for (const width of [360, 794]) {
      const page = await browser.newPage({ viewport: { width, height: 1000 } });
      if (width === 794) await page.emulateMedia({ media: 'print' });
      await page.setContent(renderChecklistHtml(libraryChecklist('no_crank')));
      expect(await page.evaluate(() => document.documentElement.scrollWidth), String(width)).toBeLessThanOrEqual(width);
      await page.close();
    }
  });
});
