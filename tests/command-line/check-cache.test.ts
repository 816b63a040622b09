/** Findings kept from one check to the next, and files checked on threads: whatever changes in between, what is shown is what a check anew would show. */
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { beforeAll, expect, test } from 'vitest';
import { build } from 'esbuild';
import { findingsCache } from '../../server/src/edge/check-cache.ts';
import { checkFiles } from '../../server/src/edge/check-files.ts';
import { readWorkspace } from '../../server/src/edge/file-workspace.ts';
import type { Finding } from '../../server/src/findings/finding.ts';
import { BENCH_SHOP, generateProcedure } from '../bench/generate.ts';
import { folderWith } from './command.ts';

const HERE = import.meta.filename;
const FILES = 30;

async function check(folder: string, cache: string | undefined, threadScript?: string): Promise<readonly Finding[]> {
  const files = await readWorkspace(['.'], folder);
  const outcome = await checkFiles(files, folder, 0, { threadScript, cache: cache === undefined ? undefined : findingsCache(cache, [folder], HERE, '1') });
  return outcome.findings;
}

/** Thirty procedures; one runs another and uses its reading, one shows a figure. */
function shop(): string {
  const files: Record<string, string> = { 'shop.yaml': BENCH_SHOP };
  for (let index = 0; index < FILES; index++) files[`bay/service_${index}.procedure.yaml`] = generateProcedure(12, `service_${index}`);
  files['bay/rest.procedure.yaml'] = 'procedure: rest\ntitle: Voltage at rest\npurpose: fault_finding\nsteps:\n  - step: volts\n    measure: dc_voltage\n  - step: done\n    ask: Is it done?\n    results:\n      - {when: yes, passes: true}\n      - {when: no, refer: Do it.}\n';
  files['bay/outer.procedure.yaml'] = 'procedure: outer\ntitle: Voltage under load\nsteps:\n  - step: before\n    run: rest\n  - step: after\n    measure: dc_voltage\n    figure: plug.png\n    results:\n      - {when: at least before.volts - 1 V, passes: true}\n      - {when: otherwise, refer: Trace the feed.}\n';
  return folderWith(files);
}

test('after every kind of change, kept findings are those of a check anew', { timeout: 120_000 }, async () => {
  const folder = shop();
  const cache = join(folder, '.kept');
  const path = (name: string): string => join(folder, name);
  const edit = (name: string, from: string, to: string): void => writeFileSync(path(name), readFileSync(path(name), 'utf8').replace(from, to));
  const changes: readonly [string, () => void][] = [
    ['nothing', () => undefined],
    ['a text', () => edit('bay/service_3.procedure.yaml', 'Use a hand lamp.', 'Use it as necessary.')],
    ['the shop', () => edit('shop.yaml', 'resolution: 0.01 V', 'resolution: 1 V')],
    ['what a procedure runs', () => edit('bay/rest.procedure.yaml', 'step: volts', 'step: volts_now')],
    ['who runs it', () => edit('bay/outer.procedure.yaml', 'before.volts', 'before.volts_now')],
    ['a figure appears', () => writeFileSync(path('bay/plug.png'), 'x')],
    ['a figure goes', () => rmSync(path('bay/plug.png'))],
    ['a name', () => edit('bay/rest.procedure.yaml', 'procedure: rest', 'procedure: rested')],
    ['a file goes', () => rmSync(path('bay/outer.procedure.yaml'))],
    ['a file comes', () => writeFileSync(path('bay/new.procedure.yaml'), 'procedure: rest\ntitle: New\n')],
    ['assets come', () => writeFileSync(path('assets.yaml'), 'assets:\n  X-1: {equipment: sweeper}\n')],
    ['what was kept is spoilt', () => { for (const name of readdirSync(cache)) writeFileSync(join(cache, name), '{"tool": 3'); }],
  ];
  for (const [what, change] of changes) {
    change();
    expect(await check(folder, cache), what).toEqual(await check(folder, undefined));
  }
});

test('unchanged files are not checked again, and another tool takes nothing over', async () => {
  const folder = shop();
  const cache = join(folder, '.kept');
  await check(folder, cache);
  const [name] = readdirSync(cache);
  const kept = readFileSync(join(cache, name ?? ''), 'utf8');
  // A mark in what was kept shows whether it is used.
  writeFileSync(join(cache, name ?? ''), kept.replace(/"message":"[^"]*"/, '"message":"kept"'));
  expect((await check(folder, cache)).map((finding) => finding.message)).toContain('kept');
  const files = await readWorkspace(['.'], folder);
  const other = await checkFiles(files, folder, 0, { cache: findingsCache(cache, [folder], HERE, '2') });
  expect(other.findings.map((finding) => finding.message)).not.toContain('kept');
});

let script = '';
beforeAll(async () => {
  const folder = resolve('node_modules/.cache/check-thread');
  mkdirSync(folder, { recursive: true });
  script = join(folder, 'thread.cjs');
  await build({
    stdin: { contents: "import { checkOnThread } from './server/src/edge/check-threads.ts'; checkOnThread();", resolveDir: resolve('.'), loader: 'ts' },
    outfile: script, bundle: true, platform: 'node', format: 'cjs', loader: { '.yaml': 'text' }, logLevel: 'error',
  });
});

test('threads find what one finds, also when a thread breaks', { timeout: 120_000 }, async () => {
  const folder = folderWith({ 'shop.yaml': BENCH_SHOP });
  mkdirSync(join(folder, 'bay'));
  for (let index = 0; index < 90; index++) {
    const text = generateProcedure(12, `service_${index}`);
    writeFileSync(join(folder, `bay/service_${index}.procedure.yaml`), index % 7 === 0 ? text.replace('time: 3 min', 'time: 3 hm') : text);
  }
  const alone = await check(folder, undefined);
  expect(alone.length).toBeGreaterThan(10);
  expect(await check(folder, undefined, script)).toEqual(alone);
  const broken = join(folder, 'broken.cjs');
  writeFileSync(broken, "require('node:worker_threads').parentPort.on('message', () => process.exit(1));");
  expect(await check(folder, undefined, broken)).toEqual(alone);
});
