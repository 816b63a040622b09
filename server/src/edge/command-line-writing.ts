/** The commands that write procedures, with their options. */
import type { Command } from 'commander';
import type { CommandEnvironment } from './command-environment.ts';
import type { DraftOptions } from './draft-command.ts';
import type { FormatOptions } from './format-command.ts';
import type { NewOptions } from './new-command.ts';

/** Adds `new`, `draft` and `format` to the program. */
export function addWritingCommands(program: Command, environment: CommandEnvironment, finish: (code: number) => void): void {
  program
    .command('new')
    .description('write a new procedure: a few questions, and a skeleton without findings')
    .argument('[folder]', 'the folder it is written into', '.')
    .option('--answers <file>', 'take the answers from a file, one a line; - for standard input')
    .option('--print', 'print the procedure and write no file')
    .action(async (folder: string, options: NewOptions) => {
      const { newCommand } = await import('./new-command.ts');
      finish(await newCommand(folder, options, environment));
    });

  program
    .command('draft')
    .description("make a draft of a procedure from a document's numbered list, with findings to resolve")
    .argument('<file>', 'a text file; - for standard input')
    .option('-o, --output <file>', 'the NAME.procedure.yaml to write; without it, the draft is printed')
    .addHelpText(
      'after',
      '\nEvery sentence of the document stands in the draft: in a step, a caution, a note, or a comment beside the step that it became.\nA draft is no procedure: compare it with the document, and resolve what the check finds.',
    )
    .action(async (file: string, options: DraftOptions) => {
      const { draftCommand } = await import('./draft-command.ts');
      finish(await draftCommand(file, options, environment));
    });

  program
    .command('format')
    .description('write files in the usual layout: order of keys, words for symbols, indentation')
    .argument('[paths...]', 'files or folders; without one, this folder')
    .option('--check', 'write nothing; name the files that are not formatted')
    .addHelpText(
      'after',
      '\nWhat a file says stays the same, as do its comments and blank lines. A file that cannot be read as YAML is left as it is.\nExit codes: 0 done; 1 --check found files that are not formatted; 2 a file could not be formatted.',
    )
    .action(async (paths: string[], options: FormatOptions) => {
      const { formatCommand } = await import('./format-command.ts');
      finish(await formatCommand(paths.length > 0 ? paths : ['.'], options, environment));
    });
}
