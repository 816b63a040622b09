import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { existsSync, readFileSync, statSync, symlinkSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { BROKEN, CLEAN, folderWith } from './command.ts';

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const dist = join(root, 'dist');
const bundle = join(dist, 'faultwright.cjs');

beforeAll(() => {
  // `npm test` has built it; alone, this file builds it once.
  if (!existsSync(bundle)) execFileSync(process.execPath, [join(root, 'esbuild.config.mjs')], { cwd: root });
});

function run(cwd: string, words: readonly string[], variables: Record<string, string> = {}) {
  const { NO_COLOR: _no, FORCE_COLOR: _force, ...clean } = process.env;
  return spawnSync(process.execPath, [bundle, ...words], { cwd, encoding: 'utf8', env: { ...clean, ...variables } });
}

describe('the built command', () => {
  test('checks, draws and writes from any folder', () => {
    const folder = folderWith({ 'lamp.procedure.yaml': CLEAN });
    expect(run(folder, ['check'])).toMatchObject({ status: 0, stderr: '' });
    expect(run(folder, ['flow', 'lamp.procedure.yaml', '-o', 'lamp.svg'])).toMatchObject({ status: 0 });
    expect(run(folder, ['checklist', 'lamp.procedure.yaml', '-o', 'lamp.html'])).toMatchObject({ status: 0 });
    expect(statSync(join(folder, 'lamp.svg')).size).toBeGreaterThan(2000);
  });

  test('runs by its own first line, through a link, as an installed command does', () => {
    const folder = folderWith({ 'lamp.procedure.yaml': BROKEN });
    symlinkSync(bundle, join(folder, 'faultwright'));
    expect(readFileSync(bundle, 'utf8').slice(0, 20)).toBe('#!/usr/bin/env node\n');
    const { status, stdout } = spawnSync(process.execPath, [join(folder, 'faultwright'), 'check'], { cwd: folder, encoding: 'utf8' });
    expect(stdout).toContain('swop');
    expect(status).toBe(1);
  });

  test('colours are for terminals: none in a pipe, and NO_COLOR is obeyed', () => {
    const folder = folderWith({ 'lamp.procedure.yaml': BROKEN });
    expect(run(folder, ['check']).stdout).not.toContain('\u001b');
    expect(run(folder, ['check'], { FORCE_COLOR: '1' }).stdout).toContain('\u001b[31m');
    expect(run(folder, ['check'], { FORCE_COLOR: '1', NO_COLOR: '1' }).stdout).not.toContain('\u001b');
  });

  test.runIf(process.platform === 'linux')('a reader that stops early does not hide what was found', () => {
    const folder = folderWith({ 'lamp.procedure.yaml': BROKEN });
    const { stdout } = spawnSync('bash', ['-c', `"$0" "$1" check | head -1 > /dev/null; echo "\${PIPESTATUS[0]}"`, process.execPath, bundle], { cwd: folder, encoding: 'utf8' });
    expect(stdout).toBe('1\n');
  });

  test.runIf(existsSync('/dev/full'))('where the output cannot be written, one sentence says so', () => {
    const folder = folderWith({ 'lamp.procedure.yaml': CLEAN });
    const { status, stderr } = spawnSync('bash', ['-c', '"$0" "$1" check --format json > /dev/full', process.execPath, bundle], { cwd: folder, encoding: 'utf8' });
    expect(stderr).toBe('The output could not be written. There is no space left on the disk.\n');
    expect(status).toBe(2);
  });

  test('a reader that stops early is no error', async () => {
    const folder = folderWith(Object.fromEntries(Array.from({ length: 40 }, (_, index) => [`lamp_${index}.procedure.yaml`, BROKEN])));
    const child = spawn(process.execPath, [bundle, 'check', '--format', 'sarif'], { cwd: folder });
    let error = '';
    child.stderr.on('data', (chunk: Buffer) => { error += chunk.toString(); });
    child.stdout.once('data', () => child.stdout.destroy());
    await new Promise((resolve) => child.once('close', resolve));
    expect(error).toBe('');
  });

  test('goes through a procedure by answers from a file and writes a record', () => {
    const folder = folderWith({ 'lamp.procedure.yaml': CLEAN, 'shop.yaml': 'shop: Brackwater depot\n', 'answers.txt': 'stop\n' });
    const { status, stdout } = run(folder, ['run', 'lamp.procedure.yaml', '--person', 'Technician A', '--answers', 'answers.txt']);
    expect(stdout).toContain('Marker lamp dark');
    expect([0, 2]).toContain(status);
    expect(existsSync(join(folder, 'records'))).toBe(true);
  });

  test('lsp --stdio answers an editor', async () => {
    const child = spawn(process.execPath, [bundle, 'lsp', '--stdio']);
    const message = JSON.stringify({ jsonrpc: '2.0', id: 1, method: 'initialize', params: { processId: null, rootUri: null, capabilities: {} } });
    child.stdin.write(`Content-Length: ${Buffer.byteLength(message)}\r\n\r\n${message}`);
    const answer = await new Promise<string>((resolve) => {
      let text = '';
      child.stdout.on('data', (chunk: Buffer) => {
        text += chunk.toString();
        if (text.includes('"capabilities"')) resolve(text);
      });
      child.once('exit', () => resolve(text));
    });
    child.kill();
    expect(answer).toContain('"capabilities"');
  });
});

describe('the layout library', () => {
  test('is shipped unmodified in a file of its own, with its licence and a notice', () => {
    const shipped = readFileSync(join(dist, 'elk', 'elk.bundled.js'));
    expect(shipped.equals(readFileSync(join(root, 'node_modules', 'elkjs', 'lib', 'elk.bundled.js')))).toBe(true);
    expect(readFileSync(join(dist, 'elk', 'LICENSE.md'), 'utf8')).toContain('Eclipse Public License');
    expect(readFileSync(join(dist, 'elk', 'NOTICE.md'), 'utf8')).toContain('unmodified');
    for (const name of ['faultwright.cjs', 'server.cjs']) expect(readFileSync(join(dist, name), 'utf8')).not.toContain('org.eclipse.elk.alg.layered');
  });
});

test('the licences of what is bundled are with the bundles', () => {
  const notices = readFileSync(join(dist, 'notices.txt'), 'utf8');
  for (const name of ['yaml', 'commander', 'vscode-languageserver', 'preact']) expect(notices).toMatch(new RegExp(`^${name} \\d`, 'm'));
});

test('the extension stays small', () => {
  expect(statSync(join(dist, 'extension.cjs')).size).toBeLessThan(500_000);
});
