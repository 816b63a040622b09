/** A checklist page that is worked as fast as it lets anyone, and what its browser has stored of it: for tests that kill it in the middle. */
import type { Page } from 'playwright-core';
import type { RunEvent } from '../../server/src/run/engine.ts';

/** Keeps in `acknowledged`, for each run, how many entries the page has said are written down. Before the page is loaded. */
export async function watchEntries(page: Page, acknowledged: Map<string, number>): Promise<void> {
  await page.exposeFunction('entriesWritten', (run: string, count: number) => acknowledged.set(run, Math.max(count, acknowledged.get(run) ?? 0)));
  await page.addInitScript(() => {
    // What the page shows is what it has acknowledged.
    new MutationObserver(() => {
      const main = document.querySelector<HTMLElement>('main[data-entries]');
      if (main) (window as unknown as { entriesWritten(run: string, count: number): void }).entriesWritten(main.dataset['run'] ?? '', Number(main.dataset['entries']));
    }).observe(document, { subtree: true, childList: true, attributes: true });
  });
}

/**
 * Does whatever the page asks for, as fast as the page lets anyone, until the browser is gone. It works inside the page: a hand that
 * asks through a debugger first would be too slow to be killed in the middle of anything.
 */
export async function work(page: Page, seed: number): Promise<void> {
  await page.evaluate(async (start) => {
    let state = start;
    const below = (limit: number) => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      return ((state >>> 16) & 0x7fff) % limit;
    };
    const find = <E extends HTMLElement>(selector: string) => document.querySelector<E>(selector);
    for (;;) {
      await new Promise((resolve) => setTimeout(resolve, 10));
      const next = find('[data-test="next"]');
      if (next?.getAttribute('aria-disabled') === 'true') continue;
      const other = find('[data-test="resume"]') ?? find('[data-test="again"]') ?? find('[data-test="wait-already"]');
      if (other) {
        other.click();
        await new Promise((resolve) => setTimeout(resolve, 50));
        continue;
      }
      if (!next) continue;
      const judged = (find('[data-test="judgement"]')?.textContent ?? '') !== '';
      for (const group of document.querySelectorAll('.step fieldset.choices')) {
        const choices = group.querySelectorAll<HTMLElement>('label.choice');
        if (!group.querySelector('input:checked')) choices[below(choices.length)]?.click();
      }
      const reading = find<HTMLInputElement>('[data-test="reading"]');
      if (reading && !judged) {
        reading.value = ['24.6', '0.1', '0.8', '22'][below(4)]!;
        reading.dispatchEvent(new Event('input', { bubbles: true }));
      }
      await new Promise((resolve) => setTimeout(resolve, 10));
      if (next.getAttribute('aria-disabled') !== 'true') next.click();
    }
  }, seed);
}

export interface Stored {
  readonly runs: readonly { readonly runId: string; readonly events: number; readonly finished: boolean }[];
  readonly events: readonly { readonly key: readonly [string, number]; readonly event: RunEvent }[];
}

/** Everything that the browser's store holds, as it is on the disk. */
export async function stored(page: Page): Promise<Stored> {
  return page.evaluate(async () => {
    const database = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('faultwright-checklists');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(new Error('The store does not open.'));
    });
    const all = <T>(request: IDBRequest<T>) => new Promise<T>((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(new Error('The store cannot be read.'));
    });
    const events = database.transaction('events').objectStore('events');
    const [keys, values] = await Promise.all([all(events.getAllKeys()), all(events.getAll())]);
    const runs = (await all(database.transaction('runs').objectStore('runs').getAll())) as { runId: string; events: number; finished: boolean }[];
    database.close();
    return { runs: runs.map(({ runId, events: count, finished }) => ({ runId, events: count, finished })), events: keys.map((key, index) => ({ key, event: values[index] })) } as never;
  });
}

/** Numbers in [0, 1), the same for the same seed: a linear congruential generator with the constants of ISO C's example `rand`. */
export function chanceFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1103515245) + 12345) >>> 0;
    return ((state >>> 16) & 0x7fff) / 0x8000;
  };
}
