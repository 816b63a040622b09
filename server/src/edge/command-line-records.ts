/** The commands that serve checklists and look after records, with their options. */
import { Option, type Command } from 'commander';
import { harmlessLine } from '../render/harmless-text.ts';
import { PAPER_SIZES } from '../render/paper-size.ts';
import { CannotRun, type CommandEnvironment } from './command-environment.ts';
import type { ImportOptions, NamesOptions, RemoveOptions } from './records-keep.ts';
import type { ListOptions, SummaryOptions } from './records-command.ts';
import type { ShowOptions } from './record-show.ts';
import type { ServeOptions } from './serve-command.ts';

const RETENTION = `
How long records are kept is for the law and the shop to say. In the United States, for motor carriers (check the text in force):
  records of inspection, repair and maintenance   1 year, and 6 months after the vehicle leaves the carrier   49 CFR 396.3(c), read
  driver vehicle inspection reports               3 months                                                    49 CFR 396.11, from a secondary source
  roadside inspection reports                     12 months                                                   49 CFR 396.9, from a secondary source
  periodic inspection reports                     14 months                                                   49 CFR 396.21, from a secondary source`;

/** Adds `serve` and `records` to the program. */
export function addServingCommands(program: Command, environment: CommandEnvironment, finish: (code: number) => void): void {
  program.command('serve')
    .description('serve checklists to a browser on this machine, or to tablets on the local network')
    .argument('[folder]', 'the folder that holds the procedures', '.')
    .option('-p, --port <number>', 'the port to listen on; 0 for any that is free', '8731')
    .option('--lan', 'serve the local network too; a key, shown as an address and a code to scan, is needed to get in')
    .option('--records <folder>', 'the records folder; without it, records/ beside each shop.yaml')
    .action(async (folder: string, options: ServeOptions) => {
      const { serveCommand } = await import('./serve-command.ts');
      finish(await serveCommand(folder, options, environment));
    });

  const records = program.command('records')
    .description('say what was found over all records of runs; check, list and show them, take them in, take names out, remove old ones')
    .helpCommand(false)
    .addHelpText('after', '\nWithout a command: records summary, of the shop here.')
    .allowExcessArguments(true)
    .action(async () => {
      const [other] = records.args;
      if (other !== undefined) throw new CannotRun(`There is no command records ${harmlessLine(other)}. See: faultwright records --help`);
      const { summariseAll } = await import('./records-command.ts');
      finish(await summariseAll([], { format: 'text' }, environment, new Date()));
      environment.out('\nMore: faultwright records --help\n');
    });

  chosen(records.command('summary')
    .description('say what was found, over all records: by asset, procedure, finding and month')
    .argument('[paths...]', 'records, or folders; without one, the records of the shop here'))
    .addOption(new Option('--by <what>', 'only the one table').choices(['asset', 'procedure', 'finding', 'month']))
    .addOption(new Option('-f, --format <format>', 'how to print; csv is after RFC 4180 and holds one table').choices(['text', 'json', 'csv']).default('text'))
    .addHelpText('after', `
What stands against an asset: what a run found, until a later run of the same procedure on that asset came to its end without it. A repair
without its proof, and a reference to someone else, stand too. Whether an asset may be used is for the person responsible to say.`)
    .action(async (paths: string[], options: SummaryOptions) => {
      const { summariseAll } = await import('./records-command.ts');
      finish(await summariseAll(paths, options, environment, new Date()));
    });

  records.command('check')
    .description('look for anything in records that was altered, is missing or out of order')
    .argument('[paths...]', 'records, or folders; without one, the records of the shop here')
    .addOption(new Option('-f, --format <format>', 'how to print').choices(['text', 'json']).default('text'))
    .addHelpText('after', '\nExit codes: 0 all whole; 1 something is wrong with a record; 2 it could not be done.\nIt cannot tell a record that was made up whole: digests are no signature.')
    .action(async (paths: string[], options: { format: 'text' | 'json' }) => {
      const { checkRecords } = await import('./records-command.ts');
      finish(await checkRecords(paths, options.format, environment));
    });

  chosen(records.command('list')
    .description('list what was found, the latest first')
    .argument('[paths...]', 'records, or folders; without one, the records of the shop here'))
    .option('--older-than <age>', 'only records of runs that ended longer ago than this: 15 months, 400 days')
    .addOption(new Option('-f, --format <format>', 'how to print; csv is after RFC 4180').choices(['text', 'json', 'csv']).default('text'))
    .action(async (paths: string[], options: ListOptions) => {
      const { listRecords } = await import('./records-command.ts');
      finish(await listRecords(paths, options, environment, new Date()));
    });

  records.command('show')
    .description('show one record as a person reads it')
    .argument('<record>', 'a record\'s file, or the last letters of a run\'s id, as records list --format json has it')
    .option('-o, --output <file>', 'the file to write: .html, .pdf or .txt; without it, it is printed')
    .addOption(new Option('--paper <size>', 'size of the printed sheets, .html or .pdf: A4 (ISO 216) or letter (8.5 in × 11 in); without it, a4').choices(PAPER_SIZES))
    .action(async (which: string, options: ShowOptions) => {
      const { showRecord } = await import('./record-show.ts');
      finish(await showRecord(which, options, environment));
    });

  records.command('import')
    .description('take in records that were saved on tablets; nothing is overwritten, nothing is taken twice')
    .argument('<files...>', 'records as the checklist page saves them')
    .option('--into <folder>', 'the records folder; without it, that of the shop here')
    .option('--altered', 'take those too that are not whole; every check goes on naming them')
    .action(async (files: string[], options: ImportOptions) => {
      const { importRecords } = await import('./records-keep.ts');
      finish(await importRecords(files, options, environment));
    });

  chosen(records.command('pseudonymise')
    .description('replace the names of people by pseudonyms; the records stay whole')
    .argument('[paths...]', 'records, or folders; without one, the records of the shop here'))
    .option('--older-than <age>', 'only records of runs that ended longer ago than this: 15 months, 400 days')
    .option('--names <file>', 'keep in this file whose pseudonym is whose; without it nobody can tell afterwards')
    .action(async (paths: string[], options: NamesOptions) => {
      const { pseudonymiseRecords } = await import('./records-keep.ts');
      finish(await pseudonymiseRecords(paths, options, environment, new Date()));
    });

  chosen(records.command('remove')
    .description('remove records that need not be kept any longer; a note of each, with the reason, stays')
    .argument('[paths...]', 'records, or folders; without one, the records of the shop here'))
    .requiredOption('--older-than <age>', 'records of runs that ended longer ago than this: 15 months, 400 days (see them first: records list --older-than …)')
    .requiredOption('--because <reason>', 'why they may be removed')
    .option('--by <name>', 'who says so')
    .addHelpText('after', RETENTION)
    .action(async (paths: string[], options: RemoveOptions) => {
      const { removeRecords } = await import('./records-keep.ts');
      finish(await removeRecords(paths, options, environment, new Date()));
    });
}

function chosen(command: Command): Command {
  return command
    .option('--asset <id>', 'only of this asset')
    .option('--procedure <name>', 'only of this procedure')
    .option('--from <day>', 'only runs that ended on or after this day: 2026-11-25')
    .option('--to <day>', 'only runs that ended on or before this day');
}
