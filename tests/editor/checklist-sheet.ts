/** Going on in a checklist that runs in a panel of the editor. */
import type { FrameLocator } from 'playwright-core';

/** Presses the button that goes on, and waits until the sheet has taken it. */
export async function pressNext(sheet: FrameLocator): Promise<void> {
  await sheet.locator('[data-test="next"]:not([aria-disabled="true"])').click();
  await sheet.locator('[data-test="next"][aria-disabled="true"]').waitFor({ state: 'detached' });
}

/** Acknowledges cautions and confirms states, whatever stands before the entry. */
export async function upToEntry(sheet: FrameLocator): Promise<void> {
  for (let count = 0; count < 8; count++) {
    const label = await sheet.locator('[data-test="next"]').textContent();
    if (!/I have read|in this state/.test(label ?? '')) return;
    await pressNext(sheet);
  }
  throw new Error('The entry never came.');
}
