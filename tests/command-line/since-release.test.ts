/** `faultwright check --since-release`: what differs from the last released text in git has another revision. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { runCommandLine } from '../../server/src/edge/command-line.ts';
import { supplyText as text } from './supply-text.ts';

let depot = '';
beforeEach(() => {
  depot = mkdtempSync(join(tmpdir(), 'faultwright-released-'));
});
afterEach(() => rmSync(depot, { recursive: true, force: true }));

function git(...words: string[]): void {
  const run = spawnSync('git', ['-c', 'user.name=t', '-c', 'user.email=t@example.org', ...words], { cwd: depot, encoding: 'utf8' });
  expect(run.status, run.stderr).toBe(0);
}

function committed(content: string): void {
  writeFileSync(join(depot, 'supply.procedure.yaml'), content);
  git('add', '.');
  git('commit', '-qm', 'x');
}

async function found(...words: string[]): Promise<string[]> {
  let out = '';
  await runCommandLine(['check', '--format', 'json', ...words], { cwd: depot, out: (part) => (out += part), error: () => undefined, columns: 100, colours: false });
  return (JSON.parse(out) as { findings: { check: string }[] }).findings.map((finding) => finding.check).filter((check) => check === 'revision-not-raised');
}

it('is found with the option and without it is not, also where a draft was committed since', async () => {
  git('init', '-q');
  committed(text(3, '12.2 V'));
  committed(text(3, '12.3 V', 'draft'));
  writeFileSync(join(depot, 'supply.procedure.yaml'), text(3, '12.4 V'));
  expect(await found('--since-release')).toEqual(['revision-not-raised']);
  expect(await found()).toEqual([]);
  writeFileSync(join(depot, 'supply.procedure.yaml'), text(4, '12.4 V'));
  expect(await found('--since-release')).toEqual([]);
});

it('claims nothing outside a repository, or of a file that git does not know', async () => {
  writeFileSync(join(depot, 'supply.procedure.yaml'), text(3, '12.2 V'));
  expect(await found('--since-release')).toEqual([]);
  git('init', '-q');
  expect(await found('--since-release')).toEqual([]);
});
