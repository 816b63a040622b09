/** Typing in one file of a folder of thousands, while the others are being read and checked: ours beside servers that look at the open file alone. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { generateWorkspace } from './generate.ts';
import { commands, placeOf } from './editor.ts';
import { drive, type ServerCommand } from './language-client.ts';
import { figure, median, percentile, printTable, SCRATCH, timed } from './tools.ts';

const STEPS_A_FILE = 25;
const KEYS_AT_ONCE = 10;
/** A writer rests between words, in milliseconds. */
const REST = 1000;

interface Measured {
  readonly first: number;
  readonly key: number;
  readonly keyLate: number;
  readonly memory: number;
}

export async function benchWorkspace(quick: boolean): Promise<void> {
  const count = quick ? 500 : 2000;
  const folder = join(SCRATCH, 'workspace');
  const files = generateWorkspace(count, STEPS_A_FILE);
  for (const [name, text] of files) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
  const names = [...files.keys()].filter((name) => name.endsWith('.procedure.yaml'));
  const opened = names[names.length >> 1] ?? '';
  const servers = await commands();
  const measured: Measured[] = [];
  for (const [, command] of servers) measured.push(await measure(command, folder, opened, files.get(opened) ?? '', quick ? 5 : 12));
  const row = (title: string, value: (one: Measured) => number): string[] => [title, ...measured.map((one) => figure(value(one)))];
  printTable(`One file open of ${count.toLocaleString('en')} with ${STEPS_A_FILE} steps each, milliseconds and MB (ours checks all of them meanwhile)`, ['', ...servers.map(([name]) => name)], [
    row('start → first findings', (one) => one.first), row('key → findings, p50', (one) => one.key), row('key → findings, p95', (one) => one.keyLate), row('peak memory, MB', (one) => one.memory),
  ]);
}

async function measure(command: ServerCommand, folder: string, name: string, text: string, rounds: number): Promise<Measured> {
  const path = join(folder, name);
  const begun = performance.now();
  const server = await drive(command, folder);
  await server.open(path, text);
  const first = performance.now() - begun;
  const prose = placeOf(text, text.indexOf('Hold the probes') + 5);
  const keys: number[] = [];
  for (let round = 0; round < rounds; round++) {
    for (let i = 0; i < KEYS_AT_ONCE; i++) keys.push(await timed(() => server.type(path, prose, 'abcdefgh'[i % 8] ?? 'a')));
    await new Promise((resolve) => setTimeout(resolve, REST));
  }
  const memory = server.memory();
  await server.stop();
  return { first, key: median(keys), keyLate: percentile(keys, 0.95), memory };
}
