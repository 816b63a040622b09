/**
 * Finds a Chromium for the tests that need a real browser, and starts it. In order: the one named by FAULTWRIGHT_CHROMIUM; the
 * one inside the registry package `@sparticuz/chromium`; one on the PATH; on Debian, as root, the distribution's package. Must
 * not know what the tests look at.
 */
import { execFileSync } from 'node:child_process';
import { accessSync, constants, existsSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { chromium } from 'playwright-core';
import type { Browser, LaunchOptions } from 'playwright-core';

export interface FoundChromium {
  readonly path: string;
  /** Launch arguments that fit this machine; web security stays on, since tests judge the content security policy. */
  readonly args: readonly string[];
  /** Variables to add to the browser's environment (libraries and fonts that came with it). */
  readonly env: Readonly<Record<string, string>>;
}

const ARGUMENTS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--disable-dev-shm-usage',
  '--font-render-hinting=none',
];

const NAMES_ON_PATH = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];

/** The browser to test with. Throws an error that names the one command to run where there is none. */
export async function findChromium(): Promise<FoundChromium> {
  const named = process.env['FAULTWRIGHT_CHROMIUM'];
  if (named) {
    if (!isProgram(named)) throw new Error(`FAULTWRIGHT_CHROMIUM names ${named}, which is not a program that can be run.`);
    return { path: named, args: ARGUMENTS, env: {} };
  }
  return fromPackage() ?? onPath() ?? fromDebian() ?? nowhere();
}

/** Starts the browser headless. Close it in `afterAll`. */
export async function launchBrowser(options: LaunchOptions = {}): Promise<Browser> {
  const found = await findChromium();
  return chromium.launch({
    ...options,
    executablePath: found.path,
    args: [...found.args, ...(options.args ?? [])],
    env: { ...process.env, ...found.env, ...options.env } as Record<string, string>,
  });
}

/**
 * Unpacks the package's browser once for each version, into a folder of its own: to a temporary folder first and then by one
 * rename, so that test files that start at the same moment do not meet a half-written program.
 */
function fromPackage(): FoundChromium | undefined {
  let home: string;
  let version: string;
  try {
    home = dirname(dirname(dirname(createRequire(import.meta.url).resolve('@sparticuz/chromium'))));
    version = (JSON.parse(readFileSync(join(home, 'package.json'), 'utf8')) as { version: string }).version;
  } catch {
    return undefined;
  }
  const user = process.getuid?.() ?? 0;
  const folder = join(tmpdir(), `faultwright-chromium-${version}-${user}`);
  if (!existsSync(join(folder, 'chromium'))) {
    const partial = mkdtempSync(join(tmpdir(), 'faultwright-chromium-'));
    try {
      // The package unpacks into TMPDIR, and its shared libraries only where it takes the machine for a bare one.
      execFileSync(
        process.execPath,
        [
          '--input-type=module',
          '-e',
          `const {default: c} = await import(${JSON.stringify(join(home, 'build/esm/index.js'))}); await c.executablePath();`,
        ],
        {
          env: { ...process.env, TMPDIR: partial, AWS_EXECUTION_ENV: 'AWS_Lambda_nodejs20.x' },
          stdio: ['ignore', 'ignore', 'pipe'],
        },
      );
      renameSync(partial, folder);
    } catch {
      rmSync(partial, { recursive: true, force: true });
      if (!existsSync(join(folder, 'chromium'))) return undefined;
    }
  }
  const path = join(folder, 'chromium');
  const fonts: Record<string, string> = anyFontInstalled() ? {} : { FONTCONFIG_FILE: ownFonts(folder) };
  if (starts(path, fonts)) return { path, args: ARGUMENTS, env: fonts };
  const libraries = [join(folder, 'al2023', 'lib'), process.env['LD_LIBRARY_PATH']].filter(Boolean).join(':');
  const env = { ...fonts, LD_LIBRARY_PATH: libraries };
  return starts(path, env) ? { path, args: ARGUMENTS, env } : undefined;
}

function onPath(): FoundChromium | undefined {
  for (const folder of (process.env['PATH'] ?? '').split(delimiter)) {
    for (const name of NAMES_ON_PATH) {
      const path = join(folder, name);
      if (folder && isProgram(path) && starts(path, {})) return { path, args: ARGUMENTS, env: {} };
    }
  }
  return undefined;
}

function fromDebian(): FoundChromium | undefined {
  if (process.getuid?.() !== 0 || !isProgram('/usr/bin/apt-get')) return undefined;
  try {
    const quiet = { stdio: 'ignore' as const, env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } };
    execFileSync('apt-get', ['update'], quiet);
    execFileSync('apt-get', ['install', '-y', '--no-install-recommends', 'chromium', 'fonts-dejavu-core'], quiet);
  } catch {
    return undefined;
  }
  return onPath();
}

function nowhere(): never {
  throw new Error(
    [
      'No Chromium was found for the browser tests. Expected one of: FAULTWRIGHT_CHROMIUM, the package @sparticuz/chromium,',
      `or ${NAMES_ON_PATH.join(', ')} on the PATH. On Debian, run:`,
      '  sudo apt-get install -y chromium',
    ].join('\n'),
  );
}

function isProgram(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/** False where shared libraries are missing, or the file is for another kind of machine. */
function starts(path: string, env: Readonly<Record<string, string>>): boolean {
  try {
    const flags = ['--version', '--no-sandbox'];
    return /\d+\.\d+/.test(
      execFileSync(path, flags, {
        env: { ...process.env, ...env },
        timeout: 30_000,
        stdio: ['ignore', 'pipe', 'ignore'],
      }).toString(),
    );
  } catch {
    return false;
  }
}

/** The package's own font list names folders of another machine: one that names where its fonts are now. Returns its path. */
function ownFonts(folder: string): string {
  const path = join(folder, 'fonts', 'here.conf');
  writeFileSync(
    path,
    `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
<dir>${join(folder, 'fonts', 'fonts')}</dir>
<dir>/usr/share/fonts</dir>
<cachedir>${join(folder, 'fonts-cache')}</cachedir>
</fontconfig>
`,
  );
  return path;
}

function anyFontInstalled(): boolean {
  try {
    return execFileSync('fc-list', { stdio: ['ignore', 'pipe', 'ignore'] }).length > 0;
  } catch {
    return existsSync('/usr/share/fonts/truetype');
  }
}
