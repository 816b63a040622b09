/** `faultwright serve`: what it says when it starts, and when it cannot. */
import { cpSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { CannotRun } from '../../server/src/edge/command-environment.ts';
import { serveCommand } from '../../server/src/edge/serve-command.ts';
import { send } from './tablet.ts';

// What it serves is made by the build; what it says does not depend on it.
vi.mock('../../server/src/edge/page-bundle.ts', () => ({ checklistPageBundle: () => Promise.resolve({ script: '', styles: '' }) }));

let depot = '';
beforeAll(() => {
  depot = mkdtempSync(join(tmpdir(), 'faultwright-serve-'));
  cpSync(fileURLToPath(new URL('../run/fixtures/', import.meta.url)), depot, { recursive: true });
  mkdirSync(join(depot, 'empty'));
});
afterAll(() => rmSync(depot, { recursive: true, force: true }));

/** Serves until `use` is done with what was said. */
async function served(options: { port?: string; lan?: boolean }, use: (said: string) => Promise<void>, folder = '.'): Promise<string> {
  let said = '';
  let stop = (): void => undefined;
  const stopped = new Promise<void>((resolve) => (stop = resolve));
  const environment = { cwd: depot, out: (text: string) => (said += text), error: (text: string) => (said += text), columns: 80, colours: false };
  const done = serveCommand(folder, { port: '0', ...options }, environment, stopped);
  for (let count = 0; count < 300 && said === ''; count++) await Promise.race([done, new Promise((resolve) => setTimeout(resolve, 20))]);
  try {
    await use(said);
  } finally {
    stop();
  }
  expect(await done).toBe(0);
  return said;
}

describe('faultwright serve', () => {
  it('serves this machine alone, and says how tablets can be let in', async () => {
    const said = await served({}, async (text) => {
      const port = Number(/^Serving 2 procedures at http:\/\/127\.0\.0\.1:(\d+)\/$/m.exec(text)?.[1]);
      expect((await send(port, '/')).status).toBe(200);
    });
    expect(said).toContain('Only this machine can reach it. For tablets on the local network: --lan');
    expect(said).toContain('Stopped. Runs under way are kept and can be resumed.');
  });

  it('shows an address with a new key each time for the local network', async () => {
    const keys: string[] = [];
    for (let count = 0; count < 2; count++) {
      await served({ lan: true }, async (text) => {
        const [, port = '', key = ''] = /http:\/\/[\d.]+:(\d+)\/\?key=([0-9a-f]{32})/.exec(text) ?? [];
        keys.push(key);
        expect((await send(Number(port), '/')).status).toBe(401);
        expect((await send(Number(port), `/?key=${key}`)).status).toBe(303);
        expect(text).toContain('What is sent is not encrypted');
      });
    }
    expect(new Set(keys).size).toBe(2);
  });

  it('says what is wrong with a port, a folder, and a port that is taken', async () => {
    const refused = (options: { port?: string }, folder?: string): Promise<unknown> => served(options, () => Promise.resolve(), folder).catch((error: unknown) => (error instanceof CannotRun ? error.message : error));
    expect(await refused({ port: 'eighty' })).toBe('A port is a number from 0 to 65535; found eighty.');
    expect(await refused({ port: '70000' })).toBe('A port is a number from 0 to 65535; found 70000.');
    expect(await refused({}, 'none')).toMatch(/^none could not be read\./);
    expect(await refused({}, 'shop.yaml')).toBe('shop.yaml is no folder. Name the folder that holds the procedures.');
    expect(await refused({}, 'empty')).toBe('There are no procedures in empty. Expected are files named NAME.procedure.yaml.');
    const other = createServer().listen(0, '127.0.0.1');
    await new Promise((resolve) => other.once('listening', resolve));
    const { port } = other.address() as AddressInfo;
    expect(await refused({ port: String(port) })).toBe(`Port ${port} is in use by another program. Choose another: --port ${port < 65_000 ? port + 1 : 8731}`);
    other.close();
  });
});
