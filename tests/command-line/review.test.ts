/** `faultwright review` in a folder of its own, with git and without it. */
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { CLEAN, command, folderWith } from './command.ts';

function git(folder: string, ...words: string[]): void {
  execFileSync('git', ['-c', 'user.name=Depot', '-c', 'user.email=depot@example.invalid', '-c', 'init.defaultBranch=main', '-c', 'commit.gpgsign=false', ...words], { cwd: folder, stdio: 'ignore' });
}

function repository(files: Readonly<Record<string, string>>): string {
  const folder = folderWith(files);
  git(folder, 'init');
  git(folder, 'add', '-A');
  git(folder, 'commit', '-m', 'As released');
  return folder;
}

const CHANGED = CLEAN.replace('finds: socket', 'refer: Ask the workshop.');

describe('since a revision of git', () => {
  it('says that nothing has changed', async () => {
    const folder = repository({ 'lamp.procedure.yaml': CLEAN });
    expect(await command(folder, 'review')).toEqual({ code: 0, out: 'Nothing has changed that bears on a procedure.\n', error: '' });
  });

  it('compares the work tree with the last commit, and ends with 1 where an error is new', async () => {
    const folder = repository({ 'lamp.procedure.yaml': CLEAN });
    writeFileSync(join(folder, 'lamp.procedure.yaml'), CHANGED);
    const { code, out } = await command(folder, 'review');
    expect(out).toContain('No walk finds socket any longer.');
    expect(out).toContain("`finds` of 'swap', 'no' is gone; it was socket.");
    expect(code).toBe(out.includes('\n    error ') ? 1 : 0);
  });

  it('names files that are new and files that are gone', async () => {
    const folder = repository({ 'old.procedure.yaml': CLEAN });
    git(folder, 'mv', 'old.procedure.yaml', 'new.procedure.yaml');
    const { out } = await command(folder, 'review', '--format', 'json');
    const { files, since } = JSON.parse(out) as { since: string; files: { before?: { file: string }; after?: { file: string } }[] };
    expect(since).toBe('revision HEAD');
    expect(files.map(({ before, after }) => [before?.file, after?.file])).toEqual([[undefined, 'new.procedure.yaml'], ['old.procedure.yaml', undefined]]);
  });

  it('finds other content under a revision that was released before', async () => {
    const releasedText = CLEAN.replace('status: draft', 'status: released\napproved: {by: Workshop standards group, on: 2026-08-03}');
    const folder = repository({ 'lamp.procedure.yaml': releasedText });
    writeFileSync(join(folder, 'lamp.procedure.yaml'), releasedText.replace('time: 20 min', 'time: 25 min'));
    const { out, code } = await command(folder, 'review');
    expect(out).toContain('error revision-not-raised');
    expect(code).toBe(1);
  });

  it('refuses a revision that is not there, and one that looks like an option', async () => {
    const folder = repository({ 'lamp.procedure.yaml': CLEAN });
    expect((await command(folder, 'review', '--since', 'v9')).error).toBe('The repository has no revision v9. Name an earlier file with --before.\n');
    expect((await command(folder, 'review', '--since=--output=/dev/null')).code).toBe(2);
  });

  it('runs nothing that a repository names', async () => {
    const folder = repository({ 'lamp.procedure.yaml': CLEAN, '.gitattributes': '*.yaml diff=trap filter=trap\n' });
    for (const key of ['diff.trap.textconv', 'filter.trap.smudge', 'core.fsmonitor']) git(folder, 'config', key, `touch ${join(folder, 'trapped')} #`);
    writeFileSync(join(folder, 'lamp.procedure.yaml'), CHANGED);
    expect((await command(folder, 'review')).out).toContain('socket');
    expect(execFileSync('ls', { cwd: folder, encoding: 'utf8' })).not.toContain('trapped');
  });
});

describe('against an earlier file', () => {
  it('reads both as the same procedure, though they stand in one folder', async () => {
    const folder = folderWith({ 'lamp.procedure.yaml': CHANGED, 'lamp_before.procedure.yaml': CLEAN });
    const { out } = await command(folder, 'review', 'lamp.procedure.yaml', '--before', 'lamp_before.procedure.yaml');
    expect(out).toContain('No walk finds socket any longer.');
    expect(out).not.toContain('duplicate-name');
  });

  it('asks for one later file, and for one way to name the earlier text', async () => {
    const folder = folderWith({ 'lamp.procedure.yaml': CHANGED, 'before.procedure.yaml': CLEAN });
    expect((await command(folder, 'review', '--before', 'before.procedure.yaml')).error).toBe('With --before, name one procedure: the later file.\n');
    expect((await command(folder, 'review', 'lamp.procedure.yaml', '--before', 'before.procedure.yaml', '--since', 'HEAD')).error).toBe('Name either --before or --since.\n');
    expect((await command(folder, 'review', 'lamp.procedure.yaml')).code).toBe(2);
  });
});

it('the page escapes what a writer wrote', async () => {
  const hostile = CHANGED.replace('title: Marker lamp dark', 'title: <img src=x onerror=alert(1)>');
  const folder = folderWith({ 'lamp.procedure.yaml': hostile, 'before.procedure.yaml': CLEAN });
  const { out } = await command(folder, 'review', 'lamp.procedure.yaml', '--before', 'before.procedure.yaml', '--format', 'html');
  expect(out).not.toContain('<img');
  expect(out).toContain('&lt;img');
});
