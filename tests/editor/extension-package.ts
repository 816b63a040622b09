/** Packages the built extension as a user would install it. Needs no network. */
import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

/** Writes `faultwright.vsix` into `folder` and returns its path. Throws where the extension was not built. */
export function packageExtension(folder: string): string {
  for (const bundle of ['extension.cjs', 'language-client.cjs', 'server.cjs', 'pages/flow-page.js', 'pages/checklist-page.js']) {
    if (!existsSync(join(ROOT, 'dist', bundle))) throw new Error(`dist/${bundle} is not there. Run: npm run build`);
  }
  const path = join(folder, 'faultwright.vsix');
  const tool = join(ROOT, 'node_modules', '@vscode', 'vsce', 'vsce');
  const options = [
    '--no-dependencies',
    '--no-rewrite-relative-links',
    '--allow-missing-repository',
    '--skip-license',
    '--out',
    path,
  ];
  try {
    execFileSync(process.execPath, [tool, 'package', ...options], { cwd: ROOT, stdio: ['ignore', 'pipe', 'pipe'] });
  } catch (error) {
    const { stdout, stderr } = error as { stdout?: Buffer; stderr?: Buffer };
    throw new Error(`The extension could not be packaged.\n${stdout ?? ''}${stderr ?? ''}`);
  }
  return path;
}
