/** The page server in a process of its own. */
import { spawn, type ChildProcess } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

export interface ServedDepot {
  /** A folder with the procedures of the format's page. */
  readonly folder: string;
  readonly records: string;
  /** Starts the server, in a shell with `limits` in front where given, as somebody with few rights where wanted; resolves with its port. */
  start(limits?: string, nobody?: boolean): Promise<{ readonly port: number; readonly process: ChildProcess; kill(): Promise<void> }>;
  remove(): void;
}

export async function servedDepot(): Promise<ServedDepot> {
  const folder = mkdtempSync(join(tmpdir(), 'faultwright-serve-'));
  const program = join(folder, '.serve-main.cjs');
  cpSync(fileURLToPath(new URL('../run/fixtures/', import.meta.url)), folder, { recursive: true });
  await build({
    entryPoints: [fileURLToPath(new URL('./serve-main.ts', import.meta.url))], outfile: program, bundle: true, platform: 'node', format: 'cjs',
    target: 'node20.20', loader: { '.yaml': 'text' }, logLevel: 'error', define: { 'import.meta.url': 'bundleUrl' },
    banner: { js: 'const bundleUrl = require("node:url").pathToFileURL(__filename).href;' },
  });
  return {
    folder, records: join(folder, 'records'),
    start: (limits, nobody = false) => new Promise((resolve, reject) => {
      // To whom everything is allowed, nothing is read-only: such a one steps down first.
      const who = nobody && process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {};
      const child = limits === undefined
        ? spawn(process.execPath, [program, folder], { stdio: ['ignore', 'pipe', 'inherit'], ...who })
        : spawn('sh', ['-c', `${limits}; exec "$0" "$1" "$2"`, process.execPath, program, folder], { stdio: ['ignore', 'pipe', 'inherit'], ...who });
      const gone = new Promise<void>((done) => child.on('close', () => done()));
      child.on('error', reject);
      child.on('close', () => reject(new Error('The server ended before it served.')));
      child.stdout.on('data', (text: Buffer) => resolve({
        port: Number(text.toString()), process: child,
        async kill() {
          child.kill('SIGKILL');
          await gone;
        },
      }));
    }),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}
