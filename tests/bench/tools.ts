/** What the benchmarks share: bundling what they start, numbers, and tables. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';
import { build } from 'esbuild';

/** The project's folder; the script is started from there, as `npm run` does. */
export const ROOT = resolve('.');

/** A folder that is gone when the process ends. */
export const SCRATCH = mkdtempSync(join(tmpdir(), 'faultwright-bench-'));
process.on('exit', () => rmSync(SCRATCH, { recursive: true, force: true }));

/** Bundles a TypeScript file as the product is bundled, and returns the path of the bundle. */
export async function bundled(entry: string): Promise<string> {
  // The language server looks for its neighbours one folder up.
  const outfile = join(SCRATCH, 'dist', `${basename(dirname(entry))}-${basename(entry, '.ts')}.cjs`);
  await build({
    entryPoints: [join(ROOT, entry)], outfile, bundle: true, platform: 'node', format: 'cjs', target: 'node20', minify: true, logLevel: 'error',
    mainFields: ['module', 'main'], loader: { '.yaml': 'text' }, external: ['elkjs'],
    define: { 'import.meta.url': 'bundleUrl' }, banner: { js: 'const bundleUrl = require("node:url").pathToFileURL(__filename).href;' },
  });
  return outfile;
}

export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? NaN;
}

export const median = (values: readonly number[]): number => percentile(values, 0.5);

/** A number with about three figures. */
export function figure(value: number | undefined, unit = ''): string {
  if (value === undefined || Number.isNaN(value)) return '–';
  return `${value >= 100 ? Math.round(value).toLocaleString('en') : value >= 10 ? value.toFixed(1) : value >= 0.1 || value === 0 ? value.toFixed(2) : value.toPrecision(2)}${unit}`;
}

export function printTable(title: string, head: readonly string[], rows: readonly (readonly string[])[]): void {
  const widths = head.map((cell, column) => Math.max(cell.length, ...rows.map((row) => (row[column] ?? '').length)));
  const line = (row: readonly string[]): string => `| ${widths.map((width, column) => (column === 0 ? (row[column] ?? '').padEnd(width) : (row[column] ?? '').padStart(width))).join(' | ')} |`;
  console.log(`\n${title}\n\n${line(head)}\n${line(widths.map((width, column) => (column === 0 ? '-'.repeat(width) : `${'-'.repeat(width - 1)}:`)))}\n${rows.map(line).join('\n')}`);
}

export interface Goal {
  readonly what: string;
  /** The ratio measured. */
  readonly is: number | undefined;
  /** At most this. */
  readonly atMost: number;
  readonly note?: string;
}

export function printGoals(goals: readonly Goal[]): void {
  printTable('Goals (ratios of this run)', ['goal', 'at most', 'measured', 'reached'], goals.map(({ what, is, atMost, note }) => [
    what, figure(atMost), is === undefined || Number.isNaN(is) ? (note ?? 'not measured') : figure(is), is === undefined || Number.isNaN(is) ? '–' : is <= atMost ? 'yes' : 'no',
  ]));
}

/** Milliseconds that some work takes. */
export async function timed(work: () => unknown): Promise<number> {
  const begun = performance.now();
  await work();
  return performance.now() - begun;
}
