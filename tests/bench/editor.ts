/** From a key to its findings, to completion and to a hover: ours beside a general-purpose server, a naive one and an echo. */
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { drive, type Position, type ServerCommand } from './language-client.ts';
import { BENCH_SHOP, generateProcedure } from './generate.ts';
import { bundled, figure, median, percentile, printGoals, printTable, ROOT, SCRATCH, timed } from './tools.ts';

interface Measured {
  readonly first: number;
  readonly key: number;
  readonly keyLate: number;
  readonly structure: number;
  readonly completion: number;
  readonly hover: number;
  readonly answered: boolean;
  readonly memory: number;
}

const SIZES = [200, 1000, 2000] as const;
const PEER = 'tests/bench/peer/node_modules/yaml-language-server/bin/yaml-language-server';

export async function benchEditor(quick: boolean): Promise<void> {
  const servers = await commands();
  const results = new Map<string, Map<number, Measured>>();
  for (const steps of SIZES) {
    for (const [name, command] of servers) {
      const known = results.get(name) ?? new Map<number, Measured>();
      results.set(name, known.set(steps, await measure(command, steps, name === 'peer' ? (quick ? 6 : 20) : quick ? 25 : 60)));
    }
  }
  const names = servers.map(([name]) => name);
  const of = (name: string, steps: number): Measured | undefined => results.get(name)?.get(steps);
  for (const steps of SIZES) {
    const row = (title: string, value: (measured: Measured) => number): string[] => [title, ...names.map((name) => {
      const measured = of(name, steps);
      return figure(measured && value(measured));
    })];
    printTable(`${steps.toLocaleString('en')} steps, milliseconds and MB`, ['', ...names], [
      row('key → findings, p50', (m) => m.key), row('key → findings, p95', (m) => m.keyLate), row('key in a branch → findings, p50', (m) => m.structure),
      row('completion right after a key, p50', (m) => m.completion), row('hover right after a key, p50', (m) => m.hover),
      row('start → first findings', (m) => m.first), row('peak memory, MB', (m) => m.memory),
    ]);
    for (const name of names) if (of(name, steps)?.answered === false) console.log(`(${name}: completion or hover came back empty)`);
  }
  const ours = of('ours', 2000);
  const small = of('ours', 200);
  const peer = of('peer', 2000);
  const echo = of('echo', 2000);
  const ratio = (a: number | undefined, b: number | undefined): number | undefined => (a === undefined || b === undefined ? undefined : a / b);
  printGoals([
    { what: 'key → findings at 2,000 steps, of the peer', is: ratio(ours?.key, peer?.key), atMost: 1 / 40 },
    { what: 'the same, of the echo floor', is: ratio(ours?.key, echo?.key), atMost: 4 },
    { what: 'the same, p95, of the peer', is: ratio(ours?.keyLate, peer?.keyLate), atMost: 1 / 25 },
    { what: 'key → findings, growth from 200 to 2,000 steps', is: ratio(ours?.key, small?.key), atMost: 3 },
    { what: 'completion right after an edit, of the peer', is: ratio(ours?.completion, peer?.completion), atMost: 1 / 40 },
    { what: 'hover right after an edit, of the peer', is: ratio(ours?.hover, peer?.hover), atMost: 1 / 40 },
    { what: 'start → first findings, of the peer', is: ratio(ours?.first, peer?.first), atMost: 0.6 },
    { what: 'peak memory of the session, of the peer', is: ratio(ours?.memory, peer?.memory), atMost: 1 / 3 },
  ]);
}

export async function commands(): Promise<(readonly [string, ServerCommand])[]> {
  const schema = join(ROOT, 'schemas/procedure.schema.json');
  const found: (readonly [string, ServerCommand])[] = [
    ['ours', { script: await bundled('server/src/edge/lsp-main.ts'), saysVersion: true }],
    ['naive', { script: await bundled('tests/bench/servers/naive.ts'), saysVersion: true, environment: { BENCH_SCHEMA: schema } }],
    ['echo', { script: await bundled('tests/bench/servers/echo.ts'), saysVersion: true }],
  ];
  if (existsSync(join(ROOT, PEER))) {
    const yaml = { schemas: { [pathToFileURL(schema).href]: ['*.procedure.yaml'] }, validate: true, hover: true, completion: true, schemaStore: { enable: false } };
    found.splice(1, 0, ['peer', { script: join(ROOT, PEER), saysVersion: false, settings: { yaml } }]);
  } else console.log('The general-purpose server is not installed, and its column is left out. Install it: npm ci --prefix tests/bench/peer');
  return found;
}

/** One session: start, open, type, ask. */
async function measure(command: ServerCommand, steps: number, keys: number): Promise<Measured> {
  const folder = join(SCRATCH, `editor-${steps}`);
  mkdirSync(folder, { recursive: true });
  const text = generateProcedure(steps);
  const path = join(folder, 'long_service.procedure.yaml');
  writeFileSync(join(folder, 'shop.yaml'), BENCH_SHOP);
  writeFileSync(path, text);
  const begun = performance.now();
  const server = await drive(command, folder);
  await server.open(path, text);
  const first = performance.now() - begun;

  const middle = text.length >> 1;
  const prose = placeOf(text, text.indexOf('Hold the probes', middle) + 5);
  const branch = placeOf(text, text.indexOf('go: unit_', middle) + 4);
  const key = placeOf(text, text.indexOf('\n    why: ', middle) + 6);
  const keyword = placeOf(text, text.indexOf('\n    circuit: ', middle) + 7);
  for (let i = 0; i < 5; i++) await server.type(path, prose, 'e');
  const typed: number[] = [];
  for (let i = 0; i < keys; i++) typed.push(await timed(() => server.type(path, prose, 'abcdefgh'[i % 8] ?? 'a')));
  let answered = true;
  const asked = async (method: string, where: Position): Promise<number> => {
    const times: number[] = [];
    for (let i = 0; i < Math.ceil(keys / 2); i++) {
      let answer: unknown;
      times.push(await timed(async () => {
        answer = await server.typeAndAsk(path, prose, 'abcdefgh'[i % 8] ?? 'a', method, where);
      }));
      if (isEmpty(answer)) answered = false;
      await server.settled(path);
    }
    return median(times);
  };
  const completion = await asked('textDocument/completion', key);
  const hover = await asked('textDocument/hover', keyword);
  const memory = server.memory();
  const structural: number[] = [];
  for (let i = 0; i < 3; i++) structural.push(await timed(() => server.type(path, branch, 'x')));
  await server.stop();
  return { first, key: median(typed), keyLate: percentile(typed, 0.95), structure: median(structural), completion, hover, answered, memory };
}

export function placeOf(text: string, offset: number): Position {
  const before = text.slice(0, offset);
  return { line: before.split('\n').length - 1, character: offset - (before.lastIndexOf('\n') + 1) };
}

function isEmpty(answer: unknown): boolean {
  if (answer === null || answer === undefined) return true;
  const items = Array.isArray(answer) ? answer : (answer as { items?: unknown[] }).items;
  return items?.length === 0;
}
