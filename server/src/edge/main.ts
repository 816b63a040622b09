/** The `faultwright` command: hands the words of the command line over and ends with the code that comes back. */
import { fileURLToPath } from 'node:url';
import { isMainThread } from 'node:worker_threads';
import { cacheFolder } from './check-cache.ts';
import { checkOnThread } from './check-threads.ts';
import { runCommandLine } from './command-line.ts';
import { compileLate } from './engine-flags.ts';

// A reader that stops early (`| head`) ends the command quietly.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

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
    if (code !== undefined) process.exitCode = code;
  });
}

/** Colours on a terminal only; NO_COLOR (set and not empty) turns them off, FORCE_COLOR turns them on. */
function wantsColours(): boolean {
  if (process.env['NO_COLOR']) return false;
  if (process.env['FORCE_COLOR']) return process.env['FORCE_COLOR'] !== '0';
  return process.stdout.isTTY === true && process.env['TERM'] !== 'dumb';
}
