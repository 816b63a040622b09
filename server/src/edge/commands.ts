/** What the commands do. Each returns its exit code or throws CannotRun with what was expected, what was found and what to do. */
import { writeFile } from 'node:fs/promises';
import { dirname, extname, resolve } from 'node:path';
import type { Analysis } from '../analysis/analysis.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import { checkFiles, UNREADABLE_FILE } from './check-files.ts';
import { CannotRun } from './command-environment.ts';
import type { CommandEnvironment, Format } from './command-environment.ts';
import { pathShownFrom, readWorkspace } from './file-workspace.ts';
import type { FileWorkspace, Unreadable } from './file-workspace.ts';
import { forwardSlashes, shopFolder } from './find-files.ts';
import { reasonOf } from './read-text-file.ts';

/** 0 no errors, 1 errors found; throws where nothing could be checked. */
export async function checkCommand(paths: readonly string[], format: Format, version: string, environment: CommandEnvironment): Promise<number> {
  const startedAt = performance.now();
  const files = await readWorkspace(paths, environment.cwd);
  if (files.targets.length === 0) throw new CannotRun(describeUnreadable('Nothing could be checked.', files.unreadable, environment.cwd));
  const outcome = checkFiles(files, environment.cwd, startedAt);
  environment.out(await renderOutcome());
  return outcome.findings.some((finding) => finding.severity === 'error' && !finding.accepted) ? 1 : 0;

  async function renderOutcome(): Promise<string> {
    switch (format) {
      case 'json':
        return (await import('../render/findings-json.ts')).renderFindingsJson(outcome);
      case 'sarif': {
        const { ALL_CHECKS } = await import('../checks/all.ts');
        return (await import('../render/findings-sarif.ts')).renderFindingsSarif(outcome, [...ALL_CHECKS, UNREADABLE_FILE], version);
      }
      case 'junit':
        return (await import('../render/findings-junit.ts')).renderFindingsJunit(outcome, files.targets);
      case 'text': {
        const { NO_PAINT, terminalPaint } = await import('../render/paint.ts');
        const { renderFindingsText } = await import('../render/findings-text.ts');
        const paint = environment.colours ? terminalPaint() : NO_PAINT;
        return renderFindingsText(outcome, { paint, ...(environment.columns === undefined ? {} : { width: environment.columns }) });
      }
    }
  }
}

/** Draws one procedure. */
export async function flowCommand(file: string, output: string | undefined, environment: CommandEnvironment): Promise<number> {
  if (output !== undefined) expectEnding(output, ['.svg']);
  const { analysis } = await readProcedure(file, environment.cwd);
  const { procedure, program, scope } = analysis;
  if (!procedure || !program || !scope) throw new CannotRun(`${file} holds no procedure that could be drawn. Run: faultwright check ${file}`);
  const { flowDrawing } = await import('../render/flow-drawing.ts');
  const { layoutFlow } = await import('../render/flow-layout.ts');
  const { renderFlowSvg } = await import('../render/flow-svg.ts');
  const svg = renderFlowSvg(await layoutFlow(flowDrawing(procedure, program, scope)));
  await deliver(svg, output, environment);
  return 0;
}

/** Writes the checklist of one procedure. */
export async function checklistCommand(
  file: string, asset: string | undefined, output: string | undefined, environment: CommandEnvironment,
): Promise<number> {
  const ending = output === undefined ? '.md' : expectEnding(output, ['.html', '.htm', '.md', '.pdf']);
  const read = await readProcedure(file, environment.cwd);
  const { checklistOf } = await import('./checklist-of.ts');
  const document = checklistOf(read.files.workspace, read.analysis, asset);
  if (ending === '.md') {
    const { renderChecklistMarkdown } = await import('../render/checklist-markdown.ts');
    await deliver(renderChecklistMarkdown(document), output, environment);
    return 0;
  }
  const { renderChecklistHtml } = await import('../render/checklist-html.ts');
  const html = renderChecklistHtml(document);
  if (ending !== '.pdf' || output === undefined) {
    await deliver(html, output, environment);
    return 0;
  }
  const { findBrowser, printPdf } = await import('./print-pdf.ts');
  const browser = findBrowser();
  if (browser === undefined) {
    throw new CannotRun(
      'A PDF is printed through Chromium, and none was found on this machine. Install Chromium (Debian: apt-get install chromium), '
      + 'or name one in FAULTWRIGHT_CHROMIUM, or write .html and print it from a browser.',
    );
  }
  const pdf = await printPdf(html, browser).catch((error: Error) => {
    throw new CannotRun(error.message);
  });
  await deliver(pdf, output, environment);
  return 0;
}

export interface RunOptions {
  readonly asset?: string;
  readonly person?: string;
  /** A file of answers; `-` for standard input. */
  readonly answers?: string;
}

/** Hands one procedure to the runner on the terminal. Records go beside the nearest shop.yaml, else beside the procedure. */
export async function runProcedure(file: string, { asset, person, answers }: RunOptions, environment: CommandEnvironment): Promise<number> {
  const read = await readProcedure(file, environment.cwd);
  const { checklistOf } = await import('./checklist-of.ts');
  const document = checklistOf(read.files.workspace, read.analysis, asset);
  const { processTerminal, runCommand } = await import('./run-terminal.ts');
  const { recordsFolder } = await import('./record-files.ts');
  const own = resolve(environment.cwd, file);
  return runCommand({
    document,
    records: recordsFolder(shopFolder(own) ?? dirname(own)),
    ...(person === undefined ? {} : { person }),
    ...(answers === undefined ? {} : { answers: answers === '-' ? answers : resolve(environment.cwd, answers) }),
    resumeCommand: ['faultwright run', quoted(file), ...(asset === undefined ? [] : ['--asset', quoted(asset)])].join(' '),
  }, { ...processTerminal(), colours: environment.colours });
}

/** Starts the language server on standard input and output; it runs until the editor ends it. */
export async function startLanguageServer(): Promise<void> {
  await import('./lsp-main.ts');
}

interface ReadProcedure {
  readonly files: FileWorkspace;
  readonly analysis: Analysis;
}

async function readProcedure(file: string, cwd: string): Promise<ReadProcedure> {
  const files = await readWorkspace([file], cwd);
  const key = forwardSlashes(resolve(cwd, file));
  if (!files.targets.includes(key)) {
    const own = files.unreadable.filter(({ path }) => path === key);
    if (own.length === 0) throw new CannotRun(`${harmlessLine(file)} is a folder. Name one procedure: a file NAME.procedure.yaml.`);
    throw new CannotRun(describeUnreadable('The procedure could not be read.', own, cwd));
  }
  const analysis = files.workspace.analyse(key);
  if (analysis.kind !== 'procedure') throw new CannotRun(`${harmlessLine(file)} is no procedure. Name a file NAME.procedure.yaml.`);
  return { files, analysis };
}

/** A word as a person would type it in a shell. */
function quoted(word: string): string {
  return /^[\w@%+=:,./-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}

function describeUnreadable(first: string, unreadable: readonly Unreadable[], cwd: string): string {
  const shown = pathShownFrom(cwd);
  const name = (path: string): string => harmlessLine(path === forwardSlashes(cwd) ? '.' : shown(path));
  return [first, ...unreadable.map(({ path, reason }) => `  ${name(path)}: ${reason}`)].join('\n');
}

function expectEnding(output: string, endings: readonly string[]): string {
  const ending = extname(output).toLowerCase();
  if (endings.includes(ending)) return ending;
  throw new CannotRun(`The output file must end in ${endings.join(' or ')}; found ${harmlessLine(output)}.`);
}

async function deliver(content: string | Uint8Array, output: string | undefined, environment: CommandEnvironment): Promise<void> {
  if (output === undefined) {
    environment.out(String(content));
    return;
  }
  try {
    await writeFile(resolve(environment.cwd, output), content);
  } catch (error) {
    const reason = (error as { code?: string }).code === 'ENOENT' ? 'The folder does not exist.' : reasonOf(error);
    throw new CannotRun(`${harmlessLine(output)} could not be written. ${reason}`);
  }
  environment.error(`Written: ${harmlessLine(output)}\n`);
}
