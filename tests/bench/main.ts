/**
 * Measures the product against baselines in the same run: `npm run bench`, or some parts by name: `npm run bench -- editor check`.
 * Only ratios within one run mean anything. `--long` repeats more. Nothing here fails when it is slow: it tells.
 */
import { cpus } from 'node:os';

const words = process.argv.slice(2);
const quick = !words.includes('--long');
const wanted = words.filter((word) => !word.startsWith('--'));

const PARTS: Readonly<Record<string, () => Promise<unknown>>> = {
  editor: async () => (await import('./editor.ts')).benchEditor(quick),
  workspace: async () => (await import('./workspace.ts')).benchWorkspace(quick),
  check: async () => (await import('./check.ts')).benchCheck(quick),
  exploration: async () => (await import('./exploration.ts')).benchExploration(),
  flow: async () => (await import('./flow.ts')).benchFlow(),
  page: async () => (await import('./page.ts')).benchPage(quick),
  diagnosis: () => import('./diagnosis.ts'),
};

async function main(): Promise<void> {
  const unknown = wanted.filter((word) => !(word in PARTS));
  if (unknown.length > 0) {
    console.error(`There is no part ${unknown.join(', ')}. There are: ${Object.keys(PARTS).join(', ')}.`);
    process.exitCode = 2;
    return;
  }
  console.log(`Node ${process.version}, ${cpus().length} processors. Compare figures of one run only.`);
  for (const [name, run] of Object.entries(PARTS)) {
    if (wanted.length > 0 && !wanted.includes(name)) continue;
    // Its cases take minutes, and its figures belong to the planner: asked for by name.
    if (wanted.length === 0 && name === 'diagnosis') continue;
    const begun = performance.now();
    console.log(`\n== ${name}`);
    await run();
    console.log(`\n(${name}: ${((performance.now() - begun) / 1000).toFixed(0)} s)`);
  }
}

main().catch((error: unknown) => {
  console.error(error);
  process.exitCode = 1;
});
