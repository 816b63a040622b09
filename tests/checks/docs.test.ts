/** The reference of the checks is made from them, and kept. */
import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

test('the pages under server/docs are those that the checks make', { timeout: 60_000 }, () => {
  const script = fileURLToPath(new URL('../../server/scripts/docs.mjs', import.meta.url));
  expect(() => execFileSync(process.execPath, [script, '--check'], { stdio: 'pipe', encoding: 'utf8' })).not.toThrow();
});
