/** `faultwright serve`: starts the page server, says under which address, and runs until it is interrupted. */
import { randomBytes } from 'node:crypto';
import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { renderUnicodeCompact } from 'uqr';
import { harmlessLine } from '../render/harmless-text.ts';
import { CannotRun } from './command-environment.ts';
import type { CommandEnvironment } from './command-environment.ts';
import { checklistPageBundle } from './page-bundle.ts';
import { lanAddresses } from './page-server-guard.ts';
import { startPageServer, type PageServer } from './page-server.ts';
import { reasonOf } from './read-text-file.ts';
import { servedLibrary } from './served-library.ts';

export interface ServeOptions {
  readonly port: string;
  /** Serve the local network too, with a key. */
  readonly lan?: boolean;
  /** Records folder; else beside each shop's file. */
  readonly records?: string;
}

/** Serves until `stopped` resolves (SIGINT or SIGTERM without it). Throws CannotRun where it cannot be started. */
export async function serveCommand(folder: string, options: ServeOptions, environment: CommandEnvironment, stopped: Promise<void> = interrupted()): Promise<number> {
  const port = Number(options.port);
  if (!/^\d{1,5}$/.test(options.port) || port > 65_535) throw new CannotRun(`A port is a number from 0 to 65535; found ${harmlessLine(options.port)}.`);
  const own = resolve(environment.cwd, folder);
  try {
    if (!statSync(own).isDirectory()) throw new CannotRun(`${harmlessLine(folder)} is no folder. Name the folder that holds the procedures.`);
  } catch (error) {
    if (error instanceof CannotRun) throw error;
    throw new CannotRun(`${harmlessLine(folder)} could not be read. ${reasonOf(error)}`);
  }
  const library = servedLibrary(own, options.records === undefined ? undefined : resolve(environment.cwd, options.records));
  const count = await library.count();
  if (count === 0) throw new CannotRun(`There are no procedures in ${harmlessLine(folder)}. Expected are files named NAME.procedure.yaml.`);
  const lanKey = options.lan ? randomBytes(16).toString('hex') : undefined;
  const server = await started({
    library, port, page: await checklistPageBundle(), report: (message) => environment.error(`${harmlessLine(message)}\n`), ...(lanKey === undefined ? {} : { lanKey }),
  });
  environment.out(addressText(server.port, count, lanKey));
  // Read before anyone asks: the first to come does not wait for it.
  library.procedures().catch(() => undefined);
  await stopped;
  await server.close();
  environment.out('Stopped. Runs under way are kept and can be resumed.\n');
  return 0;
}

async function started(options: Parameters<typeof startPageServer>[0]): Promise<PageServer> {
  try {
    return await startPageServer(options);
  } catch (error) {
    const { code } = error as { code?: string };
    if (code === 'EADDRINUSE') throw new CannotRun(`Port ${options.port} is in use by another program. Choose another: --port ${options.port < 65_000 ? options.port + 1 : 8731}`);
    if (code === 'EACCES') throw new CannotRun(`Port ${options.port} may not be used here. Choose one above 1023: --port 8731`);
    throw error;
  }
}

function addressText(port: number, count: number, lanKey: string | undefined): string {
  const what = `${count === 1 ? '1 procedure' : `${count} procedures`}`;
  if (lanKey === undefined) {
    return `Serving ${what} at http://127.0.0.1:${port}/\nOnly this machine can reach it. For tablets on the local network: --lan\nStop with Ctrl-C.\n`;
  }
  const addresses = lanAddresses();
  const lines = [`Serving ${what} on the local network. Open on the tablet:`];
  for (const address of addresses.length > 0 ? addresses : ['127.0.0.1']) lines.push(`  http://${address}:${port}/?key=${lanKey}`);
  if (addresses.length === 0) lines.push('This machine is on no network now: only itself can reach it.');
  else lines.push('', renderUnicodeCompact(`http://${addresses[0]}:${port}/?key=${lanKey}`, { border: 2 }), '');
  lines.push('Whoever has this address can run procedures and see what is entered; give it to those who work here alone.');
  lines.push('What is sent is not encrypted: use it on the shop\'s own network. The key holds until the server is stopped with Ctrl-C.');
  return `${lines.join('\n')}\n`;
}

function interrupted(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve());
  });
}
