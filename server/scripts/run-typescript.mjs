/** Bundles a TypeScript file in memory and runs it: `node server/scripts/run-typescript.mjs FILE [ARGUMENT…]`. */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const [file, ...rest] = process.argv.slice(2);
if (file === undefined) {
  console.error('Usage: node server/scripts/run-typescript.mjs FILE [ARGUMENT…]');
  process.exit(2);
}
// Inside the project, so that packages left out of the bundle are found.
const cache = join(dirname(fileURLToPath(import.meta.url)), '../../node_modules/.cache');
mkdirSync(cache, { recursive: true });
const folder = mkdtempSync(join(cache, 'run-'));
const outfile = join(folder, 'run.cjs');
try {
  await build({
    entryPoints: [resolve(file)], outfile, bundle: true, platform: 'node', format: 'cjs', target: 'node20', loader: { '.yaml': 'text' },
    sourcemap: 'inline', logLevel: 'error', external: ['esbuild', 'vscode', 'playwright-core', '@sparticuz/chromium'],
  });
  process.argv = [process.argv[0], resolve(file), ...rest];
  process.on('exit', () => rmSync(folder, { recursive: true, force: true }));
  createRequire(import.meta.url)(outfile);
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 2;
}
