import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, test } from 'vitest';
import { findBrowser, printPdf } from '../../server/src/edge/print-pdf.ts';
import { findChromium } from '../browser/chromium.ts';
import { CLEAN, command, folderWith } from './command.ts';

const FILES = {
  'lamp.procedure.yaml': CLEAN.replace('complaint:', 'applies_to: {equipment: trailer}\ncomplaint:'),
  'assets.yaml': 'assets:\n  TR-01: {equipment: trailer}\n  GR-02: {equipment: gritter}\n',
};

describe('flow', () => {
  test('is printed, or written to a file', async () => {
    const folder = folderWith(FILES);
    const printed = await command(folder, 'flow', 'lamp.procedure.yaml');
    expect(printed.out).toMatch(/^<svg /);
    const written = await command(folder, 'flow', 'lamp.procedure.yaml', '-o', 'lamp.svg');
    expect(written).toEqual({ code: 0, out: '', error: 'Written: lamp.svg\n' });
    expect(readFileSync(join(folder, 'lamp.svg'), 'utf8')).toBe(printed.out);
  });
});

describe('checklist', () => {
  test('is printed as Markdown, or written as HTML or Markdown', async () => {
    const folder = folderWith(FILES);
    const printed = await command(folder, 'checklist', 'lamp.procedure.yaml', '--asset', 'TR-01');
    expect(printed.out).toMatch(/^# Marker lamp dark\n/);
    expect(printed.out).toContain('Asset: TR-01');
    expect(await command(folder, 'checklist', 'lamp.procedure.yaml', '-o', 'lamp.html')).toMatchObject({ code: 0 });
    expect(await command(folder, 'checklist', 'lamp.procedure.yaml', '-a', 'TR-01', '-o', 'lamp.md')).toMatchObject({ code: 0 });
    expect(readFileSync(join(folder, 'lamp.html'), 'utf8')).toMatch(/^<!doctype html>/);
    expect(readFileSync(join(folder, 'lamp.md'), 'utf8')).toBe(printed.out);
  });

  test('as PDF, through the browser that is there', async () => {
    const folder = folderWith(FILES);
    process.env['FAULTWRIGHT_CHROMIUM'] = (await findChromium()).path;
    expect(await command(folder, 'checklist', 'lamp.procedure.yaml', '-o', 'lamp.pdf')).toEqual({ code: 0, out: '', error: 'Written: lamp.pdf\n' });
    const pdf = readFileSync(join(folder, 'lamp.pdf')).toString('latin1');
    expect(pdf).toMatch(/^%PDF-1\./);
    expect(pdf.match(/\/Type\s*\/Page\b/g)?.length).toBeGreaterThanOrEqual(1);
    // A4 in points, as @page says.
    expect(pdf).toMatch(/\/MediaBox\s*\[0 0 59[45](\.\d+)? 84[12]/);
    // 8.5 in × 11 in.
    expect(await command(folder, 'checklist', 'lamp.procedure.yaml', '--paper', 'letter', '-o', 'letter.pdf')).toMatchObject({ code: 0 });
    expect(readFileSync(join(folder, 'letter.pdf')).toString('latin1')).toMatch(/\/MediaBox\s*\[0 0 612 792\]/);
  });

  test('a size of paper is for what is printed', async () => {
    const folder = folderWith(FILES);
    for (const words of [['-o', 'lamp.md'], ['--page', '-o', 'lamp.html'], []]) {
      expect(await command(folder, 'checklist', 'lamp.procedure.yaml', '--paper', 'letter', ...words)).toEqual({ code: 2, out: '', error: expect.stringMatching(/^A paper size is for sheets that are printed/) as string });
    }
    expect((await command(folder, 'checklist', 'lamp.procedure.yaml', '--paper', 'a3', '-o', 'lamp.html')).error).toMatch(/Allowed choices are a4, letter/);
    await command(folder, 'checklist', 'lamp.procedure.yaml', '--paper', 'letter', '-o', 'lamp.html');
    expect(readFileSync(join(folder, 'lamp.html'), 'utf8')).toContain('@page { size: letter;');
  });

  test('without a browser, a PDF is refused with what to do', async () => {
    const folder = folderWith(FILES);
    const path = process.env['PATH'];
    process.env['PATH'] = folder;
    try {
      expect(findBrowser({ PATH: folder })).toBeUndefined();
      const { code, error } = await command(folder, 'checklist', 'lamp.procedure.yaml', '-o', 'lamp.pdf');
      expect(error).toMatch(/none was found.*apt-get install chromium.*or write \.html/s);
      expect(code).toBe(2);
      expect(existsSync(join(folder, 'lamp.pdf'))).toBe(false);
    } finally {
      process.env['PATH'] = path;
    }
  });

  test('a browser that does not start, or ends, is named', async () => {
    await expect(printPdf('<p>x</p>', '/nowhere/chromium')).rejects.toThrow(/\/nowhere\/chromium could not print .* it did not start/);
    await expect(printPdf('<p>x</p>', process.execPath)).rejects.toThrow(/it ended early|did not start/);
  });
});

describe('what cannot be done is refused with a reason', () => {
  test.each([
    [['flow', 'nowhere.procedure.yaml'], /There is no such file/],
    [['flow', '.'], /is a folder\. Name one procedure/],
    [['flow', 'assets.yaml'], /is no procedure/],
    [['flow', 'lamp.procedure.yaml', '-o', 'lamp.png'], /must end in \.svg; found lamp\.png/],
    [['flow', 'lamp.procedure.yaml', '-o', 'no/such/lamp.svg'], /could not be written\. The folder does not exist/],
    [['checklist', 'lamp.procedure.yaml', '-o', 'lamp.docx'], /must end in \.html or \.htm or \.md or \.pdf/],
    [['checklist', 'lamp.procedure.yaml', '--asset', 'TR-1'], /no asset TR-1 .* Did you mean TR-01\?/],
    [['checklist', 'lamp.procedure.yaml', '--asset', 'GR-02'], /does not apply to GR-02\. It applies to: TR-01/],
    [['run', 'lamp.procedure.yaml', '--asset', 'nobody'], /no asset nobody/],
  ])('%j', async (words, reason) => {
    const { code, error, out } = await command(folderWith(FILES), ...words);
    expect(error).toMatch(reason);
    expect(out).toBe('');
    expect(code).toBe(2);
  });
});

const before = process.env['FAULTWRIGHT_CHROMIUM'];
afterEach(() => {
  if (before === undefined) delete process.env['FAULTWRIGHT_CHROMIUM'];
  else process.env['FAULTWRIGHT_CHROMIUM'] = before;
});
