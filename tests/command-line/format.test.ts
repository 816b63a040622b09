import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { CLEAN, command, folderWith } from './command.ts';

const UNTIDY = `title: Lamp dark
procedure: lamp   # its name
steps:
- time: 1minute
  step: look
  do: Look.
`;
const TIDY = `procedure: lamp   # its name
title: Lamp dark
steps:
  - step: look
    do: Look.
    time: 1 min
`;

describe('format', () => {
  test('writes what is not formatted and names it', async () => {
    const folder = folderWith({ 'a.procedure.yaml': UNTIDY, 'b/lamp.procedure.yaml': CLEAN });
    expect(await command(folder, 'format')).toEqual({
      code: 0,
      out: 'Formatted: a.procedure.yaml\n',
      error: '2 files, 1 formatted.\n',
    });
    expect(readFileSync(join(folder, 'a.procedure.yaml'), 'utf8')).toBe(TIDY);
    expect(readFileSync(join(folder, 'b/lamp.procedure.yaml'), 'utf8')).toBe(CLEAN);
    expect(await command(folder, 'format', 'a.procedure.yaml')).toEqual({
      code: 0,
      out: '',
      error: '1 file, nothing to change.\n',
    });
  });

  test('with --check writes nothing and ends with 1', async () => {
    const folder = folderWith({ 'a.procedure.yaml': UNTIDY });
    const outcome = await command(folder, 'format', '--check', 'a.procedure.yaml');
    expect(outcome).toEqual({
      code: 1,
      out: 'Not formatted: a.procedure.yaml\n',
      error: '1 file, 1 not formatted. Run: faultwright format\n',
    });
    expect(readFileSync(join(folder, 'a.procedure.yaml'), 'utf8')).toBe(UNTIDY);
  });

  test('a byte order mark and line ends stay', async () => {
    const folder = folderWith({});
    writeFileSync(join(folder, 'a.procedure.yaml'), `\ufeff${UNTIDY.replaceAll('\n', '\r\n')}`);
    expect((await command(folder, 'format')).code).toBe(0);
    expect(readFileSync(join(folder, 'a.procedure.yaml'), 'utf8')).toBe(`\ufeff${TIDY.replaceAll('\n', '\r\n')}`);
  });

  test('what cannot be read is left as it is, named, and ends with 2', async () => {
    const broken = `${UNTIDY}  text: "open\n`;
    const folder = folderWith({ 'a.procedure.yaml': broken, 'b.procedure.yaml': UNTIDY });
    const { code, out, error } = await command(folder, 'format');
    expect(code).toBe(2);
    expect(out).toBe('Formatted: b.procedure.yaml\n');
    expect(error).toMatch(
      /^a\.procedure\.yaml: Left as it is\. It cannot be read as YAML in every place\. Put that right first\.$/m,
    );
    expect(readFileSync(join(folder, 'a.procedure.yaml'), 'utf8')).toBe(broken);
    expect((await command(folder, 'format', 'nowhere.procedure.yaml')).error).toMatch(
      /no such file.*\n.*Nothing could be formatted/s,
    );
  });
});
