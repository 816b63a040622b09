/** Bundles run-main.ts, as the product is bundled, so that tests can start, kill and type at a real process. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

export interface RunnerBundle {
  /** The program: node PROGRAM FILE RECORDS … */
  readonly program: string;
  /** A folder for the test's own files. */
  readonly folder: string;
  remove(): void;
}

export async function bundleRunner(): Promise<RunnerBundle> {
  const folder = mkdtempSync(join(tmpdir(), 'faultwright-run-'));
  const program = join(folder, 'run-main.cjs');
  await build({
    entryPoints: [fileURLToPath(new URL('./run-main.ts', import.meta.url))],
    outfile: program,
    bundle: true,
    platform: 'node',
    format: 'cjs',
    target: 'node20.20',
    loader: { '.yaml': 'text' },
    logLevel: 'error',
    define: { 'import.meta.url': 'bundleUrl' },
    banner: { js: 'const bundleUrl = require("node:url").pathToFileURL(__filename).href;' },
  });
  return { program, folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
}

export const TAIL_LIFT = fileURLToPath(new URL('../run/fixtures/tail_lift_no_raise.procedure.yaml', import.meta.url));
