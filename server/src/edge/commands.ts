/** What the commands do. Each returns its exit code or throws CannotRun with what was expected, what was found and what to do. */
import { writeFile } from 'node:fs/promises';
import { dirname, extname, resolve } from 'node:path';
import type { Analysis } from '../analysis/analysis.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import { findingsCache } from './check-cache.ts';
import { checkFiles, UNREADABLE_FILE } from './check-files.ts';
import { CannotRun } from './command-environment.ts';
import type { ChecklistEnding, ChecklistOptions } from './checklist-command.ts';
import type { DiagnoseOptions } from './diagnose-command.ts';
import type { CommandEnvironment, Format } from './command-environment.ts';
import type { ReviewOptions } from './review-command.ts';
import { pathShownFrom, readWorkspace } from './file-workspace.ts';
import type { FileWorkspace, Unreadable } from './file-workspace.ts';
import { forwardSlashes, shopFolder } from './find-files.ts';
import { reasonOf } from './read-text-file.ts';

export interface CheckCommandOptions {
  readonly format: Format;
  readonly cache: boolean;
  /** Compare each procedure with its last released text, as git keeps it. */
  readonly sinceRelease?: boolean;
  /** Make the fixes that do not alter the meaning, then check. */
  readonly fix?: boolean;
  /** With `fix`: print what would be written, and write nothing. */
  readonly dryRun?: boolean;
}

/** 0 no errors, 1 errors found; throws where nothing could be checked. */
export async function checkCommand(
  paths: readonly string[], { format, cache, sinceRelease = false, fix = false, dryRun = false }: CheckCommandOptions, version: string, environment: CommandEnvironment,
): Promise<number> {
  if (dryRun && !fix) throw new CannotRun('--dry-run belongs to --fix: faultwright check --fix --dry-run');
  const startedAt = performance.now();
  const released = sinceRelease ? (await import('./git-texts.ts')).lastReleasedText : undefined;
  const files = await readWorkspace(paths, environment.cwd, released);
  if (files.targets.length === 0) throw new CannotRun(describeUnreadable('Nothing could be checked.', files.unreadable, environment.cwd));
  const diff = fix ? await fixed(files, dryRun, environment) : '';
  const { script, cacheFolder } = environment;
  const outcome = await checkFiles(files, environment.cwd, startedAt, {
    // Neither a thread nor what was kept from an earlier check knows of released texts.
    threadScript: sinceRelease ? undefined : script,
    cache: cache && !sinceRelease && script !== undefined && cacheFolder !== undefined ? findingsCache(cacheFolder, [environment.cwd, ...paths], script, version) : undefined,
  });
  environment.out(dryRun ? diff : await renderOutcome());
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

/** Fixes what can be fixed without altering a meaning, and says what was. Returns the diff of all files. */
async function fixed(files: FileWorkspace, dryRun: boolean, environment: CommandEnvironment): Promise<string> {
  const { fixFiles } = await import('./fix-files.ts');
  const { renderEditsDiff } = await import('../render/edits-diff.ts');
  const shown = pathShownFrom(environment.cwd);
  const found = await fixFiles(files, !dryRun);
  for (const { path, replacements, reason } of found) {
    const what = reason === undefined ? `${dryRun ? 'Would be fixed' : 'Fixed'}, at ${replacements.length} ${replacements.length === 1 ? 'place' : 'places'}` : `Not fixed. ${reason}`;
    environment.error(`${harmlessLine(shown(path))}: ${what}\n`);
  }
  if (found.length === 0) environment.error('There is nothing to fix that does not alter what a file means.\n');
  return found.map(({ path, before, replacements }) => renderEditsDiff(harmlessLine(shown(path)), before, replacements)).join('');
}

/** Draws one procedure. */
export async function flowCommand(file: string, { output, faults }: { readonly output?: string; readonly faults?: boolean }, environment: CommandEnvironment): Promise<number> {
  if (output !== undefined) expectEnding(output, ['.svg']);
  const { analysis } = await readProcedure(file, environment.cwd);
  const { procedure, program, scope } = analysis;
  if (!procedure || !program || !scope) throw new CannotRun(`${file} holds no procedure that could be drawn. Run: faultwright check ${file}`);
  const { flowDrawing } = await import('../render/flow-drawing.ts');
  const { layoutFlow } = await import('../render/flow-layout.ts');
  const { renderFlowSvg } = await import('../render/flow-svg.ts');
  const possible = faults ? (await import('../features/diagnosis-possible.ts')).possibleAtSteps(analysis) : undefined;
  if (faults && possible?.size === 0) throw new CannotRun(`${harmlessLine(file)} has no faults that could be followed from step to step. Draw it without --faults.`);
  const svg = renderFlowSvg(await layoutFlow(flowDrawing(procedure, program, scope, possible)));
  await deliver(svg, output, environment);
  return 0;
}

/** Writes the checklist of one procedure. */
export async function checklistCommand(file: string, options: ChecklistOptions, environment: CommandEnvironment): Promise<number> {
  const { output, page } = options;
  if (page && output === undefined) throw new CannotRun('The page is one file to hand on: name it, as in --page -o NAME.html.');
  const ending = output === undefined ? '.md' : (expectEnding(output, page ? ['.html', '.htm'] : ['.html', '.htm', '.md', '.pdf']) as ChecklistEnding);
  const read = await readProcedure(file, environment.cwd);
  const { checklistContent } = await import('./checklist-command.ts');
  await deliver(await checklistContent(read, options, ending, environment), output, environment);
  return 0;
}

/** Says what the tests of one procedure prove and what its order costs. */
export async function diagnoseCommand(file: string, options: DiagnoseOptions, environment: CommandEnvironment): Promise<number> {
  if (options.output !== undefined) expectEnding(options.output, ['.html', '.htm', '.json', '.txt']);
  if (options.proposal !== undefined) expectEnding(options.proposal, ['.yaml', '.yml']);
  const read = await readProcedure(file, environment.cwd);
  if (options.proposal !== undefined && resolve(environment.cwd, options.proposal) === resolve(environment.cwd, file)) {
    throw new CannotRun('The proposal is never written over the procedure. Name another file, compare the two, and take it over yourself.');
  }
  const { diagnoseProcedure } = await import('./diagnose-command.ts');
  const { content, outcome, remarks } = await diagnoseProcedure(file, read, options, environment);
  await deliver(content, options.output, environment);
  for (const remark of remarks) environment.error(`${remark}\n`);
  if (options.proposal !== undefined) {
    if (outcome.proposal) await deliver(outcome.proposal.text, options.proposal, environment);
    else environment.error('There is no better order to write.\n');
  }
  return 0;
}

/** Says what changed and what that does to safety: 1 where something is less safe or an error is new. */
export async function reviewCommand(paths: readonly string[], options: ReviewOptions, environment: CommandEnvironment): Promise<number> {
  if (options.output !== undefined) expectEnding(options.output, ['.html', '.htm', '.json', '.txt']);
  const { reviewProcedures } = await import('./review-command.ts');
  const { content, worse } = await reviewProcedures(paths, options, environment);
  await deliver(content, options.output, environment);
  return worse ? 1 : 0;
}

export interface RunOptions {
  readonly asset?: string;
  readonly person?: string;
  /** A file of answers; `-` for standard input. */
  readonly answers?: string;
  /** The records folder. */
  readonly records?: string;
  readonly carryOver?: boolean;
  /** What the runner says; English without it. */
  readonly language?: 'en' | 'de';
}

/** Hands one procedure to the runner on the terminal. Records go beside the nearest shop.yaml, else beside the procedure, unless named. */
export async function runProcedure(file: string, { asset, person, answers, records, carryOver, language }: RunOptions, environment: CommandEnvironment): Promise<number> {
  const read = await readProcedure(file, environment.cwd);
  const { checklistOf } = await import('./checklist-of.ts');
  const document = checklistOf(read.files.workspace, read.analysis, asset);
  const { processTerminal, runCommand } = await import('./run-terminal.ts');
  const { recordsFolder } = await import('./record-files.ts');
  const own = resolve(environment.cwd, file);
  return runCommand({
    document,
    records: records === undefined ? recordsFolder(shopFolder(own) ?? dirname(own)) : resolve(environment.cwd, records),
    ...(carryOver === undefined ? {} : { carryOver }), ...(language === undefined ? {} : { language }),
    ...(person === undefined ? {} : { person }),
    ...(answers === undefined ? {} : { answers: answers === '-' ? answers : resolve(environment.cwd, answers) }),
    resumeCommand: ['faultwright run', quoted(file), ...(asset === undefined ? [] : ['--asset', quoted(asset)]), ...(records === undefined ? [] : ['--records', quoted(records)]), ...(language === undefined ? [] : ['--language', language])].join(' '),
  }, { ...processTerminal(), colours: environment.colours });
}

/** Starts the language server on standard input and output; it runs until the editor ends it. */
export async function startLanguageServer(): Promise<void> {
  await import('./lsp-main.ts');
}

export interface ReadProcedure {
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
