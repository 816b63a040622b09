/**
 * The commands, their options and what they answer. Each loads what it needs when it runs, so that `--help` and `--version` come
 * at once. Exit codes: 0 done (of `check`: no errors found), 1 `check` found errors, 2 it could not be done.
 */
import { Command, CommanderError, Option } from 'commander';
import { version } from '../../../package.json';
import { CannotRun, FORMATS } from './command-environment.ts';
import type { CommandEnvironment, Format } from './command-environment.ts';
import type { RunOptions } from './commands.ts';

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
  faultwright flow lift.procedure.yaml -o lift.svg
  faultwright checklist lift.procedure.yaml --asset TL-07 -o lift.html
  faultwright run lift.procedure.yaml --asset TL-07

Exit codes: 0 done, and no errors found; 1 the check found errors; 2 it could not be done.
A clean check does not make a procedure safe by itself: follow the maker's data, local codes and the shop's rules.`);

  program.command('check')
    .description('check procedures and print what is found')
    .argument('[paths...]', 'files or folders; without one, this folder')
    .addOption(new Option('-f, --format <format>', 'how to print findings').choices([...FORMATS]).default('text'))
    .action(async (paths: string[], options: { format: Format }) => {
      const { checkCommand } = await import('./commands.ts');
      finish(await checkCommand(paths.length > 0 ? paths : ['.'], options.format, version, environment));
    });

  program.command('flow')
    .description('draw the flow of a procedure as SVG')
    .argument('<file>', 'a NAME.procedure.yaml')
    .option('-o, --output <file>', 'the file to write, NAME.svg; without it, the drawing is printed')
    .action(async (file: string, options: { output?: string }) => {
      const { flowCommand } = await import('./commands.ts');
      finish(await flowCommand(file, options.output, environment));
    });

  program.command('checklist')
    .description('write a procedure as a checklist to print')
    .argument('<file>', 'a NAME.procedure.yaml')
    .option('-a, --asset <id>', 'the asset it is for, as named in assets.yaml')
    .option('-o, --output <file>', 'the file to write: .html, .md or .pdf; without it, Markdown is printed')
    .action(async (file: string, options: { asset?: string; output?: string }) => {
      const { checklistCommand } = await import('./commands.ts');
      finish(await checklistCommand(file, options.asset, options.output, environment));
    });

  program.command('run')
    .description('go through a procedure step by step and write a record')
    .argument('<file>', 'a NAME.procedure.yaml')
    .option('-a, --asset <id>', 'the asset it is done on, as named in assets.yaml')
    .option('-p, --person <name>', 'who does the work; without it, you are asked')
    .option('--answers <file>', 'take the answers from a file, one a line; - for standard input')
    .action(async (file: string, options: RunOptions) => {
      const { runProcedure } = await import('./commands.ts');
      finish(await runProcedure(file, options, environment));
    });

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
