/** The `faultwright` command: hands the words of the command line over and ends with the code that comes back. */
import { fileURLToPath } from 'node:url';
import { isMainThread } from 'node:worker_threads';
import { cacheFolder } from './check-cache.ts';
import { checkOnThread } from './check-threads.ts';
import { runCommandLine } from './command-line.ts';
import { reasonOf } from './read-text-file.ts';
import { compileLate } from './engine-flags.ts';

/** Set once what was printed could not be written: what the command found then counts for nothing. */
let outputFailed = false;

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') {
    // A reader that stops early (`| head`) has seen enough: the rest is not printed, and the code tells what was found all the same.
    if (GOES_ON.has(process.argv[2] ?? '')) process.exit(0);
    return;
  }
  if (!outputFailed) process.stderr.write(`The output could not be written. ${reasonOf(error)}\n`);
  outputFailed = true;
  process.exitCode = 2;
});
// Nobody is left to tell.
process.stderr.on('error', () => undefined);

/** Commands that speak with somebody: where nobody listens any longer they end. */
const GOES_ON: ReadonlySet<string> = new Set(['run', 'serve', 'lsp']);

if (isMainThread) begin();
else if (!checkOnThread()) void import('./diagnosis-thread.ts').then(({ diagnoseOnThread }) => diagnoseOnThread());

function begin(): void {
  compileLate();
  void runCommandLine(process.argv.slice(2), {
    cwd: process.cwd(),
    out: (text) => void process.stdout.write(text),
    error: (text) => void process.stderr.write(text),
    columns: process.stdout.columns,
    colours: wantsColours(),
    script: fileURLToPath(import.meta.url),
    cacheFolder: cacheFolder(process.env, process.platform),
  }).then((code) => {
    if (code !== undefined) process.exitCode = outputFailed ? 2 : code;
  });
}

/** Colours on a terminal only; NO_COLOR (set and not empty) turns them off, FORCE_COLOR turns them on. */
function wantsColours(): boolean {
  if (process.env['NO_COLOR']) return false;
  if (process.env['FORCE_COLOR']) return process.env['FORCE_COLOR'] !== '0';
  return process.stdout.isTTY === true && process.env['TERM'] !== 'dumb';
}
