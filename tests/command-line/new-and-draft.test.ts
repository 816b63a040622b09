import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { command, folderWith } from './command.ts';

const SHOP =
  'shop: Brackwater depot\ninstruments:\n  multimeter:\n    title: Digital multimeter\n    category: CAT III 600 V\n    measures:\n      dc_voltage: {up_to: 600 V, resolution: 0.01 V, accuracy: 0.5 % + 2 counts}\n';

describe('new', () => {
  const ANSWERS = `1\nWork lamp stays dark\n\nA vehicle\n\nLamp\nLamp failed; No supply\n<\nLamp failed; No supply; Ground open\ndc_voltage\n\n>=22 V\nDoes the lamp light?\n`;

  test('asks, says what will not do, goes back, and writes a procedure without findings', async () => {
    const folder = folderWith({ 'shop.yaml': SHOP, 'answers.txt': ANSWERS });
    const { code, error, out } = await command(folder, 'new', '--answers', 'answers.txt');
    expect(error).toMatchSnapshot();
    expect(code).toBe(0);
    expect(out).toBe('');
    const text = readFileSync(join(folder, 'work_lamp_stays_dark.procedure.yaml'), 'utf8');
    expect(text).toContain('with: multimeter');
    expect(text).toContain('when: at least 22 V');
    expect((await command(folder, 'check', '--no-cache')).code).toBe(0);
    expect((await command(folder, 'format', '--check')).code).toBe(0);
  });

  test('never writes over a file, and prints where that is wanted', async () => {
    const folder = folderWith({
      'work_lamp_stays_dark.procedure.yaml': 'mine',
      'answers.txt': ANSWERS.replace('dc_voltage\n\n>=22 V\n', 'look\n'),
    });
    const { code, error } = await command(folder, 'new', '--answers', 'answers.txt');
    expect(error).toContain(
      'work_lamp_stays_dark.procedure.yaml is there already, and is left as it is. Give the procedure another name.',
    );
    expect(code).toBe(2);
    expect(readFileSync(join(folder, 'work_lamp_stays_dark.procedure.yaml'), 'utf8')).toBe('mine');
    expect((await command(folder, 'new', '--print', '--answers', 'answers.txt')).out).toMatch(
      /^procedure: work_lamp_stays_dark\n/,
    );
  });

  test('what cannot be done is refused with a reason', async () => {
    const folder = folderWith({ 'answers.txt': '1\n' });
    expect(await command(folder, 'new', '--answers', 'answers.txt')).toMatchObject({
      code: 2,
      error: expect.stringContaining('The answers have ended before the questions. Nothing was written.') as string,
    });
    expect(await command(folder, 'new', 'nowhere')).toMatchObject({ code: 2, error: 'There is no folder nowhere.\n' });
    expect(await command(folder, 'new', '--answers', 'no.txt')).toMatchObject({
      code: 2,
      error: 'no.txt could not be read. There is no such file or folder.\n',
    });
    expect(await command(folder, 'new')).toMatchObject({
      code: 2,
      error: expect.stringContaining('Questions need a terminal.') as string,
    });
  });
});

describe('draft', () => {
  const LIST =
    '1. Measure the battery voltage with the multimeter. If below 12.4 V, charge the battery.\n2. Clean the posts. Go to step 9.\n';

  test('is printed, or written; says how much is to be resolved', async () => {
    const folder = folderWith({ 'shop.yaml': SHOP, 'flat_battery.txt': LIST });
    const printed = await command(folder, 'draft', 'flat_battery.txt');
    expect(printed.out).toContain('title: Flat battery');
    expect(printed.out).toContain('with: multimeter');
    expect(printed.error).toMatch(
      /^2 steps, \d+ findings? to resolve\. Compare the draft with the document before anyone works by it\.\n$/,
    );
    const written = await command(folder, 'draft', 'flat_battery.txt', '-o', 'flat_battery.procedure.yaml');
    expect(written).toMatchObject({ code: 0, out: '', error: `Written: flat_battery.procedure.yaml\n${printed.error}` });
    expect(readFileSync(join(folder, 'flat_battery.procedure.yaml'), 'utf8')).toBe(printed.out);
    expect((await command(folder, 'draft', 'flat_battery.txt', '-o', 'flat_battery.procedure.yaml')).error).toContain(
      'is there already',
    );
  });

  test('a document of an old system is read', async () => {
    const folder = folderWith({});
    writeFileSync(join(folder, 'alt.txt'), Buffer.from('1. Spannung pr\xfcfen.\n', 'latin1'));
    expect((await command(folder, 'draft', 'alt.txt')).out).toContain('Spannung prüfen.');
  });

  test('what cannot be done is refused with a reason', async () => {
    const folder = folderWith({ 'a.txt': LIST, 'empty.txt': '\n' });
    expect(await command(folder, 'draft', 'a.txt', '-o', 'a.yaml')).toMatchObject({
      code: 2,
      error: 'The output file must end in .procedure.yaml; found a.yaml.\n',
    });
    expect(await command(folder, 'draft', 'empty.txt')).toMatchObject({
      code: 2,
      error: 'empty.txt is empty. A text with a list of steps is expected.\n',
    });
    expect((await command(folder, 'draft', 'no.txt')).error).toContain('no.txt could not be read. There is no such file');
  });
});
