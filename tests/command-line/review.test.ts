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

const UNLIKE = `procedure: hose
title: Hose of the washer leaks
complaint: Water drips from the coupling.
steps:
  - step: look
    ask: Does it leak?
    results:
      - {when: yes, refer: Fit a hose.}
      - {when: no, passes: true}
`;

const WAITS = `procedure: hoist
title: Hoist sinks
status: draft
steps:
  - step: rest
    wait: 10 min
    do: [Leave the hoist alone.]
  - step: look
    ask: Has it sunk?
    results:
      - {when: yes, refer: Ask the workshop.}
      - {when: no, passes: true}
`;

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
    git(folder, 'rm', 'old.procedure.yaml');
    writeFileSync(join(folder, 'new.procedure.yaml'), UNLIKE);
    const { out } = await command(folder, 'review', '--format', 'json');
    const { files, since } = JSON.parse(out) as { since: string; files: { before?: { file: string }; after?: { file: string } }[] };
    expect(since).toBe('revision HEAD');
    expect(files.map(({ before, after }) => [before?.file, after?.file])).toEqual([[undefined, 'new.procedure.yaml'], ['old.procedure.yaml', undefined]]);
  });

  it('compares a file that was renamed with what it was: by the name of the procedure', async () => {
    const folder = repository({ 'a/hoist.procedure.yaml': WAITS, 'lamp.procedure.yaml': CLEAN });
    git(folder, 'mv', 'a/hoist.procedure.yaml', 'yard.procedure.yaml');
    writeFileSync(join(folder, 'yard.procedure.yaml'), WAITS.replace('wait: 10 min', 'wait: 1 min'));
    for (const asked of [[], ['yard.procedure.yaml']]) {
      const { out, code } = await command(folder, 'review', ...asked);
      expect(out).toContain('renamed: the file was a/hoist.procedure.yaml and is now');
      expect(out).toContain("Less safe than before\n  ! 'rest' waits only 1 min; it was 10 min.\n    Before  line 6: 10 min\n    Now     line 6: 1 min\n");
      expect(out).not.toMatch(/: new,|removed; it was/u);
      expect(code).toBe(1);
    }
  });

  it('compares a file that was renamed with what it was: by its content, where the procedure has another name too', async () => {
    const folder = repository({ 'hoist.procedure.yaml': WAITS, 'lamp.procedure.yaml': CLEAN });
    git(folder, 'mv', 'hoist.procedure.yaml', 'yard.procedure.yaml');
    writeFileSync(join(folder, 'yard.procedure.yaml'), WAITS.replace('wait: 10 min', 'wait: 1 min').replace('procedure: hoist', 'procedure: yard'));
    const { out, code } = await command(folder, 'review');
    expect(out).toContain('renamed: the file was hoist.procedure.yaml and is now\nyard.procedure.yaml');
    expect(out).toContain("'rest' waits only 1 min; it was 10 min.");
    expect(code).toBe(1);
  });

  it('says where a caution of the shop has become weaker, at the shop file and at each procedure that gives it', async () => {
    const shop = 'shop: Depot\ncautions:\n  lift:\n    signal: danger\n    hazard: The lift moves.\n    consequence: It will crush you.\n    avoid: Keep out.\n';
    const gives = WAITS.replace('    wait: 10 min\n', '    cautions: [lift]\n    wait: 10 min\n');
    const folder = repository({ 'shop.yaml': shop, 'hoist.procedure.yaml': gives, 'lamp.procedure.yaml': CLEAN });
    writeFileSync(join(folder, 'shop.yaml'), shop.replace('danger', 'caution').replace('It will crush you.', 'It could hurt.'));
    const { out, code } = await command(folder, 'review', 'hoist.procedure.yaml');
    expect(out).toContain("! The signal word of the caution lift is now 'caution'; it was 'danger'.\n    Before  shop.yaml, line 4: danger\n    Now     shop.yaml, line 4: caution\n");
    expect(out).toContain('Before  shop.yaml, line 6: It will crush you.');
    expect(code).toBe(1);
    const whole = await command(folder, 'review');
    expect(whole.out).toContain("! The signal word of the caution lift is now 'caution'; it was 'danger'.\n    Before  line 4: danger\n");
    expect(whole.out).not.toContain('Marker lamp dark');
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
