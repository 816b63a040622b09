/**
 * The commands, their options and what they answer. Each loads what it needs when it runs, so that `--help` and `--version` come
 * at once. Exit codes: 0 done (of `check`: no errors found), 1 `check` found errors, 2 it could not be done.
 */
import { Command, CommanderError, Option } from 'commander';
import { version } from '../../../package.json';
import { CannotRun, DIAGNOSIS_FORMATS, FORMATS, REVIEW_FORMATS } from './command-environment.ts';
import type { CommandEnvironment } from './command-environment.ts';
import { PAPER_SIZES } from '../render/paper-size.ts';
import { addServingCommands } from './command-line-records.ts';
import { addWritingCommands } from './command-line-writing.ts';
import type { ChecklistOptions } from './checklist-command.ts';
import type { CheckCommandOptions, RunOptions } from './commands.ts';
import type { DiagnoseOptions } from './diagnose-command.ts';
import type { ReviewOptions } from './review-command.ts';

/** Runs one command line. Returns the exit code; undefined where the process goes on (the language server). */
export async function runCommandLine(words: readonly string[], environment: CommandEnvironment): Promise<number | undefined> {
  let code: number | undefined = 0;
  const program = commands(environment, (result) => {
    code = result;
  });
  try {
    await program.parseAsync(words.length > 0 ? [...words] : ['--help'], { from: 'user' });
    return code;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    if (error instanceof CannotRun) {
      environment.error(`${error.message}\n`);
      return 2;
    }
    environment.error(`This should not have happened: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
    return 2;
  }
}

/** What `--help` says of each command, in the order of the list of commands; the first is the list itself. */
export function commandHelp(): readonly { readonly name: string; readonly description: string; readonly help: string }[] {
  let printed = '';
  const out = (text: string): void => {
    printed += text;
  };
  const program = commands({ cwd: '.', out, error: out, columns: 100, colours: false }, () => undefined);
  return [program, ...program.commands].map((command) => {
    printed = '';
    command.outputHelp();
    return { name: command.name(), description: command.description(), help: printed };
  });
}

function commands(environment: CommandEnvironment, finish: (code: number | undefined) => void): Command {
  const program = new Command('faultwright')
    .description('Checks, draws and runs diagnostic procedures written in YAML.')
    .version(version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'show this help')
    .helpCommand('help [command]', 'show the help of a command')
    .configureOutput({ writeOut: environment.out, writeErr: environment.error, outputError: (text, write) => write(text.replace(/^error: /, '')) })
    .configureHelp({ helpWidth: Math.min(environment.columns ?? 100, 100) })
    .showHelpAfterError('Try: faultwright --help')
    .exitOverride()
    .addHelpText('after', `
Examples:
  faultwright check                          check everything under this folder
  faultwright check procedures --format json
  faultwright check --fix --dry-run          show what --fix would change
  faultwright flow lift.procedure.yaml -o lift.svg
  faultwright checklist lift.procedure.yaml --asset TL-07 -o lift.pdf
  faultwright checklist lift.procedure.yaml --page -o lift.html
  faultwright run lift.procedure.yaml --asset TL-07
  faultwright diagnose lift.procedure.yaml
  faultwright review --since v4              compare with the revision tagged v4

Exit codes: 0 done, and no errors found; 1 the check found errors, a review something less safe, or a record
is not whole; 2 it could not be done.
A clean check does not make a procedure safe by itself: follow the maker's data, local codes and the shop's rules.`);

  program.command('check')
    .description('check procedures and print what is found')
    .argument('[paths...]', 'files or folders; without one, this folder')
    .addOption(new Option('-f, --format <format>', 'how to print findings').choices([...FORMATS]).default('text'))
    .option('--no-cache', 'check every file anew, also those that have not changed since the last check')
    .option('--fix', 'first make the fixes that do not alter what a file means (spelling of words and marks, layout of texts), then check')
    .option('--dry-run', 'with --fix: write nothing, and print the changes as a diff; the exit code is that of the check after them')
    .option('--since-release', 'compare each procedure with its last released text in git: what differs needs another revision')
    .action(async (paths: string[], options: CheckCommandOptions) => {
      const { checkCommand } = await import('./commands.ts');
      finish(await checkCommand(paths.length > 0 ? paths : ['.'], options, version, environment));
    });

  program.command('flow')
    .description('draw the flow of a procedure as SVG')
    .argument('<file>', 'a NAME.procedure.yaml')
    .option('-o, --output <file>', 'the file to write, NAME.svg; without it, the drawing is printed')
    .option('--faults', 'show at each step which faults are still possible')
    .action(async (file: string, options: { output?: string; faults?: boolean }) => {
      const { flowCommand } = await import('./commands.ts');
      finish(await flowCommand(file, options, environment));
    });

  program.command('checklist')
    .description('write a procedure as a checklist: sheets to print, or a page to run on a tablet')
    .argument('<file>', 'a NAME.procedure.yaml')
    .option('-a, --asset <id>', 'the asset it is for, as named in assets.yaml; without it, a page lets the technician choose')
    .option('-o, --output <file>', 'the file to write: .html, .md or .pdf; without it, Markdown is printed')
    .option('--page', 'write the page that is run step by step, in any browser and without a network (.html)')
    .option('--address <url>', 'where the page will be found: the code on every printed sheet opens it')
    .addOption(new Option('--language <language>', 'language of the printed words or of the page, not of the procedure').choices(['en', 'de']))
    .addOption(new Option('--paper <size>', 'size of the printed sheets, .html or .pdf: A4 (ISO 216) or letter (8.5 in × 11 in); without it, a4').choices(PAPER_SIZES))
    .action(async (file: string, options: ChecklistOptions) => {
      const { checklistCommand } = await import('./commands.ts');
      finish(await checklistCommand(file, options, environment));
    });

  program.command('run')
    .description('go through a procedure step by step and write a record')
    .argument('<file>', 'a NAME.procedure.yaml')
    .option('-a, --asset <id>', 'the asset it is done on, as named in assets.yaml')
    .option('-p, --person <name>', 'who does the work; without it, you are asked')
    .option('--answers <file>', 'take the answers from a file, one a line; - for standard input')
    .option('--records <folder>', 'the records folder; without it, records/ beside the nearest shop.yaml')
    .option('--carry-over', 'go on with an unfinished run by the text as it is now, where the steps walked so far are the same; the record says so')
    .addOption(new Option('--language <language>', 'language of what the runner says, not of the procedure').choices(['en', 'de']))
    .action(async (file: string, options: RunOptions) => {
      const { runProcedure } = await import('./commands.ts');
      finish(await runProcedure(file, options, environment));
    });

  program.command('diagnose')
    .description('say what the tests of a procedure prove, what its order costs, and which order would cost less')
    .argument('<file>', 'a NAME.procedure.yaml')
    .option('-r, --records <folder>', 'records of runs, to learn how often each fault is found; without it, those of the shop')
    .addOption(new Option('-f, --format <format>', 'how to print it; without it, as the output file is named').choices([...DIAGNOSIS_FORMATS]))
    .option('-o, --output <file>', 'the file to write: .html, .json or .txt; without it, it is printed')
    .addOption(new Option('--weights <source>', 'go by the weights as written, or by those that the records say').choices(['written', 'records']).default('written'))
    .option('--per-person', 'count a minute once for each person it takes')
    .option('--repair-and-see', 'let the best order try a repair and see whether the complaint is gone')
    .option('--proposal <file>', 'write the procedure in the proposed order to another file')
    .action(async (file: string, options: DiagnoseOptions) => {
      const { diagnoseCommand } = await import('./commands.ts');
      finish(await diagnoseCommand(file, options, environment));
    });

  program.command('review')
    .description('say what changed in procedures since a revision of git, or against an earlier file, and what that does to safety')
    .argument('[paths...]', 'files or folders; without one, this folder')
    .option('--since <revision>', 'a commit, tag or branch of git; without it, the last commit')
    .option('--before <file>', 'the earlier file, where there is no git')
    .addOption(new Option('-f, --format <format>', 'how to print it; without it, as the output file is named').choices([...REVIEW_FORMATS]))
    .option('-o, --output <file>', 'the file to write: .html, .json or .txt; without it, it is printed')
    .action(async (paths: string[], options: ReviewOptions) => {
      const { reviewCommand } = await import('./commands.ts');
      finish(await reviewCommand(paths.length > 0 ? paths : ['.'], options, environment));
    });

  addWritingCommands(program, environment, finish);
  addServingCommands(program, environment, finish);

  program.command('lsp')
    .description('start the language server, for any editor')
    .requiredOption('--stdio', 'speak over standard input and output')
    .action(async () => {
      const { startLanguageServer } = await import('./commands.ts');
      await startLanguageServer();
      finish(undefined);
    });

  return program;
}
