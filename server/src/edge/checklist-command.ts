/** What `faultwright checklist` writes: sheets to print, or the page that a technician runs on a tablet without a network. */
import type { AssetSheet, ChecklistDocument } from '../run/checklist-document.ts';
import type { PaperSize } from '../render/paper-size.ts';
import { checklistOf } from './checklist-of.ts';
import { CannotRun } from './command-environment.ts';
import type { CommandEnvironment } from './command-environment.ts';
import type { ReadProcedure } from './commands.ts';
import { readFigures } from './figure-files.ts';

export interface ChecklistOptions {
  readonly asset?: string;
  readonly output?: string;
  /** The page to run, in place of sheets to print. */
  readonly page?: boolean;
  /** Where the page version will be found: the code on every sheet leads there. */
  readonly address?: string;
  readonly language?: 'en' | 'de';
  /** Of printed sheets; A4 without it. */
  readonly paper?: PaperSize;
}

export type ChecklistEnding = '.html' | '.htm' | '.md' | '.pdf';

/** The file's content. Throws CannotRun where it cannot be made. */
export async function checklistContent(
  read: ReadProcedure, options: ChecklistOptions, ending: ChecklistEnding, environment: CommandEnvironment,
): Promise<string | Uint8Array> {
  const { asset, page = false, language, paper } = options;
  if (paper !== undefined && (page || ending === '.md')) throw new CannotRun('A paper size is for sheets that are printed: write an .html or a .pdf, without --page.');
  const address = options.address === undefined ? undefined : checkedAddress(options.address);
  const { workspace } = read.files;
  const document = checklistOf(workspace, read.analysis, asset);
  if (ending === '.md') {
    const { renderChecklistMarkdown } = await import('../render/checklist-markdown.ts');
    return renderChecklistMarkdown(document, { address, language });
  }
  const { figures, missing } = await readFigures(document, read.analysis.file, workspace);
  for (const line of missing) environment.error(`${line}\n`);
  if (page) {
    const { checklistPageHtml } = await import('../render/checklist-page.ts');
    const { checklistPageBundle } = await import('./page-bundle.ts');
    const { script, styles } = await checklistPageBundle();
    const assets = document.asset === undefined ? assetsOf(read, document) : undefined;
    return checklistPageHtml(document, script, styles, { assets, language, figures: Object.keys(figures).length > 0 ? figures : undefined });
  }
  const { renderChecklistHtml } = await import('../render/checklist-html.ts');
  const html = renderChecklistHtml(document, { address, language, figures, paper });
  return ending === '.pdf' ? printed(html) : html;
}

/** The assets that the procedure is for, each with its facts. */
function assetsOf(read: ReadProcedure, document: ChecklistDocument): AssetSheet[] | undefined {
  const sheets = document.assets.flatMap((id) => checklistOf(read.files.workspace, read.analysis, id).asset ?? []);
  return sheets.length > 0 ? sheets : undefined;
}

function checkedAddress(text: string): string {
  const expected = 'The address must be one that a browser opens, such as https://checklists.example/lift.html, without a part after #.';
  let url: URL;
  try {
    url = new URL(text);
  } catch {
    throw new CannotRun(expected);
  }
  if (!['http:', 'https:', 'file:'].includes(url.protocol) || url.hash !== '' || url.username !== '' || url.password !== '') throw new CannotRun(expected);
  if (url.href.length > 300) throw new CannotRun('The address is too long for a code that a phone reads from paper: at most 300 characters.');
  return url.href;
}

async function printed(html: string): Promise<Uint8Array> {
  const { findBrowser, printPdf } = await import('./print-pdf.ts');
  const browser = findBrowser();
  if (browser === undefined) {
    throw new CannotRun(
      'A PDF is printed through Chromium, and none was found on this machine. Install Chromium (Debian: apt-get install chromium), '
      + 'or name one in FAULTWRIGHT_CHROMIUM, or write .html and print it from a browser.',
    );
  }
  return printPdf(html, browser).catch((error: Error) => {
    throw new CannotRun(error.message);
  });
}
