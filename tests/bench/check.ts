/** A cold check of a whole shop by the command line, beside a bare parse of the same files on one thread; and the same again after a few edits. */
import { spawn } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { generateWorkspace } from './generate.ts';
import { bundled, figure, median, printGoals, printTable, SCRATCH } from './tools.ts';

const STEPS_A_FILE = 25;
/** Of a general-purpose rule engine on such files, in MB, seen on another day: its memory does not depend on the load of the machine. */
const RULE_ENGINE_MEMORY = 867;

interface Ran {
  readonly seconds: number;
  /** Peak, in MB. */
  readonly memory: number;
}

export async function benchCheck(quick: boolean): Promise<void> {
  const count = quick ? 500 : 2000;
  const folder = join(SCRATCH, 'shop');
  const files = generateWorkspace(count, STEPS_A_FILE);
  for (const [name, text] of files) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
  const parse = await bundled('tests/bench/servers/parse-all.ts');
  const product = await bundled('server/src/edge/main.ts');
  const cache = join(SCRATCH, 'cache');
  const environment = { XDG_CACHE_HOME: cache };
  const check = (...words: string[]): Promise<Ran> => run([product, 'check', folder, '--format', 'json', ...words], environment);

  const bare: Ran[] = [];
  const cold: Ran[] = [];
  for (let round = 0; round < (quick ? 1 : 3); round++) {
    bare.push(await run([parse, folder], environment));
    rmSync(cache, { recursive: true, force: true });
    cold.push(await check());
  }
  const names = [...files.keys()].filter((name) => name.endsWith('.procedure.yaml'));
  for (let at = 0; at < names.length; at += 100) {
    const path = join(folder, names[at] ?? '');
    writeFileSync(path, readFileSync(path, 'utf8').replace('Use a hand lamp.', 'Use a bright hand lamp.'));
  }
  const again = await check();
  const one = (runs: readonly Ran[]): Ran => ({ seconds: median(runs.map((ran) => ran.seconds)), memory: median(runs.map((ran) => ran.memory)) });
  printTable(`${count.toLocaleString('en')} files of ${STEPS_A_FILE} steps`, ['', 'seconds', 'peak MB'], [
    ['bare parse, one thread', figure(one(bare).seconds), figure(one(bare).memory)],
    ['check, cold', figure(one(cold).seconds), figure(one(cold).memory)],
    ['check again, 1 % of the files changed', figure(again.seconds), figure(again.memory)],
  ]);
  printGoals([
    { what: 'cold check, of a bare parse', is: one(cold).seconds / one(bare).seconds, atMost: 0.6 },
    { what: 'the same again with 1 % changed, of cold', is: again.seconds / one(cold).seconds, atMost: 1 / 20 },
    ...(quick ? [] : [{ what: `memory, of the ${RULE_ENGINE_MEMORY} MB of a rule engine (seen on another day)`, is: one(cold).memory / RULE_ENGINE_MEMORY, atMost: 1 / 4 }]),
  ]);
}

/** Runs a script of Node to its end, what it prints thrown away. */
async function run(words: readonly string[], environment: Readonly<Record<string, string>>): Promise<Ran> {
  const hook = join(SCRATCH, 'peak.cjs');
  const peak = join(SCRATCH, 'peak.txt');
  writeFileSync(hook, `process.on('exit', () => { if (require('node:worker_threads').isMainThread) require('node:fs').writeFileSync(${JSON.stringify(peak)}, String(process.resourceUsage().maxRSS)); });\n`);
  const begun = performance.now();
  const child = spawn(process.execPath, ['-r', hook, ...words], { stdio: ['ignore', 'ignore', 'inherit'], env: { ...process.env, ...environment } });
  const code = await new Promise<number | null>((resolve) => child.once('exit', resolve));
  // 1 says that there are findings.
  if (code !== 0 && code !== 1) throw new Error(`${words.join(' ')} ended with ${String(code)}`);
  return { seconds: (performance.now() - begun) / 1000, memory: Number(readFileSync(peak, 'utf8')) / 1024 };
}
