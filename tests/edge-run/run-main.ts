/**
 * The runner as a program of its own, for tests that need a real process: run-main FILE RECORDS [--asset ID] [--person NAME]
 * [--answers FILE] [--carry-over].
 */
import { parseArgs } from 'node:util';
import { checklistOf } from '../../server/src/edge/checklist-of.ts';
import { readWorkspace } from '../../server/src/edge/file-workspace.ts';
import { processTerminal, runCommand } from '../../server/src/edge/run-terminal.ts';

void main();

async function main(): Promise<void> {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { asset: { type: 'string' }, person: { type: 'string' }, answers: { type: 'string' }, 'carry-over': { type: 'boolean' } },
  });
  const [file = '', records = ''] = positionals;
  const { workspace, targets } = await readWorkspace([file], process.cwd());
  const document = checklistOf(workspace, workspace.analyse(targets[0] ?? ''), values.asset);
  process.exitCode = await runCommand({
    document, records, ...(values.person === undefined ? {} : { person: values.person }),
    ...(values.answers === undefined ? {} : { answers: values.answers }), ...(values['carry-over'] === undefined ? {} : { carryOver: true }),
  }, processTerminal());
}
