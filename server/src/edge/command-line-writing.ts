/** The commands that write procedures, with their options. */
import type { Command } from 'commander';
import type { CommandEnvironment } from './command-environment.ts';
import type { FormatOptions } from './format-command.ts';

/** Adds `format` to the program. */
export function addWritingCommands(program: Command, environment: CommandEnvironment, finish: (code: number) => void): void {
  program.command('format')
    .description('write files in the usual layout: order of keys, words for symbols, indentation')
    .argument('[paths...]', 'files or folders; without one, this folder')
    .option('--check', 'write nothing; name the files that are not formatted')
    .addHelpText('after', '\nWhat a file says stays the same, as do its comments and blank lines. A file that cannot be read as YAML is left as it is.\nExit codes: 0 done; 1 --check found files that are not formatted; 2 a file could not be formatted.')
    .action(async (paths: string[], options: FormatOptions) => {
      const { formatCommand } = await import('./format-command.ts');
      finish(await formatCommand(paths.length > 0 ? paths : ['.'], options, environment));
    });
}
