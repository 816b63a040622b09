/** `faultwright check --fix`, and what `check` says of files around the one that is named. */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { commandHelp } from '../../server/src/edge/command-line.ts';
import { renderEditsDiff } from '../../server/src/render/edits-diff.ts';
import { CLEAN, command, folderWith } from './command.ts';

/** A slip of layout, and a text that is cut off: both are put right without altering what is meant. */
const SLIPPED = CLEAN.replace('    ask: Is the lamp lit with', '   ask: Is the lamp lit with').replace('remedy: Replace the socket.', 'remedy: Replace the socket');
const WITH_ERROR = SLIPPED.replace('go: swap', 'go: swop');

describe('check --fix', () => {
  test('writes what does not alter the meaning, and then checks', async () => {
    const folder = folderWith({ 'lamp.procedure.yaml': SLIPPED });
    expect((await command(folder, 'check')).code).toBe(1);
    const { code, out, error } = await command(folder, 'check', '--fix');
    expect(error).toBe('lamp.procedure.yaml: Fixed, at 1 place\n');
    expect(out).toContain('No findings');
    expect(code).toBe(0);
    expect(readFileSync(join(folder, 'lamp.procedure.yaml'), 'utf8')).toContain('    ask: Is the lamp lit with');
    expect((await command(folder, 'check', '--fix')).error).toBe('There is nothing to fix that does not alter what a file means.\n');
  });

  test('leaves alone what would alter it, and ends as the check after fixing does', async () => {
    const folder = folderWith({ 'lamp.procedure.yaml': WITH_ERROR });
    const { code, out } = await command(folder, 'check', '--fix');
    expect(out).toContain("No step is called 'swop'.");
    expect(out).not.toContain('yaml-syntax');
    expect(code).toBe(1);
    expect(readFileSync(join(folder, 'lamp.procedure.yaml'), 'utf8')).toContain('go: swop');
  });

  test('--dry-run writes nothing and prints a diff that `patch` takes', async () => {
    for (const [text, ends] of [[SLIPPED, 0], [WITH_ERROR, 1]] as const) {
      const folder = folderWith({ 'lamp.procedure.yaml': text, 'deep/other.procedure.yaml': SLIPPED.replace('procedure: lamp', 'procedure: other') });
      const { code, out, error } = await command(folder, 'check', '--fix', '--dry-run');
      expect(readFileSync(join(folder, 'lamp.procedure.yaml'), 'utf8')).toBe(text);
      expect(out).toMatch(/^--- a\/deep\/other\.procedure\.yaml\n\+\+\+ b\/deep\/other\.procedure\.yaml\n@@ -\d+,7 \+\d+,7 @@\n/u);
      expect(out).toContain('\n-   ask: Is the lamp lit with a bulb that is known to be good?\n+    ask: Is the lamp lit with a bulb that is known to be good?\n');
      expect(error).toContain('lamp.procedure.yaml: Would be fixed, at 1 place\n');
      expect(code).toBe(ends);
      execFileSync('git', ['init', '--quiet'], { cwd: folder });
      execFileSync('git', ['apply', '-'], { cwd: folder, input: out });
      const applied = readFileSync(join(folder, 'lamp.procedure.yaml'), 'utf8');
      writeFileSync(join(folder, 'lamp.procedure.yaml'), text);
      await command(folder, 'check', '--fix');
      expect(readFileSync(join(folder, 'lamp.procedure.yaml'), 'utf8')).toBe(applied);
    }
  });

  test('--dry-run alone is refused', async () => {
    expect(await command(folderWith({ 'lamp.procedure.yaml': CLEAN }), 'check', '--dry-run')).toEqual({ code: 2, out: '', error: '--dry-run belongs to --fix: faultwright check --fix --dry-run\n' });
  });

  test('the help of every command is what the page of the commands is made of', () => {
    const help = commandHelp();
    expect(help.find(({ name }) => name === 'check')?.help).toMatch(/--fix .*\n[\s\S]*--dry-run/u);
    expect(help.length).toBeGreaterThan(10);
  });
});

describe('a diff of edits', () => {
  const text = Array.from({ length: 20 }, (_, index) => `line ${index + 1}`).join('\n');
  const at = (line: number): number => text.indexOf(`line ${line}`);

  test.each([
    ['at the very start and the very end, without a line break there', [{ span: { start: 0, end: 4 }, newText: 'Line' }, { span: { start: text.length, end: text.length }, newText: '!' }]],
    ['a line that goes and one that comes', [{ span: { start: at(5), end: at(6) }, newText: '' }, { span: { start: at(14), end: at(14) }, newText: 'new\n' }]],
    ['two lines joined, two edits in one line', [{ span: { start: at(8) - 1, end: at(8) }, newText: ' ' }, { span: { start: at(10), end: at(10) + 1 }, newText: 'L' }, { span: { start: at(10) + 5, end: at(10) + 7 }, newText: 'ten' }]],
  ])('%s', (_, edits) => {
    const after = [...edits].reverse().reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), text);
    const folder = folderWith({ 'x.txt': text });
    execFileSync('git', ['init', '--quiet'], { cwd: folder });
    execFileSync('git', ['apply', '-'], { cwd: folder, input: renderEditsDiff('x.txt', text, edits) });
    expect(readFileSync(join(folder, 'x.txt'), 'utf8')).toBe(after);
  });
});

describe('a procedure that is checked alone', () => {
  const files = { 'lamp.procedure.yaml': CLEAN, 'shop.yaml': 'shop: Depot\nhazard:\n  x: {title: X}\n', 'assets.yaml': 'assets:\n  L-1: {a: 1}\n' };

  test('comes with the errors of the shop and assets files that it uses', async () => {
    const { code, out } = await command(folderWith(files), 'check', 'lamp.procedure.yaml');
    expect(out).toContain("The shop file has a key 'hazard', which a shop file does not have.");
    expect(out).toContain('1 file checked');
    expect(code).toBe(1);
    const { 'shop.yaml': shop, ...rest } = files;
    expect((await command(folderWith({ ...rest, 'shop.yml': shop }), 'check', 'lamp.procedure.yaml')).code).toBe(1);
    const above = folderWith({ ...rest, 'shop.yaml': 'shop: Depot\n', 'assets.yaml': 'assets: [\n' });
    expect((await command(above, 'check', 'lamp.procedure.yaml')).out).toContain('assets.yaml');
  });

  test('not with theirs that are no errors, nor with those of files that it does not use', async () => {
    const folder = folderWith({ 'lamp.procedure.yaml': CLEAN, 'shop.yaml': 'shop: Depot\n', 'other/shop.yaml': files['shop.yaml'] });
    expect(await command(folder, 'check', 'lamp.procedure.yaml')).toMatchObject({ code: 0 });
  });

  test('both of shop.yaml and shop.yml: said, whichever is asked for', async () => {
    const folder = folderWith({ 'lamp.procedure.yaml': CLEAN, 'shop.yaml': 'shop: Depot\n', 'shop.yml': 'shop: Depot\n' });
    for (const asked of [['.'], ['lamp.procedure.yaml']]) expect((await command(folder, 'check', ...asked)).out).toContain('shop.yaml stands beside it and is used; nothing in this file is.');
  });
});
