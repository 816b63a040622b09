/** `faultwright records show`: one record as a person reads it, printed or written as a page or a PDF. */
import { writeFile } from 'node:fs/promises';
import { extname, resolve } from 'node:path';
import type { PaperSize } from '../render/paper-size.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import { CannotRun, type CommandEnvironment } from './command-environment.ts';
import { reasonOf } from './read-text-file.ts';
import { recordsAt, type CheckedRecord } from './records-command.ts';

export interface ShowOptions {
  readonly output?: string;
  /** Of the page or the PDF; A4 without it. */
  readonly paper?: PaperSize;
}

const ENDINGS = ['.html', '.htm', '.txt', '.pdf'];

/** `which`: a record's file, or the end of a run's id. Exit code 1 where the record is not whole. */
export async function showRecord(which: string, { output, paper }: ShowOptions, environment: CommandEnvironment): Promise<number> {
  const ending = output === undefined ? '.txt' : extname(output).toLowerCase();
  if (!ENDINGS.includes(ending)) throw new CannotRun(`The output file must end in .html, .pdf or .txt; found ${harmlessLine(output ?? '')}.`);
  if (ending === '.txt' && paper !== undefined) throw new CannotRun('A paper size is for what is printed: write an .html or a .pdf.');
  const { record, wellBuilt, problems } = await found(which, environment.cwd);
  if (record === undefined || !wellBuilt) throw new CannotRun(`${harmlessLine(which)} is no record that can be read. ${harmlessLine(problems[0]?.message ?? '')}`);
  if (ending === '.txt') {
    const { renderRecordText } = await import('../render/record-text.ts');
    await deliver(renderRecordText(record, problems, Math.min(environment.columns ?? 100, 120)), output, environment);
  } else {
    const { renderRecordHtml } = await import('../render/record-html.ts');
    const html = renderRecordHtml(record, problems, paper);
    await deliver(ending === '.pdf' ? await printed(html) : html, output, environment);
  }
  return problems.length > 0 ? 1 : 0;
}

async function found(which: string, cwd: string): Promise<CheckedRecord> {
  if (/\.json$|[/\\]/.test(which)) {
    const [one, ...others] = (await recordsAt([which], cwd)).records;
    if (one === undefined || others.length > 0) throw new CannotRun(`${harmlessLine(which)} is not one record. Name a record's file.`);
    return one;
  }
  const named = (await recordsAt([], cwd)).records.filter((one) => one.record?.run.endsWith(which));
  const [one, ...others] = named;
  if (one === undefined) throw new CannotRun(`No run here ends in ${harmlessLine(which)}. See: faultwright records list`);
  if (others.length > 0) throw new CannotRun(`${named.length} runs here end in ${harmlessLine(which)}. Name more of it, or the record's file.`);
  return one;
}

async function printed(html: string): Promise<Uint8Array> {
  const { findBrowser, printPdf } = await import('./print-pdf.ts');
  const browser = findBrowser();
  if (browser === undefined) {
    throw new CannotRun('A PDF is printed through Chromium, and none was found on this machine. Name one in FAULTWRIGHT_CHROMIUM, or write .html and print it from a browser.');
  }
  return printPdf(html, browser).catch((error: Error) => {
    throw new CannotRun(error.message.replace('the checklist', 'the record'));
  });
}

async function deliver(content: string | Uint8Array, output: string | undefined, environment: CommandEnvironment): Promise<void> {
  if (output === undefined) return environment.out(String(content));
  try {
    await writeFile(resolve(environment.cwd, output), content);
  } catch (error) {
    throw new CannotRun(`${harmlessLine(output)} could not be written. ${reasonOf(error)}`);
  }
  return environment.error(`Written: ${harmlessLine(output)}\n`);
}
