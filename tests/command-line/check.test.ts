import { chmodSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { BROKEN, CLEAN, command, folderWith } from './command.ts';

interface Found {
  readonly findings: readonly { file: string; check: string; severity: string; line: number; message: string }[];
  readonly files: number;
}

async function checked(cwd: string, ...words: string[]): Promise<Found & { code: number | undefined }> {
  const { code, out, error } = await command(cwd, 'check', ...words, '--format', 'json');
  expect(error).toBe('');
  return { ...(JSON.parse(out) as Found), code };
}

describe('exit codes', () => {
  test('0 where nothing is wrong', async () => {
    const { code, out } = await command(folderWith({ 'lamp.procedure.yaml': CLEAN }), 'check');
    expect(out).toMatch(/^No findings in 1 file checked in/);
    expect(code).toBe(0);
  });

  test('1 where there are errors', async () => {
    const { code, out } = await command(folderWith({ 'lamp.procedure.yaml': BROKEN }), 'check');
    expect(out).toContain('swop');
    expect(out).toContain('lamp.procedure.yaml:');
    expect(code).toBe(1);
  });

  test('0 where there are only warnings and hints', async () => {
    const { code, findings } = await checked(folderWith({ 'lamp.procedure.yaml': CLEAN.replace('Replace the bulb.', 'Replace the bulb as necessary.').replace('Is the lamp lit?', 'Is the lamp lit properly?') }));
    expect(findings.filter(({ severity }) => severity === 'error')).toEqual([]);
    expect(code).toBe(0);
  });

  test.each([
    [['check', 'nowhere'], /nowhere: There is no such file or folder/],
    [['check', 'notes.txt'], /notes\.txt: .*Expected is NAME\.procedure\.yaml/],
    [['check', 'empty'], /empty: There are no procedures in it/],
    [['check', '--format', 'yaml'], /Allowed choices are text, json, sarif, junit/],
    [['chek'], /Did you mean check/],
    [['check', '--fromat', 'json'], /Did you mean --format/],
    [['flow'], /missing required argument/],
    [['lsp'], /--stdio/],
  ])('2 with a reason: %j', async (words, reason) => {
    const { code, error, out } = await command(folderWith({ 'notes.txt': 'x', 'empty/readme.txt': 'x' }), ...words);
    expect(error).toMatch(reason);
    expect(out).toBe('');
    expect(code).toBe(2);
  });

  test('help and version are no errors, and without words there is help', async () => {
    for (const words of [['--help'], ['help', 'check'], ['check', '--help'], ['--version'], []]) {
      const { code, out, error } = await command('/', ...words);
      expect(out.length).toBeGreaterThan(3);
      expect(error).toBe('');
      expect(code).toBe(0);
    }
  });
});

describe('which files', () => {
  test('a folder is searched at any depth; .gitignore, node_modules and .git are left out', async () => {
    const folder = folderWith({
      '.git/x.procedure.yaml': BROKEN,
      '.gitignore': 'built/\n*.draft.procedure.yaml\n!keep.draft.procedure.yaml\n',
      'a.procedure.yaml': CLEAN,
      'deep/er/b.procedure.yaml': CLEAN.replace('procedure: lamp', 'procedure: lamp_b'),
      'deep/.gitignore': 'c.procedure.yaml\n',
      'deep/c.procedure.yaml': BROKEN,
      'built/d.procedure.yaml': BROKEN,
      'e.draft.procedure.yaml': BROKEN,
      'keep.draft.procedure.yaml': CLEAN.replace('procedure: lamp', 'procedure: lamp_k'),
      'node_modules/f.procedure.yaml': BROKEN,
      'other.yaml': 'a: [',
    });
    expect(await checked(folder)).toMatchObject({ code: 0, files: 3, findings: [] });
    // From a folder inside, the rules above still hold.
    expect(await checked(join(folder, 'deep'))).toMatchObject({ code: 0, files: 1 });
    // A file that is named is checked, whatever is ignored.
    expect(await checked(folder, 'built/d.procedure.yaml')).toMatchObject({ code: 1, files: 1 });
  });

  test('a file that is named twice is checked once, and paths are shown from the working directory', async () => {
    const folder = folderWith({ 'sub/lamp.procedure.yaml': BROKEN });
    const { findings, files } = await checked(folder, 'sub', './sub/lamp.procedure.yaml');
    expect(files).toBe(1);
    expect(new Set(findings.map(({ file }) => file))).toEqual(new Set(['sub/lamp.procedure.yaml']));
    const outside = await checked(join(folder, 'sub'), join(folder, 'sub', 'lamp.procedure.yaml'));
    expect(outside.findings[0]?.file).toBe('lamp.procedure.yaml');
  });

  test('shop files above a single file are read, the nearest over those above it', async () => {
    const needs = CLEAN.replace('  - step: swap\n', '  - step: swap\n    needs: {battery_lamp: on}\n');
    const state = 'states:\n  battery_lamp: {values: [on, off], at_start: on}\n';
    const alone = await checked(folderWith({ 'lamp.procedure.yaml': needs }), 'lamp.procedure.yaml');
    expect(alone.findings.map(({ check }) => check)).toContain('unknown-name');
    const folder = folderWith({ 'shop.yaml': `shop: Brackwater depot\n${state}`, 'trailers/shop.yaml': 'shop: Trailer bay\n', 'trailers/lamp.procedure.yaml': needs });
    expect((await checked(folder, 'trailers/lamp.procedure.yaml')).findings.map(({ check }) => check)).not.toContain('unknown-name');
  });

  test('a procedure that is run from a single file is found in its shop, and not reported on', async () => {
    const caller = CLEAN.replace('procedure: lamp', 'procedure: caller').replace('ask: Is the lamp lit with a bulb that is known to be good?', 'run: lamp')
      .replace('{when: yes, finds: bulb}', '{when: passed, finds: bulb}').replace('{when: no, finds: socket}', '{when: otherwise, finds: socket}');
    const folder = folderWith({ 'shop.yaml': 'shop: Brackwater depot\n', 'lamps/lamp.procedure.yaml': BROKEN, 'caller.procedure.yaml': caller });
    const { findings, files } = await checked(folder, 'caller.procedure.yaml');
    expect(files).toBe(1);
    expect(findings.filter(({ message }) => /no procedure|nothing is called/i.test(message))).toEqual([]);
    expect(findings.every(({ file }) => file === 'caller.procedure.yaml')).toBe(true);
    const without = await checked(folderWith({ 'caller.procedure.yaml': caller }), 'caller.procedure.yaml');
    expect(without.findings.map(({ check }) => check)).toContain('unknown-name');
  });

  test('links that lead in a circle do not trap the search', async () => {
    const folder = folderWith({ 'a/lamp.procedure.yaml': CLEAN });
    symlinkSync(folder, join(folder, 'a', 'again'));
    symlinkSync(join(folder, 'self'), join(folder, 'self'));
    expect(await checked(folder)).toMatchObject({ code: 0, files: 1 });
    const { code, error } = await command(folder, 'check', 'self');
    expect(error).toMatch(/link that leads back to itself/);
    expect(code).toBe(2);
  });
});

describe('what cannot be read is said, and never passes for clean', () => {
  test.each([
    ['is not UTF-8', new Uint8Array([0x70, 0x3a, 0x20, 0xff, 0xfe, 0x0a]), /not UTF-8/],
    ['is UTF-16', new Uint8Array([0xff, 0xfe, 0x70, 0x00]), /UTF-16/],
    ['is huge', new Uint8Array(9 * 1024 * 1024).fill(0x23), /9\.0 MB; the limit is 8\.0 MB/],
  ])('a file that %s, beside one that can be checked', async (_, content, says) => {
    const { findings, code, files } = await checked(folderWith({ 'bad.procedure.yaml': content, 'lamp.procedure.yaml': CLEAN }));
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({ file: 'bad.procedure.yaml', check: 'unreadable-file', severity: 'error', line: 1 });
    expect(findings[0]?.message).toMatch(says);
    expect(files).toBe(1);
    expect(code).toBe(1);
  });

  test('alone, it is no check at all', async () => {
    const { code, error } = await command(folderWith({ 'bad.procedure.yaml': new Uint8Array([0xff]) }), 'check');
    expect(error).toMatch(/^Nothing could be checked\.\n {2}bad\.procedure\.yaml: The file is not UTF-8/);
    expect(code).toBe(2);
  });

  test('a file or folder without permission', async () => {
    const folder = folderWith({ 'closed.procedure.yaml': CLEAN, 'shut/x.procedure.yaml': CLEAN, 'lamp.procedure.yaml': CLEAN });
    chmodSync(folder, 0o755);
    chmodSync(join(folder, 'closed.procedure.yaml'), 0);
    chmodSync(join(folder, 'shut'), 0);
    // Root may read everything: for once, be nobody.
    const root = process.getuid?.() === 0;
    if (root) process.seteuid?.('nobody');
    const { findings, code } = await checked(folder).finally(() => {
      if (root) process.seteuid?.(0);
      chmodSync(join(folder, 'shut'), 0o755);
    });
    expect(findings.map(({ file, message }) => [file, message])).toEqual([
      ['closed.procedure.yaml', 'It cannot be read: permission is denied.'],
      ['shut', 'It cannot be read: permission is denied.'],
    ]);
    expect(code).toBe(1);
  });

  test('a byte order mark is no trouble', async () => {
    expect(await checked(folderWith({ 'lamp.procedure.yaml': `\ufeff${CLEAN}` }))).toMatchObject({ code: 0, findings: [] });
  });

  test('an empty file gets a finding', async () => {
    const { findings, code } = await checked(folderWith({ 'lamp.procedure.yaml': '' }));
    expect(findings.length).toBeGreaterThan(0);
    expect(code).toBe(1);
  });
});

describe('the other formats', () => {
  test('SARIF names the rules of the checks', async () => {
    const { out, code } = await command(folderWith({ 'lamp.procedure.yaml': BROKEN }), 'check', '--format', 'sarif');
    const log = JSON.parse(out) as { runs: { tool: { driver: { rules: { id: string; shortDescription?: { text: string } }[] } }; results: { ruleId: string }[] }[] };
    const rules = log.runs[0]?.tool.driver.rules ?? [];
    expect(rules.length).toBeGreaterThan(20);
    expect(rules.find(({ id }) => id === 'dead-end')?.shortDescription?.text).toBeTruthy();
    expect(log.runs[0]?.results.length).toBeGreaterThan(0);
    expect(code).toBe(1);
  });

  test('JUnit has a suite for each file', async () => {
    const { out } = await command(folderWith({ 'lamp.procedure.yaml': CLEAN, 'shop.yaml': 'shop: Brackwater depot\n' }), 'check', '--format', 'junit');
    expect(out.match(/<testsuite /g)).toHaveLength(2);
    expect(out).toContain('failures="0"');
  });
});
